//! Lines that tell of a log: a name with its figures, and the log's own lines.

use crate::cli::text;

/// Where the figures of a line begin.
pub(super) const INDENT: usize = 12;

/// A name and what is said of it, wrapped.
pub(super) fn line(name: &str, value: &str) -> Vec<String> {
    let mut lines = text::wrapped_at(value, 80 - INDENT).into_iter();
    let first = lines.next().unwrap_or_default();
    let mut all = vec![format!("{name:<INDENT$}{first}")];
    all.extend(lines.map(|line| format!("{:INDENT$}{line}", "")));
    all
}

/// A line of the log as it stands, cut to the width.
pub(super) fn quote(line: &str) -> String {
    let shown = line.replace('\t', "→");
    let kept: String = shown.chars().take(80 - INDENT - 3).collect();
    let more = if kept.len() < shown.len() { "…" } else { "" };
    format!("{:INDENT$}| {kept}{more}", "")
}

/// What stands in place of lines that are not shown.
pub(super) fn omitted() -> String {
    format!("{:INDENT$}…", "")
}

/// A count with commas between groups of three digits.
pub(super) fn grouped(count: usize) -> String {
    let digits: Vec<char> = count.to_string().chars().rev().collect();
    let groups: Vec<String> = digits
        .chunks(3)
        .map(|group| group.iter().rev().collect())
        .collect();
    let groups: Vec<&str> = groups.iter().rev().map(String::as_str).collect();
    groups.join(",")
}
