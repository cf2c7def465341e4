//! Lines of a block and their values, with what they mean to people.

use crate::logs::survey::{Column, Fields, Layout};
use crate::problem::quoted;
use toml_edit::Value;

/// A value of TOML.
pub(super) fn toml(text: &str) -> String {
    Value::from(text).to_string()
}

/// What a layout means, and the lines that say it.
pub(super) fn way(layout: &Layout) -> (String, String) {
    let columns = match layout.columns.len() {
        1 => "one column".to_owned(),
        count => format!("{count} columns"),
    };
    let example = layout.example.as_ref();
    let example = example.map(|(text, number)| format!(", {} is {number}", quoted(text)));
    let mut lines = vec![format!("delimiter = {}", toml(&layout.delimiter))];
    lines.push(format!("decimal = {}", toml(&layout.decimal.to_string())));
    lines.extend(thousands(layout).map(|mark| format!("thousands = {mark}")));
    (
        format!("{columns}{}", example.unwrap_or_default()),
        lines.join("\n"),
    )
}

pub(super) fn thousands(layout: &Layout) -> Option<String> {
    layout.thousands.map(|mark| match mark {
        ' ' => toml("space"),
        mark => toml(&mark.to_string()),
    })
}

/// What a column is called in a block: its header, or its number where that is not enough.
pub(super) fn name(column: &Column) -> String {
    let is_number = column.header.trim().parse::<usize>().is_ok();
    if column.header.is_empty() || column.is_doubled || is_number {
        column.number.to_string()
    } else {
        toml(&column.header)
    }
}

/// What people call a column, with the range of its numbers.
pub(super) fn shown(column: &Column) -> String {
    let header = if column.header.is_empty() {
        String::new()
    } else {
        format!(" {}", quoted(&column.header))
    };
    match column.holds {
        Fields::Numbers(least, most) => {
            format!("column {}{header}, {least} to {most}", column.number)
        }
        _ => format!("column {}{header}", column.number),
    }
}

/// The line that says a column of clocks or dates.
pub(super) fn stamp(column: &Column, format: &str) -> String {
    format!(
        "time = {{ column = {}, format = {} }}",
        name(column),
        toml(format)
    )
}

/// A rate as the lines above the header say it, or as a blank.
pub(super) fn rate(text: &str, above: usize) -> (String, String) {
    let of = |line: &str| -> Option<f64> {
        let before = line.get(..line.find("Hz")?)?.trim_end();
        let digits = before.trim_end_matches(|c: char| c.is_ascii_digit() || c == '.');
        before.get(digits.len()..)?.parse().ok()
    };
    for (at, line) in text.lines().take(above).enumerate() {
        if let Some(rate) = of(line) {
            let meaning = format!(
                "a rate without times, as line {} says: {}",
                at + 1,
                quoted(line)
            );
            return (meaning, format!("rate_hz = {rate}"));
        }
    }
    ("a rate without times".into(), "rate_hz = …".into())
}
