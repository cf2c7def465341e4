//! Text for people on a terminal: wrapped sentences and aligned tables.

use crate::bench::doubts::doubt::Doubt;
use crate::compare::data::Panel;
use crate::escape::shown;
use crate::problem::{MOST_SHOWN, Offer, Problem};
use crate::table::data::{WordedRow, WordedTable};

/// Sentences are wrapped at this many characters.
const WIDTH: usize = 80;

/// Before what belongs to the line above it.
const INDENT: &str = "    ";

/// Wraps a text at spaces; line ends and signs that a terminal acts on are shown, not sent.
pub(super) fn wrapped(text: &str) -> String {
    wrapped_at(&shown(text), WIDTH).join("\n")
}

/// Lines of at most so many columns, broken at blanks.
pub(super) fn wrapped_at(text: &str, most: usize) -> Vec<String> {
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

/// What may be written for a job in place of what was, each ready to be copied; nothing if there is none.
pub(super) fn offers(offers: &[Offer]) -> String {
    let mut lines = String::new();
    for (at, offer) in offers.iter().enumerate() {
        if at == 0 {
            lines.push_str("\nwrite one of:");
        }
        let quote = if offer.job.contains('"') { '\'' } else { '"' };
        lines.push_str(&format!("\n{INDENT}--job {quote}{}{quote}", offer.job));
        if let Some(factor) = offer.condition {
            lines.push_str(&format!(" --condition {factor}"));
        }
        let name = Some(&offer.name).filter(|name| **name != offer.job);
        let told: Vec<&str> = name
            .into_iter()
            .chain([&offer.torque])
            .map(String::as_str)
            .collect();
        let told = told.iter().filter(|text| !text.is_empty());
        let told: Vec<&str> = told.copied().collect();
        if !told.is_empty() {
            lines.push_str(&format!("  ({})", told.join("; ")));
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
    let headings: Vec<String> = table
        .headings
        .iter()
        .map(|heading| shown(&heading.text))
        .collect();
    let right: Vec<bool> = table
        .headings
        .iter()
        .map(|heading| heading.figures)
        .collect();
    let cells = |row: &WordedRow| escaped(&row.cells);
    let rows: Vec<Vec<String>> = table.rows.iter().map(cells).collect();
    let estimates: Vec<Vec<String>> = table.estimates.iter().map(cells).collect();
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

/// Cells as they are shown; their widths are those of what is shown.
fn escaped(cells: &[String]) -> Vec<String> {
    cells.iter().map(|cell| shown(cell)).collect()
}

/// The width of every column.
fn widths<'a>(rows: impl Iterator<Item = &'a Vec<String>>) -> Vec<usize> {
    let mut widths: Vec<usize> = Vec::new();
    for cells in rows {
        widths.resize(widths.len().max(cells.len()), 0);
        for (full, cell) in widths.iter_mut().zip(cells) {
            *full = (*full).max(width(cell));
        }
    }
    widths
}

fn aligned(cells: &[String], right: &[bool], widths: &[usize]) -> String {
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
        let details = wrapped_at(&shown(details), WIDTH - INDENT.len());
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
    let lines: Vec<Vec<String>> = lines.map(|cells| escaped(cells)).collect();
    let widths = widths(lines.iter());
    let right = vec![right; widths.len()];
    let lines = lines.iter().map(|cells| aligned(cells, &right, &widths));
    lines.collect::<Vec<_>>().join("\n")
}

fn width(text: &str) -> usize {
    text.chars().count()
}

/// Lines that list the problems of the file `name`, at most [`MOST_SHOWN`] of them, and how many
/// there are: `problems` and `more` besides.
pub(super) fn problems(name: &str, problems: &[Problem], more: usize) -> Vec<String> {
    let all = problems.len() + more;
    let told = |problem: &Problem| match problem.line {
        Some(_) => format!("{name}:{problem}"),
        None => format!("{name}: {problem}"),
    };
    listed(name, problems.iter().map(told), all)
}

/// The same of `all` problems whose lines are written already.
pub(super) fn listed(name: &str, lines: impl Iterator<Item = String>, all: usize) -> Vec<String> {
    let mut lines: Vec<String> = lines.take(MOST_SHOWN).collect();
    if all > lines.len() {
        lines.push(format!("{name}: and {} more", counted(all - lines.len())));
    }
    let word = if all == 1 { "problem" } else { "problems" };
    lines.push(format!("{name}: {} {word}", counted(all)));
    lines
}

/// Paragraphs that list the doubts about `name`, at most [`MOST_SHOWN`] of them, facts in the end, and
/// how many there are; `answered` is the number of those that the tester has answered.
pub(super) fn doubts(name: &str, doubts: &[Doubt], answered: usize) -> Vec<String> {
    let indented = |text: &str| -> Vec<String> {
        let lines = wrapped_at(&shown(text), WIDTH - INDENT.len());
        lines.iter().map(|line| format!("{INDENT}{line}")).collect()
    };
    let (facts, suspicions): (Vec<&Doubt>, Vec<&Doubt>) =
        doubts.iter().partition(|doubt| doubt.fact);
    let mut lines = Vec::new();
    for doubt in suspicions.iter().take(MOST_SHOWN) {
        let location = match (&doubt.file, doubt.line) {
            (Some(file), Some(line)) => format!(" ({file}:{line})"),
            (Some(file), None) => format!(" ({file})"),
            (None, Some(line)) => format!(" ({name}:{line})"),
            (None, None) => String::new(),
        };
        let heading = shown(&format!("doubt {}{location}", doubt.key()));
        lines.extend(wrapped_at(&heading, WIDTH));
        lines.extend(indented(&doubt.sentence()));
        if let Some(words) = &doubt.answered_before {
            let words = format!("Answered before its bytes changed: \"{words}\"");
            lines.extend(indented(&words));
        }
    }
    if suspicions.len() > MOST_SHOWN {
        let more = counted(suspicions.len() - MOST_SHOWN);
        lines.push(format!("{name}: and {more} more doubts"));
    }
    for fact in facts {
        let sentence = format!("fact {}: {}", fact.name, fact.sentence());
        let mut wrapped = wrapped_at(&shown(&sentence), WIDTH - INDENT.len()).into_iter();
        lines.extend(wrapped.next());
        lines.extend(wrapped.map(|line| format!("{INDENT}{line}")));
    }
    let answered = match answered {
        0 => String::new(),
        answered => format!(", {} answered", counted(answered)),
    };
    match suspicions.len() {
        0 if answered.is_empty() => {}
        1 => lines.push(format!("{name}: 1 doubt{answered}")),
        count => lines.push(format!("{name}: {} doubts{answered}", counted(count))),
    }
    lines
}

/// A count with its thousands apart.
fn counted(count: usize) -> String {
    let digits = count.to_string();
    let mut text = String::new();
    for (at, digit) in digits.chars().enumerate() {
        if at > 0 && (digits.len() - at).is_multiple_of(3) {
            text.push(',');
        }
        text.push(digit);
    }
    text
}

#[cfg(test)]
mod tests {
    use super::problems;
    use crate::problem::Problem;

    #[test]
    fn at_most_fifty_problems_are_listed_and_the_rest_is_counted() {
        let many = vec![Problem::new("/a", "b", "c"); 60];
        let lines = problems("f", &many[..1], 0);
        assert_eq!(lines, ["f: /a: found b, wanted c", "f: 1 problem"]);
        let placed = [Problem::new("/a", "b", "c").at(3, 4)];
        let lines = problems("f", &placed, 0);
        assert_eq!(lines, ["f:3:4: /a: found b, wanted c", "f: 1 problem"]);
        assert_eq!(problems("f", &many[..50], 0).len(), 51);
        let lines = problems("f", &many, 1_204_321);
        assert_eq!(lines.len(), 52);
        assert_eq!(
            lines[50..],
            ["f: and 1,204,331 more", "f: 1,204,381 problems"]
        );
    }
}
