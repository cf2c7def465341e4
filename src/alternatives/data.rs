//! The pairs that reach a job, to choose from.

use crate::query::filter::Order;
use crate::results::prices::Priced;
use crate::table::column::Column;
use crate::table::data::{LeftOut, Offered};
use crate::table::row::Row;
use serde::Serialize;

/// The pairs that have a job within reach. Where the field has too few runs to say, those whose
/// typical run reaches it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Choices {
    /// Job torque in N·m.
    pub job_torque_nm: f64,
    /// Required torque at the anvil in N·m.
    pub required_torque_nm: f64,
    /// When a try has to be there, in s.
    pub within_s: f64,
    /// What they stand in the order of.
    pub order: Order,
    /// Whether they are judged by the chance of a further try; `false` where there are too few runs.
    pub judged: bool,
    /// Whether prices were compared: some have one, and all are in one currency.
    pub priced: bool,
    /// How many of them have no figure to be ordered by. They stand last.
    pub without: u32,
    /// How many combinations a limit leaves out because its figure is missing.
    pub left_out: LeftOut,
    /// Of when the prices of the field are; `null` where there are none.
    pub prices: Option<Priced>,
    /// Currencies of the field's prices.
    pub currencies: Vec<String>,
    /// Whether an order or a limit by price was asked for across currencies, and not given.
    pub across_currencies: bool,
    /// The pairs, the least first; equals in the order of places.
    pub rows: Vec<Choice>,
    /// Where there are none, those that come closest, the nearest first.
    pub misses: Vec<Miss>,
}

/// A pair that reaches the job.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Choice {
    /// Its figures.
    #[serde(flatten)]
    pub row: Row,
    /// Whether no other of them beats it on mass, price and time together.
    pub unbeaten: bool,
}

/// A pair that does not have the job within reach.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Miss {
    /// Identifier of the tool.
    pub tool: String,
    /// Identifier of the pack.
    pub pack: String,
    /// Probability that a further try reaches the job in time; `null` if there are too few runs.
    pub reach_probability: Option<f64>,
    /// The typical curve when the visitor's patience ends, in N·m.
    pub typical_within_nm: f64,
    /// What the typical curve is short of then, in N·m; `null` if it reaches the job.
    pub short_nm: Option<f64>,
}

/// The choices in words.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct WordedChoices {
    /// What the list is.
    pub caption: String,
    /// What it may stand in the order of.
    pub orders: Vec<Offered>,
    /// What it stands in the order of: the value of one of these.
    pub order: String,
    /// What to know before reading it.
    pub notes: Vec<String>,
    /// Of when the prices in it are; `null` where it shows none.
    pub prices: Option<String>,
    /// The pairs.
    pub rows: Vec<WordedChoice>,
    /// What the mark means; `null` where it would tell nothing.
    pub legend: Option<String>,
    /// Label of the control that opens the rest; `null` if all stand there at first.
    pub open_all: Option<String>,
    /// Said where there are none.
    pub empty: Option<String>,
}

/// A pair to choose, in words.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub struct WordedChoice {
    /// Identifier of the tool.
    pub tool: String,
    /// Identifier of the pack.
    pub pack: String,
    /// Names of both.
    pub name: String,
    /// What speaks for it, or how far it misses.
    pub cells: Vec<String>,
    /// Whether no other beats it, where that is told.
    pub marked: bool,
    /// Whether it stands there at first.
    pub at_first: bool,
}

impl Order {
    /// The column that the order reads.
    pub fn column(self) -> Column {
        match self {
            Self::Lightest => Column::Mass,
            Self::Shortest => Column::Length,
            Self::LeastCostly => Column::Price,
            Self::Quickest => Column::Time,
        }
    }
}
