//! The pairs that have a job within reach, to choose from.

pub mod data;
mod figures;
pub mod pareto;
mod words;

use crate::problem::Problem;
use crate::query::question::Question;
use crate::results::{Results, products};
use crate::study::Study;
use data::{Choices, WordedChoices};
use words::ChoicesWording;

impl Study<'_> {
    /// The pairs that have a job within reach, in the order picked; where there are none, those that
    /// come closest. Where one pair is asked for, the others.
    ///
    /// # Errors
    ///
    /// As [`Study::answer`].
    pub fn alternatives(&self) -> Result<Choices, Problem> {
        figures::choices(self)
    }

    /// The first pairs of that list, at most `most`, by their indices in the field.
    ///
    /// # Errors
    ///
    /// As [`Study::answer`].
    pub(crate) fn first_alternatives(&self, most: usize) -> Result<Vec<usize>, Problem> {
        figures::first(self, most)
    }

    /// The pairs of [`Study::alternatives`] in words.
    ///
    /// # Errors
    ///
    /// As [`Study::answer`].
    pub fn worded_alternatives(&self) -> Result<WordedChoices, Problem> {
        let (choices, asked) = (self.alternatives()?, self.asked());
        let needed = self.answering()?.job.needed;
        let names = |tool: &str, pack: &str| products::label_by_ids(self.results, tool, pack);
        let wording = ChoicesWording {
            table: self.table_wording(Some(needed), &names),
            needed,
            others: asked.tool.is_some() && asked.pack.is_some(),
            window_s: asked.window_s,
        };
        Ok(wording.worded(&choices))
    }
}

impl Results {
    /// As [`Study::alternatives`], of a question.
    ///
    /// # Errors
    ///
    /// As [`Study::alternatives`].
    pub fn choices(&self, question: &Question) -> Result<Choices, Problem> {
        self.study(question)?.alternatives()
    }

    /// As [`Study::worded_alternatives`], of a question.
    ///
    /// # Errors
    ///
    /// As [`Study::alternatives`].
    pub fn worded_choices(&self, question: &Question) -> Result<WordedChoices, Problem> {
        self.study(question)?.worded_alternatives()
    }
}
