//! Raw logger text to samples: delimited text whose header says what each column holds and in which
//! unit, or a format that says so in its place.
//!
//! Nothing is guessed: what the text does not say is asked for by a problem that names the option,
//! and what could be read in two ways is refused with both.

mod advice;
mod check_format;
mod columns;
mod encoding;
mod faults;
mod format;
pub mod notes;
mod numbers;
mod rows;
pub mod stamps;
pub mod survey;
pub mod units;

pub use format::{Channel, ColumnName, LogFormat};

use crate::problem::{Problem, quoted};
use crate::run::samples::{Samples, microseconds};
use columns::{Column, Columns, Head, called};
use faults::{Faults, Kind, in_column};
use numbers::{Marks, number};
use rows::{Delimiter, Row, Rows, rows};
use serde::Serialize;
use stamps::{NoTime, Stamps};
use units::Quantity;

/// The most samples in one log.
const MOST_SAMPLES: usize = crate::dataset::MOST_SAMPLES;

/// A number of a channel is below this, in its unit of the SI.
const MOST: f64 = 1e9;

/// Times are below this, in seconds: a clock that counts from 1970 is.
const MOST_TIME_S: f64 = 1e10;

/// A log that was read.
#[derive(Clone, Debug)]
pub struct Log {
    /// Its samples, repeated time stamps not yet merged.
    pub samples: Samples,
    /// Which column was read as what.
    pub columns: Vec<Understood>,
}

/// A column of a log as it was understood.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Understood {
    /// What it measures: `time`, `torque`, `angle`, `voltage` or `current`.
    pub channel: &'static str,
    /// Its number, from 1; none for times that come from a rate.
    pub column: Option<usize>,
    /// Its header; none without a header.
    pub header: Option<String>,
    /// Its unit.
    pub unit: &'static str,
}

/// The text of a log and where and how its rows stand in it.
pub(crate) struct Pages<'a> {
    text: &'a str,
    delimiter: Delimiter,
    marks: Marks,
    /// The line of the first row of samples, or the one after the header.
    first_row: u32,
}

/// The samples of a log, repeated time stamps not yet merged.
///
/// # Errors
///
/// As [`read_log`].
pub fn read(bytes: &[u8], format: &LogFormat) -> Result<Samples, Vec<Problem>> {
    read_log(bytes, format).map(|log| log.samples)
}

/// The samples of a log and what was understood of it.
///
/// # Errors
///
/// Every kind of problem once, at its first line and with a count: a text that cannot be decoded, a
/// format that contradicts itself or the log, columns that are missing or doubly there or whose unit
/// nobody says, fields that are not numbers or could be two, times that run backwards.
pub fn read_log(bytes: &[u8], format: &LogFormat) -> Result<Log, Vec<Problem>> {
    let one = |problem: Problem| vec![problem];
    check(format).map_err(one)?;
    let text = encoding::decoded(bytes, format.encoding.as_deref()).map_err(one)?;
    let text = encoding::with_newlines(text);
    let delimiter = Delimiter::named(format.delimiter.as_deref()).map_err(one)?;
    let marks = marks(format).map_err(one)?;
    let first = first_line(&text, format).map_err(one)?;
    let mut pages = Pages {
        text: &text,
        delimiter,
        marks,
        first_row: first,
    };
    let head = head(&mut pages, format).map_err(one)?;
    let columns = Columns::of(&head, format).map_err(|mut unknown| {
        if !unknown.missing.is_empty() {
            let advice = advice::for_missing(&pages, &head, &unknown.missing, format);
            unknown
                .problems
                .insert(0, missing(&head, &unknown.missing).hint(advice));
        }
        unknown.problems
    })?;
    Ok(Log {
        samples: samples(&pages, &head, &columns, format)?,
        columns: understood(&head, &columns),
    })
}

/// What is wrong with a format by itself, whatever the log: marks, a rate, a unit or an encoding that
/// nobody knows.
///
/// # Errors
///
/// The first such problem.
pub fn check(format: &LogFormat) -> Result<(), Problem> {
    encoding::decoded(&[], format.encoding.as_deref())?;
    Delimiter::named(format.delimiter.as_deref())?;
    marks(format)?;
    check_format::channels(format)
}

