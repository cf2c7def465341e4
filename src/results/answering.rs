//! One question answered: a pair, or the list of pairs that match.

mod among;

use super::asked::{Asked, Job};
use super::estimates::{Estimated, Estimates};
use super::field::{Field, FieldOf, Member};
use super::intervals::{self, Interval};
use super::uncertainty::{JobUncertainty, Uncertainty, scatter_at};
use super::{Results, checks, figures, setups, stock, warnings};
use crate::ask::answer::{Answer, Basis, Verdict};
use crate::ask::setups::SetupCost;
use crate::pack::LEAST_TRIGGER_S;
use crate::ranking::order::{Order, order};
use crate::scatter::Scatter;
use crate::typical::Combination;
use crate::words;
use crate::words::answer::Wording;
use crate::words::setups::OtherSetup;
use crate::words::sure::{Others, Source};
use std::cell::OnceCell;
use std::sync::Arc;

/// The band of a curve is told at this many steps of the window.
const BAND_STEPS: u32 = 50;

/// A question about a job, with the field that answers it and everyone's place in it.
pub(super) struct Answering<'a, 'q> {
    results: &'a Results,
    asked: &'q Asked,
    job: &'q Job,
    pub field: Field,
    places: OnceCell<Order>,
    pub uncertainty: Uncertainty,
    at: OnceCell<JobUncertainty>,
    estimates: OnceCell<Option<Estimates>>,
    setup_costs: OnceCell<Arc<Vec<SetupCost>>>,
    run_in_standard: OnceCell<Vec<(usize, usize)>>,
}

impl<'a, 'q> Answering<'a, 'q> {
    pub fn new(results: &'a Results, asked: &'q Asked, job: &'q Job) -> Self {
        let field = Field::of(results, asked);
        Self {
            results,
            asked,
            job,
            places: OnceCell::new(),
            uncertainty: Uncertainty::of(results, &field, asked.rig.unit_to_unit_percent),
            at: OnceCell::new(),
            estimates: OnceCell::new(),
            setup_costs: OnceCell::new(),
            run_in_standard: OnceCell::new(),
            field,
        }
    }

    /// Everyone's place in the field.
    pub fn places(&self) -> &Order {
        self.places.get_or_init(|| self.order())
    }

    fn order(&self) -> Order {
        let standing = |member| figures::standing(&self.field, member, self.job, self.asked.score);
        order(&self.field.members.iter().map(standing).collect::<Vec<_>>())
    }

    fn at(&self) -> &JobUncertainty {
        let at = || JobUncertainty::of(&self.field, self.job, self.asked.within_s);
        self.at.get_or_init(at)
    }

    fn intervals(&self) -> Arc<Vec<Interval>> {
        let places = self.places();
        let wanted = intervals::ForJob::of(self.asked, self.job);
        let kept = &self.results.intervals;
        kept.of(wanted, || self.intervals_of(places))
    }

    fn intervals_of(&self, places: &Order) -> Vec<Interval> {
        let (field, score) = (&self.field, self.asked.score);
        intervals::for_job(field, self.job, score, places, &self.uncertainty, self.at())
    }

    /// The members asked for, in rank order, each with its place in the field.
    pub fn matching(&self) -> impl Iterator<Item = (usize, &Member)> {
        let ranked = self.places().best_first.iter();
        ranked
            .filter_map(|&place| Some((place, self.field.members.get(place)?)))
            .filter(|(_, member)| self.asked.matches(member.tool, member.pack))
    }

    /// The answer for one pair.
    pub fn pair(&self, tool: usize, pack: usize) -> Answer {
        let mut answer = match self.matching().next() {
            Some((place, member)) => self.measured(place, member, &self.intervals()),
            None => self.not_run(tool, pack),
        };
        answer.setup_costs = self.setup_costs().to_vec();
        answer
    }

    fn measured(&self, place: usize, member: &Member, intervals: &[Interval]) -> Answer {
        let mut answer = self.head(Some(member.tool), Some(member.pack));
        figures::fill(&mut answer, &self.field, member, self.results);
        answer.rank = self.places().ranks.get(place).copied().flatten();
        answer.rank_of = Some(self.places().of);
        (answer.rank_low, answer.rank_high) = intervals.get(place).copied().flatten().unzip();
        self.judge(&mut answer, place, member);
        answer.warnings = warnings::of_member(
            self.results,
            &self.field,
            member,
            self.job,
            self.asked.edition,
            Some(self.others())
                .filter(Others::are_known)
                .map(|others| others.percent),
        );
        answer
            .warnings
            .extend(warnings::of_field(self.results, self.asked));
        self.wording(0)
            .measured(&mut answer, self.uncertainty.rig_percent(Some(place)));
        answer
    }

