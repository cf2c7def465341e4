//! A table: its rows with their figures, and the same in words.

use super::column::Column;
use super::row::Row;
use crate::dataset::types::Size;
use crate::query::question::{Measure, Score};
use crate::results::prices::Priced;
use serde::Serialize;

/// A field in rank order, or as sorted and narrowed.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Table {
    /// Job torque in N·m; `null` without a job.
    pub job_torque_nm: Option<f64>,
    /// Required torque at the anvil in N·m; `null` without a job.
    pub required_torque_nm: Option<f64>,
    /// What the field is ranked by.
    pub by: Measure,
    /// Typical run or best of three.
    pub score: Score,
    /// How many combinations the field has, shown or not.
    pub of: u32,
    /// Code of the column that the rows are sorted by, with a minus in front from the largest down;
    /// `null` for the order of places.
    pub sort: Option<String>,
    /// How many rows are without the figure that the rows are sorted by. They stand last.
    pub without: u32,
    /// How many combinations a limit leaves out because its figure is missing.
    pub left_out: LeftOut,
    /// Of when the prices of the field are; `null` where there are none.
    pub priced: Option<Priced>,
    /// Currency of the prices; `null` where there are none, or several and none was chosen.
    pub currency: Option<String>,
    /// Currencies in which some combination of the field has a whole price.
    pub currencies: Vec<String>,
    /// Whether an order or a limit by price was asked for across currencies, and not given.
    pub across_currencies: bool,
    /// The columns that people read, in their order.
    #[serde(skip)]
    pub columns: Vec<Column>,
    /// Sizes of the field's tools.
    #[serde(skip)]
    pub sizes: Vec<Size>,
    /// Mounts of the field's packs.
    #[serde(skip)]
    pub mounts: Vec<String>,
    /// The measured combinations, best first or as sorted, those without a place or figure last.
    pub rows: Vec<Row>,
    /// Combinations nobody ran that can be estimated, best first: never ranked, never counted.
    pub estimates: Vec<Row>,
}

/// How many combinations a limit leaves out because its figure is missing.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub struct LeftOut {
    /// Tool or pack was never weighed.
    pub no_mass: u32,
    /// The tool was never measured.
    pub no_length: u32,
    /// Tool or pack has no price in the currency.
    pub no_price: u32,
}

/// How a row of a long table is collapsed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Collapse {
    /// Whether it stands there at first.
    pub at_first: bool,
    /// Index of the row that it opens from: the first of its tool.
    pub under: Option<u32>,
}

/// A table in words: every cell as people read it.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct WordedTable {
    /// Says that the data are made up, if they are.
    pub notice: Option<String>,
    /// What the table is.
    pub caption: String,
    /// Whether it is worth showing: from two pairs on.
    pub stands: bool,
    /// What there is to narrow it by; `null` in a field too small to need that.
    pub filters: Option<Filters>,
    /// How many pairs of how many, and by which limits; `null` if nothing is narrowed.
    pub state: Option<String>,
    /// Said in the place of rows where a limit leaves none.
    pub empty: Option<String>,
    /// What to know before reading it: what is missing, what was left out.
    pub notes: Vec<String>,
    /// Label of the control that opens what is collapsed; `null` if nothing is.
    pub open_all: Option<String>,
    /// Headings of the columns.
    pub headings: Vec<Heading>,
    /// Rows in the order of the table.
    pub rows: Vec<WordedRow>,
    /// A line before the first row that does not reach the job.
    pub falls_short: Option<String>,
    /// Pairs nobody ran that can be estimated, to stand below the others.
    pub estimates: Vec<WordedRow>,
    /// A line before the first of them.
    pub estimated: String,
}

/// What a field can be narrowed by, beside words and figures that are written.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub struct Filters {
    /// Sizes of its tools, where there are several.
    pub sizes: Vec<Offered>,
    /// Mounts of its packs, where there are several.
    pub mounts: Vec<Offered>,
    /// Currencies of its prices, where there are several.
    pub currencies: Vec<Offered>,
}

/// A value to choose, and its name for people.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub struct Offered {
    /// The value.
    pub value: String,
    /// Its name.
    pub text: String,
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
    /// `ascending` or `descending` if the table is sorted by it.
    pub sorted: Option<String>,
    /// What to sort by when it is chosen.
    pub next: String,
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
    /// Whether it stands there at first; else something has to be opened.
    pub at_first: bool,
    /// Index, in this list, of the row that it opens from: the first of its tool. `null` for a row
    /// that stands by itself.
    pub under: Option<u32>,
    /// How many rows open from it, in words; `null` if none does.
    pub opens: Option<String>,
    /// One text for each heading.
    pub cells: Vec<String>,
    /// The place and its interval, for a mark; `null` without a place.
    pub mark: Option<Mark>,
}

/// A place and its interval as a mark: a dot on a line.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct Mark {
    /// Where the line begins, as a part of the places shown from 0 to 1.
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
