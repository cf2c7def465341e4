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
mod head;
pub mod notes;
mod numbers;
mod reading;
mod rows;
pub mod stamps;
pub mod survey;
pub mod units;

pub use format::{Channel, ColumnName, LogFormat};

use crate::problem::{Problem, quoted};
use crate::run::samples::Samples;
use columns::Columns;
use head::{Column, Head, called};
use numbers::Marks;
use rows::{Delimiter, Row, rows};
use serde::Serialize;
use units::Quantity;

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
        samples: reading::samples(&pages, &head, &columns, format)?,
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
        if format.skip_lines > 0 && text.lines().nth(format.skip_lines).is_none() {
            let found = format!(
                "a log of {} lines, all of which are passed over",
                text.lines().count()
            );
            let problem = Problem::new("", found, "a header below the lines that are passed over");
            return Err(problem.hint("give a smaller --skip-lines"));
        }
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
        column: Some(column.index + 1),
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

#[cfg(test)]
mod tests;
