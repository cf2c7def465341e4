//! What an edition changes against an earlier one.

use super::data::{
    ChangedPair, Changes, CorrectionMade, Figure, Moved, NewPair, Places, SetAsideSince,
};
use crate::compare::data::Ratio;
use crate::dataset::types::Dataset;
use crate::field::Member;
use crate::history::editions::torque_factor;
use crate::problem::Problem;
use crate::query::question::Question;
use crate::results::Results;
use crate::results::products::{ids, label};
use crate::run::instants;
use crate::scatter::cells::Run;
use crate::scatter::difference::Difference;
use crate::scatter::shares::Shares;
use crate::sort;
use crate::special::student;
use crate::study::Study;
use crate::typical::{Combination, Counted};

/// Two-sided 90 %: the upper quantile.
const UPPER: f64 = 0.95;

impl Results {
    /// What edition `edition` changes against `since`, in every rig and setup.
    ///
    /// # Errors
    ///
    /// As [`Results::ask`], for an edition that is not there.
    pub fn changes(&self, since: u32, edition: u32) -> Result<Changes, Problem> {
        let dataset = &self.dataset;
        let between = |own: u32| since < own && own <= edition;
        let mut changes = Changes {
            since,
            edition,
            ..Changes::default()
        };
        for rig in &dataset.rigs {
            for setup in &dataset.setups {
                let question = |edition| Question {
                    rig: Some(rig.id.clone()),
                    setup: Some(setup.id.clone()),
                    edition: Some(edition),
                    ..Question::default()
                };
                let (then, now) = (question(since), question(edition));
                pairs(self, &then, &now, &mut changes)?;
                for job in &dataset.jobs {
                    let of = |question: &Question| Question {
                        job: Some(job.id.clone()),
                        ..question.clone()
                    };
                    changes.places.extend(places(self, &of(&then), &of(&now))?);
                }
            }
        }
        changes.set_aside = set_aside(dataset, since, edition);
        for made in dataset.editions.iter().filter(|made| between(made.edition)) {
            let corrections = made.corrections.iter();
            changes
                .corrections
                .extend(corrections.map(|correction| CorrectionMade {
                    edition: made.edition,
                    text: correction.text.clone(),
                    tools: correction.tools.clone(),
                    days: correction.days.clone(),
                    torque_factor: correction.torque_factor,
                }));
        }
        Ok(changes)
    }
}

/// The runs set aside after edition `since` and up to `edition`.
fn set_aside(dataset: &Dataset, since: u32, edition: u32) -> Vec<SetAsideSince> {
    let mut found = Vec::new();
    for (index, run) in dataset.runs.iter().enumerate() {
        let excluded = run.excluded.as_ref();
        let aside = excluded.and_then(|excluded| Some((excluded, excluded.edition?)));
        let Some((excluded, own)) = aside.filter(|(_, own)| since < *own && *own <= edition) else {
            continue;
        };
        let Some(published) = run.edition.filter(|published| *published <= edition) else {
            continue;
        };
        found.push(SetAsideSince {
            run: index + 1,
            tool: run.tool.clone(),
            pack: run.pack.clone(),
            day: run.day.clone(),
            log_file: run.log.as_ref().and_then(|log| log.file.clone()),
            reason: excluded.reason.clone(),
            edition: own,
            counted_before: published <= since,
        });
    }
    found
}

/// Typical mean torque of a pair with its 90 % interval: exp(ȳ ± t_{0.95, ν} se).
fn figure(study: &Study, member: &Member) -> Figure {
    let log = member.combination.log_of(&mean_nm);
    let uncertainty = study.uncertainty();
    let of_mean = uncertainty.of_mean(study.mean_scatter().of_tool(member.tool), member);
    let known = !uncertainty.too_few();
    let end = |sign: f64| {
        let half = of_mean.variance.sqrt() * student::quantile(UPPER, of_mean.nu);
        known.then(|| libm::exp(log + sign * half))
    };
    Figure {
        mean_torque_nm: member.combination.mean_nm(),
        low_nm: end(-1.0),
        high_nm: end(1.0),
        runs: member.runs.len(),
    }
}

fn mean_nm(run: &Counted) -> f64 {
    run.measures.mean_nm
}

