//! The figures of a pair in an answer: of its runs, or of its estimate.

use super::data::PairFigures;
use crate::dataset::types::Dataset;
use crate::field::estimated::Estimated;
use crate::field::pair::{ToTorque, count};
use crate::field::{Field, Member};
use crate::pack::{LEAST_TRIGGER_S, energy_wh, jobs_per_charge};
use crate::query::resolved::Job;
use crate::query::verdict::Basis;
use crate::reach::is_still_rising;
use crate::results::Results;
use crate::typical::Combination;

impl PairFigures {
    /// Of a measured pair.
    pub(crate) fn measured(results: &Results, field: &Field, member: &Member, job: &Job) -> Self {
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
    pub(crate) fn estimated(field: &Field, estimated: &Estimated, job: &Job) -> Self {
        let (combination, window_s) = (&estimated.combination, field.window_s);
        Self {
            basis: Basis::Estimate,
            time_to_job_s: combination.time_to(job.required_nm, window_s),
            ..Self::typical(combination, window_s)
        }
        .of_runs_set_aside(field.set_aside((estimated.tool, estimated.pack)))
    }

    /// Of a pair without runs that count.
    pub(crate) fn not_run(set_aside: u32) -> Self {
        Self::default().of_runs_set_aside(set_aside)
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
            ..Self::default()
        }
    }
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
