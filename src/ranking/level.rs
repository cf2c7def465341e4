//! A level whose error is known, with what it shares with the errors of others.

use crate::scatter::Scatter;
use crate::scatter::shares::{Factor, Scatters, Shares};
use crate::sort;
use crate::special::normal;

/// The error of a level, and what is behind it.
#[derive(Clone, Debug, PartialEq)]
pub struct Doubt {
    /// Standard error of the level, above 0.
    pub se: f64,
    /// Degrees of freedom of its square.
    pub nu: f64,
    /// Tool of the level.
    pub tool: usize,
    /// What the error moves by for one standard deviation of each factor's effect, sorted by factor.
    pub loadings: Vec<(Factor, f64)>,
}

impl Doubt {
    /// Of a mean over the runs of one tool, by its shares; `run` is the tool's run scatter.
    pub fn of(tool: usize, shares: &Shares, scatters: &Scatters, run: Scatter) -> Self {
        let total = shares.terms(scatters, |_| run).total();
        Self {
            se: total.variance.sqrt(),
            nu: total.nu,
            tool,
            loadings: shares.loadings(scatters),
        }
    }
}

/// What takes part in a ranking, for its interval.
pub trait Doubtful {
    /// The level at a point of the course. Does not fall along it.
    fn at(&self, course: f64) -> f64;

    /// The first point of the course at which the level is at least `level`.
    fn comes_to(&self, level: f64) -> f64;

    /// Its error.
    fn doubt(&self) -> &Doubt;
}

/// Two errors are never taken as one.
const LARGEST_CORRELATION: f64 = 0.999;

/// What others have in common never takes more of the variance away than this.
const MOST_TAKEN: f64 = 0.9;

/// What the others of a field come to at a node.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct AtNode {
    /// Σ p.
    pub ahead: f64,
    /// U = Σ p(1 − p).
    pub apart: f64,
    /// Of what the others share.
    pub shared: Shared,
}

/// What others share with one and with each other, at a point of the course.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Shared {
    /// L − Σ a_d C_cd over K.
    pub with_own: f64,
    /// Σ_f (A_f² − B_f) − (L² − Σ a_d² C_cd² over K)/se_c².
    pub with_each_other: f64,
}

impl AtNode {
    /// Adds the chance of one to be ahead.
    pub fn add(&mut self, chance: f64) {
        self.ahead += chance;
        self.apart += chance * (1.0 - chance);
    }

    /// Takes the chance of one to be ahead away.
    pub fn take(&mut self, chance: f64) {
        self.ahead -= chance;
        self.apart -= chance * (1.0 - chance);
    }

    /// Mean and variance of the rank among `count`.
    pub fn moments(&self, z: f64, se: f64, count: usize) -> (f64, f64) {
        let mean = 1.0 + self.ahead + z / se * self.shared.with_own;
        let apart = self.apart.max(0.0);
        let shared = self.shared.with_each_other.max(-MOST_TAKEN * apart);
        (mean.max(1.0).min(count as f64), apart + shared)
    }
}

/// A level with what its error shares, by the numbers of the factors.
pub(super) struct Entry<'l> {
    pub level: &'l dyn Doubtful,
    /// λ of each factor.
    pub loadings: Vec<(usize, f64)>,
}

impl Entry<'_> {
    pub fn doubt(&self) -> &Doubt {
        self.level.doubt()
    }

    /// The level at a point of the course, in standard errors.
    pub fn errors_at(&self, course: f64) -> f64 {
        self.level.at(course) / self.doubt().se
    }

    /// Covariance of the errors of this and another.
    pub fn covariance(&self, other: &Self) -> f64 {
        let common =
            |(factor, own): &(usize, f64)| Some(own * sort::find(&other.loadings, factor)?);
        self.loadings.iter().filter_map(common).sum()
    }

    /// What the errors of this and another have to do with each other.
    pub fn with(&self, other: &Self) -> Both {
        let covariance = self.covariance(other);
        let rho = covariance / (self.doubt().se * other.doubt().se);
        let rho = rho.min(LARGEST_CORRELATION);
        Both {
            covariance,
            rho,
            rest: 1.0 / (1.0 - rho * rho).sqrt(),
        }
    }
}

/// What the errors of two have to do with each other.
#[derive(Clone, Copy, Debug)]
pub(super) struct Both {
    /// Their covariance.
    pub covariance: f64,
    /// Their correlation ρ.
    rho: f64,
    /// 1/√(1 − ρ²).
    rest: f64,
}

impl Both {
    /// The level of the other, which is at `errors` of its standard errors, in what is left of its
    /// error where one's own is `z` standard errors: Φ of it is the other's chance to be ahead.
    pub fn left_of(&self, errors: f64, z: f64) -> f64 {
        (errors + self.rho * z) * self.rest
    }
}

/// What a chance to be ahead moves by for an error: φ(x)/se.
pub(super) fn steepness(errors: f64, se: f64) -> f64 {
    normal::density(errors) / se
}
