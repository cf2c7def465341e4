//! The chart of the check runs with each day left out of its own limits: has a day shifted?
//!
//! Each day is held against the mean of the other days. Its standard deviation is that of a new day's
//! mean about the mean of the others: days differ by s, check runs of one day by s_c, so
//! σ_k² = (s² + s_c²/n_k) + (s² + s_c² h)/(K − 1), with h the mean of 1/n over the other days
//! (propagation of independent effects, JCGM 100:2008, 5.1.2). The variance of the other days' means,
//! less the part of the runs, gives s²; it is held by ν₀ degrees of freedom of what is assumed
//! beforehand (scaled inverse χ²: Gelman and others, "Bayesian Data Analysis"). A day with its own
//! value in its limits would widen them: with few days such limits show next to nothing.

use crate::run::running_median::median;
use crate::scatter::effects::Assumed;
use crate::scatter::{LEAST_NU, Scatter};
use crate::special::normal;

/// Days that are needed before limits are drawn.
pub const LEAST_DAYS: usize = 3;

/// Half the distance of the limits in standard deviations (Shewhart).
const SIGMAS: f64 = 3.0;

/// What readings of a hand-turned calibrated wrench differ by within a day where its own readings are
/// too few to say, one standard deviation as a difference of logarithms: an engineering judgement, no
/// source.
const ASSUMED_OF_REFERENCE: f64 = 0.005;

/// Four of five cases.
const FOUR_OF_FIVE: f64 = 0.8;

/// The check runs of a day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CheckDay {
    /// Mean of ln mean torque.
    pub log: f64,
    /// Runs, at least one.
    pub runs: u32,
}

/// Where the mean of a day lies if it has not shifted against the others.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DayLimits {
    /// Mean of the other days.
    pub mean: f64,
    /// Standard deviation of the day's mean about it.
    pub sigma: f64,
}

impl DayLimits {
    /// Lower and upper limit, three standard deviations from the mean.
    pub fn ends(&self) -> (f64, f64) {
        let half = SIGMAS * self.sigma;
        (self.mean - half, self.mean + half)
    }

    /// Whether a day's mean lies within the limits.
    pub fn hold(&self, log: f64) -> bool {
        (log - self.mean).abs() <= SIGMAS * self.sigma
    }
}

/// Variance of a reference check's runs within a day, s_c²: of its own runs from 3 degrees of freedom on,
/// else assumed.
pub fn reference_variance(own: Scatter) -> f64 {
    if own.nu >= LEAST_NU {
        own.variance
    } else {
        ASSUMED_OF_REFERENCE * ASSUMED_OF_REFERENCE
    }
}

/// The limits of each day; `None` with fewer than [`LEAST_DAYS`]. `run_variance` is the variance of
/// ln mean torque of runs of one day, `assumed` what is known beforehand of how far days differ.
pub fn limits(days: &[CheckDay], run_variance: f64, assumed: Assumed) -> Option<Vec<DayLimits>> {
    if days.len() < LEAST_DAYS {
        return None;
    }
    let of = |index: usize, day: &CheckDay| {
        let others = || days.iter().enumerate().filter(|(other, _)| *other != index);
        let count = (days.len() - 1) as f64;
        let mean = others().map(|(_, other)| other.log).sum::<f64>() / count;
        let squares = others().map(|(_, other)| (other.log - mean) * (other.log - mean));
        let nu = count - 1.0;
        let variance = squares.sum::<f64>() / nu;
        let h = others()
            .map(|(_, other)| 1.0 / f64::from(other.runs))
            .sum::<f64>()
            / count;
        let assumed = assumed.scatter();
        let held = assumed.nu * assumed.variance + nu * (variance - run_variance * h);
        let of_days = (held / (assumed.nu + nu)).max(0.0);
        let own = of_days + run_variance / f64::from(day.runs);
        let sigma = (own + (of_days + run_variance * h) / count).sqrt();
        DayLimits { mean, sigma }
    };
    Some(
        days.iter()
            .enumerate()
            .map(|(index, day)| of(index, day))
            .collect(),
    )
}

/// The smallest shift of one day, as a difference of logarithms, that takes its mean outside its
/// limits in four of five cases: (3 + Φ⁻¹(0.8)) σ, with σ the median over the days. As the limits are
/// estimated, simulated charts of six days see 73 to 78 of a hundred.
pub fn smallest_shift(limits: &[DayLimits]) -> f64 {
    let sigma = median(limits.iter().map(|limits| limits.sigma).collect());
    (SIGMAS + normal::quantile(FOUR_OF_FIVE)) * sigma
}

#[cfg(test)]
mod tests {
    use super::*;
    use rand_pcg::Pcg32;
    use rand_pcg::rand_core::Rng;

    fn days(logs: &[f64], runs: u32) -> Vec<CheckDay> {
        logs.iter().map(|&log| CheckDay { log, runs }).collect()
    }

