//! The runs behind a pair, its days, its place in other editions, and what it did on real fasteners.

use super::data::{
    CheckBehind, DayBehind, DayCorrection, PlaceInEdition, PlacesAmongBoth, RunBehind, RunsBehind,
    SetAside,
};
use crate::dataset::types::{Edition, FieldCheck, Flag, Run};
use crate::field::Member;
use crate::field::check_runs::CheckRuns;
use crate::history::editions::{Part, part_of, torque_factor, torque_factors};
use crate::problem::Problem;
use crate::query::question::Question;
use crate::query::resolved::Asked;
use crate::results::Results;
use crate::results::reduced::counted;
use crate::sort;
use crate::study::Study;
use crate::study::job::JobStudy;

/// The runs behind the pair that a question names.
pub(crate) fn behind(study: &Study) -> Result<RunsBehind, Problem> {
    let (results, asked, field) = (study.results, study.asked(), study.field());
    let dataset = &results.dataset;
    let pair = asked.tool.zip(asked.pack);
    let (tool, pack) = pair.ok_or_else(|| one_pair(results, asked))?;
    let mut runs = Vec::new();
    let mut days = Vec::new();
    for (run, reduced) in dataset.runs.iter().zip(&results.runs) {
        let same = (reduced.tool, reduced.pack) == (tool, pack)
            && (reduced.rig, reduced.setup) == (asked.rig_place, asked.setup_place);
        if same && part_of(run, asked.edition) != Part::None {
            runs.push(run_behind(results, asked, run, reduced));
            if !days.contains(&reduced.day) {
                days.push(reduced.day);
            }
        }
    }
    // What counts first, in order of time; runs of one day and specimen stand together.
    sort::sort(&mut runs, |a, b| key(a).cmp(&key(b)));
    let mut days: Vec<DayBehind> = days
        .into_iter()
        .filter_map(|day| day_behind(results, asked, day, &field.checks))
        .collect();
    sort::sort(&mut days, |a, b| a.date.cmp(&b.date));
    let member = study.member((tool, pack)).map(|(_, member)| member);
    let (named, with) = (dataset.tools.get(tool), dataset.packs.get(pack));
    Ok(RunsBehind {
        tool: named.map(|tool| tool.id.clone()).unwrap_or_default(),
        pack: with.map(|pack| pack.id.clone()).unwrap_or_default(),
        setup: asked.setup.id.clone(),
        rig: asked.rig.id.clone(),
        edition: asked.edition,
        required_torque_nm: asked.job.as_ref().map(|job| job.required_nm),
        runs,
        days,
        places: places(study, (tool, pack)),
        field_checks: dataset
            .field_checks
            .iter()
            .filter(|check| check.tool.as_ref() == named.map(|tool| &tool.id))
            .filter(|check| check.pack.as_ref() == with.map(|pack| &pack.id))
            .map(|check| check_behind(check, member, field.window_s))
            .collect(),
        peak_torque_nm: member.map(|member| member.combination.peak_nm()),
        stated_tightening_nm: named.and_then(|tool| tool.stated_tightening_nm),
        stated_loosening_nm: named.and_then(|tool| tool.stated_loosening_nm),
    })
}

/// A question that leaves tool or pack open.
fn one_pair(results: &Results, asked: &Asked) -> Problem {
    let pointer = if asked.tool.is_none() {
        "/tool"
    } else {
        "/pack"
    };
    let problem = Problem::new(pointer, "any", "a tool and a pack");
    problem.message(results.catalogue.fill("error.one_pair", &[]))
}

/// What runs are sorted by.
fn key(run: &RunBehind) -> impl Ord + '_ {
    (
        run.set_aside.is_some(),
        &run.date,
        &run.specimen,
        &run.pack_specimen,
        run.edition,
    )
}

fn run_behind(
    results: &Results,
    asked: &Asked,
    run: &Run,
    reduced: &crate::results::reduced::Reduced,
) -> RunBehind {
    let dataset = &results.dataset;
    let torque_factor = torque_factor(&dataset.editions, &run.day, asked.edition);
    let counted = counted(reduced, torque_factor);
    let aside = run.excluded.as_ref().and_then(|exclusion| {
        let edition = exclusion.edition?;
        (edition <= asked.edition).then(|| SetAside {
            reason: exclusion.reason.clone(),
            edition,
        })
    });
    let job = asked.job.as_ref();
    let day = dataset.days.get(reduced.day);
    let log = run.log.as_ref();
    RunBehind {
        day: run.day.clone(),
        date: day.map(|day| day.date.clone()).unwrap_or_default(),
        at_s: run.at_s,
        edition: run.edition.unwrap_or_default(),
        specimen: run.specimen.clone(),
        pack_specimen: run.pack_specimen.clone(),
        bolt_use: run.bolt_use,
        set_aside: aside,
        torque_factor,
        peak_torque_nm: counted.measures.peak_nm,
        mean_torque_nm: counted.measures.mean_nm,
        early_torque_nm: counted.measures.early_nm,
        largest_sample_nm: counted.largest_nm,
        time_to_job_s: job.and_then(|job| counted.curve.time_to(job.required_nm, asked.window_s)),
        short: reduced.buildup.is(Flag::Short),
        no_quiet: reduced.buildup.is(Flag::NoQuiet),
        log_file: log.and_then(|log| log.file.clone()),
        log_sha256: log.and_then(|log| log.sha256.clone()),
    }
}

