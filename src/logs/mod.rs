//! Raw logger text to samples: delimited text with a header that names every column and its unit.
//!
//! Nothing is guessed: what the text does not say is asked for by a problem that names the option.

mod columns;
mod encoding;

use crate::problem::{Problem, quoted};
use crate::run::samples::{Samples, microseconds};
use columns::Columns;

/// The most samples in one log.
const MOST_SAMPLES: usize = crate::dataset::MOST_SAMPLES;

/// How a log is written.
#[derive(Clone, Debug)]
pub struct LogFormat {
    /// Between fields.
    pub delimiter: u8,
    /// Whether decimals stand after a comma.
    pub decimal_comma: bool,
    /// Label of the text's encoding (WHATWG); a byte-order mark or UTF-8 if absent.
    pub encoding: Option<String>,
    /// Header of the column of times; found by its unit if absent.
    pub time: Option<String>,
    /// Header of the column of torques; found by its unit if absent.
    pub torque: Option<String>,
    /// Header of the column of angles; found by its unit, if there is one, if absent.
    pub angle: Option<String>,
}

impl Default for LogFormat {
    fn default() -> Self {
        Self {
            delimiter: b',',
            decimal_comma: false,
            encoding: None,
            time: None,
            torque: None,
            angle: None,
        }
    }
}

/// The samples of a log, repeated time stamps not yet merged.
///
/// # Errors
///
/// Every problem, with its line: a text that cannot be decoded, columns that are missing or doubly
/// there, fields that are not numbers, times that run backwards.
pub fn read(bytes: &[u8], format: &LogFormat) -> Result<Samples, Vec<Problem>> {
    let text =
        encoding::decoded(bytes, format.encoding.as_deref()).map_err(|problem| vec![problem])?;
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(format.delimiter)
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes());
    let header = reader
        .headers()
        .map_err(|error| vec![row_problem(&error)])?
        .clone();
    if header.iter().all(str::is_empty) {
        let problem = Problem::new(
            "",
            "no header",
            "a first line such as \"time [s],torque [N·m]\"",
        );
        return Err(vec![problem.at(1, 1)]);
    }
    let columns = Columns::of(&header, format)?;
    let mut rows = Rows {
        columns,
        format,
        samples: Samples::default(),
        problems: Vec::new(),
    };
    rows.samples.angle_deg = rows.columns.angle.as_ref().map(|_| Vec::new());
    for record in reader.records() {
        match record {
            Ok(record) => rows.take(&record),
            Err(error) => rows.problems.push(row_problem(&error)),
        }
        if rows.samples.time_us.len() > MOST_SAMPLES {
            rows.problems.push(Problem::new(
                "",
                format!("more than {MOST_SAMPLES} samples"),
                format!("at most {MOST_SAMPLES}"),
            ));
            break;
        }
    }
    if rows.samples.time_us.is_empty() && rows.problems.is_empty() {
        rows.problems.push(Problem::new(
            "",
            "a header and no samples",
            "a line for every sample",
        ));
    }
    if rows.problems.is_empty() {
        Ok(rows.samples)
    } else {
        Err(rows.problems)
    }
}

fn row_problem(error: &csv::Error) -> Problem {
    let line = error.position().map_or(0, csv::Position::line);
    let problem = match error.kind() {
        csv::ErrorKind::UnequalLengths {
            expected_len, len, ..
        } => Problem::new(
            "",
            format!("{len} fields"),
            format!("{expected_len}, as many as in the header"),
        ),
        _ => Problem::new("", "a line that cannot be read", "delimited text"),
    };
    if line == 0 {
        problem
    } else {
        problem.at(u32::try_from(line).unwrap_or(u32::MAX), 1)
    }
}

struct Rows<'a> {
    columns: Columns,
    format: &'a LogFormat,
    samples: Samples,
    problems: Vec<Problem>,
}

