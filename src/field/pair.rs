//! What one pair does up to a torque, and what it is ranked by.

use super::{Field, Member};
use crate::IS_WHOLE;
use crate::query::question::Score;
use crate::query::resolved::Job;
use crate::ranking::order::Standing;
use crate::run::LEAST_TIME_S;
use crate::typical::{Combination, Counted};

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
        let [best_of_three_power_w, best_of_three_rise_rate_nm_per_s] =
            best_of_three_to(field, member, torque_nm);
        Self {
            time_s,
            work_j,
            average_power_w,
            rise_rate_nm_per_s: time_s.map_or(0.0, |time_s| torque_nm / time_s.max(LEAST_TIME_S)),
            best_of_three_power_w,
            best_of_three_rise_rate_nm_per_s,
        }
    }
}

/// The best of three to a torque by average power in W and by rise rate in N·m/s: neither where runs have
/// no curves of their own.
fn best_of_three_to(field: &Field, member: &Member, torque_nm: f64) -> [Option<f64>; 2] {
    if !IS_WHOLE || !field.has_curves {
        return [None; 2];
    }
    let (combination, joint, window_s) =
        (&member.combination, field.joint.as_ref(), field.window_s);
    let power_of = |run: &Counted| run.power_to_w(torque_nm, joint, window_s);
    let has_power = combination.runs().all(|run| power_of(run).is_some());
    let power = |run: &Counted| power_of(run).unwrap_or_default();
    let rise_rate = |run: &Counted| run.rise_rate_to(torque_nm, window_s);
    [
        combination.best_of_three(&power).filter(|_| has_power),
        combination.best_of_three(&rise_rate),
    ]
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
    if !IS_WHOLE {
        return None;
    }
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

pub(crate) fn count(number: usize) -> Option<u32> {
    u32::try_from(number).ok()
}
