//! The figures of one combination.

use super::estimated::Estimated;
use super::{Field, Member};
use crate::dataset::types::Dataset;
use crate::pack::{LEAST_TRIGGER_S, energy_wh, jobs_per_charge};
use crate::query::question::Score;
use crate::query::resolved::Job;
use crate::query::verdict::Basis;
use crate::ranking::order::Standing;
use crate::reach::is_still_rising;
use crate::results::Results;
use crate::run::LEAST_TIME_S;
use crate::typical::Combination;

/// What a combination does up to a torque.
pub(crate) struct ToTorque {
    pub time_s: Option<f64>,
    pub work_j: Option<f64>,
    pub average_power_w: Option<f64>,
    pub rise_rate_nm_per_s: f64,
    pub best_of_three_power_w: Option<f64>,
    pub best_of_three_rise_rate_nm_per_s: Option<f64>,
}

impl ToTorque {
    pub fn of(field: &Field, member: &Member, torque_nm: f64) -> Self {
        let (combination, joint, window_s) =
            (&member.combination, field.joint.as_ref(), field.window_s);
        let time_s = combination.time_to(torque_nm, window_s);
        let work_j = time_s.and_then(|_| combination.work_to_j(torque_nm, joint, window_s));
        let average_power_w = match time_s {
            Some(time_s) => work_j.map(|work_j| work_j / time_s.max(LEAST_TIME_S)),
            None => combination.has_work(joint).then_some(0.0),
        };
        let has_power = combination
            .runs()
            .all(|run| run.power_to_w(torque_nm, joint, window_s).is_some());
        let power = |run: &crate::typical::Counted| {
            run.power_to_w(torque_nm, joint, window_s)
                .unwrap_or_default()
        };
        Self {
            time_s,
            work_j,
            average_power_w,
            rise_rate_nm_per_s: time_s.map_or(0.0, |time_s| torque_nm / time_s.max(LEAST_TIME_S)),
            best_of_three_power_w: combination.best_of_three(&power).filter(|_| has_power),
            best_of_three_rise_rate_nm_per_s: combination
                .best_of_three(&|run| run.rise_rate_to(torque_nm, window_s)),
        }
    }
}

/// What a combination is ranked by for a job.
pub(crate) fn standing(field: &Field, member: &Member, job: &Job, score: Score) -> Standing {
    let combination = &member.combination;
    match score {
        Score::Typical => typical_standing(combination, field.window_s, job.required_nm),
        Score::BestOfThree => match best_of_three(field, member, job.required_nm) {
            None => Standing::None,
            Some(score) if score.value > 0.0 => Standing::Score(score.value),
            Some(_) => Standing::Short(combination.torque_at(field.window_s)),
        },
    }
}

/// What a typical curve is ranked by for a needed torque.
pub(crate) fn typical_standing(
    combination: &Combination,
    window_s: f64,
    required_nm: f64,
) -> Standing {
    combination.time_to(required_nm, window_s).map_or_else(
        || Standing::Short(combination.torque_at(window_s)),
        Standing::Time,
    )
}

/// A best-of-three score: average power in W, or the rise rate in N·m/s in a field where that of
/// every combination is not known.
pub(crate) struct BestOfThree {
    /// The score; 0 if no run reaches the torque.
    pub value: f64,
    by_power: bool,
}

/// The best-of-three score to a torque; `None` with too few runs.
pub(crate) fn best_of_three(field: &Field, member: &Member, torque_nm: f64) -> Option<BestOfThree> {
    let (joint, window_s, by_power) = (field.joint.as_ref(), field.window_s, field.scored_by_power);
    let value = member.combination.best_of_three(&|run| {
        if by_power {
            run.power_to_w(torque_nm, joint, window_s)
                .unwrap_or_default()
        } else {
            run.rise_rate_to(torque_nm, window_s)
        }
    })?;
    Some(BestOfThree { value, by_power })
}

impl BestOfThree {
    /// When the torque is reached, as the score says, in s.
    pub fn time_s(&self, field: &Field, member: &Member, torque_nm: f64) -> f64 {
        let work = || {
            member
                .combination
                .work_to_j(torque_nm, field.joint.as_ref(), field.window_s)
        };
        let numerator = if self.by_power {
            work().unwrap_or_default()
        } else {
            torque_nm
        };
        numerator / self.value
    }
}

