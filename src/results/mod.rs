//! A checked dataset and a text catalogue, every run reduced once: the one door to all answers.
//!
//! [`Results::ask`], [`Results::table`], [`Results::runs`], [`Results::contents`] and
//! [`Results::curves`] are all that the command line, the page and the tests use.

mod answering;
mod asked;
mod beside;
mod bolt;
#[cfg(not(target_arch = "wasm32"))]
mod changes;
mod checks;
mod choosing;
mod comparing;
mod called;
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
mod folding;
mod intervals;
mod measured;
mod memo;
mod narrowing;
mod options;
mod packs;
mod reduced;
mod runs;
mod setups;
mod stock;
mod tabling;
mod uncertainty;
mod warnings;

use crate::ask::answer::Answer;
use crate::ask::choices::{Choices, WordedChoices};
use crate::ask::compare::{Comparison, Packs, Panels};
use crate::ask::contents::{Contents, Found};
use crate::ask::question::Question;
use crate::ask::runs::{RunsBehind, WordedRuns};
use crate::ask::setups::SetupCost;
use crate::ask::table::{Table, WordedTable};
use crate::dataset::check::check;
use crate::dataset::read::Reading;
use crate::dataset::types::{BuildUp, Dataset, Setup};
use crate::problem::{Problem, Problems};
use crate::scatter::run::RunScatter;
use crate::words;
use crate::words::catalogue::Catalogue;
use crate::words::choices::ChoicesWording;
use crate::words::runs::RunsWording;
use crate::words::table::TableWording;
use answering::Answering;
use asked::Asked;
pub use curves::{Curves, MOST_CURVES, NamedCurve};
use reduced::Reduced;

/// A dataset ready to answer.
#[derive(Debug)]
pub struct Results {
    /// Checked; its runs without their sample series, which `runs` holds reduced.
    dataset: Dataset,
    catalogue: Catalogue,
    runs: Vec<Reduced>,
    /// An answer, its table and the next pair for the same job ask for the same intervals; a pair's
    /// places in all editions, for those of each.
    intervals: memo::Memo<intervals::ForJob, Vec<intervals::Interval>>,
    /// Bands about the curves of one field rest on the same scatter.
    band_scatter: memo::Memo<field::FieldOf, Vec<RunScatter>>,
    /// What other setups cost depends on the field alone.
    setup_costs: memo::Memo<field::FieldOf, Vec<SetupCost>>,
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
        if dataset.setups.is_empty() && gaps.whole("setups") {
            dataset.setups.push(not_described());
        }
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
        Ok(Self {
            dataset,
            catalogue,
            runs,
            intervals: memo::Memo::default(),
            band_scatter: memo::Memo::default(),
            setup_costs: memo::Memo::default(),
            digits,
        })
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

    /// What someone who is typing a job or a tool may mean: what holds every word of `text`.
    pub fn found(&self, text: &str, question: &Question) -> Found {
        called::found(self, text, question)
    }

    /// Answers a question about one pair, or lists the pairs that match.
    ///
    /// # Errors
    ///
    /// A problem that names the faulty part of the question, with a message for visitors.
    pub fn ask(&self, question: &Question) -> Result<Answer, Problem> {
        let asked = Asked::of(self, question)?;
        let job = asked
            .job
            .as_ref()
            .ok_or_else(|| asked::no_job(&self.catalogue))?;
        narrowing::check(self, question)?;
        let answering = Answering::new(self, &asked, job);
        if let Some(currency) = question.currency.as_deref() {
            let prices = stock::Prices::of(self, &answering.field, &asked, Some(currency));
            prices.known(&self.catalogue)?;
        }
        Ok(match (asked.tool, asked.pack) {
            (Some(tool), Some(pack)) => answering.pair(tool, pack),
            _ => answering.list(),
        })
    }

    /// The runs behind one pair, its days, its place in every edition, and what it did on real
    /// fasteners.
    ///
    /// # Errors
    ///
    /// As [`Results::ask`]; also if tool or pack is open. A job is not needed.
    pub fn runs(&self, question: &Question) -> Result<RunsBehind, Problem> {
        runs::behind(self, question)
    }

