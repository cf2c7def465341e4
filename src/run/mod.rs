//! One run: samples of a log to a build-up curve, its knots and its measures.
//!
//! [`samples`] merges repeated time stamps, [`running_median`] takes out dips and spikes, [`onset`]
//! finds where the run begins, [`zero`] says whether the part before is flat, [`isotonic`] fits the
//! curve that cannot fall, [`reduce`] puts these together, [`simplify`] thins the curve to the
//! published form, [`curve`] answers questions about it,
//! [`crossing`] finds when a curve reaches a torque and [`measures`] takes the figures that need
//! no job. [`instants`] are those at which runs are taken together.

pub mod isotonic;
pub mod running_median;
pub mod crossing;
pub mod curve;
pub mod electrical;
pub mod simplify;
pub mod instants;
pub mod measures;
pub mod onset;
pub mod reduce;
pub mod samples;
pub mod zero;

/// Below this, in N·m, a torque counts as this much where its logarithm is taken: a noisy run may
/// begin at or below zero.
pub const LEAST_TORQUE_NM: f64 = 0.1;

/// A time to a torque below this, in seconds, counts as this much in a quotient.
pub const LEAST_TIME_S: f64 = 0.001;
