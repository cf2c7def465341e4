//! Awkward logs: every file of `tests/logs/` has one oddity, and `expected.txt` says of each, with
//! the options it is given, either the figures it was written from or the words of the refusal.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing
)]

use jobtorque::logs::{Channel, ColumnName, LogFormat, read};
use proptest::prelude::*;
use serde_json::Value;
use std::collections::BTreeSet;
use std::fs;
use std::path::PathBuf;
use std::process::Command;

fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/logs")
}

/// What is expected of a log with certain options.
struct Case {
    file: String,
    options: Vec<String>,
    /// Lines of the refusal, or one line of figures.
    lines: Vec<String>,
}

/// The words of a line; a word in quotes may hold blanks.
fn words(line: &str) -> Vec<String> {
    let mut words = Vec::new();
    let mut quote = None;
    let mut fresh = true;
    for c in line.chars() {
        match (quote, c) {
            (None, ' ') => fresh = true,
            (None, '\'' | '"') => quote = Some(c),
            (Some(open), c) if c == open => quote = None,
            (_, c) => {
                if fresh {
                    words.push(String::new());
                    fresh = false;
                }
                words.last_mut().unwrap().push(c);
            }
        }
    }
    words
}

fn cases() -> Vec<Case> {
    let text = fs::read_to_string(folder().join("expected.txt")).unwrap();
    let cases = text.trim_end().split("\n\n").map(|case| {
        let mut lines = case.lines().map(String::from);
        let mut words = words(&lines.next().unwrap()).into_iter();
        Case {
            file: words.next().unwrap(),
            options: words.collect(),
            lines: lines.collect(),
        }
    });
    cases.collect()
}

/// What `reduce` makes of a case: exit code, standard output, and the error stream without the name
/// of the file.
fn reduce(case: &Case, json: bool) -> (i32, String, Vec<String>) {
    let mut command = Command::new(env!("CARGO_BIN_EXE_jobtorque"));
    command.current_dir(folder()).arg("reduce").arg(&case.file);
    command.args(["--window", "1.2"]).args(&case.options);
    let output = command.args(json.then_some("--json")).output().unwrap();
    let said = String::from_utf8(output.stderr).unwrap();
    let start = format!("{}:", case.file);
    let said = said
        .lines()
        .map(|line| line.replacen(&start, "", 1).trim_start().to_owned())
        .collect();
    let out = String::from_utf8(output.stdout).unwrap();
    (output.status.code().unwrap(), out, said)
}

/// The figure behind a word of a line.
fn figure(line: &str, name: &str) -> Option<f64> {
    let mut words = line.split(' ').skip_while(|word| *word != name);
    words.nth(1).map(|word| word.parse().unwrap())
}

#[test]
fn every_log_is_read_right_or_refused_with_the_expected_words() {
    let mut wrong = String::new();
    for case in cases() {
        let name = format!("{} {}", case.file, case.options.join(" "));
        let read = case.lines[0].starts_with("peak ");
        let (code, out, said) = reduce(&case, read);
        if !read {
            let lines = &said[..said.len().saturating_sub(1)];
            let problems = if lines.len() == 1 {
                "problem"
            } else {
                "problems"
            };
            let count = format!("{} {problems}", lines.len());
            if code != 1 || lines != case.lines || said.last() != Some(&count) {
                wrong += &format!("{name}\n{}\n(exit {code})\n\n", said.join("\n"));
            }
            continue;
        }
        if code != 0 {
            wrong += &format!("{name}\n{}\n\n", said.join("\n"));
            continue;
        }
        let run: Value = serde_json::from_str(&out).unwrap();
        let notes = run["notes"].as_array().unwrap().iter();
        let notes: Vec<&str> = notes.map(|note| note["code"].as_str().unwrap()).collect();
        let wanted = case.lines[0]
            .split_once(" notes ")
            .map_or("", |(_, notes)| notes);
        let peak_nm = figure(&case.lines[0], "peak").unwrap();
        let duration_s = figure(&case.lines[0], "duration").unwrap();
        let zero_nm = figure(&case.lines[0], "zero").unwrap_or_default();
        let number = |name: &str| run[name].as_f64().unwrap();
        let fits = (number("peak_torque_nm") / peak_nm - 1.0).abs() <= 1e-4
            && (number("duration_s") - duration_s).abs() <= 0.002 * duration_s.max(1.0)
            && (number("zero_nm") - zero_nm).abs() <= 1e-4
            && notes.join(" ") == wanted;
        if !fits {
            wrong += &format!(
                "{name}\npeak {} duration {} zero {} notes {}\n\n",
                run["peak_torque_nm"],
                run["duration_s"],
                run["zero_nm"],
                notes.join(" ")
            );
        }
    }
    assert!(wrong.is_empty(), "not as expected:\n\n{wrong}");
}

