//! Text for people on a terminal: wrapped sentences and aligned tables.

use crate::ask::compare::Panel;
use crate::ask::table::{Heading, WordedTable};

/// Sentences are wrapped at this many characters.
const WIDTH: usize = 80;

/// Wraps a text at spaces.
pub(super) fn wrapped(text: &str) -> String {
    let mut lines = vec![String::new()];
    for word in text.split(' ') {
        let full = lines
            .last()
            .is_some_and(|line| !line.is_empty() && width(line) + 1 + width(word) > WIDTH);
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
    lines.join("\n")
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
    let widths: Vec<usize> = table
        .headings
        .iter()
        .enumerate()
        .map(|(column, heading)| {
            let rows = table.rows.iter().chain(&table.estimates);
            let cells = rows
                .filter_map(|row| row.cells.get(column))
                .map(|cell| width(cell));
            cells
                .chain([width(&heading.text)])
                .max()
                .unwrap_or_default()
        })
        .collect();
    let headings: Vec<&str> = table
        .headings
        .iter()
        .map(|heading| heading.text.as_str())
        .collect();
    let line = |cells: &[String]| {
        let cells: Vec<&str> = cells.iter().map(String::as_str).collect();
        aligned(&cells, &table.headings, &widths)
    };
    let mut lines = vec![aligned(&headings, &table.headings, &widths)];
    let mut all_reach = true;
    for row in &table.rows {
        if row.reaches == Some(false) && all_reach {
            all_reach = false;
            lines.extend(table.falls_short.iter().map(|text| format!("-- {text} --")));
        }
        lines.push(line(&row.cells));
    }
    if !table.estimates.is_empty() {
        lines.push(format!("-- {} --", table.estimated));
        lines.extend(table.estimates.iter().map(|row| line(&row.cells)));
    }
    lines.join("\n")
}

fn aligned(cells: &[&str], headings: &[Heading], widths: &[usize]) -> String {
    let padded = cells
        .iter()
        .zip(headings)
        .zip(widths)
        .map(|((cell, heading), &full)| {
            let space = " ".repeat(full.saturating_sub(width(cell)));
            if heading.figures {
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
    lined_up(
        &headings.into_iter().chain(cells).collect::<Vec<_>>(),
        false,
    )
}

/// Figures under their headings, against the right.
pub(super) fn figures(headings: &Vec<String>, rows: &[Vec<String>]) -> String {
    lined_up(
        &[headings].into_iter().chain(rows).collect::<Vec<_>>(),
        true,
    )
}

/// Lines with aligned columns: against the right, or against the left.
fn lined_up(lines: &[&Vec<String>], right: bool) -> String {
    let full = |column: usize| {
        let cells = lines.iter().filter_map(|cells| cells.get(column));
        cells.map(|cell| width(cell)).max().unwrap_or_default()
    };
    let line = |cells: &&Vec<String>| {
        let padded = cells.iter().enumerate().map(|(column, cell)| {
            let space = " ".repeat(full(column).saturating_sub(width(cell)));
            if right {
                format!("{space}{cell}")
            } else {
                format!("{cell}{space}")
            }
        });
        padded.collect::<Vec<_>>().join("  ").trim_end().to_owned()
    };
    lines.iter().map(line).collect::<Vec<_>>().join("\n")
}

fn width(text: &str) -> usize {
    text.chars().count()
}

/// The last line of a list of problems.
pub(super) fn problems_found(name: &str, count: usize) -> String {
    let problems = if count == 1 { "problem" } else { "problems" };
    format!("{name}: {count} {problems}")
}
