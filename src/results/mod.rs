//! A checked dataset and a text catalogue, every run reduced once: the one door to all answers.
//!
//! [`Results::study`] opens a question; what a [`Study`](crate::study::Study) tells of it is all that
//! the command line and the page show.

#[cfg(not(target_arch = "wasm32"))]
pub mod each;
pub(crate) mod offered;
pub(crate) mod prices;
pub(crate) mod products;
pub(crate) mod reduced;

use crate::IS_WHOLE;
use crate::dataset::check::check;
use crate::dataset::read::{Gaps, Reading};
use crate::dataset::summary::{FieldSummary, InShort};
use crate::dataset::types::{BuildUp, Dataset, Setup};
use crate::problem::{Problem, Problems};
use crate::text::catalogue::Catalogue;
use reduced::Reduced;

/// Whether results in short can be read: by the first part of a page, and natively, but not by the whole.
const READS_IN_SHORT: bool = !IS_WHOLE || cfg!(not(target_arch = "wasm32"));

/// A dataset ready to answer.
#[derive(Debug)]
pub struct Results {
    /// Checked; its runs without their sample series, which `runs` holds reduced.
    pub(crate) dataset: Dataset,
    pub(crate) catalogue: Catalogue,
    pub(crate) runs: Vec<Reduced>,
    pub(crate) offered: offered::Offered,
    /// What stands in place of the runs' curves, if the dataset was read in short: an edition, and its
    /// fields.
    in_short: Option<(u32, Vec<FieldSummary>)>,
    /// Prints a number with the fewest digits that give it back.
    pub(crate) digits: fn(f64) -> String,
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
        // Worked out of the runs, whatever the file says.
        dataset.scatter.clear();
        Ok(Self::of(dataset, catalogue, runs, digits))
    }

    /// Takes published results, read by [`packed::read`](crate::dataset::packed::read). They were
    /// checked by meaning when they were published; here only what every answer rests on is looked at.
    /// `digits` prints a number with the fewest digits that give it back.
    ///
    /// # Errors
    ///
    /// The first run that no answer can rest on.
    pub fn published(
        mut dataset: Dataset,
        catalogue: Catalogue,
        digits: fn(f64) -> String,
    ) -> Result<Self, Problem> {
        describe_setup(&mut dataset, &Gaps::default());
        let runs = reduced::published(&mut dataset)?;
        Ok(Self::of(dataset, catalogue, runs, digits))
    }

    /// As [`Results::published`], of results in short, read by
    /// [`packed::read_in_short`](crate::dataset::packed::read_in_short). They answer what is asked of
    /// their edition, by typical curves; any other question is a problem.
    ///
    /// # Errors
    ///
    /// As [`Results::published`].
    pub fn in_short(
        of: InShort,
        catalogue: Catalogue,
        digits: fn(f64) -> String,
    ) -> Result<Self, Problem> {
        let mut results = Self::published(of.dataset, catalogue, digits)?;
        reduced::take_measures(&mut results.runs, &of.summary)?;
        results.in_short = Some((of.summary.edition, of.summary.fields));
        Ok(results)
    }

    fn of(
        dataset: Dataset,
        catalogue: Catalogue,
        runs: Vec<Reduced>,
        digits: fn(f64) -> String,
    ) -> Self {
        Self {
            offered: offered::Offered::of(&dataset, &runs),
            dataset,
            catalogue,
            runs,
            digits,
            in_short: None,
        }
    }

    /// Whether the runs have no curves.
    pub(crate) fn is_in_short(&self) -> bool {
        READS_IN_SHORT && self.in_short.is_some()
    }

    /// The edition whose results these are, if the runs have no curves.
    pub(crate) fn edition_in_short(&self) -> Option<u32> {
        let of = self.in_short.as_ref().filter(|_| READS_IN_SHORT);
        of.map(|(edition, _)| *edition)
    }

    /// What stands in place of the curves of a field of that edition, by its rig and setup.
    pub(crate) fn summary_of(&self, rig: &str, setup: &str) -> Option<&FieldSummary> {
        let of = self.in_short.as_ref().filter(|_| READS_IN_SHORT);
        let mut fields = of?.1.iter();
        fields.find(|field| field.rig == rig && field.setup == setup)
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

    /// What a page asks when nothing has been chosen.
    pub fn default_job(&self) -> String {
        offered::default_job(&self.dataset)
    }

    /// Whether a tool, by its index, is a hand-turned calibrated wrench.
    pub(crate) fn is_reference(&self, tool: usize) -> bool {
        let tool = self.dataset.tools.get(tool);
        tool.and_then(|tool| tool.reference).unwrap_or_default()
    }

    /// The number of the newest edition.
    pub(crate) fn newest_edition(&self) -> u32 {
        offered::newest_edition(&self.dataset)
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
