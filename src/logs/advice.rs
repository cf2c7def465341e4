//! Which options would read a log that was not understood.

use super::Pages;
use super::columns::Columns;
use super::faults::{Faults, Kind};
use super::format::LogFormat;
use super::head::{Head, called};
use super::numbers::{Marks, is_numeric, number, readings};
use super::rows::{Delimiter, Row, rows};
use super::units::{Quantity, unit};
use crate::escape::visible;
use crate::problem::quoted;

/// Lines of a log that are looked at for a header.
const LINES: usize = 200;

/// Rows whose numbers are looked at for their marks.
const ROWS: usize = 20_000;

/// Characters of a line that are proposed to find its like by.
const LONGEST_START: usize = 40;

/// Advice for a log without a column of these quantities.
pub(super) fn for_missing(
    pages: &Pages,
    head: &Head,
    missing: &[Quantity],
    format: &LogFormat,
) -> String {
    if let Some(options) = elsewhere(pages, head, format) {
        return format!("give {options}");
    }
    let is_number = |text: &String| is_numeric(text);
    if head.named && !head.names.is_empty() && head.names.iter().all(is_number) {
        return "there is no header: give --no-header and each column by its number, such as --time 1 \
            --time-unit s --torque 2 --torque-unit N·m"
            .into();
    }
    let other = [Delimiter::One(b';'), Delimiter::One(b'\t')]
        .into_iter()
        .find(|&other| match other {
            Delimiter::One(mark) => {
                head.names.len() == 1
                    && other != pages.delimiter
                    && head
                        .names
                        .iter()
                        .any(|name| name.contains(char::from(mark)))
            }
            Delimiter::Blanks => false,
        });
    if let Some(other) = other {
        return format!("give {}", other.option());
    }
    let options = missing.iter().map(|&quantity| {
        let called = called(quantity);
        format!("{} and {}", called.column, called.unit)
    });
    let options: Vec<String> = options.collect();
    let rate = if missing.contains(&Quantity::Time) {
        "; for samples at a fixed rate without times, give --rate"
    } else {
        ""
    };
    let has_tension = !head.of_quantity(Quantity::Tension).is_empty();
    let tension = if missing.contains(&Quantity::Torque) && has_tension {
        "; for the tension of a bolt, give --tension and --nm-per-kn"
    } else {
        ""
    };
    format!(
        "name the column and its unit with {}{rate}{tension}",
        options.join(", ")
    )
}

/// The options under which a line of the log is a header that says all there is to know.
fn elsewhere(pages: &Pages, head: &Head, format: &LogFormat) -> Option<String> {
    let first = head.line as usize;
    let marks = [b',', b';', b'\t', b'|'].map(Delimiter::One);
    let delimiters = [pages.delimiter]
        .into_iter()
        .chain(marks)
        .chain([Delimiter::Blanks]);
    for delimiter in delimiters {
        let lines: Vec<Row> = rows(pages.text, first, delimiter)
            .take(LINES)
            .filter_map(Result::ok)
            .collect();
        for (at, row) in lines.iter().enumerate() {
            let names = row.fields.clone();
            let below = lines
                .get(at + 1)
                .map(|row| row.fields.clone())
                .unwrap_or_default();
            let is_units = below.len() == names.len()
                && below
                    .iter()
                    .all(|text| text.is_empty() || unit(text).is_some());
            for units in [Vec::new(), if is_units { below } else { Vec::new() }] {
                let units_row = !units.is_empty();
                let other = Head {
                    line: row.line,
                    names: names.clone(),
                    units,
                    named: true,
                };
                let plain = LogFormat {
                    no_header: false,
                    ..format.clone()
                };
                if Columns::of(&other, &plain).is_err() {
                    continue;
                }
                return Some(said(pages, head, delimiter, &other, units_row));
            }
        }
    }
    None
}

/// Options that lead to another header.
fn said(pages: &Pages, head: &Head, delimiter: Delimiter, other: &Head, units_row: bool) -> String {
    let mut options = Vec::new();
    if delimiter != pages.delimiter {
        options.push(delimiter.option());
        if delimiter != Delimiter::Blanks && has_decimal_commas(pages.text, other.line, delimiter) {
            options.push("--decimal-comma".into());
        }
    }
    if other.line != head.line {
        options.push(format!("--skip-lines {}", other.line.saturating_sub(1)));
    }
    if units_row {
        options.push("--units-row".into());
    }
    options.join(" ")
}

/// Whether the rows below a header hold numbers that have decimal commas and can have nothing else.
fn has_decimal_commas(text: &str, line: u32, delimiter: Delimiter) -> bool {
    let below: Vec<Row> = rows(text, line as usize + 1, delimiter)
        .take(ROWS)
        .filter_map(Result::ok)
        .collect();
    let fields: Vec<&str> = below
        .iter()
        .flat_map(|row| row.fields.iter().map(String::as_str))
        .filter(|text| is_numeric(text))
        .collect();
    let comma = Marks {
        decimal: ',',
        thousands: None,
    };
    fields
        .iter()
        .any(|text| number(text, Marks::PLAIN).is_none())
        && readings(&fields) == [comma]
}

