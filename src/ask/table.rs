//! A whole field, ranked.

use super::question::{Measure, Score};
use serde::Serialize;

/// A field in rank order.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct Table {
    /// Job torque in N·m; `null` without a job.
    pub job_torque_nm: Option<f64>,
    /// Required torque at the anvil in N·m; `null` without a job.
    pub required_torque_nm: Option<f64>,
    /// What the field is ranked by.
    pub by: Measure,
    /// Typical run or best of three.
    pub score: Score,
    /// The measured combinations, best first, those without a place last.
    pub rows: Vec<Row>,
}

/// One combination of a field.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct Row {
    /// Identifier of the tool.
    pub tool: String,
    /// Identifier of the pack.
    pub pack: String,
    /// Identifier of the setup.
    pub setup: String,
    /// Place; `null` if it cannot be ranked.
    pub rank: Option<u32>,
    /// Lower end of the 90 % interval of the place.
    pub rank_low: Option<u32>,
    /// Upper end of the 90 % interval of the place.
    pub rank_high: Option<u32>,
    /// How many combinations have a place.
    pub rank_of: u32,
    /// Whether the typical curve reaches the job; `null` without a job.
    pub reaches: Option<bool>,
    /// What the field is ranked by, in SI units (per kg, or per unit of currency); `null` where it
    /// is not reached or cannot be told.
    pub value: Option<f64>,
    /// Typical peak torque in N·m.
    pub peak_torque_nm: f64,
    /// Largest sample in N·m.
    pub largest_sample_nm: f64,
    /// Typical mean torque in N·m.
    pub mean_torque_nm: f64,
    /// Typical torque at one second in N·m.
    pub early_torque_nm: f64,
    /// The typical curve at the window's end in N·m.
    pub typical_end_nm: f64,
    /// Typical time to the job in s; `null` if not reached or without a job.
    pub time_to_job_s: Option<f64>,
    /// Work to the job in J.
    pub work_j: Option<f64>,
    /// Average power to the job in W; 0 if not reached.
    pub average_power_w: Option<f64>,
    /// Rise rate to the job in N·m/s; 0 if not reached.
    pub rise_rate_nm_per_s: Option<f64>,
    /// Best of three by average power in W.
    pub best_of_three_power_w: Option<f64>,
    /// Best of three by rise rate in N·m/s.
    pub best_of_three_rise_rate_nm_per_s: Option<f64>,
    /// The torque that 19 of 20 tries reach, in N·m.
    pub torque_19_of_20_nm: Option<f64>,
    /// Probability that a further try reaches the job in time.
    pub reach_probability: Option<f64>,
    /// Mass of tool and pack in kg.
    pub mass_kg: Option<f64>,
    /// Length of the tool in mm.
    pub length_mm: Option<f64>,
    /// Price of tool and pack.
    pub price: Option<f64>,
    /// Currency of that price.
    pub currency: Option<String>,
    /// Counted runs.
    pub runs_used: u32,
    /// Runs set aside.
    pub runs_excluded: u32,
    /// Specimens of the tool with a counted run.
    pub specimens: u32,
}

/// A table in words: every cell as people read it.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct WordedTable {
    /// Says that the data are made up, if they are.
    pub notice: Option<String>,
    /// What the table is.
    pub caption: String,
    /// Headings of the columns.
    pub headings: Vec<Heading>,
    /// Rows in the order of the table.
    pub rows: Vec<WordedRow>,
    /// A line before the first row that does not reach the job.
    pub falls_short: Option<String>,
}

/// Heading of a column.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct Heading {
    /// The column's code, the same in every language.
    pub key: String,
    /// Its heading.
    pub text: String,
    /// Whether its cells are figures, to be set against the right.
    pub figures: bool,
}

/// A row in words.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct WordedRow {
    /// Identifier of the tool.
    pub tool: String,
    /// Identifier of the pack.
    pub pack: String,
    /// Whether the typical curve reaches the job; `null` without a job.
    pub reaches: Option<bool>,
    /// One text for each heading.
    pub cells: Vec<String>,
    /// The place and its interval, for a mark; `null` without a place.
    pub mark: Option<Mark>,
}

/// A place and its interval as a mark: a dot on a line.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct Mark {
    /// Where the line begins, as a part of all places from 0 to 1.
    pub low: f64,
    /// Where the dot stands.
    pub at: f64,
    /// Where the line ends.
    pub high: f64,
    /// The place alone, in words.
    pub place: String,
    /// Place and interval in words.
    pub text: String,
}
