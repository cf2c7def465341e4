//! How sure the figures of a field are: scatter of runs and of specimens, further tries, intervals.

use super::estimated::Estimated;
use super::{Field, Member, effects};
use crate::history::day_offsets::shown;
use crate::history::editions::is_corrected_by_checks;
use crate::query::resolved::{Asked, Job};
use crate::query::verdict::Verdict;
use crate::reach::{self, Prediction};
use crate::results::Results;
use crate::scatter::cells::Run;
use crate::scatter::effects::Effects;
use crate::scatter::run::RunScatter;
use crate::scatter::shares::Scatters;
use crate::scatter::{LEAST_NU, Scatter};
use crate::sort;

/// Nineteen of twenty.
const NINETEEN_OF_TWENTY: f64 = 0.95;

/// Nine in ten.
const NINE_IN_TEN: f64 = 0.90;

/// The scatters of a field.
#[derive(Debug)]
pub(crate) struct Uncertainty {
    /// Of specimens, pack specimens and days, once for every question, and what they rest on.
    pub effects: Effects,
    /// The same, for sums over runs.
    pub scatters: Scatters,
    /// Specimens of tools that were run beside the first of each.
    pub further_specimens: u32,
    /// Specimens of packs that were run beside the first of each.
    pub further_packs: u32,
    /// Of runs, at the window's end.
    end: RunScatter,
    /// Relative standard uncertainty of the calibration behind each member.
    calibrations: Vec<f64>,
}

/// What a job adds.
#[derive(Debug)]
pub(crate) struct JobUncertainty {
    /// Of runs, at each combination's typical time to the job, or the window's end.
    pub at_job: RunScatter,
    /// Of runs, when the visitor's patience ends.
    within: RunScatter,
}

/// Whether a job is within reach of a member, and how sure that is.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Reach {
    pub probability: f64,
    pub verdict: Verdict,
    /// By when nine in ten tries are there.
    pub time_nine_in_ten_s: Option<f64>,
    /// Scatter of the reach question's runs.
    pub run: Scatter,
}

impl Uncertainty {
    pub fn of(results: &Results, field: &Field, asked: &Asked) -> Self {
        let effects = effects::of(results, field, asked);
        let calibration = |member| calibration(results, member);
        Self {
            scatters: Scatters {
                corrected_days: corrected_days(results, field, asked, &effects),
                ..Scatters::of(&effects)
            },
            effects,
            further_specimens: further(field, |member, run| (member.tool, run.specimen)),
            further_packs: further(field, |member, run| (member.pack, run.pack)),
            end: field.scatter_at(&mut |_| field.window_s),
            calibrations: field.members.iter().map(calibration).collect(),
        }
    }

    /// Whether there are too few runs in the whole field to say anything of scatter.
    pub fn too_few(&self) -> bool {
        self.end.pooled.nu < LEAST_NU
    }

    /// How far the rig may read wrong by the calibration behind a member, in per cent (coverage factor 2);
    /// `None` if no calibration says. Of no member, by the largest of the field.
    pub fn rig_percent(&self, index: Option<usize>) -> Option<f64> {
        let calibration = match index {
            Some(index) => self.calibrations.get(index).copied(),
            None => self.calibrations.iter().copied().max_by(f64::total_cmp),
        };
        calibration
            .filter(|calibration| *calibration > 0.0)
            .map(|calibration| 200.0 * calibration)
    }

    /// A further try with another specimen of a member's tool and another of its pack, on another day,
    /// about a number with this run scatter; `calibration` is the relative standard uncertainty of the
    /// rig's.
    pub fn further(&self, run: Scatter, member: &Member, calibration: f64) -> Prediction {
        let shares = member.shares.of_further_try(member.tool);
        Prediction::further(&shares.terms(&self.scatters, |_| run), calibration)
    }

    /// As [`Uncertainty::further`], with the calibration of the member at `index`.
    fn further_calibrated(&self, run: Scatter, index: usize, member: &Member) -> Prediction {
        let calibration = self.calibrations.get(index).copied();
        self.further(run, member, calibration.unwrap_or_default())
    }

    /// The torque that 19 of 20 tries reach by the window's end, in N·m.
    pub fn torque_19_of_20_nm(&self, field: &Field, index: usize, member: &Member) -> Option<f64> {
        let margin = self
            .further_calibrated(self.end.of_tool(member.tool), index, member)
            .margin(NINETEEN_OF_TWENTY);
        (!self.too_few()).then(|| member.combination.torque_at(field.window_s) * libm::exp(-margin))
    }

    /// Whether a job is within reach of a member.
    pub fn reach(
        &self,
        field: &Field,
        index: usize,
        member: &Member,
        job: &Job,
        within_s: f64,
        at: &JobUncertainty,
    ) -> Option<Reach> {
        if self.too_few() {
            return None;
        }
        let combination = &member.combination;
        let run = at.within.of_tool(member.tool);
        let probability = self
            .further_calibrated(run, index, member)
            .probability(combination.torque_at(within_s), job.required_nm);
        let margin = self
            .further_calibrated(at.at_job.of_tool(member.tool), index, member)
            .margin(NINE_IN_TEN);
        Some(Reach {
            probability,
            verdict: verdict(probability),
            time_nine_in_ten_s: combination
                .time_to(job.required_nm * libm::exp(margin), field.window_s),
            run,
        })
    }