/// The marks that a format names.
fn marks(format: &LogFormat) -> Result<Marks, Problem> {
    let decimal = match format.decimal.as_deref() {
        None | Some(".") => '.',
        Some(",") => ',',
        Some(other) => {
            let found = format!("the decimal mark {}", quoted(other));
            return Err(Problem::new("", found, "a point or a comma"));
        }
    };
    let thousands = match format.thousands.as_deref() {
        None => None,
        Some("space") => Some(' '),
        Some(text) if text.chars().count() == 1 && text.trim().is_empty() => Some(' '),
        Some("'" | "’") => Some('\''),
        Some(",") => Some(','),
        Some(".") => Some('.'),
        Some(other) => {
            let found = format!("the thousands mark {}", quoted(other));
            return Err(Problem::new("", found, "one of , . ' or the word space"));
        }
    };
    if thousands == Some(decimal) {
        let found = format!(
            "{} for decimals and for thousands",
            quoted(&decimal.to_string())
        );
        let hint =
            "a comma between thousands goes with a decimal point, a point with --decimal-comma";
        return Err(Problem::new("", found, "two different marks").hint(hint));
    }
    Ok(Marks { decimal, thousands })
}

/// The line of the header, or of the first row without one.
fn first_line(text: &str, format: &LogFormat) -> Result<u32, Problem> {
    let Some(start) = &format.header_starts_with else {
        let skipped = u32::try_from(format.skip_lines).unwrap_or(u32::MAX);
        return Ok(skipped.saturating_add(1));
    };
    let begins = |line: &str| {
        line.trim_start_matches([' ', '\t', '"'])
            .starts_with(start.as_str())
    };
    let mut lines = text.lines().enumerate().skip(format.skip_lines);
    let found = lines.find(|(_, line)| begins(line));
    let line = found.and_then(|(i, _)| u32::try_from(i + 1).ok());
    line.ok_or_else(|| {
        let found = format!("no line that begins with {}", quoted(start));
        Problem::new("", found, "the header that --header-starts-with names")
    })
}

/// The header, and the line of the first row below it.
fn head(pages: &mut Pages, format: &LogFormat) -> Result<Head, Problem> {
    let mut all = rows(pages.text, pages.first_row as usize, pages.delimiter).peekable();
    let Some(row) = all.next().transpose()?.filter(|row| !row.is_empty()) else {
        let wanted = "a first line such as \"time [s],torque [N·m]\"";
        return Err(Problem::new("", "no header", wanted).at(pages.first_row, 1));
    };
    if format.no_header || format.detects_header && columns::holds_values(&row, pages.marks, format)
    {
        pages.first_row = row.line;
        let names = vec![String::new(); row.fields.len()];
        return Ok(Head {
            line: row.line,
            names,
            units: Vec::new(),
            named: false,
        });
    }
    let mut units = Vec::new();
    if format.units_row {
        let below = all.next().transpose()?;
        let is_units = |row: &Row| row.fields.iter().any(|text| units::unit(text).is_some());
        let Some(below) = below.filter(is_units) else {
            let found = "no units in the row below the header";
            let problem = Problem::new("", found, "a row of units").at(row.line, 1);
            return Err(problem.hint("leave --units-row out"));
        };
        units = below.fields;
    }
    pages.first_row = match all.peek() {
        Some(Ok(below)) => below.line,
        _ => u32::MAX,
    };
    let names = row.fields.iter().map(|name| name.replace('\n', " "));
    Ok(Head {
        line: row.line,
        names: names.collect(),
        units,
        named: true,
    })
}

fn missing(head: &Head, missing: &[Quantity]) -> Problem {
    let names: Vec<&str> = missing
        .iter()
        .map(|&quantity| called(quantity).name)
        .collect();
    let examples: Vec<String> = missing
        .iter()
        .map(|&quantity| {
            quoted(&format!(
                "{} [{}]",
                called(quantity).name,
                called(quantity).example
            ))
        })
        .collect();
    let found = format!(
        "no column of {} that says its unit",
        names.join(" and none of ")
    );
    let wanted = if head.named {
        format!("a header such as {}", examples.join(" and "))
    } else {
        "each column by its number".into()
    };
    Problem::new("", found, wanted).at(head.line, 1)
}

