//! The runs of the notebook: which samples of which log each has.

use super::cache::{Cache, KeptRun};
use super::clock;
use super::columns::RUNS;
use super::document::{Json, Members, decoded};
use super::file_problem::FileProblem;
use super::knots::OfDays;
use super::logger::advised;
use super::logger_block::{Logger, logger_of};
use super::near::nearly;
use super::raw_logs::{self, FOLDER, ReadLog};
use super::series::{Times, attach};
use super::split::parts;
use super::table::Table;
use super::unbundled::UNBUNDLED;
use crate::dataset::place::Place;
use crate::dataset::read::Reading;
use crate::dataset::types::{Dataset, Run};
use crate::problem::{Problem, quoted};
use crate::run::samples::Samples;
use rayon::prelude::*;
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

/// What is read of logs.
#[derive(Clone, Debug)]
pub enum Wanted {
    /// The samples of every run.
    Samples,
    /// The knots of every run that has no problem, kept in the cache if there is one.
    Knots(Option<Cache>),
}

impl Wanted {
    fn cache(&self) -> Option<&Cache> {
        match self {
            Self::Samples => None,
            Self::Knots(cache) => cache.as_ref(),
        }
    }
}

/// The logs that runs name.
#[derive(Debug, Default)]
pub struct RunLogs {
    folder: PathBuf,
    /// For each row of the notebook, its log among `logs`.
    of_rows: Vec<Option<usize>>,
    logs: Vec<Log>,
    /// Problems of rows.
    pub problems: Vec<FileProblem>,
}

#[derive(Debug)]
struct Log {
    path: String,
    logger: Logger,
    read: Option<ReadLog>,
    /// The first row that names it.
    row: usize,
}

/// Finds and reads the logs that the rows of the notebook name; `there` are the logs below `logs/`.
pub fn read(
    folder: &Path,
    table: &Table,
    loggers: &[Logger],
    there: &BTreeSet<String>,
    want: &Wanted,
) -> RunLogs {
    let mut found = RunLogs {
        folder: folder.to_owned(),
        ..RunLogs::default()
    };
    let plain = Logger::default();
    let mut known: BTreeMap<(String, Option<usize>), usize> = BTreeMap::new();
    for row in 0..table.rows.len() {
        let log = found
            .log_of(table, row, loggers, there, &plain)
            .map(|(path, logger)| {
                *known
                    .entry((path.clone(), logger.block))
                    .or_insert_with(|| {
                        found.logs.push(Log {
                            path,
                            logger: logger.clone(),
                            read: None,
                            row,
                        });
                        found.logs.len() - 1
                    })
            });
        found.of_rows.push(log);
    }
    let wanted: Vec<(String, &Logger)> = found
        .logs
        .iter()
        .map(|log| (log.path.clone(), &log.logger))
        .collect();
    let read = raw_logs::read_all(folder, &wanted, want.cache());
    for (log, read) in found.logs.iter_mut().zip(read) {
        match read {
            Ok(read) => {
                let problems = read.problems().iter();
                found
                    .problems
                    .extend(problems.map(|problem| log.problem(problem.clone())));
                log.read = Some(read);
            }
            Err(error) => {
                let found_is = format!("a log that cannot be read: {error}");
                found
                    .problems
                    .push(log.problem(Problem::new("", found_is, "a file")));
            }
        }
    }
    found
}

impl Log {
    /// A problem of the log, which is that of the first row that names it.
    fn problem(&self, problem: Problem) -> FileProblem {
        let problem = Problem {
            pointer: format!("/{}/{}/log", RUNS.list, self.row),
            ..advised(&self.logger, problem)
        };
        FileProblem::file(format!("{FOLDER}/{}", self.path), problem)
    }
}

impl RunLogs {
    fn problem(&mut self, table: &Table, row: usize, name: &str, problem: Problem) {
        self.problems.push(in_cell(table, row, name, problem));
    }