    #[test]
    fn two_days_are_too_few() {
        assert_eq!(
            limits(&days(&[0.0, 0.1], 1), 1e-4, Assumed::days(None)),
            None
        );
        assert!(limits(&days(&[0.0, 0.1, 0.0], 1), 1e-4, Assumed::days(None)).is_some());
    }

    #[test]
    fn limits_are_those_of_the_formula() {
        // Others of the first day: 0.02, −0.02, 0.00; mean 0, variance 0.0004, h = 1/2, K = 4.
        let found = limits(
            &days(&[0.5, 0.02, -0.02, 0.0], 2),
            2e-4,
            Assumed::days(None),
        )
        .unwrap();
        let of_days: f64 = (3.0 * 1e-4 + 2.0 * (4e-4 - 1e-4)) / 5.0;
        let sigma = (of_days + 1e-4 + (of_days + 1e-4) / 3.0).sqrt();
        assert!(found[0].mean.abs() < 1e-15);
        assert!(
            (found[0].sigma - sigma).abs() < 1e-15,
            "{:?} {sigma}",
            found[0]
        );
        assert_eq!(
            found[0].ends(),
            (
                found[0].mean - 3.0 * found[0].sigma,
                found[0].mean + 3.0 * found[0].sigma
            )
        );
        assert!(!found[0].hold(0.5));
        // The other days are held against the one that is off, and lie within.
        assert!(
            found[1..]
                .iter()
                .zip([0.02, -0.02, 0.0])
                .all(|(limits, log)| limits.hold(log))
        );
    }

    #[test]
    fn days_stated_to_differ_more_have_wider_limits() {
        let sigma = |percent| {
            let three = days(&[0.0, 0.001, -0.001], 3);
            limits(&three, 1e-4, Assumed::days(percent)).unwrap()[0].sigma
        };
        assert!(sigma(Some(3.0)) > 2.0 * sigma(None));
    }

    #[test]
    fn a_reference_is_taken_by_its_own_readings_where_they_are_enough() {
        let own = |nu| Scatter { variance: 1e-4, nu };
        assert_eq!(reference_variance(own(3.0)), 1e-4);
        assert!((reference_variance(own(2.0)) - 0.25e-4).abs() < 1e-18);
    }

    #[test]
    fn runs_that_differ_more_than_days_leave_no_difference_of_days() {
        let found = limits(&days(&[0.0; 3], 1), 0.01, Assumed::days(None)).unwrap();
        assert!((found[0].sigma - (0.01f64 + 0.005).sqrt()).abs() < 1e-15);
    }

    #[test]
    fn the_smallest_shift_is_that_of_simulated_charts_and_is_seen() {
        // Six days that differ by 1 %: runs a day, their scatter, then by a simulation in numpy the
        // smallest shift in per cent, and how often such a shift is seen. That is less than four
        // of five because the limits are themselves estimated.
        for (runs, scatter, shift, seen_there) in [
            (1, 0.025, 11.7, 0.73),
            (3, 0.025, 7.55, 0.76),
            (3, 0.015, 5.67, 0.775),
        ] {
            let variance: f64 = scatter * scatter;
            let of_means = (1e-4 + variance / f64::from(runs)).sqrt();
            let mut random = Pcg32::new(runs.into(), 1);
            let mut draw = || {
                let uniform = (f64::from(random.next_u32()) + 0.5) / 4_294_967_296.0;
                of_means * normal::quantile(uniform)
            };
            let (mut shifts, mut seen) = (Vec::new(), 0);
            for _ in 0..2000 {
                let logs: Vec<f64> = (0..6).map(|_| draw()).collect();
                let own = limits(&days(&logs, runs), variance, Assumed::days(None)).unwrap();
                shifts.push(100.0 * libm::expm1(smallest_shift(&own)));
                let mut shifted = logs;
                shifted[2] += libm::log1p(shift / 100.0);
                let found = limits(&days(&shifted, runs), variance, Assumed::days(None)).unwrap();
                seen += u32::from(!found[2].hold(shifted[2]));
            }
            let found = median(shifts);
            assert!(
                (found / shift - 1.0).abs() < 0.03,
                "{runs} {scatter}: {found}"
            );
            let seen = f64::from(seen) / 2000.0;
            assert!((seen - seen_there).abs() < 0.04, "{runs} {scatter}: {seen}");
        }
    }

    #[test]
    fn a_day_shifted_by_the_smallest_shift_is_outside_in_four_of_five_cases() {
        let limits = DayLimits {
            mean: 0.3,
            sigma: 0.02,
        };
        let shift = smallest_shift(&[limits]);
        let (_, high) = limits.ends();
        let seen = 1.0 - normal::distribution((high - (limits.mean + shift)) / limits.sigma);
        assert!((seen - 0.8).abs() < 1e-12, "{seen}");
    }
}