#[test]
fn every_log_is_expected_something_of() {
    let expected: BTreeSet<String> = cases().into_iter().map(|case| case.file).collect();
    let files = fs::read_dir(folder()).unwrap();
    let files = files.map(|file| file.unwrap().file_name().into_string().unwrap());
    let logs: BTreeSet<String> = files
        .filter(|name| name != "expected.txt" && !name.ends_with(".py") && !name.starts_with('_'))
        .collect();
    assert!(logs.len() >= 40, "{} logs", logs.len());
    assert_eq!(expected, logs);
}

#[test]
fn no_refusal_is_long() {
    for case in cases() {
        let (_, _, said) = reduce(&case, false);
        assert!(said.len() <= 6, "{}: {said:?}", case.file);
    }
}

/// Words of headers in which nothing is a unit.
const WORDS: &[&str] = &[
    "torque",
    "Torque",
    "Drehmoment",
    "time",
    "Zeit",
    "channel",
    "items",
    "Nms",
    "TorqueNm",
    "timems",
    "value",
    "ch1",
    "x",
    "data",
    "Mittelwert",
    "Msample",
    "MNm",
    "sensor",
    "2",
    "[raw]",
    "(filtered)",
    "[Nm/s]",
    "deg/s",
    "1/min",
    "units",
    "mm",
    "°C",
    "inverse",
    "lbs",
    "ft",
    "m",
];

/// A log of two columns that go by these names.
fn log_of(time: &str, torque: &str) -> String {
    let rows: String = (0..60).map(|i| format!("{},{}\n", i * 5, i * i)).collect();
    format!("\"{time}\",\"{torque}\"\n{rows}")
}

fn by_number(number: usize, unit: Option<&str>) -> Channel {
    Channel {
        column: Some(ColumnName::Number(number)),
        unit: unit.map(String::from),
        ..Channel::default()
    }
}

/// A header of some of the words.
fn header() -> impl Strategy<Value = String> {
    let word = proptest::sample::select(WORDS);
    proptest::collection::vec(word, 1..4).prop_map(|words| {
        // "ft" and "m" beside a weight or a force would be a unit.
        let mut header: Vec<&str> = Vec::new();
        for word in words {
            let arm = |word: &str| ["ft", "m"].contains(&word);
            let fits = header.last().is_none_or(|last| !(arm(word) || arm(last)));
            if fits {
                header.push(word);
            }
        }
        header.join(" ")
    })
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 500,
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn a_column_without_a_unit_never_gives_a_number(
        time in header(),
        torque in header(),
        by_name in any::<bool>(),
    ) {
        let log = log_of(&time, &torque);
        let named = |number, unit| if by_name { by_number(number, unit) } else { Channel { unit: unit.map(String::from), ..Channel::default() } };
        // Nobody says the unit of the torque, of the time, of both.
        for (time_unit, torque_unit) in [(Some("ms"), None), (None, Some("N·m")), (None, None)] {
            let format = LogFormat {
                time: named(1, time_unit),
                torque: named(2, torque_unit),
                ..LogFormat::default()
            };
            let found = read(log.as_bytes(), &format);
            let problems = found.expect_err(&log);
            let said: String = problems.iter().map(ToString::to_string).collect();
            let options = [("--time-unit", time_unit), ("--torque-unit", torque_unit)];
            for (option, unit) in options {
                prop_assert!(unit.is_some() || said.contains(option), "{time:?}, {torque:?}: {said}");
            }
        }
        // Told, the same log gives the numbers that it holds.
        let told = LogFormat {
            time: by_number(1, Some("ms")),
            torque: by_number(2, Some("kN·m")),
            ..LogFormat::default()
        };
        if let Ok(samples) = read(log.as_bytes(), &told) {
            prop_assert_eq!(samples.time_us[2], 10_000);
            prop_assert_eq!(samples.torque_nm[2], 4000.0);
        } else {
            // A header that names another quantity's unit cannot hold this one.
            prop_assert!([&time, &torque].iter().any(|header| header.contains('[')), "{time:?}, {torque:?}");
        }
    }

    #[test]
    fn any_text_is_read_or_refused(
        bytes in proptest::collection::vec(any::<u8>(), 0..300),
        text in "(time \\[s\\]|t|,|;|\t|\n|\r|\"|[0-9]{1,3}|\\.|torque \\[N·m\\]|ms| ){0,60}",
        no_header in any::<bool>(),
        units_row in any::<bool>(),
    ) {
        let format = LogFormat { no_header, units_row: units_row && !no_header, ..LogFormat::default() };
        for bytes in [bytes.as_slice(), text.as_bytes()] {
            match read(bytes, &format) {
                Ok(samples) => {
                    prop_assert!(samples.time_us.is_sorted());
                    prop_assert_eq!(samples.time_us.len(), samples.torque_nm.len());
                    prop_assert!(!no_header, "without a header nobody says a unit");
                }
                Err(problems) => prop_assert!(!problems.is_empty() && problems.len() < 10),
            }
        }
    }
}
