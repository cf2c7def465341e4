//! How much runs, tools of one model, packs of one kind and days differ.
//!
//! Near the point a question asks about, a run is its combination's curve, scaled: the logarithm of
//! the number asked for is that of the combination, plus effects of the tool's specimen, of the pack's
//! and of the day, plus one of the run. [`components`] takes sums of squares, [`run`] is the scatter of
//! runs, moderated between tools, and [`by_time`] what a pair's are at any instant. [`cells`] sorts runs
//! by what they have in common, [`effects`] are the scatters of specimens, pack specimens and days that
//! `likelihood` finds, and [`shares`] is the one rule for the variance of a sum over runs, in its
//! [`terms`]. [`difference`] and [`over_pairs`] use it.

pub mod best_of_three;
pub mod by_time;
pub mod cells;
pub mod components;
pub mod difference;
pub mod effects;
#[cfg(not(target_arch = "wasm32"))]
mod likelihood;
pub mod over_pairs;
pub mod run;
pub mod shares;
pub mod terms;

/// A scatter as a variance of logarithms, and how many degrees of freedom it rests on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Scatter {
    /// Variance.
    pub variance: f64,
    /// Degrees of freedom, not necessarily whole; infinite if the variance is taken as known.
    pub nu: f64,
}

impl Scatter {
    /// That of an effect times the square root of a factor, of 0 or more.
    pub fn scaled(self, factor: f64) -> Self {
        Self {
            variance: self.variance * factor,
            ..self
        }
    }
}

/// Below these degrees of freedom of the pooled run scatter there are too few runs to say.
pub const LEAST_NU: f64 = 3.0;

/// A standard deviation below 0.1 % counts as 0.1 %: runs that agree better do so by luck.
const LEAST_VARIANCE: f64 = 1e-6;

/// Degrees of freedom of a sum of variances of which `parts` are estimated and the rest is known:
/// `sum`² ÷ Σ variance²/ν (Welch 1947; Satterthwaite 1946; JCGM 100:2008, G.4.1), not rounded.
/// Infinite if nothing is estimated.
pub fn welch_satterthwaite(sum: f64, parts: &[Scatter]) -> f64 {
    let doubt: f64 = parts
        .iter()
        .map(|part| part.variance * part.variance / part.nu)
        .sum();
    sum * sum / doubt
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_known_adds_no_doubt() {
        let known = Scatter {
            variance: 4.0,
            nu: f64::INFINITY,
        };
        assert_eq!(welch_satterthwaite(4.0, &[known]), f64::INFINITY);
        let estimated = Scatter {
            variance: 4.0,
            nu: 5.0,
        };
        assert_eq!(welch_satterthwaite(4.0, &[estimated]), 5.0);
        assert_eq!(welch_satterthwaite(8.0, &[known, estimated]), 20.0);
    }
}
