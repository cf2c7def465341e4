//! How the rows of a log stand, in words.

use super::drawing;
use super::line::{INDENT, grouped, line, omitted, quote};
use crate::logs::Understood;
use crate::logs::survey::{Fields, Layout};
use crate::problem::quoted;

/// How many lines of the preamble are shown.
const MOST_PREAMBLE: usize = 8;

/// All that is seen of the rows of a log; `whole` is its text, `read` what its columns were read as.
pub(super) fn of_layout(layout: &Layout, whole: &str, read: &[Understood]) -> Vec<String> {
    let mut words = marks(layout);
    words.extend(preamble(layout, whole));
    let header = match (layout.header_line, layout.units_row) {
        (Some(at), false) => format!("line {at}"),
        (Some(at), true) => format!("line {at}, units in the line below"),
        (None, _) => "none".into(),
    };
    words.extend(line("header", &header));
    words.extend(rows(layout, whole));
    words.extend(columns(layout, read));
    words
}

/// What stands between fields and within numbers.
fn marks(layout: &Layout) -> Vec<String> {
    let delimiter = match (layout.columns.len(), layout.delimiter.as_str()) {
        (1, _) => "none, one column",
        (_, "space") => "blanks",
        (_, other) => other,
    };
    let mut words = line("delimiter", delimiter);
    let decimal = if layout.decimal == ',' {
        "comma"
    } else {
        "point"
    };
    let thousands = match layout.thousands {
        None => String::new(),
        Some(' ') => ", a space between thousands".into(),
        Some(mark) => format!(", {mark} between thousands"),
    };
    words.extend(line("decimals", &format!("{decimal}{thousands}")));
    words
}

/// The lines above the header.
fn preamble(layout: &Layout, whole: &str) -> Vec<String> {
    let count = layout.skip_lines;
    let lines = match count {
        0 => return Vec::new(),
        1 => "1 line".into(),
        _ => format!("{count} lines"),
    };
    let mut words = line("preamble", &lines);
    words.extend(whole.lines().take(count.min(MOST_PREAMBLE)).map(quote));
    if count > MOST_PREAMBLE {
        words.push(omitted());
    }
    words
}

/// The first and last rows of samples, and the footer below them.
fn rows(layout: &Layout, whole: &str) -> Vec<String> {
    let rows = grouped(layout.rows);
    let mut words = line("rows", &format!("{rows} from line {}", layout.first_line));
    let all: Vec<&str> = whole.lines().collect();
    let first = layout.first_line as usize - 1;
    words.extend(all.iter().skip(first).take(2).map(|line| quote(line)));
    words.push(omitted());
    let end = layout
        .footer
        .as_ref()
        .map_or(all.len(), |footer| footer.line as usize - 1);
    let rows = all.get(..end).unwrap_or_default().iter().rev();
    let last = rows.filter(|line| !line.trim().is_empty()).take(2);
    let last: Vec<String> = last.map(|line| quote(line)).collect();
    words.extend(last.into_iter().rev());
    if let Some(footer) = &layout.footer {
        words.extend(line("footer", &format!("from line {}", footer.line)));
        let lines = all.iter().skip(footer.line as usize - 1).take(3);
        words.extend(lines.map(|line| quote(line)));
    }
    words
}

/// First and last lines of a log whose rows are not clear.
pub(super) fn ends(whole: &str) -> Vec<String> {
    const SHOWN: usize = 3;
    let all: Vec<&str> = whole.lines().collect();
    let mut words = vec!["lines".to_owned()];
    words.extend(all.iter().take(SHOWN).map(|line| quote(line)));
    if all.len() > 2 * SHOWN {
        words.push(omitted());
    }
    let last = all.len().saturating_sub(SHOWN).max(SHOWN);
    words.extend(all.iter().skip(last).map(|line| quote(line)));
    words
}

/// The columns, what they were read as, and their ranges.
fn columns(layout: &Layout, read: &[Understood]) -> Vec<String> {
    let longest = |texts: &[String]| {
        texts
            .iter()
            .map(|text| text.chars().count())
            .max()
            .unwrap_or_default()
    };
    let headers: Vec<String> = layout
        .columns
        .iter()
        .map(|column| {
            if column.header.is_empty() {
                String::new()
            } else {
                quoted(&column.header)
            }
        })
        .collect();
    let roles: Vec<String> = layout
        .columns
        .iter()
        .map(|column| {
            let read = read.iter().find(|read| read.column == Some(column.number));
            let units: Vec<&str> = column.units.iter().map(|unit| unit.symbol).collect();
            match (read, &column.holds, units.as_slice()) {
                (Some(read), ..) => format!("{} in {}", read.channel, read.unit),
                (None, Fields::Words, _) => "words".into(),
                (None, Fields::Times(_), _) => "clock or date".into(),
                (None, _, []) => "no unit".into(),
                (None, _, units) => units.join(" and "),
            }
        })
        .collect();
    let (wide, role) = (longest(&headers).min(28), longest(&roles));
    let rows = layout
        .columns
        .iter()
        .zip(headers.iter().zip(&roles))
        .enumerate();
    rows.map(|(at, (column, (header, said)))| {
        let name = if at == 0 { "columns" } else { "" };
        let range = match column.holds {
            Fields::Numbers(least, most) => {
                format!("{} … {}", drawing::plain(least), drawing::plain(most))
            }
            _ => column.first.clone(),
        };
        let row = format!(
            "{name:<INDENT$}{:>2}  {header:<wide$}  {said:<role$}  {range}",
            column.number
        );
        row.chars()
            .take(80)
            .collect::<String>()
            .trim_end()
            .to_owned()
    })
    .collect()
}