impl Rows<'_> {
    fn take(&mut self, record: &csv::StringRecord) {
        let line = record.position().map_or(0, csv::Position::line);
        let columns = &self.columns;
        let mut problems = Vec::new();
        let mut field = |column: &columns::Column| {
            let text = record.get(column.place).unwrap_or_default();
            number(text, self.format.decimal_comma)
                .map(|number| number * column.unit)
                .or_else(|| {
                    problems.push((column.name.clone(), text.to_owned()));
                    None
                })
        };
        let (time, torque) = (field(&columns.time), field(&columns.torque));
        let angle = columns.angle.as_ref().map(&mut field);
        for (name, text) in problems {
            let found = format!("{} in the column {}", quoted(&text), quoted(&name));
            self.problems
                .push(at_line(Problem::new("", found, self.number_words()), line));
        }
        let Some(time) = time else { return };
        let time_us = microseconds(time);
        if self
            .samples
            .time_us
            .last()
            .is_some_and(|&before| before > time_us)
        {
            let found = format!("the time {time} s, before the one ahead of it");
            self.problems.push(at_line(
                Problem::new("", found, "times that do not run backwards"),
                line,
            ));
        }
        self.samples.time_us.push(time_us);
        // A field that is no number refuses the whole log: what stands in its place is never seen.
        self.samples.torque_nm.push(torque.unwrap_or_default());
        if let (Some(series), Some(angle)) = (&mut self.samples.angle_deg, angle) {
            series.push(angle.unwrap_or_default());
        }
    }

    fn number_words(&self) -> &'static str {
        if self.format.decimal_comma {
            "a number with a decimal comma"
        } else {
            "a number with a decimal point"
        }
    }
}

fn at_line(problem: Problem, line: u64) -> Problem {
    problem.at(u32::try_from(line).unwrap_or(u32::MAX), 1)
}

/// A finite number; digits are not grouped in a log.
fn number(text: &str, decimal_comma: bool) -> Option<f64> {
    let plain = if decimal_comma {
        if text.contains('.') {
            return None;
        }
        text.replace(',', ".")
    } else {
        text.to_owned()
    };
    plain
        .parse()
        .ok()
        .filter(|number: &f64| number.is_finite() && number.abs() < 1e9)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn problems(text: &[u8], format: &LogFormat) -> Vec<String> {
        read(text, format)
            .unwrap_err()
            .iter()
            .map(ToString::to_string)
            .collect()
    }

    #[test]
    fn columns_are_found_by_their_units() {
        let samples = read(
            "n,angle [deg],time [ms],torque [N·m]\n1,5,0,1.5\n2,6,5,2.5\n".as_bytes(),
            &LogFormat::default(),
        )
        .unwrap();
        assert_eq!(samples.time_us, [0, 5000]);
        assert_eq!(samples.torque_nm, [1.5, 2.5]);
        assert_eq!(samples.angle_deg, Some(vec![5.0, 6.0]));
    }

    #[test]
    fn a_latin_1_log_with_decimal_commas_asks_for_what_it_is() {
        let log = b"Zeit [s];Moment [N\xb7m]\n0,000;1,5\n0,005;2,5\n";
        assert!(
            problems(log, &LogFormat::default())[0].contains("--encoding"),
            "{:?}",
            problems(log, &LogFormat::default())
        );
        let told = LogFormat {
            encoding: Some("latin1".into()),
            ..LogFormat::default()
        };
        assert!(
            problems(log, &told)[0].contains("--delimiter"),
            "{:?}",
            problems(log, &told)
        );
        let all = LogFormat {
            delimiter: b';',
            decimal_comma: true,
            ..told
        };
        assert_eq!(read(log, &all).unwrap().torque_nm, [1.5, 2.5]);
    }

    #[test]
    fn every_bad_field_is_told_with_its_line() {
        let found = problems(
            "time [s],torque [Nm]\n0,1\n0.005,x\n0.004,NaN\n0.001,3\n".as_bytes(),
            &LogFormat::default(),
        );
        assert_eq!(found.len(), 4, "{found:?}");
        assert!(
            found[0].starts_with("3:1: found \"x\" in the column \"torque [Nm]\""),
            "{found:?}"
        );
        assert!(found[1].contains("NaN"), "{found:?}");
        assert!(
            found[3].starts_with("5:1: found the time 0.001 s"),
            "{found:?}"
        );
    }

    #[test]
    fn two_columns_that_fit_are_a_problem() {
        let found = problems(
            "time [s],a [N·m],b [N·m]\n0,1,2\n".as_bytes(),
            &LogFormat::default(),
        );
        assert!(found[0].contains("--torque"), "{found:?}");
    }

    #[test]
    fn empty_and_short_logs_are_refused() {
        assert!(problems(b"", &LogFormat::default())[0].contains("no header"));
        assert!(
            problems("time [s],torque [N·m]\n".as_bytes(), &LogFormat::default())[0]
                .contains("no samples")
        );
        assert!(
            problems(
                "time [s],torque [N·m]\n1\n".as_bytes(),
                &LogFormat::default()
            )[0]
            .contains("1 fields")
        );
    }
}
