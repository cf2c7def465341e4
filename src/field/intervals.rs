//! The intervals of a field's places.

use super::uncertainty::{JobUncertainty, Uncertainty};
use super::{Field, Member, pair};
use crate::IS_WHOLE;
use crate::query::question::{Level as Torque, Score};
use crate::query::resolved::Job;
use crate::ranking::order::Order;
use crate::ranking::spread::{Doubt, Doubtful, Entries};
use crate::ranking::steps::Steps;
use crate::scatter::shares::Shares;
use crate::tie::TIE;
use crate::typical::Counted;

/// The 90 % interval of a place, lower and upper end.
pub(crate) type Interval = Option<(u32, u32)>;

/// Intervals of the places for a job; none where there are too few runs to say.
pub(crate) fn for_job(
    field: &Field,
    job: &Job,
    score: Score,
    order: &Order,
    uncertainty: &Uncertainty,
    at: &JobUncertainty,
) -> Vec<Interval> {
    let level = |member: &Member| {
        let of_three;
        let (shift, shares) = match score {
            Score::BestOfThree if !IS_WHOLE => return None,
            Score::Typical => (0.0, &member.shares),
            Score::BestOfThree => {
                of_three = Shares::of_best_of_three(&member.origins);
                (best_of_three_shift(field, member, job)?, &of_three)
            }
        };
        let run = at.at_job.of_tool(member.tool);
        let doubt = Doubt::of(member.tool, shares, &uncertainty.scatters, run);
        Some(ToJob::new(field, member, job, shift, doubt))
    };
    intervals(field, order, uncertainty, level)
}

/// Intervals of the places by a measure; `divisor` is what it is divided by, `None` if unknown.
pub(crate) fn for_measure(
    field: &Field,
    torque: Torque,
    divisor: impl Fn(usize) -> Option<f64>,
    order: &Order,
    uncertainty: &Uncertainty,
) -> Vec<Interval> {
    let measure = |run: &Counted| match torque {
        Torque::Mean => run.measures.mean_nm,
        Torque::Peak => run.measures.peak_nm,
        Torque::Early => run.measures.early_nm,
    };
    let scatter = field.scatter_of(&measure);
    let divisors: Vec<Option<f64>> = (0..field.members.len()).map(divisor).collect();
    let mut places = divisors.into_iter();
    intervals(field, order, uncertainty, |member| {
        let divisor = places.next()??;
        let run = scatter.of_tool(member.tool);
        Some(ByMeasure {
            value: member.combination.log_of(&measure) - libm::log(divisor),
            doubt: Doubt::of(member.tool, &member.shares, &uncertainty.scatters, run),
        })
    })
}

fn intervals<'f, L: Doubtful>(
    field: &'f Field,
    order: &Order,
    uncertainty: &Uncertainty,
    mut level: impl FnMut(&'f Member) -> Option<L>,
) -> Vec<Interval> {
    let mut intervals = vec![None; field.members.len()];
    if uncertainty.too_few() {
        return intervals;
    }
    let (mut places, mut levels) = (Vec::new(), Vec::new());
    for (index, member) in field.members.iter().enumerate() {
        let level = level(member);
        let rank = order.ranks.get(index).copied().flatten();
        if let (Some(level), Some(rank)) = (level, rank) {
            places.push((index, rank));
            levels.push(level);
        }
    }
    for ((index, rank), spread) in places.into_iter().zip(Entries::of(&levels).spreads()) {
        if let Some(interval) = intervals.get_mut(index) {
            *interval = Some(spread.interval(rank, order.of));
        }
    }
    intervals
}

/// A combination's typical curve on its way to a job. The course is time in s until the window
/// ends, then what the needed torque is lowered by, as a logarithm.
///
/// The curve is told at equal steps of the time in which it matters: a level so far from zero that
/// its error cannot bring it there is as good as any other.
struct ToJob {
    steps: Steps,
    window_s: f64,
    /// Level at the window's end.
    end_level: f64,
    doubt: Doubt,
}

/// A field's curves on their way to a job are told at this many steps in all, each curve at so many
/// at least and at most: the smaller the field, the finer.
const STEPS_OF_FIELD: u32 = 16_384;
const LEAST_STEPS: u32 = 64;
const MOST_STEPS: u32 = 256;

/// Beyond this many standard errors a level is as good as any other.
const FAR: f64 = 7.0;

impl ToJob {
    /// The curve of a member, multiplied by exp(`shift`).
    fn new(field: &Field, member: &Member, job: &Job, shift: f64, doubt: Doubt) -> Self {
        let (combination, window_s) = (&member.combination, field.window_s);
        let offset = shift - libm::log(job.required_nm);
        let comes_to = |level: f64| {
            combination
                .time_to(libm::exp(level - offset), window_s)
                .unwrap_or(window_s)
        };
        let (from, to) = (comes_to(-FAR * doubt.se), comes_to(FAR * doubt.se));
        let members = u32::try_from(field.members.len()).unwrap_or(u32::MAX);
        let steps = (STEPS_OF_FIELD / members.max(1)).clamp(LEAST_STEPS, MOST_STEPS);
        let levels = |times_s: &[f64]| {
            let mut levels = combination.log_torques_at(times_s);
            levels.iter_mut().for_each(|level| *level += offset);
            levels
        };
        Self {
            steps: Steps::of(from, to, steps, levels),
            window_s,
            end_level: combination.log_torque_at(window_s) + offset,
            doubt,
        }
    }
}

impl Doubtful for ToJob {
    fn at(&self, course: f64) -> f64 {
        if course > self.window_s {
            return self.end_level + (course - self.window_s);
        }
        self.steps.at(course)
    }

    fn comes_to(&self, level: f64) -> f64 {
        if level > self.end_level {
            return self.window_s + (level - self.end_level);
        }
        self.steps.comes_to(level)
    }

    fn doubt(&self) -> &Doubt {
        &self.doubt
    }
}

/// What the typical curve is multiplied by, as a logarithm, so that it reaches the job when the
/// best-of-three score says; or, if no run reaches it, so that its torque at the window's end is
/// the best of three of the runs', kept below the needed one. `None` without a score.
fn best_of_three_shift(field: &Field, member: &Member, job: &Job) -> Option<f64> {
    /// Just below what counts as the needed torque.
    const BELOW: f64 = 1.0 - 2.0 * TIE;
    let combination = &member.combination;
    let score = pair::best_of_three(field, member, job.required_nm)?;
    if score.value > 0.0 {
        return Some(
            libm::log(job.required_nm)
                - combination.log_torque_at(score.time_s(field, member, job.required_nm)),
        );
    }
    let end_nm = combination.best_of_three(&|run| run.curve.torque_at(field.window_s))?;
    Some(libm::log(end_nm.min(job.required_nm * BELOW)) - combination.log_torque_at(field.window_s))
}

/// A measure, from the best down.
struct ByMeasure {
    /// Mean logarithm of the measure, less that of what it is divided by.
    value: f64,
    doubt: Doubt,
}

impl Doubtful for ByMeasure {
    fn at(&self, course: f64) -> f64 {
        self.value + course
    }

    fn comes_to(&self, level: f64) -> f64 {
        level - self.value
    }

    fn doubt(&self) -> &Doubt {
        &self.doubt
    }
}
