//! Combinations nobody ran: their level from those of the same tool and of the same pack.
//!
//! The level of a combination, the logarithm of some torque, is that of its tool, plus the effect of
//! its pack, plus what just these two make of each other (interaction), plus the error of its mean:
//!
//! y = tool + pack + interaction + error
//!
//! Tools differ far more than what is not known about one of them, so each stands for itself. Packs
//! differ little: their effects are drawn from a normal distribution, so a pack that was run with
//! few tools is drawn towards the others ("shrunk"). Interactions are drawn from another, errors
//! have known variances, and covariances where combinations of one tool share specimens. Estimates
//! are best linear unbiased predictions by the mixed-model equations, the tools' absorbed (Henderson
//! 1975, "Best linear unbiased estimation and prediction under a selection model", Biometrics 31,
//! 423–447).
//!
//! Tools and packs that no chain of measured combinations links say nothing of each other: each
//! group of them has equations of its own. The two variances are the field's.

mod group;

use crate::leaps::{self, Bounds};
use crate::scatter::{LEAST_NU, Scatter};
use group::{Group, Slopes, Variances};

/// A measured combination.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Measured {
    /// Its tool.
    pub tool: usize,
    /// Its pack.
    pub pack: usize,
    /// Its level: the mean of the logarithm of a torque over its runs.
    pub level: f64,
}

/// An estimated level.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Estimate {
    /// The level.
    pub level: f64,
    /// How far the level of the expected specimen may be from it, interaction included.
    pub scatter: Scatter,
}

/// What a field says about the combinations nobody ran.
#[derive(Debug)]
pub struct Model {
    groups: Vec<Group>,
    /// Variance of the packs' effects.
    pub packs: f64,
    /// Variance of the interactions.
    pub interaction: Scatter,
    /// How far estimates of measured combinations, each from all others, are from what was measured:
    /// root of the mean square.
    pub off_by: f64,
}

/// What is known beforehand about the interaction weighs this many degrees of freedom.
const PRIOR_NU: f64 = 2.0;

/// Variances are sought between a tenth of a per cent, squared, and as much as no tools and packs differ
/// by.
const BOUNDS: Bounds = Bounds {
    least: 1e-6,
    most: 1.0,
};

impl Model {
    /// Fits a field. `covariance` is that of the errors of two measured combinations of one tool, by
    /// their indices, of one with itself the variance of its error; `beforehand` the interaction's
    /// variance known beforehand. `None` where the field has too few combinations to say.
    pub fn of(
        measured: &[Measured],
        covariance: impl Fn(usize, usize) -> f64,
        beforehand: f64,
    ) -> Option<Self> {
        let mut groups = group::linked(measured, covariance)?;
        // Combinations less what they are explained by: tools and packs, one of which is free in
        // each group.
        let free: usize = groups.iter().map(Group::free).sum();
        if (free as f64) < LEAST_NU {
            return None;
        }
        let variances = restricted_likelihood(&mut groups, beforehand)?;
        let mut squares = (0.0, 0.0);
        for group in &groups {
            group.leave_one_out(&mut squares);
        }
        Some(Self {
            packs: variances.packs,
            interaction: Scatter {
                variance: variances.interaction,
                nu: free as f64 + PRIOR_NU,
            },
            off_by: (squares.0 / squares.1).sqrt(),
            groups,
        })
    }

    /// How many combinations that were not measured can be estimated.
    pub fn not_measured(&self) -> usize {
        self.groups.iter().map(Group::not_measured).sum()
    }

    /// The level of a combination that was not measured; `None` unless its tool and its pack were
    /// each run with others, and are linked by them.
    pub fn estimate(&self, tool: usize, pack: usize) -> Option<Estimate> {
        let (level, variance) = self
            .groups
            .iter()
            .find_map(|group| group.predict(tool, pack))?;
        Some(Estimate {
            level,
            scatter: Scatter {
                variance: variance + self.interaction.variance,
                nu: self.interaction.nu,
            },
        })
    }
}

/// The variances of packs and interactions by restricted maximum likelihood (Patterson and Thompson
/// 1971, "Recovery of inter-block information when block sizes are unequal", Biometrika 58, 545–554),
/// that of the interactions held by two degrees of freedom of what is known beforehand. Fits the
/// groups with them.
///
/// Each round multiplies a variance by the ratio that is 1 where the likelihood is largest (Harville
/// 1977, "Maximum likelihood approaches to variance component estimation and to related problems",
/// Journal of the American Statistical Association 72, 320–338; for effects in the form of Schall
/// 1991, "Estimation in generalized linear models with random effects", Biometrika 78, 719–727).
fn restricted_likelihood(groups: &mut [Group], beforehand: f64) -> Option<Variances> {
    let [packs, interaction] = leaps::settle([beforehand; 2], BOUNDS, |[packs, interaction]| {
        round(groups, Variances { packs, interaction }, beforehand)
    })?;
    let variances = Variances { packs, interaction };
    for group in groups {
        group.fit(variances)?;
    }
    Some(variances)
}

/// One round: the variances of packs and interactions.
fn round(groups: &mut [Group], variances: Variances, beforehand: f64) -> Option<[f64; 2]> {
    let mut slopes = Slopes::default();
    for group in groups {
        group.fit(variances)?;
        group.add_slopes(&mut slopes);
    }
    let own = variances.interaction;
    Some([
        slopes.pack_squares / slopes.pack_trace,
        own * (slopes.squares + PRIOR_NU * beforehand / (own * own))
            / (slopes.trace + PRIOR_NU / own),
    ])
}