fn understood(head: &Head, columns: &Columns) -> Vec<Understood> {
    let of = |channel, column: &Column| Understood {
        channel,
        column: Some(column.place + 1),
        header: head.named.then(|| column.name.clone()),
        unit: column.unit.symbol,
    };
    let rate = Understood {
        channel: "time",
        column: None,
        header: None,
        unit: "s",
    };
    let time = columns.time.as_ref().map_or(rate, |time| of("time", time));
    let optional = [
        ("angle", &columns.angle),
        ("voltage", &columns.voltage),
        ("current", &columns.current),
    ];
    let optional = optional
        .into_iter()
        .filter_map(|(channel, column)| Some(of(channel, column.as_ref()?)));
    [time, of("torque", &columns.torque)]
        .into_iter()
        .chain(optional)
        .collect()
}

/// Reads the rows of samples.
fn samples(
    pages: &Pages,
    head: &Head,
    columns: &Columns,
    format: &LogFormat,
) -> Result<Samples, Vec<Problem>> {
    let series = |column: &Option<Column>| column.as_ref().map(|_| Vec::new());
    let mut reading = Reading {
        pages,
        columns,
        width: head.names.len(),
        named: head.named,
        rate_hz: format.rate_hz,
        samples: Samples {
            angle_deg: series(&columns.angle),
            voltage_v: series(&columns.voltage),
            current_a: series(&columns.current),
            ..Samples::default()
        },
        stamps: columns.time.as_ref().and_then(|time| time.stamps.clone()),
        faults: Faults::default(),
    };
    let (mut ended, mut empty, mut last_line) = (false, None, pages.first_row);
    let mut rows = Rows::new(pages.text, pages.first_row as usize, pages.delimiter);
    let mut row = Row::default();
    loop {
        match rows.read(&mut row) {
            Ok(true) => {}
            Ok(false) => break,
            Err(problem) => {
                let words = || (problem.found, problem.wanted);
                reading.faults.add(Kind::Unreadable, last_line, words);
                continue;
            }
        }
        if format
            .end_before
            .as_deref()
            .is_some_and(|end| row.field(0).starts_with(end))
        {
            ended = true;
            break;
        }
        if row.is_empty() {
            empty = empty.or(Some(row.line));
            continue;
        }
        if let Some(line) = empty.take() {
            let words = || {
                (
                    "a row of empty fields".into(),
                    "a number in each field".into(),
                )
            };
            reading.faults.add(Kind::Empty, line, words);
        }
        last_line = row.line;
        let is_faulty = reading.take(&row);
        reading.faults.end_row(row.line, row.field(0), is_faulty);
        if reading.samples.time_us.len() > MOST_SAMPLES {
            let found = format!("more than {MOST_SAMPLES} samples");
            return Err(vec![Problem::new(
                "",
                found,
                format!("at most {MOST_SAMPLES}"),
            )]);
        }
    }
    advice::for_faults(&mut reading.faults, pages, head, columns, last_line);
    let mut problems = reading.faults.problems();
    if let Some(end) = format.end_before.as_deref().filter(|_| !ended) {
        let found = format!("no row that begins with {}", quoted(end));
        problems.push(Problem::new(
            "",
            found,
            "the footer that --end-before names",
        ));
    }
    if problems.is_empty() && reading.samples.time_us.is_empty() {
        problems.push(Problem::new(
            "",
            "a header and no samples",
            "a line for every sample",
        ));
    }
    if problems.is_empty() {
        Ok(reading.samples)
    } else {
        Err(problems)
    }
}

struct Reading<'a> {
    pages: &'a Pages<'a>,
    columns: &'a Columns,
    width: usize,
    named: bool,
    rate_hz: Option<f64>,
    samples: Samples,
    stamps: Option<Stamps>,
    faults: Faults,
}

