//! The packs run on one tool.

pub mod data;
mod figures;
mod groups;
mod words;

use crate::problem::Problem;
use crate::query::question::Question;
use crate::results::Results;
use crate::study::Study;
use data::{Packs, Panels};

impl Study<'_> {
    /// The packs run on the tool asked for, held against the pack asked for.
    ///
    /// # Errors
    ///
    /// If the tool is open.
    pub fn packs(&self) -> Result<Packs, Problem> {
        figures::packs(self)
    }

    /// What stands beside an answer, in words: [`Study::comparison`] where a pair is asked for,
    /// [`Study::packs`] where a tool is.
    pub fn panels(&self) -> Panels {
        figures::panels(self)
    }
}

impl Results {
    /// As [`Study::packs`], of a question.
    ///
    /// # Errors
    ///
    /// As [`Study::packs`].
    pub fn packs(&self, question: &Question) -> Result<Packs, Problem> {
        self.study(question)?.packs()
    }

    /// As [`Study::panels`], of a question.
    ///
    /// # Errors
    ///
    /// As [`Results::study`].
    pub fn panels(&self, question: &Question) -> Result<Panels, Problem> {
        Ok(self.study(question)?.panels())
    }
}