fn day_behind(
    results: &Results,
    asked: &Asked,
    index: usize,
    checks: &CheckRuns,
) -> Option<DayBehind> {
    let dataset = &results.dataset;
    let day = dataset.days.get(index)?;
    let calibration = asked.rig.calibration_on(&day.date);
    let corrections = torque_factors(&dataset.editions, &day.id, asked.edition);
    Some(DayBehind {
        day: day.id.clone(),
        date: day.date.clone(),
        ambient_c: day.ambient_c,
        operator: day.operator.clone(),
        note: day.note.clone(),
        calibrated: calibration.map(|calibration| calibration.date.clone()),
        expanded_uncertainty_percent: calibration
            .and_then(|calibration| calibration.expanded_uncertainty_percent),
        coverage_factor: calibration.map(|calibration| calibration.coverage_factor()),
        corrections: corrections
            .map(|made| DayCorrection {
                edition: made.edition,
                torque_factor: made.factor,
            })
            .collect(),
        suspect: checks.suspect(index),
    })
}

/// A pair's place in every edition, newest first, against that in the edition shown; none without a
/// job.
fn places(study: &Study, pair: (usize, usize)) -> Vec<PlaceInEdition> {
    let shown = study.asked().edition;
    let Ok(now) = study.answering() else {
        return Vec::new();
    };
    let place = |edition: &Edition| {
        let question = Question {
            edition: Some(edition.edition),
            ..study.question().clone()
        };
        let kept = study.kept();
        let then = Study::open(study.results, &question, Some(&kept)).ok()?;
        let then = then.answering().ok()?;
        let (rank, interval) = then.place_of(pair);
        let rank_of = then.places().of;
        let among_both = if edition.edition == shown {
            None
        } else {
            among_both(then, now, pair)
        };
        let both = among_both.and_then(|both| both.interval.zip(both.interval_shown));
        let (rank_low, rank_high) = interval.unzip();
        Some(PlaceInEdition {
            edition: edition.edition,
            date: edition.date.clone(),
            rank,
            rank_low,
            rank_high,
            rank_of: Some(rank_of),
            among_both,
            changed: both.map(|(then, now)| now.1 < then.0 || then.1 < now.0),
        })
    };
    let editions = study.results.dataset.editions.iter().rev();
    editions.filter_map(place).collect()
}

/// The places of a pair in two editions among the pairs that have a place in both: a pair that one of
/// them does not hold moves no place.
fn among_both(then: JobStudy, now: JobStudy, pair: (usize, usize)) -> Option<PlacesAmongBoth> {
    let (before, after) = (then.placed(), now.placed());
    // Both are in the order of the file's tools and packs.
    let is_in = |placed: &[(usize, usize)], pair| placed.binary_search(&pair).is_ok();
    let in_both = |pair| is_in(&before, pair) && is_in(&after, pair);
    let of = before.iter().filter(|&&pair| in_both(pair)).count();
    let (rank, interval) = then.place_among(pair, &in_both);
    let (rank_shown, interval_shown) = now.place_among(pair, &in_both);
    Some(PlacesAmongBoth {
        of: u32::try_from(of).ok()?,
        rank: rank?,
        rank_shown: rank_shown?,
        interval,
        interval_shown,
    })
}

fn check_behind(check: &FieldCheck, member: Option<&Member>, window_s: f64) -> CheckBehind {
    let combination = member.map(|member| &member.combination);
    let time_s = combination
        .zip(check.installed_nm)
        .and_then(|(combination, torque_nm)| combination.time_to(torque_nm, window_s));
    CheckBehind {
        date: check.date.clone(),
        fastener: check.fastener.clone(),
        state: check.state.clone(),
        installed_nm: check.installed_nm,
        came_loose: check.came_loose,
        tried_s: check.tried_s,
        typical_time_s: time_s,
        typical_end_nm: combination.map(|combination| combination.torque_at(window_s)),
    }
}
