//! The runs of the dataset are given the samples or the knots of their logs.

use super::cache::KeptRun;
use super::calibrated::{nm_per_kn, scaled};
use super::document::Json;
use super::file_problem::FileProblem;
use super::knots::OfDays;
use super::logger_block::Split;
use super::runs::{RunLogs, Wanted, in_cell, row_of};
use super::series::{self, Times};
use super::split::parts;
use super::table::Table;
use crate::dataset::read::Reading;
use crate::dataset::types::{Dataset, Run};
use crate::problem::{Problem, quoted};
use crate::run::samples::Samples;
use rayon::prelude::*;
use std::collections::BTreeMap;

/// Puts the series of their logs, or their knots if those are wanted, into the runs that were read.
pub(super) fn attach(
    logs: &RunLogs,
    table: &Table,
    reading: &mut Reading,
    want: &Wanted,
) -> Vec<FileProblem> {
    let rows: Vec<usize> = (0..reading.dataset.runs.len())
        .map(|run| row_of(reading, run))
        .collect();
    let mut runs = std::mem::take(&mut reading.dataset.runs);
    let attaching = Attaching {
        logs,
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
        match (attached, want.cache(), logs.of_row(row)) {
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
        let one =
            one_part(samples, part, log.logger.split).map_err(|problem| wrong("part", problem))?;
        let times = times.map_err(|(name, problem)| wrong(name, problem))?;
        series::attach(run, one.as_ref().unwrap_or(samples), times)
            .map_err(|problem| wrong("log", problem))?;
        let days = self.days.as_ref().zip(key);
        Ok(days.and_then(|(days, key)| days.put_own(run, &key)))
    }
}

/// The run of this number in its log; nothing where the log is one run. A cell that is empty or no
/// number names none.
fn one_part(
    samples: &Samples,
    part: &str,
    split: Option<Split>,
) -> Result<Option<Samples>, Problem> {
    let part: usize = if part.is_empty() {
        0
    } else {
        part.parse().unwrap_or_default()
    };
    let (count, one) = match split {
        None => (1, None),
        Some(split) => {
            let mut parts = parts(samples, split);
            let count = parts.len();
            let at = part.max(1) - 1;
            (count, (at < count).then(|| parts.swap_remove(at)))
        }
    };
    if part <= count && (part != 0 || count == 1) {
        return Ok(one);
    }
    let found = if part == 0 {
        format!("a log with {count} runs and no part")
    } else {
        format!("part {part} of a log with {count}")
    };
    let problem = Problem::new("", found, "the number of the run in its log, from 1");
    Err(match split {
        None => problem.hint("a log holds one run unless \"split\" of its logger parts it"),
        Some(_) => problem,
    })
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
