//! Two combinations side by side: how far apart they are, whether they match, who leads and when.
//!
//! Everything is a difference of means of logarithms, so that a ratio has an interval. What two
//! means share cancels: the luck of specimens that both were run on.

use super::terms::Terms;
use super::{Scatter, welch_satterthwaite};
use crate::special::student;

/// Two-sided 90 %: the upper quantile.
const UPPER: f64 = 0.95;

/// The mean of the logarithm of a number over the runs of a combination.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mean {
    /// The mean: over the runs of each specimen, then over specimens.
    pub log: f64,
    /// Scatter of runs about it.
    pub run: Scatter,
    /// Effective share of the runs, q = Σ(1/runs)/specimens².
    pub share: f64,
    /// Specimens of the tool behind it.
    pub specimens: usize,
}

impl Mean {
    /// Standard error and its degrees of freedom: se² = s_u²/m + s_r² q.
    pub fn standard_error(&self, specimen: Scatter) -> (f64, f64) {
        spread(&[
            specimen.scaled(1.0 / self.specimens as f64),
            self.run.scaled(self.share),
        ])
    }
}

/// The difference of two logarithms, and how sure it is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Difference {
    /// The first less the second.
    pub log: f64,
    /// Standard deviation of it.
    pub sd: f64,
    /// Degrees of freedom of the standard deviation.
    pub nu: f64,
}

impl Difference {
    /// Of two means; `common` specimens are behind both.
    ///
    /// s_d² = se_a² + se_b² − 2 s_u² k/(m_a m_b), with degrees of freedom by Welch and
    /// Satterthwaite over the same terms (Welch 1947, "The generalization of 'Student's' problem
    /// when several different population variances are involved").
    pub fn of_means(a: &Mean, b: &Mean, specimen: Scatter, common: usize) -> Self {
        let specimens = not_shared(a, b, common);
        Self::new(a, b, specimen.scaled(specimens), (a.share, b.share))
    }

    /// Of a further try of each, on one specimen of one tool, or each on a specimen of its own.
    pub fn of_tries(a: &Mean, b: &Mean, specimen: Scatter, common: usize, one_tool: bool) -> Self {
        let fresh = if one_tool { 0.0 } else { 2.0 };
        let specimens = not_shared(a, b, common) + fresh;
        let shares = (1.0 + a.share, 1.0 + b.share);
        Self::new(a, b, specimen.scaled(specimens), shares)
    }

    /// A difference with the terms of its variance: of two pairs of these kinds of tools and packs, or,
    /// with [`Terms::as_tested`], of these very tools and packs.
    pub fn of_terms(log: f64, terms: &Terms) -> Self {
        let total = terms.total();
        Self {
            log,
            sd: total.variance.sqrt(),
            nu: total.nu,
        }
    }

    /// The mean over pairs of the difference between two ways of running each; `None` without a pair.
    ///
    /// It is a sum over runs with fixed weights, so its variance is that of the sum: with P pairs,
    /// s_u² Σ cov(pair, pair') ÷ P² + Σ s_r² q ÷ P² (propagation of independent effects, JCGM
    /// 100:2008, 5.1.2), with degrees of freedom by Welch and Satterthwaite. It speaks of the pairs
    /// that were run: how far the difference varies from pair to pair is not in it.
    pub fn over_pairs(pairs: &[PairedMeans], specimen: Scatter) -> Option<Self> {
        let count = pairs.len() as f64;
        let each = pairs
            .iter()
            .map(|pair| pair.means[0].log - pair.means[1].log);
        let luck = pairs
            .iter()
            .flat_map(|a| pairs.iter().map(|b| shared_luck(a, b)));
        let luck = luck.sum::<f64>().max(0.0) / (count * count);
        let mut parts = vec![specimen.scaled(luck)];
        // One estimate for the runs of several pairs is one term: its doubt does not average out.
        let mut runs: Vec<(Scatter, f64)> = Vec::new();
        for mean in pairs.iter().flat_map(|pair| &pair.means) {
            let share = mean.share / (count * count);
            match runs.iter_mut().find(|(run, _)| *run == mean.run) {
                Some((_, sum)) => *sum += share,
                None => runs.push((mean.run, share)),
            }
        }
        parts.extend(runs.iter().map(|(run, share)| run.scaled(*share)));
        let (sd, nu) = spread(&parts);
        (!pairs.is_empty()).then(|| Self {
            log: each.sum::<f64>() / count,
            sd,
            nu,
        })
    }

    fn new(a: &Mean, b: &Mean, specimen: Scatter, shares: (f64, f64)) -> Self {
        // One estimate for both runs' scatter is one term: its doubt does not average out.
        let (sd, nu) = if a.run == b.run {
            spread(&[specimen, a.run.scaled(shares.0 + shares.1)])
        } else {
            spread(&[specimen, a.run.scaled(shares.0), b.run.scaled(shares.1)])
        };
        Self {
            log: a.log - b.log,
            sd,
            nu,
        }
    }

    /// The 90 % interval, lower and upper end.
    pub fn interval(&self) -> (f64, f64) {
        let half = self.sd * student::quantile(UPPER, self.nu);
        (self.log - half, self.log + half)
    }

    /// Probability that the first is the larger. With equal scatters s and a difference of d·s
    /// between two tries whose means are known, Φ(d/√2).
    pub fn chance(&self) -> f64 {
        student::distribution(self.log / self.sd, self.nu)
    }
}