    /// Fills in how sure a measured pair's answer is, and the verdict.
    fn judge(&self, answer: &mut Answer, place: usize, member: &Member) {
        let (field, uncertainty) = (&self.field, &self.uncertainty);
        let reach = uncertainty.reach(
            field,
            place,
            member,
            self.job,
            self.asked.within_s,
            self.at(),
        );
        answer.verdict = Some(reach.map_or(Verdict::TooFewRuns, |reach| reach.verdict));
        answer.reach_probability = reach.map(|reach| reach.probability);
        answer.time_nine_in_ten_s = reach.and_then(|reach| reach.time_nine_in_ten_s);
        answer.torque_19_of_20_nm = uncertainty.torque_19_of_20_nm(field, place, member);
        answer.run_scatter_percent = reach.map(|reach| 100.0 * reach.run.variance.sqrt());
        let specimen = uncertainty.specimen.scatter.variance;
        answer.unit_scatter_percent = reach.map(|_| 100.0 * specimen.sqrt());
    }

    /// The field's estimates, worked out when they are first asked for.
    fn estimates(&self) -> Option<&Estimates> {
        let estimates = || Estimates::of(&self.field, &self.uncertainty, self.asked.within_s);
        self.estimates.get_or_init(estimates).as_ref()
    }

    /// The estimate of a pair, if nobody ran it.
    pub fn estimate(&self, (tool, pack): (usize, usize)) -> Option<Estimated> {
        let is_it = |member: &Member| (member.tool, member.pack) == (tool, pack);
        if self.field.members.iter().any(is_it) {
            return None;
        }
        self.estimates()?.pair(&self.field, tool, pack)
    }

    /// The answer for a pair nobody ran: an estimate, or that there is none.
    fn not_run(&self, tool: usize, pack: usize) -> Answer {
        let estimated = self.estimates().and_then(|estimates| {
            Some((
                estimates.pair(&self.field, tool, pack)?,
                estimates.off_by_percent(),
            ))
        });
        match estimated {
            Some((estimated, off_by_percent)) => self.estimated(&estimated, off_by_percent),
            None => {
                let mut answer = self.without_runs(tool, pack);
                self.wording_of_not_run(tool, pack)
                    .not_measured(&mut answer);
                answer
            }
        }
    }

    fn without_runs(&self, tool: usize, pack: usize) -> Answer {
        let mut answer = self.head(Some(tool), Some(pack));
        answer.runs_used = Some(0);
        answer.runs_excluded = Some(self.field.set_aside((tool, pack)));
        answer.specimens = Some(0);
        answer.rank_of = Some(self.places().of);
        answer.warnings = warnings::of_field(self.results, self.asked);
        answer
    }

    fn estimated(&self, estimated: &Estimated, off_by_percent: f64) -> Answer {
        let (uncertainty, window_s) = (&self.uncertainty, self.field.window_s);
        let mut answer = self.without_runs(estimated.tool, estimated.pack);
        figures::fill_estimate(&mut answer, &estimated.combination);
        let reach = uncertainty.reach_of_estimate(estimated, self.job.required_nm, self.at());
        answer.verdict = Some(reach.verdict);
        answer.reach_probability = Some(reach.probability);
        answer.torque_19_of_20_nm =
            Some(uncertainty.torque_19_of_20_of_estimate_nm(estimated, window_s));
        answer.run_scatter_percent = Some(100.0 * reach.run.variance.sqrt());
        answer.unit_scatter_percent = Some(100.0 * uncertainty.specimen.scatter.variance.sqrt());
        self.wording_of_not_run(estimated.tool, estimated.pack)
            .estimated(&mut answer, off_by_percent, uncertainty.rig_percent(None));
        answer
    }

    /// The answers for the pairs asked for that nobody ran, best first by their typical curves.
    fn estimated_list(&self) -> Vec<Answer> {
        let Some(estimates) = self.estimates() else {
            return Vec::new();
        };
        let all = estimates.all(&self.field, self.asked);
        let standing = |one: &Estimated| {
            figures::typical_standing(&one.combination, self.field.window_s, self.job.required_nm)
        };
        let order = order(&all.iter().map(standing).collect::<Vec<_>>());
        let best_first = order.best_first.iter().filter_map(|&place| all.get(place));
        best_first
            .map(|one| self.estimated(one, estimates.off_by_percent()))
            .collect()
    }

