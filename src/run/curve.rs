//! A build-up curve H(t): torque that does not fall, linear between points, constant after the last.

use super::LEAST_TORQUE_NM;
use crate::tie::reaches;
use std::sync::Arc;

/// A build-up curve, measured from the onset.
///
/// # Guarantees
///
/// At least one point; the first lies at t = 0; times do not fall, nor do torques; every series
/// has one length.
#[derive(Clone, Debug, PartialEq)]
pub struct Curve {
    time_s: Arc<Vec<f64>>,
    torque_nm: Vec<f64>,
    turn_rad: Option<Vec<f64>>,
}

impl Curve {
    /// A curve of points (s, N·m) after t = 0, with the torque at t = 0 and, where it is logged,
    /// the angle in radians turned since t = 0 at every point. A first point at t = 0 itself takes
    /// the place of `start_nm`.
    pub fn new(
        start_nm: f64,
        time_s: Vec<f64>,
        torque_nm: Vec<f64>,
        turn_rad: Option<Vec<f64>>,
    ) -> Self {
        if time_s.first() == Some(&0.0) {
            return Self {
                time_s: Arc::new(time_s),
                torque_nm,
                turn_rad,
            };
        }
        let with_first = |first: f64, rest: Vec<f64>| std::iter::once(first).chain(rest).collect();
        Self {
            time_s: Arc::new(with_first(0.0, time_s)),
            torque_nm: with_first(start_nm, torque_nm),
            turn_rad: turn_rad.map(|turn| with_first(0.0, turn)),
        }
    }

    /// A curve of torques in N·m at times in s, the first of them 0, that other curves are told at too.
    pub fn told_at(time_s: Arc<Vec<f64>>, torque_nm: Vec<f64>) -> Self {
        Self {
            time_s,
            torque_nm,
            turn_rad: None,
        }
    }

    /// The same curve with every torque multiplied.
    #[must_use]
    pub fn scaled(&self, factor: f64) -> Self {
        Self {
            torque_nm: self
                .torque_nm
                .iter()
                .map(|torque| torque * factor)
                .collect(),
            ..self.clone()
        }
    }

    /// Points as (s, N·m).
    pub fn points(&self) -> impl Iterator<Item = (f64, f64)> {
        self.time_s
            .iter()
            .copied()
            .zip(self.torque_nm.iter().copied())
    }

    /// When the curve ends, in seconds after the onset.
    pub fn end_s(&self) -> f64 {
        self.time_s.last().copied().unwrap_or(0.0)
    }

    /// Peak torque: H at the end, in N·m.
    pub fn peak_nm(&self) -> f64 {
        self.torque_nm.last().copied().unwrap_or(0.0)
    }

    /// H(t) in N·m.
    pub fn torque_at(&self, time_s: f64) -> f64 {
        if time_s >= self.end_s() {
            return self.peak_nm();
        }
        interpolated(&self.time_s, &self.torque_nm, time_s)
    }

    /// H in N·m at these times in s, none before the one before it: as [`Curve::torque_at`], in one pass.
    pub fn torques_at(&self, times_s: &[f64]) -> Vec<f64> {
        let mut after = 0;
        let at = |&at_s: &f64| {
            while self.time_s.get(after).is_some_and(|point| *point <= at_s) {
                after += 1;
            }
            between(&self.time_s, &self.torque_nm, after, at_s)
        };
        times_s.iter().map(at).collect()
    }

    /// ln H at these times in s, none before the one before it: as [`Curve::log_torque_at`].
    pub fn log_torques_at(&self, times_s: &[f64]) -> Vec<f64> {
        let mut torques = self.torques_at(times_s);
        for torque in &mut torques {
            *torque = libm::log(torque.max(LEAST_TORQUE_NM));
        }
        torques
    }

    /// ln H(t), with H below 0.1 N·m counted as 0.1 N·m.
    pub fn log_torque_at(&self, time_s: f64) -> f64 {
        libm::log(self.torque_at(time_s).max(LEAST_TORQUE_NM))
    }

    /// The first t at which H(t) [reaches] `torque_nm`, in seconds: 0 if H(0) does, `None` if it
    /// comes after `window_s` or never.
    pub fn time_to(&self, torque_nm: f64, window_s: f64) -> Option<f64> {
        let short = |torque: &f64| !reaches(*torque, torque_nm);
        let reached = self.torque_nm.partition_point(short);
        if reached == 0 {
            return Some(0.0);
        }
        let (from, to) = (self.point(reached - 1)?, self.point(reached)?);
        // A point that reaches by a tie alone is not passed.
        let part = ((torque_nm - from.1) / (to.1 - from.1)).min(1.0);
        let time_s = from.0 + (to.0 - from.0) * part;
        reaches(self.torque_at(window_s), torque_nm).then_some(time_s.min(window_s))
    }

