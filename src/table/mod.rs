//! A whole field, ranked, sorted and filtered.

mod collapse;
pub mod column;
pub mod data;
pub(crate) mod figures;
pub(crate) mod filter;
mod filter_words;
pub mod row;
mod scale;
pub(crate) mod sort;
pub(crate) mod words;

use crate::problem::Problem;
use crate::query::question::Question;
use crate::results::{Results, products};
use crate::study::Study;
use crate::text::{self, RequiredTorque};
use data::{Table, WordedTable};
use words::TableWording;

impl Study<'_> {
    /// The pairs asked for, ranked in the whole field.
    ///
    /// # Errors
    ///
    /// A problem that names the faulty part of the question, with a message for visitors.
    pub fn table(&self) -> Result<Table, Problem> {
        figures::table(self)
    }

    /// The same in words.
    ///
    /// # Errors
    ///
    /// As [`Study::table`].
    pub fn worded_table(&self) -> Result<WordedTable, Problem> {
        Ok(self.in_words(&self.table()?))
    }

    /// A table of this study in words.
    pub fn in_words(&self, table: &Table) -> WordedTable {
        let names = |tool: &str, pack: &str| products::label_by_ids(self.results, tool, pack);
        let wording = self.table_wording(self.needed(), &names);
        let collapses = collapse::collapsed(&table.rows, self.question().chosen.as_ref());
        wording.worded(table, &collapses)
    }

    /// What the words of a table need.
    pub(crate) fn table_wording<'a>(
        &'a self,
        needed: Option<RequiredTorque>,
        names: &'a dyn Fn(&str, &str) -> String,
    ) -> TableWording<'a> {
        let (catalogue, question) = (&self.results.catalogue, self.question());
        let job = self.asked().job.as_ref();
        TableWording {
            catalogue,
            unit: needed
                .map(|needed| needed.unit)
                .or(question.units)
                .unwrap_or_default(),
            notice: text::notice(catalogue, &self.results.dataset),
            nuts: job.is_some_and(|job| job.checked.is_some()),
            needed: needed.map(|needed| needed.words(catalogue)),
            limit: question
                .within_s
                .map(|within_s| text::given_time(catalogue, within_s)),
            narrow: question.narrow.as_ref(),
            chosen: question.chosen.as_ref(),
            names,
        }
    }
}

impl Results {
    /// As [`Study::table`], of a question.
    ///
    /// # Errors
    ///
    /// As [`Study::table`].
    pub fn table(&self, question: &Question) -> Result<Table, Problem> {
        self.study(question)?.table()
    }

    /// As [`Study::worded_table`], of a question.
    ///
    /// # Errors
    ///
    /// As [`Study::table`].
    pub fn worded_table(&self, question: &Question) -> Result<WordedTable, Problem> {
        self.study(question)?.worded_table()
    }
}