impl Reading<'_> {
    /// Takes a row; whether it has a fault. What stands in place of a field that is no number is
    /// never seen: a log with any fault is refused.
    fn take(&mut self, row: &Row) -> bool {
        let filled = row
            .fields
            .iter()
            .rposition(|field| !field.is_empty())
            .map_or(0, |last| last + 1);
        if row.fields.len() < self.width || filled > self.width {
            let (count, width) = (row.fields.len(), self.width);
            let fields = if count == 1 { "field" } else { "fields" };
            let first = if self.named { "header" } else { "first row" };
            self.faults.add(Kind::Width, row.line, || {
                (
                    format!("{count} {fields}"),
                    format!("{width}, as many as in the {first}"),
                )
            });
            return true;
        }
        let before = self.faults.count();
        let time_us = match &self.columns.time {
            Some(column) if self.stamps.is_some() => self.stamp(row, column),
            Some(column) => self.field(row, column, MOST_TIME_S).map(microseconds),
            None => self
                .rate_hz
                .map(|rate| microseconds(self.samples.torque_nm.len() as f64 / rate)),
        };
        let torque = self.field(row, &self.columns.torque, MOST);
        self.samples.torque_nm.push(torque.unwrap_or_default());
        let optional = |column: &Option<Column>, reading: &mut Self| {
            column
                .as_ref()
                .map(|column| reading.field(row, column, MOST).unwrap_or_default())
        };
        let angle = optional(&self.columns.angle, self);
        let voltage = optional(&self.columns.voltage, self);
        let current = optional(&self.columns.current, self);
        let push = |series: &mut Option<Vec<f64>>, value: Option<f64>| {
            if let (Some(series), Some(value)) = (series, value) {
                series.push(value);
            }
        };
        push(&mut self.samples.angle_deg, angle);
        push(&mut self.samples.voltage_v, voltage);
        push(&mut self.samples.current_a, current);
        let last = self.samples.time_us.last().copied();
        if let (Some(time_us), Some(last)) = (time_us, last)
            && time_us < last
        {
            let (time_s, last_s) = (time_us as f64 / 1e6, last as f64 / 1e6);
            self.faults.add(Kind::Backwards, row.line, || {
                let found = format!("the time {time_s} s after {last_s} s");
                (found, "times that do not run backwards".into())
            });
        }
        self.samples
            .time_us
            .push(time_us.or(last).unwrap_or_default());
        self.faults.count() > before
    }

    /// The time in a column of clocks or dates, in microseconds.
    fn stamp(&mut self, row: &Row, column: &Column) -> Option<i64> {
        let text = row.field(column.place);
        let (kind, found, wanted) = match self.stamps.as_mut()?.read(text) {
            Ok(time_us) => return Some(time_us),
            Err(NoTime::Unreadable) => (
                Kind::NoTime(column.place),
                in_column(text, &column.name),
                "a time in the format that is named",
            ),
            Err(NoTime::OtherZone(before, now)) => (
                Kind::Zone,
                format!("the time zone {now} after {before}"),
                "times in one zone",
            ),
        };
        self.faults.add(kind, row.line, || (found, wanted.into()));
        None
    }

    /// The number in a column, in its unit of the SI.
    fn field(&mut self, row: &Row, column: &Column, most: f64) -> Option<f64> {
        let text = row.field(column.place);
        let Some(number) = number(text, self.pages.marks) else {
            self.faults.add(Kind::NoNumber(column.place), row.line, || {
                let mark = if self.pages.marks.decimal == ',' {
                    "comma"
                } else {
                    "point"
                };
                (
                    in_column(text, &column.name),
                    format!("a number with a decimal {mark}"),
                )
            });
            return None;
        };
        let value = number * column.scale;
        if value.abs() < most {
            return Some(value);
        }
        self.faults.add(Kind::TooLarge(column.place), row.line, || {
            (
                in_column(text, &column.name),
                "a number of a size that can be measured".into(),
            )
        });
        None
    }
}

#[cfg(test)]
mod tests;
