//! The knots of a build-up curve.

use super::{outside, series_outside};
use crate::dataset::limits::{self, MOST_KNOTS, MOST_RUN_US, MOST_TORQUE_DNM, MOST_TORQUE_NM};
use crate::dataset::pointer::Pointer;
use crate::dataset::types::BuildUp;
use crate::problem::{Problem, Problems};

/// Every problem of knots at `pointer`. `factor` is the largest that corrections multiply their torque
/// by. `digits` prints a number exactly.
pub fn check(
    pointer: &Pointer,
    buildup: &BuildUp,
    factor: f64,
    digits: fn(f64) -> String,
) -> Problems {
    let mut checker = Checker {
        pointer,
        buildup,
        digits,
        problems: Problems::default(),
    };
    if checker.lengths() {
        checker.numbers();
        checker.times();
        checker.torques(factor);
        checker.turns();
    }
    checker.problems
}

struct Checker<'a> {
    pointer: &'a Pointer<'a>,
    buildup: &'a BuildUp,
    digits: fn(f64) -> String,
    problems: Problems,
}

impl Checker<'_> {
    fn problem(&mut self, pointer: &Pointer, found: String, wanted: impl Into<String>) {
        self.problems.push(Problem::new(pointer, found, wanted));
    }

    fn all(&mut self, problem: Option<Problem>) {
        problem.into_iter().for_each(|one| self.problems.push(one));
    }

    /// Series of one length; whether they are.
    fn lengths(&mut self) -> bool {
        let (steps, rises) = (self.buildup.step.len(), self.buildup.rise_dnm.len());
        if steps == 0 || rises != steps {
            let found = format!("{steps} steps and {rises} rises");
            self.problem(self.pointer, found, "as many of each, at least one");
            return false;
        }
        if steps > MOST_KNOTS {
            let wanted = format!("at most {MOST_KNOTS}");
            self.problem(
                &self.pointer.member("step"),
                format!("{steps} knots"),
                wanted,
            );
            return false;
        }
        true
    }

    /// Single numbers against the limits of their names.
    fn numbers(&mut self) {
        let whole = |number: i64| Some(number as f64);
        let buildup = self.buildup;
        for (key, value) in [
            ("onset_dnm", whole(buildup.onset_dnm.into())),
            ("tick_us", whole(buildup.tick_us.into())),
            ("first_us", whole(buildup.first_us.into())),
            ("largest_dnm", whole(buildup.largest_dnm.into())),
            ("samples", whole(buildup.samples.into())),
            ("zero_dnm", whole(buildup.zero_dnm.into())),
            ("gap_us", whole(buildup.gap_us.into())),
            ("open_mv", buildup.open_mv.and_then(whole)),
            ("resistance_uohm", buildup.resistance_uohm.and_then(whole)),
            ("lowest_mv", buildup.lowest_mv.and_then(whole)),
            ("energy_mj", buildup.energy_mj.and_then(whole)),
        ] {
            if let (Some(value), Some(limits)) = (value, limits::of(key)) {
                let (pointer, unit) = (self.pointer.member(key), limits::unit(key));
                self.all(outside(&pointer, value, limits, unit, self.digits));
            }
        }
    }

    fn times(&mut self) {
        let buildup = self.buildup;
        for (k, &step) in buildup.step.iter().enumerate() {
            if (k == 0) != (step == 0) {
                self.problem(
                    &self.pointer.element("step", k),
                    step.to_string(),
                    if k == 0 {
                        "0: the first knot lies at \"first_us\""
                    } else {
                        "1 or more: each knot lies after the one before"
                    },
                );
            }
        }
        let ticks: u64 = buildup.step.iter().map(|&step| u64::from(step)).sum();
        let length_us = ticks
            .saturating_mul(buildup.tick_us.into())
            .saturating_add(buildup.first_us.into());
        if length_us > MOST_RUN_US.unsigned_abs() {
            let found = "a run of more than an hour".into();
            self.problem(&self.pointer.member("step"), found, "at most an hour");
        }
    }

    fn torques(&mut self, factor: f64) {
        let (pointer, buildup) = (self.pointer, self.buildup);
        let rises = &buildup.rise_dnm;
        let mut later = rises.iter().enumerate().skip(1);
        if let Some((at, rise)) = later.find(|&(_, &rise)| rise < 0) {
            self.problem(
                &pointer.element("rise_dnm", at),
                rise.to_string(),
                "0 or more: a build-up curve does not fall",
            );
        }
        let first = rises.first().copied().unwrap_or_default();
        if buildup.onset_dnm > first {
            self.problem(
                &pointer.member("onset_dnm"),
                buildup.onset_dnm.to_string(),
                format!("at most {first}, the first of \"rise_dnm\""),
            );
        }
        self.all(series_outside(pointer, "rise_dnm", rises, self.digits));
        let peak: i64 = rises.iter().map(|&rise| i64::from(rise)).sum();
        let pointer = &pointer.member("rise_dnm");
        let sum = format!("a sum of {peak}");
        if peak > i64::from(MOST_TORQUE_DNM) {
            let wanted = format!("at most {MOST_TORQUE_DNM} tenths of a N·m");
            return self.problem(pointer, sum, wanted);
        }
        if peak <= 0 {
            return self.problem(pointer, sum, "a sum above 0, the peak torque");
        }
        let peak_nm = peak as f64 / 10.0 * factor;
        if peak_nm > MOST_TORQUE_NM {
            let found = format!(
                "{sum}, which corrections make {} N·m",
                (self.digits)(peak_nm)
            );
            let wanted = format!("at most {} N·m", (self.digits)(MOST_TORQUE_NM));
            return self.problem(pointer, found, wanted);
        }
        let lowest = buildup.onset_dnm.min(first);
        if is_reversed(lowest, i32::try_from(peak).unwrap_or(i32::MAX)) {
            let found = format!("torque that begins at {lowest} and ends at {peak}");
            let wanted = "a beginning not below zero by more than half of the end";
            self.problem(&self.pointer.member("onset_dnm"), found, wanted);
        }
    }

    fn turns(&mut self) {
        let Some(turn) = &self.buildup.turn_ddeg else {
            return;
        };
        let count = self.buildup.step.len();
        let pointer = &self.pointer.member("turn_ddeg");
        if turn.len() != count {
            self.problem(
                pointer,
                format!("{} turns", turn.len()),
                format!("{count}, one for each knot"),
            );
        }
        let mut numbered = turn.iter().enumerate();
        if let Some((at, turn)) = numbered.find(|&(_, &turn)| turn < 0) {
            self.problem(
                &pointer.nth(at),
                turn.to_string(),
                "0 or more: the angle's running maximum does not fall",
            );
        } else {
            let problem = series_outside(self.pointer, "turn_ddeg", turn, self.digits);
            self.all(problem);
        }
        let sum: i64 = turn.iter().map(|&turn| i64::from(turn)).sum();
        if let Some((_, most)) = limits::of("turn_ddeg")
            && sum as f64 > most
        {
            let wanted = format!("at most {} tenths of a degree", (self.digits)(most));
            self.problem(pointer, format!("a sum of {sum}"), wanted);
        }
    }
}

/// Whether torques from `lowest` to `largest` were logged with the sign reversed.
pub(super) fn is_reversed(lowest: i32, largest: i32) -> bool {
    2 * i64::from(lowest) < -i64::from(largest.max(0))
}
