//! The runs of the notebook: which log each has.

use super::cache::Cache;
use super::clock;
use super::columns::RUNS;
use super::document::{Json, Members, decoded};
use super::file_problem::FileProblem;
use super::logger::advised;
use super::logger_block::{Logger, logger_of};
use super::near::nearly;
use super::raw_logs::{self, FOLDER, ReadLog};
use super::table::Table;
use super::unbundled::UNBUNDLED;
use crate::dataset::pointer::Pointer;
use crate::dataset::read::Reading;
use crate::problem::{Problem, quoted};
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
    pub(super) fn cache(&self) -> Option<&Cache> {
        match self {
            Self::Samples => None,
            Self::Knots(cache) => cache.as_ref(),
        }
    }
}

/// The logs that runs name.
#[derive(Debug, Default)]
pub struct RunLogs {
    pub(super) folder: PathBuf,
    /// For each row of the notebook, its log among `logs`.
    of_rows: Vec<Option<usize>>,
    logs: Vec<Log>,
    /// Problems of rows.
    pub problems: Vec<FileProblem>,
}

/// A log that rows name.
#[derive(Debug)]
pub(super) struct Log {
    pub path: String,
    pub logger: Logger,
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
    pub fn problem(&self, problem: Problem) -> FileProblem {
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

    /// The log of a row, as far as it could be read.
    pub(super) fn of_row(&self, row: usize) -> Option<(&Log, &ReadLog)> {
        let log = self.of_rows.get(row).copied().flatten()?;
        let log = self.logs.get(log)?;
        Some((log, log.read.as_ref()?))
    }
}

/// A problem of a cell of the notebook.
pub(super) fn in_cell(table: &Table, row: usize, name: &str, problem: Problem) -> FileProblem {
    let column = table.column(name);
    let (line, at) = table.position(Some(row), column.unwrap_or_default());
    let problem = Problem {
        pointer: format!("/{}/{row}/{name}", RUNS.list),
        ..problem
    };
    FileProblem::file(table.file, problem.at(line, at)).field(name)
}

/// The row of the `run`-th run that could be read.
pub(super) fn row_of(reading: &Reading, run: usize) -> usize {
    match reading.gaps.pointer(RUNS.list, run) {
        Pointer::Element(_, _, row) => row,
        _ => run,
    }
}

/// The log that a row names.
pub(super) fn named_log(table: &Table, row: usize) -> Option<String> {
    let cell = table.cell(row, "log");
    raw_logs::path_below(&decoded(cell).unwrap_or_else(|| cell.to_owned()))
}