/// The figures of a pair's runs, or of its estimate.
pub(crate) struct OfPair {
    pub basis: Basis,
    pub peak_torque_nm: Option<f64>,
    pub largest_sample_nm: Option<f64>,
    pub mean_torque_nm: Option<f64>,
    pub early_torque_nm: Option<f64>,
    pub typical_end_nm: Option<f64>,
    pub still_rising: Option<bool>,
    pub time_to_job_s: Option<f64>,
    pub work_j: Option<f64>,
    pub average_power_w: Option<f64>,
    pub rise_rate_nm_per_s: Option<f64>,
    pub best_of_three_power_w: Option<f64>,
    pub best_of_three_rise_rate_nm_per_s: Option<f64>,
    pub runs_used: Option<u32>,
    pub runs_excluded: Option<u32>,
    pub specimens: Option<u32>,
    pub jobs_per_charge: Option<u32>,
}

impl OfPair {
    /// Of several pairs.
    pub const NONE: Self = Self {
        basis: Basis::None,
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
        runs_used: None,
        runs_excluded: None,
        specimens: None,
        jobs_per_charge: None,
    };

    /// Of a measured pair.
    pub fn measured(results: &Results, field: &Field, member: &Member, job: &Job) -> Self {
        let combination = &member.combination;
        let to = ToTorque::of(field, member, job.required_nm);
        Self {
            basis: Basis::Measured,
            peak_torque_nm: Some(combination.peak_nm()),
            largest_sample_nm: Some(combination.largest_nm()),
            time_to_job_s: to.time_s,
            work_j: to.work_j,
            average_power_w: to.average_power_w,
            rise_rate_nm_per_s: Some(to.rise_rate_nm_per_s),
            best_of_three_power_w: to.best_of_three_power_w,
            best_of_three_rise_rate_nm_per_s: to.best_of_three_rise_rate_nm_per_s,
            runs_used: count(combination.runs().count()),
            runs_excluded: Some(member.set_aside),
            specimens: count(combination.specimen_count()),
            jobs_per_charge: jobs(results, member, to.time_s),
            ..Self::typical(combination, field.window_s)
        }
    }

    /// Of an estimated pair.
    pub fn estimated(field: &Field, estimated: &Estimated, job: &Job) -> Self {
        let (combination, window_s) = (&estimated.combination, field.window_s);
        Self {
            basis: Basis::Estimate,
            time_to_job_s: combination.time_to(job.required_nm, window_s),
            ..Self::typical(combination, window_s)
        }
        .of_runs_set_aside(field.set_aside((estimated.tool, estimated.pack)))
    }

    /// Of a pair without runs that count.
    pub fn not_run(set_aside: u32) -> Self {
        Self::NONE.of_runs_set_aside(set_aside)
    }

    fn of_runs_set_aside(self, set_aside: u32) -> Self {
        Self {
            runs_used: Some(0),
            runs_excluded: Some(set_aside),
            specimens: Some(0),
            ..self
        }
    }

    /// What every typical curve shows.
    fn typical(combination: &Combination, window_s: f64) -> Self {
        let end_nm = combination.torque_at(window_s);
        let before_nm = combination.torque_at(0.9 * window_s);
        Self {
            mean_torque_nm: Some(combination.mean_nm()),
            early_torque_nm: Some(combination.early_nm()),
            typical_end_nm: Some(end_nm),
            still_rising: Some(is_still_rising(before_nm, end_nm)),
            ..Self::NONE
        }
    }
}

pub(crate) fn count(number: usize) -> Option<u32> {
    u32::try_from(number).ok()
}

/// How long each job counts at least at the trigger, in s.
pub(crate) fn least_trigger_s(dataset: &Dataset) -> f64 {
    dataset.least_trigger_s.unwrap_or(LEAST_TRIGGER_S)
}

fn jobs(results: &Results, member: &Member, time_to_job_s: Option<f64>) -> Option<u32> {
    let least_trigger_s = least_trigger_s(&results.dataset);
    let pack = results.dataset.packs.get(member.pack)?;
    let energies: Vec<(f64, f64)> = member
        .combination
        .runs()
        .filter_map(|run| Some((run.buildup.energy_mj? as f64 / 1000.0, run.curve.end_s())))
        .collect();
    let charge = energy_wh(pack.nominal_v?, pack.capacity_ah?);
    jobs_per_charge(charge, &energies, time_to_job_s?, least_trigger_s)
}
