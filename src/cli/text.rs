//! Text for people on a terminal: wrapped sentences and aligned tables.

use crate::ask::compare::Panel;
use crate::ask::table::WordedTable;

/// Sentences are wrapped at this many characters.
const WIDTH: usize = 80;

/// Before what belongs to the line above it.
const INDENT: &str = "    ";

/// Wraps a text at spaces.
pub(super) fn wrapped(text: &str) -> String {
    wrapped_at(text, WIDTH).join("\n")
}

fn wrapped_at(text: &str, most: usize) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in text.split(' ') {
        let full = lines
            .last()
            .is_some_and(|line| !line.is_empty() && width(line) + 1 + width(word) > most);
        if full {
            lines.push(String::new());
        }
        if let Some(line) = lines.last_mut() {
            if !line.is_empty() {
                line.push(' ');
            }
            line.push_str(word);
        }
    }
    lines
}

/// Paragraphs, those that have anything to say, and what follows them as it is.
pub(super) fn paragraphs<const N: usize>(texts: [Option<String>; N], rest: &str) -> String {
    let texts = texts.into_iter().flatten().filter(|text| !text.is_empty());
    let texts = texts.map(|text| format!("{}\n\n", wrapped(&text)));
    texts.chain([rest.to_owned()]).collect()
}

/// The same table with these columns alone.
pub(super) fn columns(mut table: WordedTable, keys: &[&str]) -> WordedTable {
    let kept: Vec<bool> = table
        .headings
        .iter()
        .map(|heading| keys.contains(&heading.key.as_str()))
        .collect();
    let mut column = kept.iter();
    table
        .headings
        .retain(|_| column.next().copied().unwrap_or_default());
    for row in table.rows.iter_mut().chain(&mut table.estimates) {
        let mut column = kept.iter();
        row.cells
            .retain(|_| column.next().copied().unwrap_or_default());
    }
    table
}

/// A table with aligned columns: figures against the right, words against the left.
pub(super) fn table(table: &WordedTable) -> String {
    if table.rows.is_empty() && table.estimates.is_empty() {
        return String::new();
    }
    let headings: Vec<&str> = table
        .headings
        .iter()
        .map(|heading| heading.text.as_str())
        .collect();
    let right: Vec<bool> = table
        .headings
        .iter()
        .map(|heading| heading.figures)
        .collect();
    let rows: Vec<Vec<&str>> = table.rows.iter().map(|row| borrowed(&row.cells)).collect();
    let estimates = table.estimates.iter();
    let estimates: Vec<Vec<&str>> = estimates.map(|row| borrowed(&row.cells)).collect();
    let widths = widths([&headings].into_iter().chain(&rows).chain(&estimates));
    let mut lines = vec![aligned(&headings, &right, &widths)];
    let mut all_reach = true;
    for (row, cells) in table.rows.iter().zip(&rows) {
        if row.reaches == Some(false) && all_reach {
            all_reach = false;
            lines.extend(table.falls_short.iter().map(|text| format!("-- {text} --")));
        }
        lines.push(aligned(cells, &right, &widths));
    }
    if !table.estimates.is_empty() {
        lines.push(format!("-- {} --", table.estimated));
        lines.extend(
            estimates
                .iter()
                .map(|cells| aligned(cells, &right, &widths)),
        );
    }
    lines.join("\n")
}

/// Rows with aligned columns, all words against the left.
pub(super) fn rows_aligned(rows: &[Vec<String>]) -> String {
    lined_up(rows.iter(), false)
}

fn borrowed(cells: &[String]) -> Vec<&str> {
    cells.iter().map(String::as_str).collect()
}

/// The width of every column.
fn widths<'a>(rows: impl Iterator<Item = &'a Vec<&'a str>>) -> Vec<usize> {
    let mut widths: Vec<usize> = Vec::new();
    for cells in rows {
        widths.resize(widths.len().max(cells.len()), 0);
        for (full, cell) in widths.iter_mut().zip(cells) {
            *full = (*full).max(width(cell));
        }
    }
    widths
}

fn aligned(cells: &[&str], right: &[bool], widths: &[usize]) -> String {
    let padded = cells
        .iter()
        .zip(right)
        .zip(widths)
        .map(|((cell, right), &full)| {
            let space = " ".repeat(full.saturating_sub(width(cell)));
            if *right {
                format!("{space}{cell}")
            } else {
                format!("{cell}{space}")
            }
        });
    padded.collect::<Vec<_>>().join("  ").trim_end().to_owned()
}

/// The rows of a panel with aligned columns, under their headings if they have any.
pub(super) fn grid(panel: &Panel) -> String {
    let headings = Some(&panel.headings).filter(|headings| !headings.is_empty());
    let cells = panel.rows.iter().map(|row| &row.cells);
    lined_up(headings.into_iter().chain(cells), false)
}

/// Rows with aligned columns; the last of each, which is long, stands in lines of its own below it.
pub(super) fn rows_with_details(panel: &Panel) -> String {
    let parted = panel.rows.iter().filter_map(|row| row.cells.split_last());
    let (details, rows): (Vec<&String>, Vec<Vec<String>>) =
        parted.map(|(last, cells)| (last, cells.to_vec())).unzip();
    let rows = lined_up(rows.iter(), false);
    let below = |(row, details): (&str, &String)| {
        let details = wrapped_at(details, WIDTH - INDENT.len());
        let details = details.iter().filter(|line| !line.is_empty());
        let details = details.map(|line| format!("\n{INDENT}{line}"));
        [row.to_owned()]
            .into_iter()
            .chain(details)
            .collect::<String>()
    };
    let rows = rows.lines().zip(details).map(below);
    rows.collect::<Vec<_>>().join("\n")
}

/// Figures under their headings, against the right.
pub(super) fn figures(headings: &Vec<String>, rows: &[Vec<String>]) -> String {
    lined_up([headings].into_iter().chain(rows), true)
}

/// Lines with aligned columns: against the right, or against the left.
fn lined_up<'a>(lines: impl Iterator<Item = &'a Vec<String>>, right: bool) -> String {
    let lines: Vec<Vec<&str>> = lines.map(|cells| borrowed(cells)).collect();
    let widths = widths(lines.iter());
    let right = vec![right; widths.len()];
    let lines = lines.iter().map(|cells| aligned(cells, &right, &widths));
    lines.collect::<Vec<_>>().join("\n")
}

fn width(text: &str) -> usize {
    text.chars().count()
}

/// The last line of a list of problems.
pub(super) fn problems_found(name: &str, count: usize) -> String {
    let problems = if count == 1 { "problem" } else { "problems" };
    format!("{name}: {count} {problems}")
}
