//! The bench folder: raw logs, a notebook and descriptions, read as one dataset.
//!
//! [`read`] makes of a folder the dataset that its bundled file holds: [`settings`] reads
//! `bench.toml`, [`table`] and [`rows`] the tables whose [`columns`] are named like the dataset's
//! fields, [`block_reader`] and [`logger`] the logs, [`series`] makes whole-numbered series of
//! their samples, and [`sources`] finds in the folder what a problem of the dataset is about.
//! [`start`] makes a new folder, [`gather`] adds rows to the notebook, [`unbundle`] is the way back
//! from a file; [`write_file`] and [`new_folder`] write as a whole or not at all.

pub mod append_rows;
pub mod assemble;
mod attaching;
pub mod block_reader;
pub mod cache;
mod calibrated;
pub mod cell;
pub mod clock;
pub mod columns;
pub mod document;
pub mod doubts;
mod field_starts;
pub mod file_problem;
pub mod files;
pub mod fingerprint;
pub mod gather;
pub mod knots;
pub mod logger;
pub mod logger_block;
pub mod name_pattern;
pub mod look;
pub mod near;
pub mod new_folder;
pub mod one_log;
pub mod raw_logs;
pub mod rows;
pub mod runs;
pub mod same;
pub mod series;
pub mod settings;
pub mod settings_fields;
pub mod settings_text;
pub mod sources;
pub mod split;
pub mod start;
pub mod table;
pub mod unbundle;
mod unbundled;
pub mod write_file;

use crate::dataset::drafts;
use crate::dataset::read::Reading;
use crate::dataset::types::{BuildUp, Edition};
use crate::results::Results;
use crate::text::catalogue::Catalogue;
use cache::Cache;
use document::{Json, Members, dataset_text};
use file_problem::FileProblem;
use runs::Wanted;
use sources::Sources;
use std::collections::BTreeSet;
use std::path::Path;

/// A folder as read.
#[derive(Debug)]
pub struct Bench {
    /// The dataset without the series of its runs.
    document: Members,
    /// The dataset with them, and the problems that only the dataset shows.
    reading: Reading,
    sources: Sources,
    /// Problems of the folder.
    problems: Vec<FileProblem>,
    /// Pointers about which those problems are.
    refused: BTreeSet<String>,
    notes: Vec<FileProblem>,
    /// Logs that no row names.
    unnamed_logs: Vec<String>,
}

/// Reads a bench folder with the samples of its runs.
///
/// # Errors
///
/// The problems that leave nothing to be read further: a file that is missing, is no table or no
/// TOML. Every other problem is told by [`Bench::results`].
pub fn read(folder: &Path) -> Result<Bench, Vec<FileProblem>> {
    assemble::bench(folder, &Wanted::Samples)
}

/// Reads a bench folder for its results alone: its runs have knots in place of samples. Logs of which
/// `cache` keeps the knots are not read again; what was read is kept there.
///
/// # Errors
///
/// As [`read`].
pub fn read_reduced(folder: &Path, cache: Option<Cache>) -> Result<Bench, Vec<FileProblem>> {
    assemble::bench(folder, &Wanted::Knots(cache))
}

impl Bench {
    /// The text of the dataset, without the series of its runs.
    pub fn text(&self) -> String {
        dataset_text(&self.document)
    }

    /// The text of the dataset with the series of its runs.
    pub fn bundled_text(&self) -> String {
        let mut document = self.document.clone();
        if let Some(Json::List(runs)) = document.get_mut("runs") {
            attaching::add_series(runs, &self.reading);
        }
        dataset_text(&document)
    }

    /// Counts the runs that belong to no edition as those of a draft edition after the newest; that
    /// edition, if there are such runs. The texts stay without it.
    pub fn count_drafts(&mut self) -> Option<Edition> {
        drafts::count(&mut self.reading.dataset)
    }

    /// Puts knots, in the order of the runs, in place of the series of those that have no problem, so
    /// that they are not reduced again. The bundled text is without series afterwards.
    pub fn put_knots(&mut self, knots: Vec<Option<BuildUp>>) {
        knots::put_all(&mut self.reading, knots);
    }

    /// Problems that the folder shows by itself.
    pub fn problems(&self) -> &[FileProblem] {
        &self.problems
    }

    /// What is worth knowing and no problem: columns and fields that are not known.
    pub fn notes(&self) -> &[FileProblem] {
        &self.notes
    }

    /// How many runs there are, and how many of them are drafts.
    pub fn runs(&self) -> (usize, usize) {
        let runs = &self.reading.dataset.runs;
        let drafts = runs.iter().filter(|run| run.edition.is_none()).count();
        (runs.len(), drafts)
    }

    /// Checks and reduces the dataset.
    ///
    /// # Errors
    ///
    /// Every problem, in the order of files, lines and columns.
    pub fn results(self, catalogue: Catalogue) -> Result<(Results, Sources), Vec<FileProblem>> {
        let Self {
            reading,
            sources,
            problems,
            refused,
            ..
        } = self;
        match Results::new(reading, catalogue) {
            Ok(results) if problems.is_empty() => Ok((results, sources)),
            Ok(_) => Err(sorted(problems)),
            Err(found) => {
                let found = found.iter().filter(|problem| {
                    !is_told(&refused, &problem.pointer, &problem.found)
                        && !sources.lacks_column(&problem.pointer, &problem.found, &problems)
                });
                let found: Vec<FileProblem> = found
                    .map(|problem| sources.located(problem.clone()))
                    .collect();
                Err(sorted([problems, found].concat()))
            }
        }
    }
}

/// Whether a logger of this identifier reads what `unbundle` wrote.
fn unbundled(id: &str) -> bool {
    id.starts_with(unbundled::UNBUNDLED)
}

/// Whether a problem of the dataset follows from one of the folder: of the same value, or of an
/// element that lacks it.
fn is_told(refused: &BTreeSet<String>, pointer: &str, found: &str) -> bool {
    let missing = missing(found);
    refused.contains(pointer)
        || missing.is_some_and(|key| refused.contains(&format!("{pointer}/{key}")))
        || (found == "a run without a series" && refused.iter().any(|of| is_below(of, pointer)))
}

/// Whether a pointer names a member of the element that `pointer` names.
fn is_below(of: &str, pointer: &str) -> bool {
    of.strip_prefix(pointer)
        .is_some_and(|rest| rest.starts_with('/'))
}

/// The field that an element lacks, if that is what was found.
fn missing(found: &str) -> Option<&str> {
    found.strip_prefix("no \"")?.strip_suffix('"')
}

/// Problems in the order in which the files of a new folder are filled in, then by line and column.
fn sorted(mut problems: Vec<FileProblem>) -> Vec<FileProblem> {
    const FIRST: [&str; 5] = [
        "bench.toml",
        "tools.csv",
        "packs.csv",
        "specimens.csv",
        "days.csv",
    ];
    let position = |problem: &FileProblem| {
        FIRST
            .iter()
            .position(|file| *file == problem.file)
            .unwrap_or(FIRST.len())
    };
    problems.sort_by(|a, b| (position(a), a.order()).cmp(&(position(b), b.order())));
    problems
}
