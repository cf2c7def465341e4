//! A typical curve told at the instants of its window, in whole tenths of a N·m.

use crate::dataset::summary::PairSummary;
use crate::run::curve::Curve;
use crate::run::instants::{STEPS, time_s};
use crate::run::simplify::{growth, sums};

/// The torques of a typical curve at the [instants](crate::run::instants) of its window; it is straight
/// between them and constant after the last.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Told {
    /// Growth of the torque in tenths of a N·m, the first from 0.
    pub rise_dnm: Vec<i32>,
}

impl PairSummary {
    /// The typical curve of the pair.
    pub fn told(&self) -> Told {
        Told {
            rise_dnm: self.rise_dnm.clone(),
        }
    }
}

impl Told {
    /// Of a curve that does not fall, in N·m by time in s; each torque to the nearest tenth, half away
    /// from zero.
    pub fn of(window_s: f64, torque_nm: &dyn Fn(f64) -> f64) -> Self {
        let dnm = |number| (10.0 * torque_nm(time_s(number, window_s))).round() as i32;
        Self {
            rise_dnm: growth((0..=STEPS).map(dnm)),
        }
    }

    /// The curve.
    pub fn curve(&self, window_s: f64) -> Curve {
        let time_s: Vec<f64> = (0..=STEPS).map(|number| time_s(number, window_s)).collect();
        let torque_nm = sums(&self.rise_dnm).map(|dnm| dnm as f64 / 10.0);
        let torque_nm = torque_nm.chain(std::iter::repeat(0.0)).take(time_s.len());
        let torque_nm = torque_nm.collect();
        Curve::new(0.0, time_s, torque_nm, None)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_curve_is_as_told_at_the_instants_and_straight_between_them() {
        let told = Told::of(5.0, &|time_s| 100.0 * time_s * (10.0 - time_s) + 0.04);
        assert_eq!(told.rise_dnm.len(), 385);
        let curve = told.curve(5.0);
        assert_eq!((curve.torque_at(0.0), curve.torque_at(5.0)), (0.0, 2500.0));
        let [before, after] = [191, 192].map(|number| time_s(number, 5.0));
        assert_eq!(after, 0.625);
        assert_eq!(curve.torque_at(after), 586.0);
        let middle = curve.torque_at(f64::midpoint(before, after));
        let ends = f64::midpoint(curve.torque_at(before), curve.torque_at(after));
        assert!((middle - ends).abs() < 1e-9);
    }
}
