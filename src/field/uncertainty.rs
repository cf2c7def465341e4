//! How sure the figures of a field are: scatter of runs and of specimens, further tries, intervals.

use super::estimated::Estimated;
use super::{Field, Member};
use crate::query::resolved::Job;
use crate::query::verdict::Verdict;
use crate::reach::{self, Prediction};
use crate::results::Results;
use crate::scatter::difference::Mean;
use crate::scatter::run::RunScatter;
use crate::scatter::specimen::SpecimenScatter;
use crate::scatter::{LEAST_NU, Scatter};
use crate::sort;
use crate::typical::Counted;

/// Nineteen of twenty.
const NINETEEN_OF_TWENTY: f64 = 0.95;

/// Nine in ten.
const NINE_IN_TEN: f64 = 0.90;

/// The scatters of a field.
#[derive(Debug)]
pub(crate) struct Uncertainty {
    /// Of specimens, once for every question.
    pub specimen: SpecimenScatter,
    /// Specimens that were run beside the first of each tool.
    pub further_specimens: u32,
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
    pub fn of(results: &Results, field: &Field, unit_to_unit_percent: Option<f64>) -> Self {
        let means: Vec<Vec<Vec<f64>>> = field
            .members
            .iter()
            .map(|member| member.combination.log_values(&|run| run.measures.mean_nm))
            .collect();
        let pooled = run_scatter(field, &means).pooled;
        let further_specimens = further_specimens(field);
        let tool_df = f64::from(further_specimens);
        let beforehand =
            unit_to_unit_percent.map_or(pooled.variance.sqrt(), |percent| percent / 100.0);
        Self {
            specimen: SpecimenScatter::of(&means, pooled.variance, tool_df, beforehand),
            further_specimens,
            end: scatter_at(field, |_| field.window_s),
            calibrations: field
                .members
                .iter()
                .map(|member| calibration(results, member))
                .collect(),
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

    /// A further try on another specimen of a member's tool, about a number with this run scatter.
    fn further(&self, run: Scatter, index: usize, member: &Member) -> Prediction {
        let combination = &member.combination;
        let specimens = combination.specimen_count() as f64;
        let calibration = self.calibrations.get(index).copied().unwrap_or_default();
        Prediction::new(
            self.specimen.scatter,
            run,
            specimens,
            combination.share(),
            calibration,
        )
    }

    /// The torque that 19 of 20 tries reach by the window's end, in N·m.
    pub fn torque_19_of_20_nm(&self, field: &Field, index: usize, member: &Member) -> Option<f64> {
        let margin = self
            .further(self.end.of_tool(member.tool), index, member)
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
            .further(run, index, member)
            .probability(combination.torque_at(within_s), job.required_nm);
        let margin = self
            .further(at.at_job.of_tool(member.tool), index, member)
            .margin(NINE_IN_TEN);
        Some(Reach {
            probability,
            verdict: verdict(probability),
            time_nine_in_ten_s: combination
                .time_to(job.required_nm * libm::exp(margin), field.window_s),
            run,
        })
    }

    /// A further try with a pair nobody ran. The rig's calibration is the largest of the field's.
    fn further_estimated(&self, run: Scatter, level: Scatter) -> Prediction {
        let calibration = self.calibrations.iter().copied().fold(0.0, f64::max);
        Prediction::estimated(self.specimen.scatter, run, level, calibration)
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
            .further_estimated(run, estimated.within.scatter)
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
            .further_estimated(run, estimated.end)
            .margin(NINETEEN_OF_TWENTY);
        estimated.combination.torque_at(window_s) * libm::exp(-margin)
    }

    /// As [`Uncertainty::band`], of a pair nobody ran.
    pub fn band_of_estimate(&self, run: Scatter, estimated: &Estimated) -> f64 {
        Prediction::estimated(self.specimen.scatter, run, estimated.end, 0.0)
            .margin(NINETEEN_OF_TWENTY)
    }

    /// Half-width, as a natural logarithm, of the 90 % prediction band around a member's typical curve,
    /// without the uncertainty of the calibration; `run` is the run scatter there.
    pub fn band(&self, run: Scatter, member: &Member) -> f64 {
        let combination = &member.combination;
        let specimens = combination.specimen_count() as f64;
        Prediction::new(
            self.specimen.scatter,
            run,
            specimens,
            combination.share(),
            0.0,
        )
        .margin(NINETEEN_OF_TWENTY)
    }

    /// A further try with a member, without the uncertainty of the calibration, which is behind whatever
    /// else was read on the same rig.
    pub fn further_without_calibration(&self, run: Scatter, member: &Member) -> Prediction {
        let combination = &member.combination;
        let specimens = combination.specimen_count() as f64;
        let (specimen, share) = (self.specimen.scatter, combination.share());
        Prediction::new(specimen, run, specimens, share, 0.0)
    }

    /// As [`Uncertainty::further_without_calibration`], with a pair nobody ran, about an estimated level.
    pub fn further_estimated_without_calibration(
        &self,
        run: Scatter,
        level: Scatter,
    ) -> Prediction {
        Prediction::estimated(self.specimen.scatter, run, level, 0.0)
    }

    /// Standard error of the mean of a member's runs with this scatter.
    pub fn standard_error(&self, run: Scatter, member: &Member) -> f64 {
        let combination = &member.combination;
        let specimens = combination.specimen_count() as f64;
        (self.specimen.scatter.variance / specimens + run.variance * combination.share()).sqrt()
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
        let time = |member: &Member| {
            member
                .combination
                .time_to(job.required_nm, field.window_s)
                .unwrap_or(field.window_s)
        };
        Self {
            at_job: scatter_at(field, time),
            within: scatter_at(field, |_| within_s),
        }
    }
}

/// Run scatter of ln H at a time that each member has of its own.
pub(crate) fn scatter_at(field: &Field, time_s: impl Fn(&Member) -> f64) -> RunScatter {
    let values: Vec<Vec<Vec<f64>>> = field
        .members
        .iter()
        .map(|member| {
            let time_s = time_s(member);
            member
                .combination
                .log_values(&|run| run.curve.torque_at(time_s))
        })
        .collect();
    run_scatter(field, &values)
}

/// Run scatter of the logarithm of a measure.
pub(crate) fn scatter_of(field: &Field, measure_nm: impl Fn(&Counted) -> f64) -> RunScatter {
    let values: Vec<Vec<Vec<f64>>> = field
        .members
        .iter()
        .map(|member| member.combination.log_values(&measure_nm))
        .collect();
    run_scatter(field, &values)
}

fn run_scatter(field: &Field, values: &[Vec<Vec<f64>>]) -> RunScatter {
    let tools = field.members.iter().map(|member| member.tool);
    RunScatter::of(tools.zip(values.iter().map(Vec::as_slice)))
}

/// Sum over tools of the specimens that were run, less one each; not counted again for each pack.
fn further_specimens(field: &Field) -> u32 {
    let mut tools: Vec<usize> = field.members.iter().map(|member| member.tool).collect();
    let mut specimens: Vec<(usize, Option<&str>)> = Vec::new();
    for member in &field.members {
        specimens.extend(
            member
                .specimens
                .iter()
                .map(|own| (member.tool, own.as_deref())),
        );
    }
    sort::distinct(&mut tools);
    sort::distinct(&mut specimens);
    u32::try_from(specimens.len() - tools.len()).unwrap_or(u32::MAX)
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

/// The mean of a member, given as its logarithm, about which its runs have this scatter.
pub(crate) fn mean_of(member: &Member, run: &RunScatter, log: f64) -> Mean {
    Mean {
        log,
        run: run.of_tool(member.tool),
        share: member.combination.share(),
        specimens: member.specimens.len(),
    }
}