    /// The path of a row's log, and the logger that wrote it.
    fn log_of<'a>(
        &mut self,
        table: &Table,
        row: usize,
        loggers: &'a [Logger],
        there: &BTreeSet<String>,
        plain: &'a Logger,
    ) -> Option<(String, &'a Logger)> {
        let cell = table.cell(row, "log");
        let written = decoded(cell).unwrap_or_else(|| cell.to_owned());
        if written.is_empty() {
            if table.cell(row, "buildup").is_empty() {
                let wanted = format!("the path of its log below {FOLDER}/");
                self.problem(
                    table,
                    row,
                    "log",
                    Problem::new("", "a run without a log", wanted),
                );
            }
            return None;
        }
        let Some(path) = raw_logs::path_below(&written) else {
            let wanted = format!("a path below {FOLDER}/");
            self.problem(
                table,
                row,
                "log",
                Problem::new("", quoted(&written), wanted),
            );
            return None;
        };
        if !there.contains(&path) {
            let found = format!("the log {}, which is not there", quoted(&path));
            let mut problem =
                Problem::new("", found, format!("the path of a file below {FOLDER}/"));
            if let Some(near) = nearly(&path, there.iter().map(String::as_str)) {
                problem = problem.hint(format!("there is {}", quoted(near)));
            }
            self.problem(table, row, "log", problem);
            return None;
        }
        let named = table.cell(row, "logger");
        let logger = logger_of(loggers, named, &path, plain);
        if logger.is_none() {
            let found = format!("the unknown logger {}", quoted(named));
            self.problem(
                table,
                row,
                "logger",
                Problem::new("", found, "the \"id\" of a logger in bench.toml"),
            );
        }
        Some((path, logger?))
    }

    /// The logs that some row names.
    pub fn named(&self) -> BTreeSet<&str> {
        self.logs.iter().map(|log| log.path.as_str()).collect()
    }

    /// Completes the elements of the notebook's rows: where their logs are, and when they were made.
    pub fn complete(&mut self, table: &Table, runs: &mut [Members]) {
        for (row, run) in runs.iter_mut().enumerate() {
            self.clock(table, row, run);
            // A log that `unbundle` wrote is a copy; the first is named by columns of its own.
            let copied = |log: &&Log| log.logger.id.starts_with(UNBUNDLED);
            if !run.contains_key("log")
                && let Some(log) = self
                    .of_rows
                    .get(row)
                    .copied()
                    .flatten()
                    .and_then(|log| self.logs.get(log))
                    .filter(|log| !copied(log))
            {
                let mut members = Members::from([("file".to_owned(), Json::text(&log.path))]);
                if let Some(read) = &log.read {
                    members.insert("sha256".into(), Json::text(&read.sha256));
                }
                if let Ok(part) = table.cell(row, "part").parse() {
                    members.insert("part".into(), Json::whole(part));
                }
                let logger = table.cell(row, "logger");
                if !logger.is_empty() {
                    members.insert("logger".into(), Json::text(logger));
                }
                run.insert("log".into(), Json::Object(members));
            }
        }
    }

    fn clock(&mut self, table: &Table, row: usize, run: &mut Members) {
        let clock = table.cell(row, "clock");
        if clock.is_empty() {
            return;
        }
        match clock::seconds(clock) {
            _ if run.contains_key("at_s") => {
                let problem = Problem::new("", "both \"clock\" and \"at_s\"", "one of the two");
                self.problem(table, row, "clock", problem);
            }
            Some(at_s) => {
                run.insert("at_s".into(), Json::number(at_s));
            }
            None => {
                let problem = Problem::new("", quoted(clock), "a clock such as 14:05, or seconds");
                self.problem(table, row, "clock", problem);
            }
        }
    }

    /// Puts the series of their logs, or their knots if those are wanted, into the runs that were read.
    pub fn attach(&self, table: &Table, reading: &mut Reading, want: &Wanted) -> Vec<FileProblem> {
        let rows: Vec<usize> = (0..reading.dataset.runs.len())
            .map(|run| row_of(reading, run))
            .collect();
        let mut runs = std::mem::take(&mut reading.dataset.runs);
        let attaching = Attaching {
            logs: self,
            table,
            dataset: &reading.dataset,
            days: match want {
                Wanted::Samples => None,
                Wanted::Knots(_) => Some(OfDays::of(&reading.dataset, reading.digits)),
            },
        };
        let attached: Vec<Result<Option<KeptRun>, FileProblem>> = runs
            .par_iter_mut()
            .zip(&rows)
            .map(|(run, &row)| attaching.attach(row, run))
            .collect();
        reading.dataset.runs = runs;
        let mut new: BTreeMap<String, Vec<KeptRun>> = BTreeMap::new();
        let mut problems = Vec::new();
        for (attached, &row) in attached.into_iter().zip(&rows) {
            match (attached, want.cache(), self.of_row(row)) {
                (Ok(Some(run)), Some(cache), Some((log, read))) => new
                    .entry(cache.name(&read.sha256, &log.logger))
                    .or_insert_with(|| read.kept.clone())
                    .push(run),
                (Ok(_), ..) => {}
                (Err(problem), ..) => problems.push(problem),
            }
        }
        if let Some(cache) = want.cache() {
            cache.keep(&new);
        }
        problems
    }

    /// The log of a row, as far as it could be read.
    fn of_row(&self, row: usize) -> Option<(&Log, &ReadLog)> {
        let log = self.of_rows.get(row).copied().flatten()?;
        let log = self.logs.get(log)?;
        Some((log, log.read.as_ref()?))
    }
}

