//! Whether a job is within reach, and the torque it needs at the tool.

use crate::scatter::terms::Terms;
use crate::scatter::{Scatter, welch_satterthwaite};
use crate::special::student;

/// Required torque in N·m: job torque × condition factor ÷ (1 − loss between anvil and fastener).
///
/// `condition` is 1 for a fresh joint (friction theory says 0.6 to 0.95 of the tightening torque);
/// for an aged one a factor the visitor sets: common practice, no source. `loss_percent` is from 0
/// to below 100.
pub fn required_torque_nm(job_nm: f64, condition: f64, loss_percent: f64) -> f64 {
    job_nm * condition / (1.0 - loss_percent / 100.0)
}

/// The job torque in N·m that needs `required_nm` at the tool: the inverse of [`required_torque_nm`].
pub fn job_torque_nm(required_nm: f64, condition: f64, loss_percent: f64) -> f64 {
    required_nm * (1.0 - loss_percent / 100.0) / condition
}

/// Whether a typical curve that ends at `end_nm` and was at `earlier_nm` a tenth of the window
/// before is still rising: by more than 1 %.
pub fn is_still_rising(earlier_nm: f64, end_nm: f64) -> bool {
    end_nm > 1.01 * earlier_nm
}

/// A verdict.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// At least 95 of 100 tries reach the job.
    WithinReach,
    /// At least 50 of 100.
    Borderline,
    /// Fewer.
    OutOfReach,
}

impl Verdict {
    /// The verdict of a probability, compared unrounded.
    pub fn of(probability: f64) -> Self {
        match probability {
            p if p >= 0.95 => Self::WithinReach,
            p if p >= 0.50 => Self::Borderline,
            _ => Self::OutOfReach,
        }
    }
}

/// How a further try, with other specimens of tool and pack and on another day, scatters about the typical
/// run: by the scatters of these and of runs, each with the doubt about the mean, and the rig's
/// calibration.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Prediction {
    /// Standard deviation of the logarithm, S.
    pub sd: f64,
    /// Degrees of freedom, not necessarily whole.
    pub nu: f64,
}

impl Prediction {
    /// Of a try on another tool specimen, with another pack specimen, on another day, from the terms of
    /// its difference from the typical run ([`Shares::of_further_try`]) and the relative standard
    /// uncertainty of calibration, which is taken as known:
    /// S² = s_u²(1 + Σw²) + s_p²(1 + Σw²) + s_d² + Σ v w² + s_r²(1 + q) + u_cal².
    ///
    /// [`Shares::of_further_try`]: crate::scatter::shares::Shares::of_further_try
    pub fn further(terms: &Terms, calibration: f64) -> Self {
        Self::of(&terms.all(), calibration)
    }

    /// Of such a try with a combination nobody ran, with the scatter of its estimated level about the
    /// true one, s_e²; the terms are those of what is behind its pack's effect
    /// ([`Shares::of_pack_effect`]): S² = s_u² + s_p²(1 + Σw²) + s_d² + Σ v w² + s_r² + s_e² + u_cal².
    ///
    /// [`Shares::of_pack_effect`]: crate::scatter::shares::Shares::of_pack_effect
    pub fn further_estimated(terms: &Terms, level: Scatter, calibration: f64) -> Self {
        let mut parts = terms.all();
        parts.push(level);
        Self::of(&parts, calibration)
    }

    fn of(parts: &[Scatter], calibration: f64) -> Self {
        let estimated: f64 = parts.iter().map(|part| part.variance).sum();
        let variance = estimated + calibration * calibration;
        Self {
            sd: variance.sqrt(),
            nu: welch_satterthwaite(variance, parts),
        }
    }

    /// Probability that a further try holds `needed_nm` where the typical run is at `typical_nm`.
    pub fn probability(&self, typical_nm: f64, needed_nm: f64) -> f64 {
        student::distribution(
            (libm::log(typical_nm) - libm::log(needed_nm)) / self.sd,
            self.nu,
        )
    }

    /// How far from the typical run a try is held with this probability: S·t, a factor's logarithm.
    pub fn margin(&self, probability: f64) -> f64 {
        self.sd * student::quantile(probability, self.nu)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_loss_asks_for_more() {
        assert_eq!(required_torque_nm(650.0, 1.5, 0.0), 975.0);
        assert_eq!(required_torque_nm(100.0, 1.0, 50.0), 200.0);
    }

    #[test]
    fn verdicts_are_compared_unrounded() {
        assert_eq!(Verdict::of(0.95), Verdict::WithinReach);
        assert_eq!(Verdict::of(0.949_999), Verdict::Borderline);
        assert_eq!(Verdict::of(0.5), Verdict::Borderline);
        assert_eq!(Verdict::of(0.499_999), Verdict::OutOfReach);
    }

    #[test]
    fn a_try_at_the_typical_torque_is_even() {
        let known = Scatter {
            variance: 1e-4,
            nu: 9.0,
        };
        let terms = Terms {
            specimens: known.scaled(2.0),
            packs: known.scaled(0.0),
            days: known,
            runs: vec![known.scaled(1.25)],
        };
        let further = Prediction::further(&terms, 0.01);
        assert_eq!(further.probability(650.0, 650.0), 0.5);
        let held = 650.0 * libm::exp(-further.margin(0.95));
        assert!((further.probability(650.0, held) - 0.95).abs() < 1e-12);
    }
}
