//! The runs behind a pair.

pub mod data;
mod figures;
mod words;

use crate::problem::Problem;
use crate::query::question::Question;
use crate::results::Results;
use crate::study::Study;
use data::{RunsBehind, WordedRuns};
use words::RunsWording;

impl Study<'_> {
    /// The runs behind one pair, its days, its place in every edition, and what it did on real
    /// fasteners. A job is not needed.
    ///
    /// # Errors
    ///
    /// If tool or pack is open.
    pub fn runs(&self) -> Result<RunsBehind, Problem> {
        figures::behind(self)
    }

    /// The same in words.
    ///
    /// # Errors
    ///
    /// As [`Study::runs`].
    pub fn worded_runs(&self) -> Result<WordedRuns, Problem> {
        let behind = self.runs()?;
        let needed = self.needed().map(|needed| needed.unit);
        let wording = RunsWording {
            catalogue: &self.results.catalogue,
            unit: needed.or(self.question().units).unwrap_or_default(),
            dataset: &self.results.dataset,
        };
        Ok(wording.worded(&behind))
    }
}

impl Results {
    /// As [`Study::runs`], of a question.
    ///
    /// # Errors
    ///
    /// As [`Study::runs`].
    pub fn runs(&self, question: &Question) -> Result<RunsBehind, Problem> {
        self.study(question)?.runs()
    }

    /// As [`Study::worded_runs`], of a question.
    ///
    /// # Errors
    ///
    /// As [`Study::runs`].
    pub fn worded_runs(&self, question: &Question) -> Result<WordedRuns, Problem> {
        self.study(question)?.worded_runs()
    }
}
