//! A typical curve told at the instants of its window, in whole numbers.

use crate::dataset::summary::PairSummary;
use crate::run::curve::Curve;
use std::sync::Arc;

/// The torques of a typical curve at the [instants](crate::run::instants) of its window; it is straight
/// between them and constant after the last.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Told {
    /// Torque at the window's end in tenths of a N·m.
    pub end_dnm: u32,
    /// How many units the torque grows by from each instant to the next, up to that at the end.
    pub rises: Vec<u32>,
}

/// What the torques of a curve with this one at its end are told in, both in tenths of a N·m: a
/// thousandth of it, so that none is off by more than half of that, but no less than a tenth.
fn unit_dnm(end_dnm: u32) -> u32 {
    (end_dnm / 1000).max(1)
}

impl PairSummary {
    /// The typical curve of the pair.
    pub fn told(&self) -> Told {
        Told {
            end_dnm: self.end_dnm,
            rises: self.rises.clone(),
        }
    }
}

impl Told {
    /// Of the torques of a curve that does not fall, in N·m at the instants. That at the end is told to the
    /// nearest tenth, every other one by the whole number of units below it that is nearest; half away
    /// from zero.
    pub fn of(torques_nm: &[f64]) -> Self {
        let end_nm = torques_nm.last().copied().unwrap_or_default();
        let end_dnm = (10.0 * end_nm).round() as u32;
        let unit = f64::from(unit_dnm(end_dnm));
        let below = |nm: &f64| ((f64::from(end_dnm) - 10.0 * nm) / unit).round() as u32;
        let below: Vec<u32> = torques_nm.iter().map(below).collect();
        let steps = below.iter().zip(below.iter().skip(1));
        Self {
            end_dnm,
            rises: steps.map(|(from, to)| from.saturating_sub(*to)).collect(),
        }
    }

    /// The curve; `times_s` are the instants of its window.
    pub fn curve(&self, times_s: &Arc<Vec<f64>>) -> Curve {
        let unit = i64::from(unit_dnm(self.end_dnm));
        let steps = self.rises.iter().map(|rise| unit * i64::from(*rise));
        let mut dnm = i64::from(self.end_dnm) - steps.clone().sum::<i64>();
        let mut torque_nm = vec![dnm as f64 / 10.0];
        torque_nm.extend(steps.map(|step| {
            dnm += step;
            dnm as f64 / 10.0
        }));
        let mut time_s = times_s.clone();
        if time_s.len() > torque_nm.len() {
            Arc::make_mut(&mut time_s).truncate(torque_nm.len());
        }
        Curve::told_at(time_s, torque_nm)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::run::instants::{time_s, times};

    fn told(window_s: f64, torque_nm: impl Fn(f64) -> f64) -> Told {
        let times_s = times(window_s);
        let torques = times_s.iter().copied().map(torque_nm);
        Told::of(&torques.collect::<Vec<f64>>())
    }

    #[test]
    fn a_curve_is_as_told_at_the_instants_and_straight_between_them() {
        // 2,500.04 N·m at the end, told in units of 2.5 N·m.
        let exact = |time_s: f64| 100.0 * time_s * (10.0 - time_s) + 0.04;
        let told = told(5.0, exact);
        assert_eq!((told.end_dnm, told.rises.len()), (25_000, 384));
        let curve = told.curve(&times(5.0));
        assert_eq!((curve.torque_at(0.0), curve.torque_at(5.0)), (0.0, 2500.0));
        let [before, after] = [191, 192].map(|number| time_s(number, 5.0));
        assert_eq!(after, 0.625);
        // 585.977 N·m, of which 765.6 units are missing.
        assert_eq!(curve.torque_at(after), 2500.0 - 2.5 * 766.0);
        let middle = curve.torque_at(f64::midpoint(before, after));
        let ends = f64::midpoint(curve.torque_at(before), curve.torque_at(after));
        assert!((middle - ends).abs() < 1e-9);
        for number in 0..=384 {
            let time_s = time_s(number, 5.0);
            assert!((curve.torque_at(time_s) - exact(time_s)).abs() < 1.25 + 0.05);
        }
    }

    #[test]
    fn weak_curves_are_told_in_tenths() {
        let told = told(1.0, |time_s| 0.1 + 99.0 * time_s);
        assert_eq!(told.end_dnm, 991);
        assert_eq!(told.curve(&times(1.0)).torque_at(0.125), 12.5);
        assert_eq!(told.curve(&times(1.0)).torque_at(0.0), 0.1);
    }
}
