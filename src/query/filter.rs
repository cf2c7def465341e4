//! Which pairs of a field are shown, and in which order. What is narrowed keeps its places.

use crate::dataset::types::Size;
use serde::Deserialize;

/// What a visitor wants to see alone. Everything may be left out; what is set holds together.
///
/// A pair whose tool or pack was never weighed, measured or priced meets no limit on that figure:
/// it is left out, and the table says how many are.
#[derive(Clone, Debug, Default, PartialEq, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
#[serde(default)]
pub struct Narrowing {
    /// Words that each stand in the name, another name or the maker of the tool, or in the name of
    /// the pack. Case and accents do not count.
    pub find: Option<String>,
    /// Size of the tool.
    pub size: Option<Size>,
    /// Mount of the pack.
    pub mount: Option<String>,
    /// Only tools that are still sold.
    pub still_sold: Option<bool>,
    /// Greatest length of the tool in mm, above 0.
    pub longest_mm: Option<f64>,
    /// Greatest mass of tool and pack in kg, above 0.
    pub heaviest_kg: Option<f64>,
    /// Highest price of tool and pack, above 0, in the currency of the question or the only one of
    /// the field.
    pub dearest: Option<f64>,
    /// Only pairs that have the job within reach; where there are too few runs to say, those whose
    /// typical run reaches it.
    pub reaching: Option<bool>,
}

/// What the pairs that reach a job are listed by, the least first.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize, serde::Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "kebab-case")]
pub enum Order {
    /// Mass of tool and pack.
    #[default]
    Lightest,
    /// Length of the tool.
    Shortest,
    /// Price of tool and pack, in one currency.
    LeastCostly,
    /// Typical time to the job.
    Quickest,
}
