//! An estimated pair.

use crate::estimate::Estimate;
use crate::scatter::Scatter;
use crate::scatter::shares::Shares;
use crate::typical::Combination;

/// An estimated pair.
#[derive(Debug)]
pub(crate) struct Estimated {
    pub tool: usize,
    pub pack: usize,
    /// Its typical curve: that of the tool's other packs, scaled to the estimated torque at the
    /// window's end.
    pub combination: Combination,
    /// What is behind the effect of its pack.
    pub pack_effect: Shares,
    /// How far that torque may be from the true one, as a logarithm.
    pub end: Scatter,
    /// The level when the visitor's patience ends.
    pub within: Estimate,
}