/// Logs, and what runs need besides to be given their samples.
struct Attaching<'a> {
    logs: &'a RunLogs,
    table: &'a Table,
    dataset: &'a Dataset,
    /// Where knots are wanted in place of samples.
    days: Option<OfDays>,
}

impl Attaching<'_> {
    /// Gives a run its samples or knots; the knots, if they are not kept yet.
    fn attach(&self, row: usize, run: &mut Run) -> Result<Option<KeptRun>, FileProblem> {
        let Some((log, read)) = self.logs.of_row(row) else {
            return Ok(None);
        };
        if !read.problems().is_empty() {
            // Told already.
            return Ok(None);
        }
        let wrong = |name: &str, problem| in_cell(self.table, row, name, problem);
        let nm_per_kn = nm_per_kn(log.logger.tension.is_some(), run, self.dataset);
        let nm_per_kn = nm_per_kn.map_err(|problem| wrong("log", problem))?;
        let part = self.table.cell(row, "part");
        let times = times(self.table, row);
        let key = match (&self.days, &times) {
            (Some(days), Ok(times)) => days.key(run, part, nm_per_kn, *times),
            _ => None,
        };
        if let (Some(days), Some(key)) = (&self.days, &key)
            && let Some(kept) = read.kept.iter().find(|kept| kept.of == *key)
            && days.put(run, kept.knots.clone())
        {
            return Ok(None);
        }
        let logged = match read.logged(&self.logs.folder, &log.path, &log.logger) {
            Ok(logged) => logged,
            Err(problems) => {
                let first = problems.first().cloned();
                return first.map_or(Ok(None), |problem| Err(log.problem(problem)));
            }
        };
        let torque = nm_per_kn.map(|nm_per_kn| scaled(&logged.samples, nm_per_kn));
        let samples = torque.as_ref().unwrap_or(&logged.samples);
        let part: usize = if part.is_empty() {
            0
        } else {
            part.parse().unwrap_or_default()
        };
        let (count, one) = match log.logger.split {
            None => (1, None),
            Some(split) => {
                let mut parts = parts(samples, split);
                let count = parts.len();
                let at = part.max(1) - 1;
                (count, (at < count).then(|| parts.swap_remove(at)))
            }
        };
        if part > count || (part == 0 && count != 1) {
            let found = if part == 0 {
                format!("a log with {count} runs and no part")
            } else {
                format!("part {part} of a log with {count}")
            };
            let problem = Problem::new("", found, "the number of the run in its log, from 1");
            let problem = match log.logger.split {
                None => problem.hint("a log holds one run unless \"split\" of its logger parts it"),
                Some(_) => problem,
            };
            return Err(wrong("part", problem));
        }
        let times = times.map_err(|(name, problem)| wrong(name, problem))?;
        attach(run, one.as_ref().unwrap_or(samples), times)
            .map_err(|problem| wrong("log", problem))?;
        let days = self.days.as_ref().zip(key);
        Ok(days.and_then(|(days, key)| days.put_own(run, &key)))
    }
}

