//! What may be asked.

use super::condition::Condition;
use super::filter::{Narrowing, Order};
use crate::dataset::types::Direction;
use crate::units::TorqueUnit;
use serde::Deserialize;

/// A job, the tool and pack that shall do it, and the runs that shall answer.
///
/// Everything may be left out where the answer does not need it. One question serves a single
/// pair, a list and a whole table, so that they cannot speak of different things.
#[derive(Clone, Debug, Default, PartialEq, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
#[serde(default)]
pub struct Question {
    /// Identifier of the tool; any tool if absent.
    pub tool: Option<String>,
    /// Identifier of the pack; any that fits if absent.
    pub pack: Option<String>,
    /// Pairs laid over the chart of the answer, at most [`MOST_BESIDE`], none twice; all fit.
    pub beside: Vec<PairIds>,
    /// A torque with its unit as people write it, a bolt, or a job of the file by its identifier or name.
    pub job: Option<String>,
    /// Loosen or tighten; that of the file's job, or loosen, if absent.
    pub direction: Option<Direction>,
    /// Factor on the torque of a joint to be loosened, above 0 and at most 10, or `checked` (of aged nuts
    /// that were tried) or `checked-fresh`; 1 if absent.
    pub condition: Option<Condition>,
    /// Loss between anvil and fastener in per cent, from 0 to below 100; 0 if absent.
    pub loss_percent: Option<f64>,
    /// The visitor's patience in seconds, above 0 and at most the window; the window if absent.
    pub within_s: Option<f64>,
    /// Typical run or best of three; typical if absent.
    pub score: Option<Score>,
    /// Identifier of the setup; the file's first if absent.
    pub setup: Option<String>,
    /// Identifier of the rig; the file's first if absent.
    pub rig: Option<String>,
    /// Number of the edition; the newest if absent.
    pub edition: Option<u32>,
    /// What a table is ranked by; time if there is a job, else mean torque, if absent.
    pub by: Option<Measure>,
    /// ISO 4217 code of the prices that count; the field's only one if absent. Without it nothing is
    /// ordered or limited by price in a field that has several.
    pub currency: Option<String>,
    /// Which pairs a table and the pairs that reach a job show; all if absent.
    pub narrow: Option<Narrowing>,
    /// Code of the column that a table is sorted by, from the least up, or with a minus in front
    /// from the largest down; by place if absent.
    pub sort: Option<String>,
    /// What the pairs that reach the job are listed by; mass if absent.
    pub order: Option<Order>,
    /// The pair that stays in view where a long table is collapsed; no filter moves by it.
    pub chosen: Option<PairIds>,
    /// Whether a table compares the peak with the maker's stated figure.
    pub stated: Option<bool>,
    /// Unit of torque in the words of the answer; newton metres if absent.
    pub units: Option<TorqueUnit>,
}

/// How many pairs may be laid over a chart beside the one asked for.
pub const MOST_BESIDE: usize = 4;

/// A tool and a pack by their identifiers.
#[derive(Clone, Debug, Default, PartialEq, Eq, Deserialize, serde::Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub struct PairIds {
    /// Identifier of the tool.
    pub tool: String,
    /// Identifier of the pack.
    pub pack: String,
}

/// What a field is ranked by, once a job is given. Never mixed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize, serde::Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "kebab-case")]
pub enum Score {
    /// The typical run.
    #[default]
    Typical,
    /// The best of three runs.
    BestOfThree,
}

/// What a table may be ranked by.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, serde::Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "kebab-case")]
pub enum Measure {
    /// Time to the job, or the best-of-three score.
    Time,
    /// Mean torque over the window.
    Mean,
    /// Peak torque.
    Peak,
    /// Torque at one second.
    Early,
    /// Mean torque per kg of tool and pack.
    MeanPerKg,
    /// Peak torque per kg of tool and pack.
    PeakPerKg,
    /// Early torque per kg of tool and pack.
    EarlyPerKg,
    /// Mean torque per price of tool and pack.
    MeanPerPrice,
    /// Peak torque per price of tool and pack.
    PeakPerPrice,
    /// Early torque per price of tool and pack.
    EarlyPerPrice,
}

/// Which torque a measure reads, if it needs no job.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Level {
    /// Mean torque over the window.
    Mean,
    /// Peak torque.
    Peak,
    /// Torque at one second.
    Early,
}

/// What a measure divides by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Per {
    /// Nothing.
    One,
    /// Mass of tool and pack.
    Kg,
    /// Price of tool and pack.
    Price,
}

impl Measure {
    /// The measure's parts; `None` for time, which needs a job.
    pub fn parts(self) -> Option<(Level, Per)> {
        Some(match self {
            Self::Time => return None,
            Self::Mean => (Level::Mean, Per::One),
            Self::Peak => (Level::Peak, Per::One),
            Self::Early => (Level::Early, Per::One),
            Self::MeanPerKg => (Level::Mean, Per::Kg),
            Self::PeakPerKg => (Level::Peak, Per::Kg),
            Self::EarlyPerKg => (Level::Early, Per::Kg),
            Self::MeanPerPrice => (Level::Mean, Per::Price),
            Self::PeakPerPrice => (Level::Peak, Per::Price),
            Self::EarlyPerPrice => (Level::Early, Per::Price),
        })
    }
}

#[cfg(all(test, not(target_arch = "wasm32")))]
mod tests {
    use super::MOST_BESIDE;

    #[test]
    fn script_lets_as_many_pairs_be_laid_over_a_chart() {
        let script = include_str!("../../www/overlay.js");
        assert!(script.contains(&format!("\nconst MOST_BESIDE = {MOST_BESIDE};\n")));
    }
}