    /// The runs behind one pair in words.
    ///
    /// # Errors
    ///
    /// As [`Results::runs`].
    pub fn worded_runs(&self, question: &Question) -> Result<WordedRuns, Problem> {
        let behind = self.runs(question)?;
        let needed = Asked::of(self, question)?.job.map(|job| job.needed.unit);
        let wording = RunsWording {
            catalogue: &self.catalogue,
            unit: needed.or(question.units).unwrap_or_default(),
            dataset: &self.dataset,
        };
        Ok(wording.worded(&behind))
    }

    /// The number of the newest edition.
    fn newest_edition(&self) -> u32 {
        self.dataset
            .editions
            .last()
            .map_or(0, |edition| edition.edition)
    }

    /// Ranks a whole field.
    ///
    /// # Errors
    ///
    /// A problem that names the faulty part of the question, with a message for visitors.
    pub fn table(&self, question: &Question) -> Result<Table, Problem> {
        tabling::table(self, question)
    }

    /// The pair asked for beside every pair that the question names beside it.
    ///
    /// # Errors
    ///
    /// A problem that names the faulty part of the question, with a message for visitors.
    pub fn compare(&self, question: &Question) -> Result<Vec<Comparison>, Problem> {
        comparing::compare(self, question)
    }

    /// The packs run on the tool asked for, held against the pack asked for.
    ///
    /// # Errors
    ///
    /// As [`Results::compare`].
    pub fn packs(&self, question: &Question) -> Result<Packs, Problem> {
        packs::packs(self, question)
    }

    /// What stands beside an answer, in words: [`Results::compare`] where a pair is asked for,
    /// [`Results::packs`] where a tool is.
    ///
    /// # Errors
    ///
    /// As [`Results::compare`].
    pub fn panels(&self, question: &Question) -> Result<Panels, Problem> {
        packs::panels(self, question)
    }

    /// The pairs that have a job within reach, in the order picked; where there are none, those that
    /// come closest. Where one pair is asked for, the others.
    ///
    /// # Errors
    ///
    /// As [`Results::ask`].
    pub fn choices(&self, question: &Question) -> Result<Choices, Problem> {
        choosing::choices(self, question)
    }

    /// The same in words.
    ///
    /// # Errors
    ///
    /// As [`Results::ask`].
    pub fn worded_choices(&self, question: &Question) -> Result<WordedChoices, Problem> {
        let choices = self.choices(question)?;
        let asked = Asked::of(self, question)?;
        let job = asked
            .job
            .as_ref()
            .ok_or_else(|| asked::no_job(&self.catalogue))?;
        let names = |tool: &str, pack: &str| stock::label_by_ids(self, tool, pack);
        let wording = ChoicesWording {
            table: self.table_wording(question, Some(job.needed), &names),
            needed: job.needed,
            others: asked.tool.is_some() && asked.pack.is_some(),
            window_s: asked.window_s,
        };
        Ok(wording.worded(&choices))
    }

    /// What the words of a table need.
    fn table_wording<'a>(
        &'a self,
        question: &'a Question,
        needed: Option<words::Needed>,
        names: &'a dyn Fn(&str, &str) -> String,
    ) -> TableWording<'a> {
        TableWording {
            catalogue: &self.catalogue,
            unit: needed
                .map(|needed| needed.unit)
                .or(question.units)
                .unwrap_or_default(),
            notice: words::notice(&self.catalogue, &self.dataset),
            needed: needed.map(|needed| needed.words(&self.catalogue)),
            limit: question
                .within_s
                .map(|within_s| words::given_time(&self.catalogue, within_s)),
            narrow: question.narrow.as_ref(),
            chosen: question.chosen.as_ref(),
            names,
        }
    }

    /// A table in words, with the question it answers.
    ///
    /// # Errors
    ///
    /// As [`Results::table`].
    pub fn worded_table(&self, question: &Question) -> Result<WordedTable, Problem> {
        self.in_words(question, &self.table(question)?)
    }

    /// The table of a question in words.
    ///
    /// # Errors
    ///
    /// As [`Results::ask`].
    pub fn in_words(&self, question: &Question, table: &Table) -> Result<WordedTable, Problem> {
        let needed = Asked::of(self, question)?.job.map(|job| job.needed);
        let names = |tool: &str, pack: &str| stock::label_by_ids(self, tool, pack);
        let wording = self.table_wording(question, needed, &names);
        let folds = folding::folded(&table.rows, question.chosen.as_ref());
        Ok(wording.worded(table, &folds))
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
