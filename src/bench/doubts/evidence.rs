//! What doubts are drawn from: every run reduced once, with its log and its row.

use super::super::block_reader;
use super::super::columns::{DAYS, RUNS};
use super::super::fingerprint::fingerprint;
use super::super::logger_block::{Logger, logger_of};
use super::super::runs::row_of;
use super::super::{Bench, raw_logs};
use super::doubt::{Doubt, Subject};
use super::statistics::robust_sigma;
use crate::dataset::pointer::Pointer;
use crate::dataset::read::Reading;
use crate::dataset::types::{BuildUp, Dataset, Day, Flag, Rig, Run};
use crate::history::editions::torque_factor;
use crate::logs::notes::{Note, notes, wrong_sign};
use crate::problem::Problem;
use crate::run::LEAST_TORQUE_NM;
use crate::run::measures::Measures;
use crate::run::reduce::{Reduction, Settings, reduce_smoothed, smoothed};
use crate::run::samples::Samples;
use rayon::prelude::*;
use std::path::Path;

/// A rise below this many standard deviations of the noise is noise: a largest value of 10,000
/// running medians of pure noise stays below it.
const RISE_OF_NOISE: f64 = 6.0;

/// A dataset and what is known of its runs.
#[derive(Debug)]
pub struct Evidence<'a> {
    /// The dataset.
    pub dataset: &'a Dataset,
    /// Its runs that could be read, in the dataset's order.
    pub runs: Vec<RunEvidence<'a>>,
    /// The folder, if it was read from one.
    pub folder: Option<(&'a Path, &'a Bench)>,
    /// The loggers of the folder.
    pub loggers: Vec<Logger>,
}

/// What is known of a run.
#[derive(Debug)]
pub struct RunEvidence<'a> {
    /// The run.
    pub run: &'a Run,
    /// Its name for people: the path of its log, or what it is.
    pub name: String,
    /// JSON pointer to it.
    pub pointer: String,
    /// The row of the notebook, from 0.
    pub row: usize,
    /// Its day.
    pub day: Option<&'a Day>,
    /// Its rig.
    pub rig: Option<&'a Rig>,
    /// Its setup.
    pub setup: &'a str,
    /// Whether it is not set aside.
    pub counts: bool,
    /// Path of its log below `logs/`.
    pub log: Option<String>,
    /// Index of its logger among [`Evidence::loggers`].
    pub logger: Option<usize>,
    /// Its samples, repeated time stamps merged; none where the dataset holds knots.
    pub samples: Option<Samples>,
    /// Torque of the wrong sign.
    pub wrong_sign: Option<Problem>,
    /// Rise and noise in N·m of torque that never leaves its noise.
    pub still_zero: Option<(f64, f64)>,
    /// What was reduced; none where the torque never rises.
    pub reduced: Option<Reduced>,
}

/// Figures of a reduced run.
#[derive(Debug)]
pub struct Reduced {
    /// The reduction; none where the dataset holds knots.
    pub reduction: Option<Reduction>,
    /// Natural logarithm of the mean torque in N·m, corrections of editions applied.
    pub log_mean: f64,
    /// The factor of those corrections.
    pub correction: f64,
    /// Largest sample less the zero in N·m, no correction applied.
    pub largest_nm: f64,
    /// Median interval between samples in microseconds.
    pub gap_us: f64,
    /// Whether the log ends or the torque falls too early.
    pub short: bool,
    /// Open-circuit voltage of the pack in V.
    pub open_v: Option<f64>,
    /// Resistance of the pack in ohm.
    pub resistance_ohm: Option<f64>,
    /// What the reduction noted.
    pub notes: Vec<Note>,
}

impl<'a> Evidence<'a> {
    /// Of a dataset file.
    pub fn of_dataset(reading: &'a Reading) -> Self {
        Self::of(reading, None, Vec::new())
    }

    /// Of a bench folder.
    pub fn of_bench(folder: &'a Path, bench: &'a Bench) -> Self {
        let loggers = block_reader::loggers(&bench.sources.settings).unwrap_or_default();
        Self::of(&bench.reading, Some((folder, bench)), loggers)
    }

    fn of(
        reading: &'a Reading,
        folder: Option<(&'a Path, &'a Bench)>,
        loggers: Vec<Logger>,
    ) -> Self {
        let dataset = &reading.dataset;
        let runs = dataset.runs.par_iter().enumerate();
        let runs = runs
            .map(|(at, run)| run_evidence(reading, folder, &loggers, at, run))
            .collect();
        Self {
            dataset,
            runs,
            folder,
            loggers,
        }
    }

