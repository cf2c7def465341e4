//! The figures of a run that need no job.

use super::curve::Curve;

/// Measures of one run over the rig's window.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Measures {
    /// Peak torque: the curve at its end, in N·m.
    pub peak_nm: f64,
    /// Mean torque over the window: (1/τ) ∫ H dt, in N·m.
    pub mean_nm: f64,
    /// Early torque: H at one second, in N·m.
    pub early_nm: f64,
}

/// When early torque is read, in seconds.
pub const EARLY_S: f64 = 1.0;

impl Measures {
    /// The measures of a curve over a window in seconds, above 0.
    pub fn of(curve: &Curve, window_s: f64) -> Self {
        Self {
            peak_nm: curve.peak_nm(),
            mean_nm: curve.impulse(window_s) / window_s,
            early_nm: curve.torque_at(EARLY_S),
        }
    }

    /// The same with mean and early torque in whole thousandths of a N·m, rounded half away from zero,
    /// as a summary stores them.
    #[must_use]
    pub fn rounded(self) -> Self {
        let rounded = |torque_nm: f64| (torque_nm * 1e3).round() / 1e3;
        Self {
            mean_nm: rounded(self.mean_nm),
            early_nm: rounded(self.early_nm),
            ..self
        }
    }

    /// Those of the curve with every torque multiplied.
    #[must_use]
    pub fn scaled(self, factor: f64) -> Self {
        Self {
            peak_nm: self.peak_nm * factor,
            mean_nm: self.mean_nm * factor,
            early_nm: self.early_nm * factor,
        }
    }
}