/// Adds the pairs of a field that are new, changed or gone.
fn pairs(
    results: &Results,
    then: &Question,
    now: &Question,
    changes: &mut Changes,
) -> Result<(), Problem> {
    let (now, then) = (results.study(now)?, results.study(then)?);
    let asked = now.asked();
    let described = |member: &Member, figure: Figure| {
        let (tool, pack) = ids(results, member.tool, member.pack);
        NewPair {
            rig: asked.rig.id.clone(),
            setup: asked.setup.id.clone(),
            tool,
            pack,
            label: label(results, member.tool, member.pack),
            figure,
        }
    };
    for member in &now.field().members {
        let figure = figure(&now, member);
        let Some((_, old)) = then.member((member.tool, member.pack)) else {
            changes.new_pairs.push(described(member, figure));
            continue;
        };
        let added: Vec<usize> = member
            .runs
            .iter()
            .copied()
            .filter(|run| !old.runs.contains(run))
            .collect();
        let before = self::figure(&then, old);
        if added.is_empty() && before.mean_torque_nm == figure.mean_torque_nm {
            continue;
        }
        let removed = old.runs.iter().filter(|run| !member.runs.contains(run));
        let difference = retest(&now, &then, member, &added);
        let known = difference.filter(|_| !now.uncertainty().too_few());
        let interval = known.map(|difference| difference.interval());
        changes.changed.push(ChangedPair {
            runs_added: added.len(),
            runs_removed: removed.count(),
            before,
            added_over_before: difference.map(|difference| Ratio {
                ratio: libm::exp(difference.log),
                low: interval.map(|(low, _)| libm::exp(low)),
                high: interval.map(|(_, high)| libm::exp(high)),
            }),
            beyond_scatter: interval.map(|(low, high)| low > 0.0 || high < 0.0),
            now: described(member, figure),
        });
    }
    for member in &then.field().members {
        if now.member((member.tool, member.pack)).is_none() {
            changes.gone.push(described(member, figure(&then, member)));
        }
    }
    Ok(())
}

/// How far a pair's added runs are from those that counted before, both as the newer edition has
/// them: the difference of two means of ln mean torque, in which specimens, packs and days behind both
/// cancel. The scatters are those of the older edition, which added runs that read otherwise cannot
/// have widened; that of runs is the newer's where the older has too few. `None` if there are not both.
fn retest(now: &Study, then: &Study, member: &Member, added: &[usize]) -> Option<Difference> {
    let (results, asked) = (now.results, now.asked());
    let of = |wanted: bool| {
        let mut specimens: Vec<(usize, Vec<Counted>)> = Vec::new();
        let mut origins: Vec<Run> = Vec::new();
        for &index in &member.runs {
            if added.contains(&index) != wanted {
                continue;
            }
            let (run, reduced) = (results.dataset.runs.get(index)?, results.runs.get(index)?);
            let factor = torque_factor(&results.dataset.editions, &run.day, asked.edition);
            let counted = crate::results::reduced::counted(reduced, factor);
            sort::change(&mut specimens, reduced.specimen, |runs| runs.push(counted));
            origins.push(reduced.origin(0));
        }
        let runs = specimens.into_iter().map(|(_, runs)| runs).collect();
        let log = Combination::new(runs, &instants::times(asked.window_s))?.log_of(&mean_nm);
        Some((log, Shares::of_mean(&origins)))
    };
    let ((new, of_new), (old, of_old)) = (of(true)?, of(false)?);
    let few = then.uncertainty().too_few();
    let run = if few { now } else { then }.mean_scatter();
    let run = run.of_tool(member.tool);
    let scatters = &then.uncertainty().scatters;
    let terms = of_new.less(&of_old).terms(scatters, |_| run);
    Some(Difference::of_terms(new - old, &terms))
}

/// The places of a job that moved, counted among the pairs that both editions hold; `None` if they
/// hold fewer than two.
fn places(results: &Results, then: &Question, now: &Question) -> Result<Option<Places>, Problem> {
    let (before, after) = (results.study(then)?, results.study(now)?);
    let (Ok(old), Ok(new)) = (before.answering(), after.answering()) else {
        return Ok(None);
    };
    let (placed_before, placed_after) = (old.placed(), new.placed());
    let in_both = |pair: (usize, usize)| {
        // Both are in the order of the file's tools and packs.
        placed_before.binary_search(&pair).is_ok() && placed_after.binary_search(&pair).is_ok()
    };
    let of = placed_before.iter().filter(|pair| in_both(**pair)).count();
    if of < 2 {
        return Ok(None);
    }
    let (old, moved) = (old.places_among(&in_both), new.places_among(&in_both));
    let pairs = moved.iter().filter_map(|(pair, rank, interval)| {
        let (_, rank_before, interval_before) = old.iter().find(|(other, ..)| other == pair)?;
        let (rank, rank_before) = ((*rank)?, (*rank_before)?);
        let both = interval_before.zip(*interval);
        let (tool, pack) = ids(results, pair.0, pair.1);
        (rank != rank_before).then(|| Moved {
            tool,
            pack,
            label: label(results, pair.0, pair.1),
            rank_before,
            rank,
            interval_before: *interval_before,
            interval: *interval,
            beyond_doubt: both.map(|(then, now)| now.1 < then.0 || then.1 < now.0),
        })
    });
    let mut moved: Vec<Moved> = pairs.collect();
    moved.sort_by_key(|moved| moved.rank);
    Ok(Some(Places {
        rig: new.asked().rig.id.clone(),
        setup: new.asked().setup.id.clone(),
        job: new.job.id.clone().unwrap_or_default(),
        required_torque_nm: new.job.required_nm,
        of,
        moved,
    }))
}