    /// The knots of every run that was reduced from samples.
    pub fn knots(&self) -> Vec<Option<BuildUp>> {
        let runs = self.runs.par_iter();
        runs.map(|run| run.reduced.as_ref()?.reduction.as_ref().map(BuildUp::of))
            .collect()
    }

    /// Runs that are not set aside and could be reduced.
    pub fn counted(&self) -> impl Iterator<Item = (usize, &RunEvidence<'a>, &Reduced)> {
        let runs = self.runs.iter().enumerate();
        runs.filter(|(_, run)| run.counts)
            .filter_map(|(at, run)| Some((at, run, run.reduced.as_ref()?)))
    }

    /// The fingerprint of some runs and of texts beside them: of the bytes of their logs and of the
    /// cells of their rows, without those that do not change what was measured (`remark`,
    /// `edition`). Empty for a dataset file.
    pub fn fingerprint(&self, runs: impl IntoIterator<Item = usize>, beside: &[&str]) -> String {
        let Some((_, bench)) = self.folder else {
            return String::new();
        };
        let mut bytes = String::new();
        for run in runs.into_iter().filter_map(|at| self.runs.get(at)) {
            let sha256 = run.run.log.as_ref().and_then(|log| log.sha256.as_deref());
            bytes.push_str(sha256.unwrap_or_default());
            bytes.push('\n');
            if let Some(table) = bench.sources.tables.get(RUNS.list)
                && let Some(row) = table.rows.get(run.row)
            {
                for (name, cell) in table.header.iter().zip(&row.cells) {
                    if !["remark", "edition"].contains(&name.as_str()) && !cell.is_empty() {
                        bytes.push_str(&format!("{name}\t{cell}\n"));
                    }
                }
            }
        }
        for text in beside {
            bytes.push_str(&format!("{text}\n"));
        }
        let digits = fingerprint(bytes.as_bytes());
        // A letter first, so that no spreadsheet takes it for a number.
        format!("x{}", digits.get(..16).unwrap_or_default())
    }

    /// The cells of the row of a day, as bytes that a doubt may be about.
    pub fn day_cells(&self, day: &str) -> String {
        let days = self.dataset.days.iter();
        let of_day = days.filter(|other| other.id == day);
        of_day
            .map(|day| {
                format!(
                    "{} {} {}",
                    day.id,
                    day.date,
                    day.rig.as_deref().unwrap_or_default()
                )
            })
            .collect()
    }

    /// JSON pointer to a day.
    pub fn day_pointer(&self, day: &str) -> String {
        let at = self.dataset.days.iter().position(|other| other.id == day);
        format!("/{}/{}", DAYS.list, at.unwrap_or_default())
    }
}

/// A doubt about a run.
pub(super) fn about(name: &'static str, run: &RunEvidence) -> Doubt {
    Doubt::new(name, Subject::Run, &run.name).at(&run.pointer)
}

fn run_evidence<'a>(
    reading: &'a Reading,
    folder: Option<(&'a Path, &'a Bench)>,
    loggers: &[Logger],
    at: usize,
    run: &'a Run,
) -> RunEvidence<'a> {
    let dataset = &reading.dataset;
    let day = dataset.days.iter().find(|day| day.id == run.day);
    let rig = match day.and_then(|day| day.rig.as_ref()) {
        Some(id) => dataset.rigs.iter().find(|rig| &rig.id == id),
        None => dataset.rigs.first(),
    };
    let first_setup = dataset.setups.first().map_or("", |setup| &setup.id);
    let setup = run.setup.as_deref().unwrap_or(first_setup);
    let settings = rig.map(Settings::of);
    let samples = Samples::of_run(run)
        .filter(|samples| samples.time_us.len() == samples.torque_nm.len())
        .map(Samples::merged);
    let newest = dataset.editions.last().map_or(0, |edition| edition.edition);
    let correction = torque_factor(&dataset.editions, &run.day, newest);
    let mut m = samples
        .as_ref()
        .zip(settings.as_ref())
        .map(|(samples, settings)| smoothed(samples, settings));
    let wrong_sign = samples
        .as_ref()
        .zip(m.as_deref())
        .and_then(|(samples, m)| wrong_sign(samples, m));
    let reduced = settings.and_then(|settings| match (&samples, &run.buildup) {
        (Some(samples), _) => of_samples(samples, m.take()?, &settings, correction),
        (None, Some(_)) => of_knots(run, &settings, correction),
        (None, None) => None,
    });
    let row = row_of(reading, at);
    let LogOfRow { name, log, logger } = log_of(folder, loggers, row, run);
    RunEvidence {
        run,
        name,
        pointer: Pointer::Element(&Pointer::Top, RUNS.list, row).text(),
        row,
        day,
        rig,
        setup,
        counts: run.excluded.is_none(),
        log,
        logger,
        wrong_sign,
        still_zero: samples
            .as_ref()
            .zip(reduced.as_ref())
            .and_then(|(samples, reduced)| still_zero(samples, reduced)),
        samples,
        reduced,
    }
}