    /// A further try with a pair nobody ran.
    pub fn further_estimated(
        &self,
        run: Scatter,
        of: &Estimated,
        level: Scatter,
        calibration: f64,
    ) -> Prediction {
        let shares = of.pack_effect.of_further_try(of.tool);
        let terms = shares.terms(&self.scatters, |_| run);
        Prediction::further_estimated(&terms, level, calibration)
    }

    /// The largest relative standard uncertainty of the field's calibrations: that of pairs nobody ran.
    fn largest_calibration(&self) -> f64 {
        self.calibrations.iter().copied().fold(0.0, f64::max)
    }

    /// Whether a job is within reach of a pair nobody ran.
    pub fn reach_of_estimate(
        &self,
        estimated: &Estimated,
        required_nm: f64,
        at: &JobUncertainty,
    ) -> Reach {
        let run = at.within.of_tool(estimated.tool);
        let probability = self
            .further_estimated(
                run,
                estimated,
                estimated.within.scatter,
                self.largest_calibration(),
            )
            .probability(libm::exp(estimated.within.level), required_nm);
        Reach {
            probability,
            verdict: verdict(probability),
            time_nine_in_ten_s: None,
            run,
        }
    }

    /// The torque that 19 of 20 tries with a pair nobody ran reach by the window's end, in N·m.
    pub fn torque_19_of_20_of_estimate_nm(&self, estimated: &Estimated, window_s: f64) -> f64 {
        let run = self.end.of_tool(estimated.tool);
        let margin = self
            .further_estimated(run, estimated, estimated.end, self.largest_calibration())
            .margin(NINETEEN_OF_TWENTY);
        estimated.combination.torque_at(window_s) * libm::exp(-margin)
    }

    /// As [`Uncertainty::band`], of a pair nobody ran.
    pub fn band_of_estimate(&self, run: Scatter, estimated: &Estimated) -> f64 {
        self.further_estimated(run, estimated, estimated.end, 0.0)
            .margin(NINETEEN_OF_TWENTY)
    }

    /// Half-width, as a natural logarithm, of the 90 % prediction band around a member's typical curve,
    /// without the uncertainty of the calibration; `run` is the run scatter there.
    pub fn band(&self, run: Scatter, member: &Member) -> f64 {
        self.further(run, member, 0.0).margin(NINETEEN_OF_TWENTY)
    }

    /// The variance of the mean of a member's runs with this scatter, and its degrees of freedom.
    pub fn of_mean(&self, run: Scatter, member: &Member) -> Scatter {
        member.shares.terms(&self.scatters, |_| run).total()
    }
}

pub(crate) fn verdict(probability: f64) -> Verdict {
    match reach::Verdict::of(probability) {
        reach::Verdict::WithinReach => Verdict::WithinReach,
        reach::Verdict::Borderline => Verdict::Borderline,
        reach::Verdict::OutOfReach => Verdict::OutOfReach,
    }
}

impl JobUncertainty {
    pub fn of(field: &Field, job: &Job, within_s: f64) -> Self {
        let mut time = |member: &Member| {
            member
                .combination
                .time_to(job.required_nm, field.window_s)
                .unwrap_or(field.window_s)
        };
        Self {
            at_job: field.scatter_at(&mut time),
            within: field.scatter_at(&mut |_| within_s),
        }
    }
}

/// The days that the edition corrects by their check runs, each with the variance that is left of its
/// effect: s_d²(1 − λ), λ of the pair whose check runs show most of it.
fn corrected_days(
    results: &Results,
    field: &Field,
    asked: &Asked,
    effects: &Effects,
) -> Vec<(usize, f64)> {
    let (editions, of_days) = (&results.dataset.editions, effects.day.scatter.variance);
    let days = results.dataset.days.iter().enumerate();
    let corrected =
        days.filter(|(_, day)| is_corrected_by_checks(editions, &day.id, asked.edition));
    let left = |(index, _)| {
        let shown = field.checks.series.iter().filter_map(|series| {
            let own = series.days.iter().position(|day| *day == index)?;
            let runs = series.means.get(own)?.runs;
            Some(shown(of_days, series.run_variance?, runs))
        });
        (index, of_days * (1.0 - shown.fold(0.0, f64::max)))
    };
    corrected.map(left).collect()
}

/// How many specimens were run beside the first of each tool or pack; `of` gives the tool or pack of a
/// run, and its specimen.
fn further(field: &Field, of: impl Fn(&Member, &Run) -> (usize, usize)) -> u32 {
    let mut specimens: Vec<(usize, usize)> = Vec::new();
    for member in &field.members {
        specimens.extend(member.origins.iter().map(|run| of(member, run)));
    }
    sort::distinct(&mut specimens);
    let all = specimens.len();
    specimens.dedup_by_key(|(whose, _)| *whose);
    u32::try_from(all - specimens.len()).unwrap_or(u32::MAX)
}

/// Largest relative standard uncertainty of the calibrations in force on the days of a member's
/// counted runs: the latest not after each day. 0 with none in force.
fn calibration(results: &Results, member: &Member) -> f64 {
    let dataset = &results.dataset;
    let uncertainty = |index: &usize| {
        let run = results.runs.get(*index)?;
        let (rig, day) = (dataset.rigs.get(run.rig)?, dataset.days.get(run.day)?);
        let latest = rig.calibration_on(&day.date)?;
        Some(latest.expanded_uncertainty_percent? / latest.coverage_factor() / 100.0)
    };
    member
        .runs
        .iter()
        .filter_map(uncertainty)
        .fold(0.0, f64::max)
}
