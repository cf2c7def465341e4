//! Taking hold of the needed line: which job torque it is dragged or stepped to.

use super::curves::Curves;
use super::view::{Viewport, torque_at};
use crate::dataset::limits::JOB_TORQUE_NM;
use crate::text::catalogue::Catalogue;
use crate::text::number::torque_step;
use crate::units::{EntryUnit, Torque};

/// What a step is apart from the next in rounding, as a share of it.
const SAME: f64 = 1e-6;

impl Curves {
    /// The job, as people write it, for which the needed line lies at this height of the chart in
    /// `frame`, in CSS pixels from its top: a torque in the unit shown, in whole steps of
    /// [`torque_step`].
    pub fn job_at(&self, frame: Viewport, catalogue: &Catalogue, y_px: f64) -> String {
        self.job_of(torque_at(self, frame, catalogue, y_px))
    }

    /// The job that needs this torque in N·m, in the nearest whole step.
    pub(super) fn job_of(&self, required_nm: f64) -> String {
        let job_nm = required_nm * self.job.of_required;
        let (unit, (least, most)) = (self.job.shown.unit, self.limits());
        let number = Torque::from_newton_metres(job_nm).in_unit(unit.into());
        let step = torque_step(number, unit);
        let number = (number / step).round() * step;
        let most = self.stepped(most * (1.0 + 2.0 * SAME), -1);
        self.written(number.min(most).max((least - SAME).ceil()))
    }

    /// The job so many steps above the one asked for, or below it: each the next whole step of
    /// [`torque_step`]. It ends at the limits of what is taken.
    pub fn job_stepped(&self, steps: i32) -> String {
        let unit = self.job.shown.unit;
        let mut number = Torque::from_newton_metres(self.job.torque_nm).in_unit(unit.into());
        let (least, most) = self.limits();
        for _ in 0..steps.unsigned_abs() {
            let next = self.stepped(number, steps.signum());
            if next < least || next > most {
                break;
            }
            number = next;
        }
        if number.fract() == 0.0 {
            self.written(number)
        } else {
            // Nothing is left to step to.
            self.written(number.round())
        }
    }

    /// The whole step next to a number of the unit shown, above it or, with `up` below 0, below it.
    fn stepped(&self, number: f64, up: i32) -> f64 {
        let unit = self.job.shown.unit;
        if up < 0 {
            let step = torque_step(number * (1.0 - SAME), unit);
            ((number / step - SAME).ceil() - 1.0) * step
        } else {
            let step = torque_step(number, unit);
            ((number / step + SAME).floor() + 1.0) * step
        }
    }

    /// The least and the largest number of the unit shown for which job torque and needed torque are
    /// taken.
    fn limits(&self) -> (f64, f64) {
        let of_required = self.job.of_required;
        let number = |torque_nm| {
            let torque = Torque::from_newton_metres(torque_nm);
            torque.in_unit(self.job.shown.unit.into())
        };
        let least_nm = JOB_TORQUE_NM.0 * of_required.max(1.0);
        let most_nm = JOB_TORQUE_NM.1 * of_required.min(1.0);
        (number(least_nm), number(most_nm))
    }

    /// A whole number of the unit shown as people write it in every language: digits and the symbol.
    fn written(&self, number: f64) -> String {
        let unit = EntryUnit::from(self.job.shown.unit);
        format!("{} {}", number as u32, unit.symbol())
    }
}

#[cfg(all(test, not(target_arch = "wasm32")))]
mod tests;
