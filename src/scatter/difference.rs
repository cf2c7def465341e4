//! The difference of two means of logarithms: how far apart, whether they match, how sure that is.
//!
//! A difference of logarithms is a ratio with an interval. What two means have in common, a specimen
//! of a tool, a pack or a day, cancels in it by its shares ([`super::shares`]).

use super::terms::Terms;
use crate::special::student;

/// Two-sided 90 %: the upper quantile.
const UPPER: f64 = 0.95;

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
    /// A difference with the terms of its variance: of two pairs of these kinds of tools and packs, or,
    /// with [`super::shares::Scatters::as_tested`], of these very tools and packs.
    pub fn of_terms(log: f64, terms: &Terms) -> Self {
        let total = terms.total();
        Self {
            log,
            sd: total.variance.sqrt(),
            nu: total.nu,
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
