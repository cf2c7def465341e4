//! Specimen scatter: how much tools of one model differ. Once for a field, from ln mean torque.

use super::Scatter;

/// What is known beforehand weighs this many degrees of freedom against the few specimens tested.
const PRIOR_NU: f64 = 2.0;

/// How much tools of one model differ.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SpecimenScatter {
    /// The scatter used.
    pub scatter: Scatter,
    /// Whether some combination was run on a second specimen; if not, the scatter is assumed.
    pub measured: bool,
}

impl SpecimenScatter {
    /// From the values of each combination, its runs' ln mean torque by specimen; `run_variance`,
    /// their pooled run scatter; `tool_df`, the sum over tools of specimens less one; and
    /// `beforehand`, the standard deviation known beforehand.
    ///
    /// One-way components of variance by the method of moments (layout of ISO 5725-2), held by
    /// two degrees of freedom of what is known beforehand.
    pub fn of(
        combinations: &[Vec<Vec<f64>>],
        run_variance: f64,
        tool_df: f64,
        beforehand: f64,
    ) -> Self {
        let known = beforehand * beforehand;
        let (mut excess, mut df) = (0.0, 0.0);
        for specimens in combinations.iter().filter(|specimens| specimens.len() >= 2) {
            let count = specimens.len() as f64;
            let means: Vec<f64> = specimens
                .iter()
                .map(|runs| runs.iter().sum::<f64>() / runs.len() as f64)
                .collect();
            let mean = means.iter().sum::<f64>() / count;
            let squares: f64 = means.iter().map(|own| (own - mean) * (own - mean)).sum();
            let share = specimens
                .iter()
                .map(|runs| 1.0 / runs.len() as f64)
                .sum::<f64>()
                / count;
            excess += squares - (count - 1.0) * run_variance * share;
            df += count - 1.0;
        }
        if df == 0.0 || tool_df == 0.0 {
            return Self {
                scatter: Scatter {
                    variance: known,
                    nu: f64::INFINITY,
                },
                measured: false,
            };
        }
        let nu = tool_df + PRIOR_NU;
        let variance = ((tool_df * excess / df + PRIOR_NU * known) / nu).max(0.0);
        Self {
            scatter: Scatter { variance, nu },
            measured: true,
        }
    }
}
