//! The rows of samples of a log, read one by one.

use super::columns::Columns;
use super::faults::{Faults, Kind, in_column};
use super::format::LogFormat;
use super::head::{Column, Head};
use super::numbers::number;
use super::rows::{Row, Rows};
use super::stamps::{NoTime, Stamps};
use super::{Pages, advice};
use crate::problem::{Problem, quoted};
use crate::run::samples::{Samples, microseconds};

/// The most samples in one log.
const MOST_SAMPLES: usize = crate::dataset::MOST_SAMPLES;

/// A number of a channel is below this, in its unit of the SI.
const MOST: f64 = 1e9;

/// Times are below this, in seconds: a clock that counts from 1970 is.
const MOST_TIME_S: f64 = 1e10;

/// Reads the rows of samples.
pub(super) fn samples(
    pages: &Pages,
    head: &Head,
    columns: &Columns,
    format: &LogFormat,
) -> Result<Samples, Vec<Problem>> {
    let end_before = format.end_before.as_deref();
    let mut reading = Reading::new(pages, head, columns, format.rate_hz);
    let end = reading.rows(end_before)?;
    advice::for_faults(&mut reading.faults, pages, head, columns, end.last_line);
    let mut problems = reading.faults.problems();
    if let Some(footer) = end_before.filter(|_| !end.at_footer) {
        let found = format!("no row that begins with {}", quoted(footer));
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

/// Where the rows of a log ended.
struct End {
    /// Whether a footer ended them.
    at_footer: bool,
    /// The line of the last row that was taken.
    last_line: u32,
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

impl<'a> Reading<'a> {
    fn new(pages: &'a Pages<'a>, head: &Head, columns: &'a Columns, rate_hz: Option<f64>) -> Self {
        let series = |column: &Option<Column>| column.as_ref().map(|_| Vec::new());
        Self {
            pages,
            columns,
            width: head.names.len(),
            named: head.named,
            rate_hz,
            samples: Samples {
                angle_deg: series(&columns.angle),
                voltage_v: series(&columns.voltage),
                current_a: series(&columns.current),
                ..Samples::default()
            },
            stamps: columns.time.as_ref().and_then(|time| time.stamps.clone()),
            faults: Faults::default(),
        }
    }

    /// Takes every row, up to the footer if there is one.
    fn rows(&mut self, end_before: Option<&str>) -> Result<End, Vec<Problem>> {
        let pages = self.pages;
        let (mut at_footer, mut empty, mut last_line) = (false, None, pages.first_row);
        let mut rows = Rows::new(pages.text, pages.first_row as usize, pages.delimiter);
        let mut row = Row::default();
        loop {
            match rows.read(&mut row) {
                Ok(true) => {}
                Ok(false) => break,
                Err(problem) => {
                    let words = || (problem.found, problem.wanted);
                    self.faults.add(Kind::Unreadable, last_line, words);
                    continue;
                }
            }
            if end_before.is_some_and(|end| row.field(0).starts_with(end)) {
                at_footer = true;
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
                self.faults.add(Kind::Empty, line, words);
            }
            last_line = row.line;
            let is_faulty = self.take(&row);
            self.faults.end_row(row.line, row.field(0), is_faulty);
            if self.samples.time_us.len() > MOST_SAMPLES {
                let found = format!("more than {MOST_SAMPLES} samples");
                return Err(vec![Problem::new(
                    "",
                    found,
                    format!("at most {MOST_SAMPLES}"),
                )]);
            }
        }
        Ok(End {
            at_footer,
            last_line,
        })
    }

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
        let text = row.field(column.index);
        let (kind, found, wanted) = match self.stamps.as_mut()?.read(text) {
            Ok(time_us) => return Some(time_us),
            Err(NoTime::Unreadable) => (
                Kind::NoTime(column.index),
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
        let text = row.field(column.index);
        let Some(number) = number(text, self.pages.marks) else {
            self.faults.add(Kind::NoNumber(column.index), row.line, || {
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
        self.faults.add(Kind::TooLarge(column.index), row.line, || {
            (
                in_column(text, &column.name),
                "a number of a size that can be measured".into(),
            )
        });
        None
    }
}