/// Puts advice to the faults of a log's rows.
pub(super) fn for_faults(
    faults: &mut Faults,
    pages: &Pages,
    head: &Head,
    columns: &Columns,
    last_line: u32,
) {
    if faults.all.is_empty() {
        return;
    }
    let all = || rows(pages.text, pages.first_row as usize, pages.delimiter).filter_map(Result::ok);
    if let Some(first) = all().next()
        && faults
            .first
            .as_ref()
            .is_some_and(|(line, _)| *line == first.line)
        && !head.units.iter().any(|text| !text.is_empty())
        && first.fields.iter().any(|text| unit(text).is_some())
        && first.fields.iter().all(|text| !is_numeric(text))
    {
        advise(
            faults,
            first.line,
            "a row of units stands below the header: give --units-row",
        );
        return;
    }
    if let Some((line, cell)) = faults.first.clone()
        && faults.at_end == faults.rows
        && line > pages.first_row
        && faults.rows <= 50
        && !cell.is_empty()
        && !is_numeric(&cell)
        && let Some(hint) = of_end(line, last_line, &cell)
    {
        advise(faults, line, &hint);
        return;
    }
    marks(faults, pages, columns, &mut all());
    for fault in &mut faults.all {
        let text = fault.found.split('"').nth(1).unwrap_or_default();
        let is_clock = text.contains(':') && text.starts_with(|c: char| c.is_ascii_digit());
        fault.hint = fault.hint.take().or_else(|| match fault.kind {
            Kind::NoNumber(_) if is_clock => Some(
                "if it is a time of day, give --time and --time-format, such as \"%H:%M:%S%.f\""
                    .into(),
            ),
            Kind::Backwards => {
                Some("if the log holds several runs, each goes into a log of its own".into())
            }
            _ => None,
        });
    }
}

/// Advice for lines at the end of a log that are no samples, by the first field of the first of them.
fn of_end(line: u32, last_line: u32, cell: &str) -> Option<String> {
    if cell.contains('\0') {
        let cut =
            "NUL bytes stand there, as of a logger that was cut off: delete them from the log";
        return Some(cut.into());
    }
    let lines = if line == last_line {
        format!("line {line} is")
    } else {
        format!("lines {line} to {last_line} are")
    };
    let start: String = cell.chars().take(LONGEST_START).collect();
    let can_be_typed = visible(&start) == start;
    can_be_typed.then(|| {
        format!(
            "if {lines} a footer, give --end-before \"{}\"",
            start.trim_end()
        )
    })
}

/// Puts the same advice to every fault that begins at a line, or to the first.
fn advise(faults: &mut Faults, line: u32, hint: &str) {
    for fault in &mut faults.all {
        if fault.line == line {
            fault.hint = Some(hint.to_owned());
        }
    }
}

/// Advice on decimal marks and marks between groups of three digits, where fields are no numbers.
fn marks(
    faults: &mut Faults,
    pages: &Pages,
    columns: &Columns,
    all: &mut dyn Iterator<Item = Row>,
) {
    let optional = [
        &columns.time,
        &columns.angle,
        &columns.voltage,
        &columns.current,
    ];
    let needed = optional.into_iter().flatten().chain([&columns.torque]);
    let indices: Vec<usize> = needed.map(|column| column.index).collect();
    let kept: Vec<Row> = all.take(ROWS).collect();
    let texts: Vec<&str> = kept
        .iter()
        .flat_map(|row| indices.iter().map(|&index| row.field(index)))
        .filter(|text| is_numeric(text))
        .collect();
    let ways = readings(&texts);
    for fault in &mut faults.all {
        let Kind::NoNumber(index) = fault.kind else {
            continue;
        };
        let refused = |text: &&str| is_numeric(text) && number(text, pages.marks).is_none();
        let Some(text) = kept.iter().map(|row| row.field(index)).find(refused) else {
            continue;
        };
        fault.hint = match ways.as_slice() {
            [] => None,
            &[way] => Some(format!("give {}", way.options())),
            several => {
                let way = |&way: &Marks| {
                    let options = match way.options() {
                        plain if plain.is_empty() => "without --decimal-comma".to_owned(),
                        options => format!("with {options}"),
                    };
                    number(text, way).map(|number| format!("{number} {options}"))
                };
                let ways: Vec<String> = several.iter().filter_map(way).collect();
                Some(format!(
                    "{} is {}: say which",
                    quoted(text),
                    ways.join(" or ")
                ))
            }
        };
    }
}
