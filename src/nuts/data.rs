//! What real nuts that were tried say of others.

use crate::query::condition::Checked;
use serde::Serialize;

/// Nuts of one state that were tried with pairs of the field, on which a verdict is possible: each names
/// its pair, the torque it was tightened to and whether it came loose.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct NutsTried {
    /// Which nuts: what to ask with as the question's `condition`.
    pub condition: Checked,
    /// How many were tried.
    pub checks: u32,
    /// Of how many groups: nuts of one date, fastener, tool and state share their past.
    pub groups: u32,
    /// How many came loose.
    pub loose: u32,
    /// The smallest factor at which one came loose, by what its pair had built up by then; `null` if
    /// none did.
    pub loose_from: Option<f64>,
    /// The largest.
    pub loose_to: Option<f64>,
    /// The factor that half of such nuts stay below; `null` where too few were tried to say.
    pub factor: Option<f64>,
    /// The factor that 19 of 20 such nuts stay below.
    pub factor_19_of_20: Option<f64>,
    /// How many were tried and how many of them came loose, in words.
    pub words: String,
    /// What takes the factor, in words; `null` where there is none.
    pub take: Option<String>,
}
