//! Two pairs side by side.

pub mod data;
pub(crate) mod figures;
mod leads;
mod times;
pub(crate) mod words;

use crate::problem::Problem;
use crate::query::question::Question;
use crate::results::Results;
use crate::study::Study;
use data::Comparison;

impl Study<'_> {
    /// The pair asked for beside every pair that the question names beside it.
    ///
    /// # Errors
    ///
    /// If tool or pack is open.
    pub fn comparison(&self) -> Result<Vec<Comparison>, Problem> {
        figures::compare(self)
    }
}

impl Results {
    /// As [`Study::comparison`], of a question.
    ///
    /// # Errors
    ///
    /// As [`Study::comparison`].
    pub fn compare(&self, question: &Question) -> Result<Vec<Comparison>, Problem> {
        self.study(question)?.comparison()
    }
}