    /// The band that 90 of 100 tries of the pair asked for stay in about its typical curve: time in
    /// s, lower and upper torque in N·m. Empty where no single pair is asked for, or there are too
    /// few runs to say.
    pub fn band(&self) -> Vec<(f64, f64, f64)> {
        let single = self.asked.tool.is_some() && self.asked.pack.is_some();
        let Some((_, member)) = self.matching().next().filter(|_| single) else {
            return Vec::new();
        };
        if self.uncertainty.too_few() {
            return Vec::new();
        }
        self.band_about(&member.combination, member.tool, |run| {
            self.uncertainty.band(run, member)
        })
    }

    /// As [`Answering::band`], about an estimate.
    pub fn band_of_estimate(&self, estimated: &Estimated) -> Vec<(f64, f64, f64)> {
        self.band_about(&estimated.combination, estimated.tool, |run| {
            self.uncertainty.band_of_estimate(run, estimated)
        })
    }

    /// A band about a typical curve; `half` is half its width with a run scatter of its tool.
    fn band_about(
        &self,
        combination: &Combination,
        tool: usize,
        half: impl Fn(Scatter) -> f64,
    ) -> Vec<(f64, f64, f64)> {
        let window_s = self.field.window_s;
        let time_s = |step: u32| window_s * f64::from(step) / f64::from(BAND_STEPS);
        let scatter = self.results.band_scatter.of(FieldOf::of(self.asked), || {
            let scatter = |step| scatter_at(&self.field, |_| time_s(step));
            (0..=BAND_STEPS).map(scatter).collect()
        });
        (0..=BAND_STEPS)
            .zip(scatter.iter())
            .map(|(step, scatter)| {
                let time_s = time_s(step);
                let factor = libm::exp(half(scatter.of_tool(tool)));
                let typical_nm = combination.torque_at(time_s);
                (time_s, typical_nm / factor, typical_nm * factor)
            })
            .collect()
    }

    /// The list of every pair that matches.
    pub fn list(&self) -> Answer {
        let mut answer = self.head(self.asked.tool, self.asked.pack);
        let intervals = self.intervals();
        let mut list: Vec<Answer> = self
            .matching()
            .map(|(place, member)| self.measured(place, member, &intervals))
            .collect();
        answer.of = u32::try_from(list.len()).ok();
        answer.reach_count =
            u32::try_from(list.iter().filter(|answer| in_reach(answer)).count()).ok();
        answer.rank_of = Some(self.places().of);
        answer.warnings = warnings::of_field(self.results, self.asked);
        let lightest = self
            .matching()
            .zip(&list)
            .filter(|(_, answer)| in_reach(answer))
            .filter_map(|((_, member), answer)| {
                let mass_kg = stock::mass_kg(self.results, member.tool, member.pack)?;
                Some((answer.label.clone(), mass_kg))
            })
            .min_by(|a, b| a.1.total_cmp(&b.1));
        self.wording(self.only_standard())
            .list(&mut answer, &list, lightest);
        list.extend(self.estimated_list());
        answer.list = Some(list);
        answer.setup_costs = self.setup_costs().to_vec();
        answer
    }

    /// How much tools of one model are taken to differ, and why.
    fn others(&self) -> Others {
        let Uncertainty { specimen, .. } = &self.uncertainty;
        Others {
            percent: 100.0 * specimen.scatter.variance.sqrt(),
            source: match (specimen.measured, self.asked.rig.unit_to_unit_percent) {
                (true, _) => Source::Specimens(self.uncertainty.further_specimens),
                (false, Some(_)) => Source::Beforehand,
                (false, None) => Source::Runs,
            },
        }
    }

    /// The pairs that were run in the file's first setup.
    fn run_in_standard(&self) -> &[(usize, usize)] {
        let run = || setups::run_in_standard(self.results, self.asked);
        self.run_in_standard.get_or_init(run)
    }

    /// How many of the pairs asked for were run in the file's first setup and not in the one asked for.
    fn only_standard(&self) -> u64 {
        if self.asked.setup_place == 0 {
            return 0;
        }
        let here = |pair: &(usize, usize)| {
            let members = &self.field.members;
            let found = members.binary_search_by_key(pair, |member| (member.tool, member.pack));
            found.is_ok()
        };
        let asked = |&&(tool, pack): &&(usize, usize)| self.asked.matches(tool, pack);
        let only = self.run_in_standard().iter().filter(asked);
        only.filter(|pair| !here(pair)).count() as u64
    }

