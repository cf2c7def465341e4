//! What a study tells: each part of what is shown, made when it is asked for.

use super::study::Study;
use super::{
    Curves, choosing, collapse, comparing, curves, filter, packs, products, runs, tabling,
};
use crate::problem::Problem;
use crate::query::answer::Answer;
use crate::query::choices::{Choices, WordedChoices};
use crate::query::compare::{Comparison, Packs, Panels};
use crate::query::question::{PairIds, Question};
use crate::query::runs::{RunsBehind, WordedRuns};
use crate::query::table::{Table, WordedTable};
use crate::words::choices::ChoicesWording;
use crate::words::runs::RunsWording;
use crate::words::table::TableWording;
use crate::words::{self, RequiredTorque};

impl Study<'_> {
    /// The answer, without the list of the pairs that match.
    ///
    /// # Errors
    ///
    /// A problem that names the faulty part of the question, with a message for visitors; also
    /// without a job.
    pub fn answer(&self) -> Result<Answer, Problem> {
        Ok(self.checked()?.answer())
    }

    /// The answer for each pair that matches, in rank order, then those nobody ran that can be
    /// estimated; `None` where a single pair is asked for.
    ///
    /// # Errors
    ///
    /// As [`Study::answer`].
    pub fn list(&self) -> Result<Option<Vec<Answer>>, Problem> {
        Ok(self.checked()?.list())
    }

    fn checked(&self) -> Result<super::answering::Answering<'_>, Problem> {
        let answering = self.answering()?;
        filter::check(self.results, self.question())?;
        if self.question().currency.is_some() {
            self.prices().known(&self.results.catalogue)?;
        }
        Ok(answering)
    }

    /// The typical curves that belong to the answer: that of the pair asked for, or of the first of
    /// the list, and of the pairs laid over it.
    ///
    /// # Errors
    ///
    /// Without a job.
    pub fn chart(&self) -> Result<Curves, Problem> {
        curves::curves(self)
    }

    /// The pair asked for beside every pair that the question names beside it.
    ///
    /// # Errors
    ///
    /// If tool or pack is open.
    pub fn comparison(&self) -> Result<Vec<Comparison>, Problem> {
        comparing::compare(self)
    }

    /// The packs run on the tool asked for, held against the pack asked for.
    ///
    /// # Errors
    ///
    /// If the tool is open.
    pub fn packs(&self) -> Result<Packs, Problem> {
        packs::packs(self)
    }

    /// What stands beside an answer, in words: [`Study::comparison`] where a pair is asked for,
    /// [`Study::packs`] where a tool is.
    pub fn panels(&self) -> Panels {
        packs::panels(self)
    }

    /// The pairs that have a job within reach, in the order picked; where there are none, those that
    /// come closest. Where one pair is asked for, the others.
    ///
    /// # Errors
    ///
    /// As [`Study::answer`].
    pub fn alternatives(&self) -> Result<Choices, Problem> {
        choosing::choices(self)
    }

    /// The same in words.
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

    /// The runs behind one pair, its days, its place in every edition, and what it did on real
    /// fasteners. A job is not needed.
    ///
    /// # Errors
    ///
    /// If tool or pack is open.
    pub fn runs(&self) -> Result<RunsBehind, Problem> {
        runs::behind(self)
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

    /// The pairs asked for, ranked in the whole field.
    ///
    /// # Errors
    ///
    /// A problem that names the faulty part of the question, with a message for visitors.
    pub fn table(&self) -> Result<Table, Problem> {
        tabling::table(self)
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
        let folds = collapse::folded(&table.rows, self.question().chosen.as_ref());
        wording.worded(table, &folds)
    }

    /// The same job for every pair of the field, the pair asked for marked.
    pub fn whole_field(&self) -> Self {
        let question = self.question();
        let own = question.tool.clone().zip(question.pack.clone());
        let all = Question {
            tool: None,
            pack: None,
            beside: Vec::new(),
            chosen: own.map(|(tool, pack)| PairIds { tool, pack }),
            ..question.clone()
        };
        self.of_pairs((None, None), all)
    }

    /// The same job for every pair of the field, unsorted, whatever is narrowed on the screen.
    pub fn unfiltered(&self) -> Self {
        let all = Question {
            tool: None,
            pack: None,
            narrow: None,
            sort: None,
            ..self.question().clone()
        };
        self.of_pairs((None, None), all)
    }

    /// What the words of a table need.
    fn table_wording<'a>(
        &'a self,
        needed: Option<RequiredTorque>,
        names: &'a dyn Fn(&str, &str) -> String,
    ) -> TableWording<'a> {
        let (catalogue, question) = (&self.results.catalogue, self.question());
        TableWording {
            catalogue,
            unit: needed
                .map(|needed| needed.unit)
                .or(question.units)
                .unwrap_or_default(),
            notice: words::notice(catalogue, &self.results.dataset),
            needed: needed.map(|needed| needed.words(catalogue)),
            limit: question
                .within_s
                .map(|within_s| words::given_time(catalogue, within_s)),
            narrow: question.narrow.as_ref(),
            chosen: question.chosen.as_ref(),
            names,
        }
    }
}
