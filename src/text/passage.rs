//! A few sentences under a heading.

use serde::Serialize;

/// Sentences that belong together, with their heading.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct Passage {
    /// The heading.
    pub heading: String,
    /// One text for each line.
    pub lines: Vec<String>,
}
