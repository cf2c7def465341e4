//! What another setup costs in torque.

use serde::Serialize;

/// How much less torque a setup gives than the one asked for, over the pairs that were run in both.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct SetupCost {
    /// Identifier of the other setup.
    pub setup: String,
    /// What is changed in it.
    pub changed: Changed,
    /// Pairs that were run in both.
    pub pairs: u32,
    /// Torque lost in per cent: 100 (1 − ratio of typical mean torque), below 0 where it gives more.
    pub lost_percent: f64,
    /// Lower end of the 90 % interval; `null` where there are too few runs to say.
    pub low_percent: Option<f64>,
    /// Upper end of the 90 % interval.
    pub high_percent: Option<f64>,
    /// The loss as printed, to be asked with as the question's `loss_percent`; `null` where nothing
    /// stands between tool and nut, or nothing is lost.
    pub take_percent: Option<f64>,
    /// The measurement in words.
    pub words: String,
    /// What takes the loss, in words.
    pub take: Option<String>,
}

/// What a setup changes, and nothing else. The words are codes and do not change with the language.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "lowercase")]
pub enum Changed {
    /// An extension or adapters stand between tool and nut.
    Extension,
    /// The packs are colder or less full.
    Packs,
}