/// A pair that was run in two ways, such as two setups.
#[derive(Clone, Debug)]
pub struct PairedMeans<'a> {
    /// Its tool.
    pub tool: usize,
    /// Its means in the two ways.
    pub means: [Mean; 2],
    /// Marks of the specimens of its tool that were run in each way.
    pub specimens: [Vec<Option<&'a str>>; 2],
}

/// The covariance of two pairs' differences between two ways, in units of the specimen scatter's
/// variance: Σ ±k/(m m'), k the specimens that two means have in common, m and m' those of each.
fn shared_luck(a: &PairedMeans, b: &PairedMeans) -> f64 {
    if a.tool != b.tool {
        return 0.0;
    }
    let mut sum = 0.0;
    for (i, own) in a.specimens.iter().enumerate() {
        for (j, other) in b.specimens.iter().enumerate() {
            let common = own.iter().filter(|mark| other.contains(mark)).count();
            let sign = if i == j { 1.0 } else { -1.0 };
            sum += sign * common as f64 / (own.len() * other.len()) as f64;
        }
    }
    sum
}

/// What part of the specimen scatter stays in a difference of means: 1/m_a + 1/m_b − 2k/(m_a m_b).
fn not_shared(a: &Mean, b: &Mean, common: usize) -> f64 {
    let (of_a, of_b, common) = (a.specimens as f64, b.specimens as f64, common as f64);
    (of_a + of_b - 2.0 * common) / (of_a * of_b)
}

/// Standard deviation of a sum, and its degrees of freedom.
fn spread(parts: &[Scatter]) -> (f64, f64) {
    let variance: f64 = parts.iter().map(|part| part.variance).sum();
    (variance.sqrt(), welch_satterthwaite(variance, parts))
}

/// Whether two are alike.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Equivalence {
    /// The whole interval of their ratio lies within the margin: at most one pair in twenty that
    /// truly differs by the margin passes (Schuirmann 1987, two one-sided tests).
    Match,
    /// The interval does not hold 1.
    Differ,
    /// Neither.
    Undecided,
}

impl Equivalence {
    /// By the interval of a difference of logarithms and the margin in per cent, fixed beforehand;
    /// without a margin nothing matches.
    pub fn of((low, high): (f64, f64), margin_percent: Option<f64>) -> Self {
        let within = |percent: f64| {
            let margin = libm::log1p(percent / 100.0);
            -margin <= low && high <= margin
        };
        if margin_percent.is_some_and(within) {
            Self::Match
        } else if low > 0.0 || high < 0.0 {
            Self::Differ
        } else {
            Self::Undecided
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn scatter(percent: f64, nu: f64) -> Scatter {
        Scatter {
            variance: percent * percent / 1e4,
            nu,
        }
    }

    fn mean(log: f64, runs: f64, specimens: usize) -> Mean {
        Mean {
            log,
            run: scatter(2.0, 40.0),
            share: 1.0 / runs,
            specimens,
        }
    }

    #[test]
    fn the_luck_of_specimens_in_common_cancels() {
        let (a, b, specimen) = (mean(0.1, 3.0, 2), mean(0.0, 3.0, 2), scatter(5.0, 4.0));
        let same = Difference::of_means(&a, &b, specimen, 2);
        // Two specimens of each, both in common: 0.02 √(1/3 + 1/3) is left, on the runs alone.
        assert!((same.sd - 0.02 * (2.0_f64 / 3.0).sqrt()).abs() < 1e-15);
        assert!((same.nu - 40.0).abs() < 1e-9);
        // One of two in common: s_u² (1/2 + 1/2 − 2/4) = s_u²/2 stays.
        let half = Difference::of_means(&a, &b, specimen, 1);
        let wanted = (0.0025_f64 / 2.0 + 0.0004 * 2.0 / 3.0).sqrt();
        assert!((half.sd - wanted).abs() < 1e-15);
        let none = Difference::of_means(&a, &b, specimen, 0);
        let wanted = (0.0025_f64 + 0.0004 * 2.0 / 3.0).sqrt();
        assert!((none.sd - wanted).abs() < 1e-15);
    }

    #[test]
    fn tries_on_one_tool_do_not_differ_by_its_specimen() {
        let (a, b, specimen) = (mean(0.1, 4.0, 1), mean(0.0, 4.0, 1), scatter(3.0, 5.0));
        let one = Difference::of_tries(&a, &b, specimen, 1, true);
        assert!((one.sd - (2.0_f64 * 0.0004 * 1.25).sqrt()).abs() < 1e-15);
        let two = Difference::of_tries(&a, &b, specimen, 0, false);
        let wanted = (2.0_f64 * 0.0004 * 1.25 + 4.0 * 0.0009).sqrt();
        assert!((two.sd - wanted).abs() < 1e-15);
        assert!(two.chance() < one.chance() && two.chance() > 0.5);
    }

    #[test]
    fn a_match_lies_within_the_margin_as_a_factor() {
        let within = libm::log1p(0.03);
        assert_eq!(
            Equivalence::of((-within, within), Some(3.0)),
            Equivalence::Match
        );
        assert_eq!(
            Equivalence::of((0.001, within), Some(3.0)),
            Equivalence::Match
        );
        assert_eq!(
            Equivalence::of((-within - 1e-9, within), Some(3.0)),
            Equivalence::Undecided
        );
        assert_eq!(
            Equivalence::of((0.001, 0.0299), Some(3.0)),
            Equivalence::Differ
        );
        assert_eq!(Equivalence::of((0.01, 0.2), Some(3.0)), Equivalence::Differ);
        assert_eq!(Equivalence::of((-0.2, -0.01), None), Equivalence::Differ);
        assert_eq!(
            Equivalence::of((-0.001, 0.001), None),
            Equivalence::Undecided
        );
    }
}