    fn wording_of_not_run(&self, tool: usize, pack: usize) -> Wording<'_> {
        let other = self.asked.setup_place != 0;
        let run = other && self.run_in_standard().binary_search(&(tool, pack)).is_ok();
        self.wording(u64::from(run))
    }

    /// `only_standard` of the pairs it speaks of were run in the file's first setup only.
    fn wording(&self, only_standard: u64) -> Wording<'_> {
        let setup = &self.asked.setup;
        let extended = setups::is_extended(setup);
        let standard = self.results.dataset.setups.first();
        let standard = standard.filter(|_| self.asked.setup_place != 0);
        Wording {
            catalogue: &self.results.catalogue,
            needed: self.job.needed,
            range_nm: self.job.range_nm,
            trigger_stated: self.results.dataset.least_trigger_s.is_some(),
            others: self.others(),
            extended,
            loss_unknown: extended && self.field.members.is_empty(),
            other_setup: standard.map(|standard| OtherSetup {
                name: &setup.name,
                standard: &standard.name,
                only_standard,
            }),
            setup_costs: self.setup_costs(),
            full_packs_c: self.field.ambient_c.filter(|_| {
                self.asked.setup_place == 0 && setup.start_charge_percent == Some(100.0)
            }),
        }
    }

    fn setup_costs(&self) -> &[SetupCost] {
        let (field, uncertainty) = (&self.field, &self.uncertainty);
        self.setup_costs.get_or_init(|| {
            let costs = || setups::costs(self.results, self.asked, field, uncertainty);
            let kept = &self.results.setup_costs;
            kept.of(FieldOf::of(self.asked), costs)
        })
    }

    /// An answer with the question in it and no figures yet.
    fn head(&self, tool: Option<usize>, pack: Option<usize>) -> Answer {
        let (asked, job) = (self.asked, self.job);
        let (dataset, catalogue) = (&self.results.dataset, &self.results.catalogue);
        let near = tool.map(|tool| checks::near(self.results, tool, pack, job));
        let tool = tool.and_then(|tool| dataset.tools.get(tool));
        let pack = pack.and_then(|pack| dataset.packs.get(pack));
        Answer {
            basis: Basis::None,
            verdict: None,
            tool: tool.map(|tool| tool.id.clone()),
            pack: pack.map(|pack| pack.id.clone()),
            rig: asked.rig.id.clone(),
            setup: asked.setup.id.clone(),
            edition: asked.edition,
            newest_edition: self.results.newest_edition(),
            invented: dataset.invented.unwrap_or(false),
            fits: tool
                .zip(pack)
                .map(|(tool, pack)| tool.pack_mount == pack.pack_mount),
            job: job.id.clone(),
            bolt: job.bolt.clone(),
            direction: job.direction,
            score: asked.score,
            units: job.needed.unit,
            job_torque: words::job_torque_number(
                catalogue,
                &job.range_nm
                    .map_or_else(|| vec![job.torque_nm], |(low, high)| vec![low, high]),
                job.needed.unit,
            ),
            job_torque_nm: job.torque_nm,
            condition_factor: job.condition,
            loss_percent: job.loss_percent,
            required_torque_nm: job.required_nm,
            window_s: asked.window_s,
            within_s: asked.within_s,
            peak_torque_nm: None,
            largest_sample_nm: None,
            mean_torque_nm: None,
            early_torque_nm: None,
            typical_end_nm: None,
            still_rising: None,
            time_to_job_s: None,
            work_j: None,
            average_power_w: None,
            rise_rate_nm_per_s: None,
            best_of_three_power_w: None,
            best_of_three_rise_rate_nm_per_s: None,
            torque_19_of_20_nm: None,
            reach_probability: None,
            time_nine_in_ten_s: None,
            rank: None,
            rank_low: None,
            rank_high: None,
            rank_of: None,
            runs_used: None,
            runs_excluded: None,
            specimens: None,
            run_scatter_percent: None,
            unit_scatter_percent: None,
            jobs_per_charge: None,
            least_trigger_s: dataset.least_trigger_s.unwrap_or(LEAST_TRIGGER_S),
            field_checks: near.unwrap_or_default(),
            warnings: Vec::new(),
            sentence: String::new(),
            label: words::pair(
                catalogue,
                tool.map(|tool| tool.name.as_str()),
                pack.map(|pack| pack.name.as_str()),
            ),
            notice: words::notice(catalogue, dataset),
            before: Vec::new(),
            headline: String::new(),
            checks: Vec::new(),
            lines: Vec::new(),
            stressed: Vec::new(),
            further: Vec::new(),
            cautions: Vec::new(),
            kept: Vec::new(),
            asides: Vec::new(),
            sure: Vec::new(),
            reminders: Vec::new(),
            caution: job.caution,
            setup_costs: Vec::new(),
            list: None,
            of: None,
            reach_count: None,
        }
    }
}

/// Whether a measured pair has the job within reach.
fn in_reach(answer: &Answer) -> bool {
    let in_time = |time_s: f64| time_s <= answer.within_s;
    let reaches = answer.time_to_job_s.is_some_and(in_time);
    answer
        .verdict
        .is_some_and(|verdict| verdict.counts(reaches))
}
