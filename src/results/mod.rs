//! A checked dataset and a text catalogue, every run reduced once: the one door to all answers.
//!
//! [`Results::study`] opens a question; what a [`Study`] tells of it is all that the command line and
//! the page show.

mod answering;
mod resolved_query;
mod overlay;
mod bolt;
#[cfg(not(target_arch = "wasm32"))]
mod changes;
mod checks;
mod choosing;
mod comparing;
mod name_lookup;
mod contents;
#[cfg(not(target_arch = "wasm32"))]
pub mod each;
mod control;
mod curves;
#[cfg(not(target_arch = "wasm32"))]
mod drift;
mod estimates;
mod field;
mod figures;
mod collapse;
mod intervals;
mod coverage;
mod filter;
mod options;
mod packs;
mod reduced;
mod runs;
mod setups;
mod products;
mod study;
mod tabling;
mod told;
mod uncertainty;
mod warnings;

use crate::dataset::check::check;
use crate::dataset::read::{Gaps, Reading};
use crate::dataset::types::{BuildUp, Dataset, Setup};
use crate::problem::{Problem, Problems};
use crate::query::answer::Answer;
use crate::query::choices::{Choices, WordedChoices};
use crate::query::compare::{Comparison, Packs, Panels};
use crate::query::contents::{Contents, Found};
use crate::query::question::Question;
use crate::query::runs::{RunsBehind, WordedRuns};
use crate::query::table::{Table, WordedTable};
use crate::words::catalogue::Catalogue;
pub use curves::{Curves, MOST_CURVES, NamedCurve};
use reduced::Reduced;
pub use study::{Kept, Study};

/// A dataset ready to answer.
#[derive(Debug)]
pub struct Results {
    /// Checked; its runs without their sample series, which `runs` holds reduced.
    dataset: Dataset,
    catalogue: Catalogue,
    runs: Vec<Reduced>,
    offered: contents::Offered,
    /// Prints a number with the fewest digits that give it back.
    digits: fn(f64) -> String,
}

impl Results {
    /// Reduces what was read.
    ///
    /// # Errors
    ///
    /// Every problem: those of the reading, those of meaning, and runs that cannot be reduced.
    pub fn new(reading: Reading, catalogue: Catalogue) -> Result<Self, Problems> {
        let Reading {
            mut dataset,
            gaps,
            mut problems,
            digits,
        } = reading;
        problems.append(check(&dataset, &gaps, digits));
        describe_setup(&mut dataset, &gaps);
        let runs = reduced::runs(&dataset, &gaps, digits, &mut problems);
        if !problems.is_empty() {
            return Err(problems);
        }
        for run in &mut dataset.runs {
            run.time_us = None;
            run.torque_dnm = None;
            run.voltage_mv = None;
            run.current_ma = None;
            run.angle_ddeg = None;
            run.buildup = None;
        }
        Ok(Self::of(dataset, catalogue, runs, digits))
    }

    /// Takes published results, read by [`published`](crate::dataset::read::published). They were
    /// checked by meaning when they were published; here only what every answer rests on is looked at.
    ///
    /// # Errors
    ///
    /// The problems of the reading, or the first run that no answer can rest on.
    pub fn published(reading: Reading, catalogue: Catalogue) -> Result<Self, Problems> {
        let Reading {
            mut dataset,
            gaps,
            problems,
            digits,
        } = reading;
        if !problems.is_empty() {
            return Err(problems);
        }
        describe_setup(&mut dataset, &gaps);
        let runs = reduced::published(&mut dataset)?;
        Ok(Self::of(dataset, catalogue, runs, digits))
    }

    fn of(
        dataset: Dataset,
        catalogue: Catalogue,
        runs: Vec<Reduced>,
        digits: fn(f64) -> String,
    ) -> Self {
        Self {
            offered: contents::Offered::of(&dataset, &runs),
            dataset,
            catalogue,
            runs,
            digits,
        }
    }

    /// Reads, checks and reduces the bytes of a dataset.
    ///
    /// # Errors
    ///
    /// Every problem, each with its line and column.
    #[cfg(not(target_arch = "wasm32"))]
    pub fn read(bytes: &[u8], catalogue: Catalogue) -> Result<Self, Problems> {
        use crate::dataset::json;
        let text = json::text(bytes)?;
        Self::new(json::parse(text)?, catalogue).map_err(|problems| json::located(text, problems))
    }

    /// The published form of every run, in the file's order.
    pub fn buildups(&self) -> impl Iterator<Item = &BuildUp> {
        self.runs.iter().map(|run| &*run.buildup)
    }

    /// The dataset, its runs without series.
    pub fn dataset(&self) -> &Dataset {
        &self.dataset
    }

    /// What prints a number with the fewest digits that give it back.
    pub fn digits(&self) -> fn(f64) -> String {
        self.digits
    }

    /// The text catalogue.
    pub fn catalogue(&self) -> &Catalogue {
        &self.catalogue
    }

    /// What there is to choose from.
    pub fn contents(&self) -> Contents {
        contents::contents(self)
    }

    /// What a page asks when nothing has been chosen.
    pub fn default_job(&self) -> String {
        contents::default_job(&self.dataset)
    }

    /// What someone who is typing a job or a tool may mean: what holds every word of `text`.
    pub fn found(&self, text: &str, question: &Question) -> Found {
        name_lookup::found(self, text, question)
    }

    /// The number of the newest edition.
    fn newest_edition(&self) -> u32 {
        contents::newest_edition(&self.dataset)
    }

    /// Opens a question.
    ///
    /// # Errors
    ///
    /// A problem that names the faulty part of the question, with a message for visitors.
    pub fn study(&self, question: &Question) -> Result<Study<'_>, Problem> {
        Study::open(self, question, None)
    }

    /// Opens a question after another one to the same dataset; what both have in common is not worked
    /// out again.
    ///
    /// # Errors
    ///
    /// As [`Results::study`].
    pub fn study_after(&self, question: &Question, last: &Kept) -> Result<Study<'_>, Problem> {
        Study::open(self, question, Some(last))
    }

    /// The answer to a question, with the list of the pairs that match where one is open.
    ///
    /// # Errors
    ///
    /// As [`Results::study`]; also without a job.
    pub fn ask(&self, question: &Question) -> Result<Answer, Problem> {
        let study = self.study(question)?;
        Ok(Answer {
            list: study.list()?,
            ..study.answer()?
        })
    }

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

    /// As [`Study::comparison`], of a question.
    ///
    /// # Errors
    ///
    /// As [`Study::comparison`].
    pub fn compare(&self, question: &Question) -> Result<Vec<Comparison>, Problem> {
        self.study(question)?.comparison()
    }

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

    /// As [`Study::chart`], of a question.
    ///
    /// # Errors
    ///
    /// As [`Study::chart`].
    pub fn curves(&self, question: &Question) -> Result<Curves, Problem> {
        self.study(question)?.chart()
    }
}

/// Describes a setup in a file that describes none.
fn describe_setup(dataset: &mut Dataset, gaps: &Gaps) {
    if dataset.setups.is_empty() && gaps.whole("setups") {
        dataset.setups.push(not_described());
    }
}

/// The one setup of a file that describes none.
fn not_described() -> Setup {
    Setup {
        id: "standard".into(),
        name: "not described".into(),
        rotation: None,
        tool_mode: None,
        joint: None,
        extension_mm: None,
        adapters: None,
        start_charge_percent: None,
        pack_start_c: None,
    }
}