    fn point(&self, i: usize) -> Option<(f64, f64)> {
        Some((*self.time_s.get(i)?, *self.torque_nm.get(i)?))
    }

    /// ∫ H dt from 0 to `until_s`, in N·m·s: trapezoids, exact for the lines.
    pub fn impulse(&self, until_s: f64) -> f64 {
        let mut sum = 0.0;
        let mut before = (0.0, self.torque_at(0.0));
        for point in self.points().take_while(|point| point.0 < until_s) {
            sum += (point.0 - before.0) * (point.1 + before.1) / 2.0;
            before = point;
        }
        sum + (until_s - before.0) * (self.torque_at(until_s) + before.1) / 2.0
    }

    /// Work ∫ H dθ in joules over the angle turned from the onset to `until_s`, by trapezoids of H
    /// over the angle's running maximum; `None` where no angle is logged.
    pub fn turned_work_j(&self, until_s: f64) -> Option<f64> {
        let turn = self.turn_rad.as_ref()?;
        let mut sum = 0.0;
        let mut before = (0.0, self.torque_at(0.0));
        for (&time, (&turn, &torque)) in self.time_s.iter().zip(turn.iter().zip(&self.torque_nm)) {
            if time >= until_s {
                break;
            }
            sum += (turn - before.0) * (torque + before.1) / 2.0;
            before = (turn, torque);
        }
        let last = (
            interpolated(&self.time_s, turn, until_s),
            self.torque_at(until_s),
        );
        Some(sum + (last.0 - before.0) * (last.1 + before.1) / 2.0)
    }

    /// Whether the run's own angle is logged.
    pub fn has_turn(&self) -> bool {
        self.turn_rad.is_some()
    }
}

/// The line through points (`x`, `y`) at `at`; constant before the first and after the last point.
fn interpolated(x: &[f64], y: &[f64], at: f64) -> f64 {
    between(x, y, x.partition_point(|&x| x <= at), at)
}

/// The same where the point at an index is the first after `at`.
fn between(x: &[f64], y: &[f64], after: usize, at: f64) -> f64 {
    let point = |i: usize| Some((*x.get(i)?, *y.get(i)?));
    match (after.checked_sub(1).and_then(point), point(after)) {
        (Some((x0, y0)), Some((x1, y1))) => y0 + (y1 - y0) * ((at - x0) / (x1 - x0)),
        (Some((_, y)), None) | (None, Some((_, y))) => y,
        (None, None) => 0.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line() -> Curve {
        Curve::new(0.0, vec![1.0, 2.0, 4.0], vec![90.0, 110.0, 110.0], None)
    }

    #[test]
    fn one_pass_reads_what_each_time_reads() {
        let times_s = [0.0, 0.0, 0.3, 1.0, 1.0, 1.7, 4.0, 9.0];
        let each = times_s.map(|time_s| line().torque_at(time_s));
        assert_eq!(line().torques_at(&times_s), each);
    }

    #[test]
    fn a_crossing_between_samples_is_on_the_line() {
        // 90 at 1 s, 110 at 2 s: 100 is crossed at 1.5 s exactly (definition of a line).
        assert_eq!(line().time_to(100.0, 5.0), Some(1.5));
    }

    #[test]
    fn a_torque_not_above_the_start_takes_no_time() {
        assert_eq!(line().time_to(0.0, 5.0), Some(0.0));
    }

    #[test]
    fn a_torque_above_the_curve_or_after_the_window_is_not_reached() {
        assert_eq!(line().time_to(111.0, 5.0), None);
        assert_eq!(line().time_to(100.0, 1.4), None);
        assert_eq!(line().time_to(110.0, 2.0), Some(2.0));
    }

    #[test]
    fn a_curve_that_ends_a_last_bit_below_reaches_at_its_end() {
        let above = f64::from_bits(110.0_f64.to_bits() + 1);
        assert_eq!(line().time_to(above, 5.0), Some(2.0));
        assert_eq!(line().time_to(above, 2.0), Some(2.0));
        assert_eq!(line().time_to(110.0 * (1.0 + 2e-9), 5.0), None);
    }

    #[test]
    fn the_curve_is_constant_after_its_end() {
        assert_eq!(line().torque_at(9.0), 110.0);
        assert_eq!(line().impulse(6.0), 45.0 + 100.0 + 4.0 * 110.0);
    }
}
