//! What a dataset offers to choose from, and how it was measured.

mod coverage;
pub mod data;
pub(crate) mod figures;
pub mod words;

use crate::results::Results;
use data::Contents;

impl Results {
    /// What there is to choose from.
    pub fn contents(&self) -> Contents {
        figures::contents(self)
    }
}