/// What a row of the notebook says of its log.
struct LogOfRow {
    /// Name of the run for people.
    name: String,
    /// Path of its log below `logs/`.
    log: Option<String>,
    /// Index of its logger.
    logger: Option<usize>,
}

fn log_of(folder: Option<(&Path, &Bench)>, loggers: &[Logger], row: usize, run: &Run) -> LogOfRow {
    let table = folder.and_then(|(_, bench)| bench.sources.tables.get(RUNS.list));
    let log = table.and_then(|table| raw_logs::path_below(&text(table.cell(row, "log"))));
    let logger = table.zip(log.as_ref()).and_then(|(table, log)| {
        let plain = Logger::default();
        logger_of(loggers, table.cell(row, "logger"), log, &plain)?.block
    });
    let part = table.map_or("", |table| table.cell(row, "part"));
    let name = match &log {
        Some(log) if part.is_empty() => log.clone(),
        Some(log) => format!("{log} part {part}"),
        None => format!(
            "run {} ({} with {}, {})",
            row + 1,
            run.tool,
            run.pack,
            run.day
        ),
    };
    LogOfRow { name, log, logger }
}

/// Rise and standard deviation of the noise, in N·m, if the rise is no more than noise.
fn still_zero(samples: &Samples, reduced: &Reduced) -> Option<(f64, f64)> {
    let reduction = reduced.reduction.as_ref()?;
    let rise = reduction.torque_nm.last()? - reduction.start_nm.min(0.0);
    let differences = samples.torque_nm.windows(2).filter_map(|pair| match pair {
        [a, b] => Some(b - a),
        _ => None,
    });
    // Differences of neighbours have √2 times the standard deviation of the noise.
    let noise = robust_sigma(differences) / std::f64::consts::SQRT_2;
    (rise < RISE_OF_NOISE * noise).then_some((rise, noise))
}

/// A cell as a text.
fn text(cell: &str) -> String {
    super::super::document::decoded(cell).unwrap_or_else(|| cell.to_owned())
}

fn of_samples(
    samples: &Samples,
    m: Vec<f64>,
    settings: &Settings,
    correction: f64,
) -> Option<Reduced> {
    if samples.time_us.is_empty() {
        return None;
    }
    let reduction = reduce_smoothed(samples, m, settings)?;
    let mean_nm = Measures::of(&reduction.curve(), settings.window_s).mean_nm;
    Some(Reduced {
        log_mean: libm::log((mean_nm * correction).max(LEAST_TORQUE_NM)),
        correction,
        largest_nm: reduction.largest_nm,
        gap_us: reduction.gap_us,
        short: reduction.short,
        open_v: reduction.electrical.open_v,
        resistance_ohm: reduction.electrical.resistance_ohm,
        notes: notes(samples, &reduction, settings),
        reduction: Some(reduction),
    })
}

fn of_knots(run: &Run, settings: &Settings, correction: f64) -> Option<Reduced> {
    let knots = run.buildup.as_ref()?;
    if knots.step.is_empty() || knots.step.len() != knots.rise_dnm.len() {
        return None;
    }
    let mean_nm = Measures::of(&knots.curve(), settings.window_s).mean_nm;
    Some(Reduced {
        reduction: None,
        log_mean: libm::log((mean_nm * correction).max(LEAST_TORQUE_NM)),
        correction,
        largest_nm: f64::from(knots.largest_dnm) / 10.0,
        gap_us: f64::from(knots.gap_us),
        short: knots.is(Flag::Short),
        open_v: knots.open_v(),
        resistance_ohm: knots.resistance_uohm.map(|uohm| uohm as f64 / 1e6),
        notes: Vec::new(),
    })
}
