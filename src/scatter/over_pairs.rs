//! The mean over pairs of a difference between two ways of running each, such as two setups.

use super::Scatter;
use super::difference::Difference;
use super::shares::{Scatters, Shares};

/// A pair that was run in two ways.
#[derive(Clone, Debug, PartialEq)]
pub struct Paired {
    /// The difference of its two means of a logarithm.
    pub log: f64,
    /// The shares of that difference.
    pub shares: Shares,
}

/// What is known beforehand of how much the difference varies from pair to pair weighs this many degrees
/// of freedom.
const PRIOR_NU: f64 = 2.0;

/// The mean over pairs, as it speaks of pairs of this kind and not only of those that were run; `None`
/// without a pair. `run` is the run scatter of a tool, `beforehand` the variance from pair to pair known
/// beforehand.
///
/// The mean is a sum over runs with fixed weights, whose variance is that of its [`Shares`]. To it comes
/// s²/P over P pairs, s² the variance from pair to pair: what the variance of the P differences has
/// beyond what their own errors give it, (Σ Var(d) − P Var(d̄))/(P − 1), by the method of moments
/// (DerSimonian and Laird 1986, "Meta-analysis in clinical trials", Controlled Clinical Trials 7,
/// 177–188), held by two degrees of freedom of what is known beforehand. Degrees of freedom are those
/// of Welch and Satterthwaite over all terms.
pub fn over_pairs(
    pairs: &[Paired],
    scatters: &Scatters,
    run: impl Fn(usize) -> Scatter + Copy,
    beforehand: f64,
) -> Option<Difference> {
    let count = pairs.len() as f64;
    let mean = pairs.iter().map(|pair| pair.log).sum::<f64>() / count;
    let all = Shares::combined(pairs.iter().map(|pair| (1.0 / count, &pair.shares)));
    let mut terms = all.terms(scatters, run);
    let own = |pair: &Paired| pair.shares.terms(scatters, run).total().variance;
    let of_errors = pairs.iter().map(own).sum::<f64>() - count * terms.total().variance;
    let squares = pairs
        .iter()
        .map(|pair| (pair.log - mean) * (pair.log - mean));
    let excess = squares.sum::<f64>() - of_errors;
    let between = from_pair_to_pair(excess, count - 1.0, beforehand);
    terms.runs.push(between.scaled(1.0 / count));
    (!pairs.is_empty()).then(|| Difference::of_terms(mean, &terms))
}

/// The variance from pair to pair of `nu` degrees of freedom, from the sum of squares beyond errors.
fn from_pair_to_pair(excess: f64, nu: f64, beforehand: f64) -> Scatter {
    let held = (PRIOR_NU * beforehand + excess) / (PRIOR_NU + nu);
    Scatter {
        variance: held.max(0.0),
        nu: PRIOR_NU + nu,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scatter::cells::Run;

    fn scatters() -> Scatters {
        let known = |variance| Scatter {
            variance,
            nu: f64::INFINITY,
        };
        Scatters {
            specimen: known(0.0),
            pack: known(0.0),
            day: known(0.0004),
            corrected_days: Vec::new(),
        }
    }

    /// A pair run three times on each of two days, the second in the other way.
    fn paired(pair: usize, log: f64, day: usize) -> Paired {
        let run = |day| Run {
            tool: pair,
            pair,
            specimen: pair,
            pack: pair,
            day,
        };
        let shares = Shares::of_mean(&[run(day); 3]).less(&Shares::of_mean(&[run(day + 1); 3]));
        Paired { log, shares }
    }

    #[test]
    fn what_pairs_differ_by_beyond_their_errors_widens_the_interval() {
        let run = |_| Scatter {
            variance: 0.0006,
            nu: 40.0,
        };
        let of = |logs: [f64; 3]| {
            let pairs = [0, 1, 2].map(|pair| paired(pair, logs[pair], 2 * pair));
            over_pairs(&pairs, &scatters(), run, 0.0003).unwrap()
        };
        // Each difference has 2 · 0.0004 + 2 · 0.0006/3 = 0.0012; the mean of three a third of it.
        let alike = of([0.1; 3]);
        assert!((alike.log - 0.1).abs() < 1e-15);
        // Held: (2 · 0.0003 + 0 − 2 · 0.0012)/4 is below 0.
        assert!((alike.sd - 0.0004_f64.sqrt()).abs() < 1e-15, "{alike:?}");
        // Squares 0.02; beyond errors 0.0176; (0.0006 + 0.0176)/4 = 0.00455.
        let apart = of([0.0, 0.1, 0.2]);
        let wanted = (0.0004 + 0.00455 / 3.0_f64).sqrt();
        assert!((apart.sd - wanted).abs() < 1e-12, "{apart:?}");
        assert!(apart.nu < 8.0, "{apart:?}");
    }

    #[test]
    fn a_day_on_which_all_were_run_does_not_average_out() {
        let run = |_| Scatter {
            variance: 0.0006,
            nu: 40.0,
        };
        let pairs = [0, 1, 2].map(|pair| paired(pair, 0.1, 0));
        let found = over_pairs(&pairs, &scatters(), run, 0.0).unwrap();
        // Days: 2 · 0.0004; runs: 2 · 0.0006/9.
        assert!((found.sd - (0.0008 + 0.0012 / 9.0_f64).sqrt()).abs() < 1e-15);
        assert!(over_pairs(&[], &scatters(), run, 0.0).is_none());
    }
}