/// Torque in N·m for each kN of tension, by the calibration in force on the run's day; nothing where
/// torque was logged, or the run's day is not known.
pub(super) fn nm_per_kn(
    tension: bool,
    run: &Run,
    dataset: &Dataset,
) -> Result<Option<f64>, Problem> {
    if !tension {
        return Ok(None);
    }
    let Some(day) = dataset.days.iter().find(|day| day.id == run.day) else {
        return Ok(None);
    };
    let rig = match &day.rig {
        Some(id) => dataset.rigs.iter().find(|rig| &rig.id == id),
        None => dataset.rigs.first(),
    };
    let Some(rig) = rig else { return Ok(None) };
    let nm_per_kn = rig
        .calibration_on(&day.date)
        .and_then(|calibration| calibration.nm_per_kn);
    if nm_per_kn.is_some() {
        return Ok(nm_per_kn);
    }
    let found = format!(
        "bolt tension in kN, and no \"nm_per_kn\" in force on {}",
        quoted(&day.date)
    );
    let wanted = format!(
        "a calibration of the rig {} with \"nm_per_kn\"",
        quoted(&rig.id)
    );
    Err(Problem::new("", found, wanted))
}

/// Samples with their torque multiplied: from kN to N·m.
pub(super) fn scaled(samples: &Samples, nm_per_kn: f64) -> Samples {
    let mut samples = samples.clone();
    samples
        .torque_nm
        .iter_mut()
        .for_each(|torque| *torque *= nm_per_kn);
    samples
}

/// How a row wants its times to be given.
fn times(table: &Table, row: usize) -> Result<Times, (&'static str, Problem)> {
    let number = |name| {
        let cell = table.cell(row, name);
        let number = || {
            cell.replace(',', ".")
                .parse::<f64>()
                .map_err(|_| (name, Problem::new("", quoted(cell), "a number")))
        };
        (!cell.is_empty()).then(number).transpose()
    };
    let start_s = number("start_s")?;
    if table.cell(row, "time_us").eq_ignore_ascii_case("yes") {
        return Ok(Times::Listed { start_s });
    }
    Ok(match number("interval_s")? {
        Some(interval_s) => Times::Even {
            start_s,
            interval_s,
        },
        None => Times::AsSampled,
    })
}

/// A problem of a cell of the notebook.
fn in_cell(table: &Table, row: usize, name: &str, problem: Problem) -> FileProblem {
    let column = table.column(name);
    let (line, place) = table.place(Some(row), column.unwrap_or_default());
    let problem = Problem {
        pointer: format!("/{}/{row}/{name}", RUNS.list),
        ..problem
    };
    FileProblem::file(table.file, problem.at(line, place)).field(name)
}

/// The row of the `run`-th run that could be read.
pub(super) fn row_of(reading: &Reading, run: usize) -> usize {
    match reading.gaps.place(RUNS.list, run) {
        Place::Element(_, _, row) => row,
        _ => run,
    }
}

/// Adds the series of the runs that were read to the elements of the dataset's list.
pub(super) fn add_series(elements: &mut [Json], reading: &Reading) {
    for (at, run) in reading.dataset.runs.iter().enumerate() {
        let Some(Json::Object(members)) = elements.get_mut(row_of(reading, at)) else {
            continue;
        };
        let numbers = [("start_s", run.start_s), ("interval_s", run.interval_s)];
        let numbers = numbers
            .into_iter()
            .filter_map(|(key, number)| Some((key, Json::number(number?))));
        let times = run
            .time_us
            .as_deref()
            .map(|times| ("time_us", Json::series(times)));
        let series = [
            ("torque_dnm", &run.torque_dnm),
            ("angle_ddeg", &run.angle_ddeg),
            ("voltage_mv", &run.voltage_mv),
            ("current_ma", &run.current_ma),
        ];
        let series = series
            .into_iter()
            .filter_map(|(key, series)| Some((key, Json::series(series.as_deref()?))));
        let added = numbers.chain(times).chain(series);
        members.extend(added.map(|(key, value)| (key.to_owned(), value)));
    }
}

/// The log that a row names.
pub(super) fn named_log(table: &Table, row: usize) -> Option<String> {
    let cell = table.cell(row, "log");
    raw_logs::path_below(&decoded(cell).unwrap_or_else(|| cell.to_owned()))
}
