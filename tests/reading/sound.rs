//! What holds of everything that is accepted: above all, no number without a unit that somebody said.

use jobtorque::bench::columns::Layout;
use jobtorque::bench::file_problem::FileProblem;
use jobtorque::bench::logger::Logged;
use jobtorque::bench::logger_block::{Channel, Logger};
use jobtorque::bench::rows::{Elements, Use};
use jobtorque::bench::table::Table;

/// Symbols of units and how they are spelled: in small letters, marks between words left out.
const SPELLINGS: &[(&str, &[&str])] = &[
    ("s", &["s", "sec", "secs", "second", "seconds", "sek"]),
    ("ms", &["ms", "msec"]),
    ("µs", &["µs", "us", "usec", "µsec"]),
    ("min", &["min"]),
    ("N·m", &["nm"]),
    ("kN·m", &["knm"]),
    ("daN·m", &["danm"]),
    ("cN·m", &["cnm"]),
    ("mN·m", &["mnm"]),
    (
        "lbf·ft",
        &["lbfft", "ftlb", "ftlbf", "lbft", "ftlbs", "lbsft"],
    ),
    (
        "lbf·in",
        &["lbfin", "inlb", "inlbf", "lbin", "inlbs", "lbsin"],
    ),
    ("kgf·m", &["kgfm", "kgm", "kpm"]),
    ("kgf·cm", &["kgfcm", "kgcm", "kpcm"]),
    ("ozf·in", &["ozfin", "ozin", "inoz", "inozf"]),
    ("kN", &["kn"]),
    ("N", &["n"]),
    ("lbf", &["lbf"]),
    ("deg", &["deg", "degs", "degree", "degrees", "°", "º"]),
    ("rad", &["rad"]),
    ("rev", &["rev", "revs", "turn", "turns"]),
    ("V", &["v", "volt", "volts"]),
    ("mV", &["mv"]),
    ("A", &["a", "amp", "amps"]),
    ("mA", &["ma"]),
];

/// Whether a word of a text, or two of them together, is the unit of this symbol.
fn says(text: &str, symbol: &str) -> bool {
    let Some((_, spellings)) = SPELLINGS.iter().find(|(known, _)| *known == symbol) else {
        return false;
    };
    let text = text.replace('μ', "µ");
    let words = text.split(|c: char| !c.is_alphanumeric() && c != '°');
    let words: Vec<String> = words
        .filter(|word| !word.is_empty())
        .map(str::to_lowercase)
        .collect();
    let two = words.windows(2).map(<[String]>::concat);
    let spelled = |word: &str| spellings.contains(&word);
    words.iter().any(|word| spelled(word)) || two.into_iter().any(|word| spelled(&word))
}

/// What is not sound of a log that was read; `text` holds a row of units, if the block names one.
pub fn log(logged: &Logged, logger: &Logger, text: &str) -> Result<(), String> {
    let samples = &logged.samples;
    let count = samples.time_us.len();
    let series = [
        ("torque", Some(&samples.torque_nm)),
        ("angle", samples.angle_deg.as_ref()),
        ("voltage", samples.voltage_v.as_ref()),
        ("current", samples.current_a.as_ref()),
    ];
    for (name, series) in series {
        let told = logged
            .columns
            .iter()
            .filter(|column| column.channel == name)
            .count();
        if told != usize::from(series.is_some()) {
            return Err(format!("{told} columns of {name}"));
        }
        let sound = |series: &Vec<f64>| {
            series.len() == count && series.iter().all(|value| value.abs() < 1e9)
        };
        if !series.is_none_or(sound) {
            return Err(format!("a series of {name} that is not sound"));
        }
    }
    if count == 0 || !samples.time_us.is_sorted() {
        return Err("no times that rise".into());
    }
    let of = |channel: &Option<Channel>| channel.clone().unwrap_or_default();
    for column in &logged.columns {
        let channel = match column.channel {
            "time" => of(&logger.time),
            "torque" if logged.tension => of(&logger.tension),
            "torque" => of(&logger.torque),
            "angle" => of(&logger.angle),
            "voltage" => of(&logger.voltage),
            _ => of(&logger.current),
        };
        let below = if logger.units_row == Some(true) {
            text
        } else {
            ""
        };
        let places = [
            channel.unit.as_deref(),
            column.header.as_deref(),
            Some(below),
        ];
        let is_said = match (column.channel, column.column) {
            ("time", None) => logger.rate_hz.is_some(),
            ("time", _) if channel.format.is_some() => true,
            _ => places
                .into_iter()
                .flatten()
                .any(|text| says(text, column.unit)),
        };
        if !is_said {
            return Err(format!(
                "the unit {} of {} that nobody said",
                column.unit, column.channel
            ));
        }
    }
    Ok(())
}

/// What is not sound of problems of a text: a place outside of it, or no words.
pub fn problems(problems: &[FileProblem], text: &[u8]) -> Result<(), String> {
    let lines = text
        .iter()
        .filter(|byte| matches!(byte, b'\n' | b'\r'))
        .count() as u32
        + 1;
    for problem in problems {
        let line = problem.problem.line;
        if line.is_some_and(|line| line == 0 || line > lines) || problem.problem.found.is_empty() {
            return Err(format!("the problem {problem} in a text of {lines} lines"));
        }
    }
    Ok(())
}

/// What is not sound of a table's rows: a filled cell of a known column that is in no element and in
/// no problem.
pub fn rows(layout: &Layout, table: &Table, elements: &Elements) -> Result<(), String> {
    if elements.members.len() != table.rows.len() {
        return Err(format!(
            "{} elements of {} rows",
            elements.members.len(),
            table.rows.len()
        ));
    }
    for (row, (cells, members)) in table.rows.iter().zip(&elements.members).enumerate() {
        for (at, used) in elements.uses.iter().enumerate() {
            let Use::Known(column) = used else { continue };
            let cell = cells.cells.get(at).map_or("", String::as_str);
            let filled = !matches!(cell, "" | "null");
            let Some(first) = column.path.first().filter(|_| filled) else {
                continue;
            };
            let position = table.position(Some(row), at);
            let is_told = |problem: &FileProblem| {
                (problem.problem.line, problem.problem.column)
                    == (Some(position.0), Some(position.1))
            };
            if !members.contains_key(*first) && !elements.problems.iter().any(is_told) {
                return Err(format!(
                    "{}: the cell {row}, {} is lost",
                    layout.file, column.name
                ));
            }
        }
    }
    Ok(())
}
