//! The figures of a pair, of its runs or of its estimate: declared and worked out here for the answer
//! and for the table, whose cells and exports follow from their names.

use super::estimated::Estimated;
use super::pair::{ToTorque, count};
use super::{Field, Member};
use crate::dataset::types::Dataset;
use crate::pack::{LEAST_TRIGGER_S, energy_wh, jobs_per_charge};
use crate::query::resolved::Job;
use crate::query::verdict::Basis;
use crate::reach::is_still_rising;
use crate::results::Results;
use crate::typical::Combination;
use serde::Serialize;

/// Hands the figures of a pair, in the order of JSON and CSV, to a macro that declares a type with them,
/// behind what is given to it.
macro_rules! with_pair_figures {
    ($declare:ident { $($given:tt)* }) => {
        $declare! {
            $($given)*
            pair {
                /// What the figures rest on.
                basis: Basis,
                /// Typical peak torque in N·m; `null` for an estimate.
                peak_torque_nm: Option<f64>,
                /// Largest sample of the counted runs in N·m; `null` for an estimate.
                largest_sample_nm: Option<f64>,
                /// Typical mean torque over the window in N·m.
                mean_torque_nm: Option<f64>,
                /// Typical torque at one second in N·m.
                early_torque_nm: Option<f64>,
                /// The typical curve at the window's end in N·m.
                typical_end_nm: Option<f64>,
                /// Whether the typical curve gains more than 1 % in the last tenth of the window.
                still_rising: Option<bool>,
                /// The typical curve's time to the required torque in s; `null` if not reached or
                /// without a job.
                time_to_job_s: Option<f64>,
                /// Work to the required torque in J; `null` if not reached, without a job or an angle.
                work_j: Option<f64>,
                /// Average power to the required torque in W; 0 if not reached, `null` without a job
                /// or an angle.
                average_power_w: Option<f64>,
                /// Rise rate to the required torque in N·m/s; 0 if not reached.
                rise_rate_nm_per_s: Option<f64>,
                /// Best of three by average power in W.
                best_of_three_power_w: Option<f64>,
                /// Best of three by rise rate in N·m/s.
                best_of_three_rise_rate_nm_per_s: Option<f64>,
                /// Counted runs.
                runs_used: Option<u32>,
                /// Runs set aside.
                runs_excluded: Option<u32>,
                /// Specimens of the tool with a counted run.
                specimens: Option<u32>,
                /// Jobs on one charge, each counted as the typical time to it, but at least
                /// `least_trigger_s`, rounded down. Words round it, and say "more than 1,000" beyond
                /// that.
                jobs_per_charge: Option<u32>,
            }
        }
    };
}
pub(crate) use with_pair_figures;

macro_rules! declare {
    (pair { $($(#[$about:meta])+ $figure:ident: $kind:ty,)* }) => {
        crate::cells::record! {
            /// The figures of a pair's runs, or of its estimate. Absent figures are `null`: without a
            /// job, not measured, or not worked out.
            #[derive(Clone, Debug, Default, PartialEq, Serialize)]
            pub struct PairFigures {
                $($(#[$about])+ pub $figure: $kind,)*
            }
        }
    };
}
with_pair_figures!(declare {});

impl PairFigures {
    /// Of a measured pair.
    pub(crate) fn measured(
        results: &Results,
        field: &Field,
        member: &Member,
        job: Option<&Job>,
    ) -> Self {
        let combination = &member.combination;
        let figures = Self {
            basis: Basis::Measured,
            peak_torque_nm: Some(combination.peak_nm()),
            largest_sample_nm: Some(combination.largest_nm()),
            runs_used: count(combination.runs().count()),
            runs_excluded: Some(member.set_aside),
            specimens: count(combination.specimen_count()),
            ..Self::typical(combination, field.window_s)
        };
        let Some(job) = job else {
            return figures;
        };
        let to = ToTorque::of(field, member, job.required_nm);
        Self {
            time_to_job_s: to.time_s,
            work_j: to.work_j,
            average_power_w: to.average_power_w,
            rise_rate_nm_per_s: Some(to.rise_rate_nm_per_s),
            best_of_three_power_w: to.best_of_three_power_w,
            best_of_three_rise_rate_nm_per_s: to.best_of_three_rise_rate_nm_per_s,
            jobs_per_charge: jobs(results, member, to.time_s),
            ..figures
        }
    }

    /// Of an estimated pair.
    pub(crate) fn estimated(field: &Field, estimated: &Estimated, job: Option<&Job>) -> Self {
        let (combination, window_s) = (&estimated.combination, field.window_s);
        Self {
            basis: Basis::Estimate,
            time_to_job_s: job.and_then(|job| combination.time_to(job.required_nm, window_s)),
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

    /// What every typical curve shows, that of an estimate too: figures of the curve, not of single runs.
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
