//! The typical curves of a field told once at fixed times, for intervals of places at many torques.

use super::uncertainty::Uncertainty;
use super::{Field, Member};
use crate::ranking::spread::{Doubt, Doubtful, Entries, Spread};

/// Curves are told at this many values in all, each at so many at least and at most: the smaller the
/// field, the finer.
const VALUES_OF_FIELD: usize = 16_384;
const LEAST_STEPS: usize = 48;
const MOST_STEPS: usize = 256;

/// The logarithm of every member's typical curve at times that lie the closer, the earlier they are.
#[derive(Debug)]
pub(crate) struct ToldCurves {
    time_s: Vec<f64>,
    /// Of each member, ln of N·m at each time.
    logs: Vec<Vec<f64>>,
}

impl ToldCurves {
    pub fn of(field: &Field) -> Self {
        let steps = VALUES_OF_FIELD / field.members.len().max(1);
        let steps = steps.clamp(LEAST_STEPS, MOST_STEPS);
        let time = |step: usize| {
            let share = step as f64 / steps as f64;
            field.window_s * share * share * share
        };
        let time_s: Vec<f64> = (0..=steps).map(time).collect();
        let members = field.members.iter();
        let logs = members.map(|member| member.combination.log_torques_at(&time_s));
        Self {
            logs: logs.collect(),
            time_s,
        }
    }

    /// How far the place of the member at `index` may be off for a job that needs this torque in N·m:
    /// as [`super::intervals::for_job`] has it by typical curves, but by the plain sum over all members,
    /// and with curves that run straight between the times told.
    pub fn spread(
        &self,
        field: &Field,
        uncertainty: &Uncertainty,
        index: usize,
        required_nm: f64,
    ) -> Option<Spread> {
        let needed_log = libm::log(required_nm);
        let curve = |index: usize| Curve {
            time_s: &self.time_s,
            logs: self.logs.get(index).map_or(&[], Vec::as_slice),
            needed_log,
        };
        let mut curves = (0..self.logs.len()).map(curve);
        let run = field.scatter_at(&mut |_| {
            let reached = curves.next().map_or(0.0, |curve| curve.comes_to(0.0));
            reached.min(field.window_s)
        });
        let level = |(index, member): (usize, &Member)| Level {
            curve: curve(index),
            doubt: Doubt::of(
                member.tool,
                &member.shares,
                &uncertainty.scatters,
                run.of_tool(member.tool),
            ),
        };
        let levels: Vec<Level> = field.members.iter().enumerate().map(level).collect();
        Entries::of(&levels).spread(index)
    }
}

/// A typical curve beside a needed torque: its level is the logarithm of their ratio. The course is that
/// of a job.
struct Curve<'t> {
    time_s: &'t [f64],
    logs: &'t [f64],
    needed_log: f64,
}

impl Curve<'_> {
    /// The last time and the logarithm there.
    fn end(&self) -> (f64, f64) {
        let end = self.time_s.last().zip(self.logs.last());
        end.map_or((0.0, 0.0), |(time_s, log)| (*time_s, *log))
    }

    /// Between the points before and after `place`, of two lists, at `at` of the first.
    fn between(from: &[f64], to: &[f64], place: usize, at: f64) -> Option<f64> {
        let before = place.checked_sub(1)?;
        let (a, b) = (*from.get(before)?, *from.get(place)?);
        let (c, d) = (*to.get(before)?, *to.get(place)?);
        Some(c + (d - c) * ((at - a) / (b - a)))
    }

    fn comes_to(&self, level: f64) -> f64 {
        let (end_s, end_log) = self.end();
        let log = level + self.needed_log;
        if log > end_log {
            return end_s + (log - end_log);
        }
        let place = self.logs.partition_point(|&told| told < log);
        Self::between(self.logs, self.time_s, place, log).unwrap_or_default()
    }

    fn at(&self, course: f64) -> f64 {
        let (end_s, end_log) = self.end();
        let place = self.time_s.partition_point(|&told| told < course);
        let beyond = || end_log + (course - end_s).max(0.0);
        let first = || self.logs.first().copied();
        let inside = Self::between(self.time_s, self.logs, place, course);
        let log = match place {
            0 => first(),
            _ => inside,
        };
        log.unwrap_or_else(beyond) - self.needed_log
    }
}

/// Such a curve with its doubt.
struct Level<'t> {
    curve: Curve<'t>,
    doubt: Doubt,
}

impl Doubtful for Level<'_> {
    fn at(&self, course: f64) -> f64 {
        self.curve.at(course)
    }

    fn comes_to(&self, level: f64) -> f64 {
        self.curve.comes_to(level)
    }

    fn doubt(&self) -> &Doubt {
        &self.doubt
    }
}
