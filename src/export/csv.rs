//! A field as CSV: exact figures in SI units, one line for each row.
//!
//! Source: RFC 4180, for what stands between quotes; lines end as texts do here, with a line feed.
//! Texts that a spreadsheet would take for a formula: the list of first characters of the OWASP page
//! on CSV injection, and its advice to put an apostrophe before them.

use crate::cells::{Cell, Cells};
use crate::table::row::Row;

/// Exact figures: the names of the columns are those of the fields of [`Row`], with their units.
/// Edition and notice of invented data stand in columns of their own, so that they go wherever a
/// row goes. `digits` prints a figure exactly, as [`crate::dataset::read::Node::print`] does.
pub fn csv<'a>(
    rows: impl Iterator<Item = &'a Row>,
    edition: &str,
    notice: Option<&str>,
    digits: fn(f64) -> String,
) -> String {
    let mut text = String::new();
    let mut names = Vec::new();
    Row::names("", &mut |name| names.push(String::from(name)));
    names.push("edition".into());
    names.extend(notice.map(|_| "notice".into()));
    record(&mut text, names.into_iter());
    for row in rows {
        let mut cells = Vec::new();
        row.cells(&mut |cell| cells.push(printed(cell, digits)));
        cells.extend([edition].into_iter().chain(notice).map(as_text));
        record(&mut text, cells.into_iter());
    }
    text
}

/// What stands in a cell, its numbers printed by `digits`.
pub(crate) fn printed(cell: Cell, digits: fn(f64) -> String) -> String {
    match cell {
        Cell::Text(text) => as_text(text),
        Cell::Whole(number) => number.map_or_else(String::new, |number| number.to_string()),
        Cell::Number(number) => number.map_or_else(String::new, digits),
        Cell::Truth(truth) => truth.map_or_else(String::new, |truth| truth.to_string()),
    }
}

/// A text that stays a text in a spreadsheet: an apostrophe stands before what would begin a formula.
/// Numbers are no texts: a minus before one stays as it is.
pub(crate) fn as_text(text: &str) -> String {
    let mark = if text.starts_with(FORMULA) { "'" } else { "" };
    [mark, text].concat()
}

/// Signs that begin a formula in some spreadsheet, also in their full-width forms; tab and line ends
/// are dropped by some, so that the next sign begins.
const FORMULA: [char; 11] = [
    '=', '+', '-', '@', '\t', '\r', '\n', '\u{ff1d}', '\u{ff0b}', '\u{ff0d}', '\u{ff20}',
];

/// One line; a cell with a comma, a quote or an end of line stands between quotes.
pub(crate) fn record(text: &mut String, cells: impl Iterator<Item = String>) {
    for (index, cell) in cells.enumerate() {
        if index > 0 {
            text.push(',');
        }
        if cell.contains([',', '"', '\n', '\r']) {
            text.push('"');
            text.push_str(&cell.replace('"', "\"\""));
            text.push('"');
        } else {
            text.push_str(&cell);
        }
    }
    text.push('\n');
}

#[cfg(test)]
#[cfg(not(target_arch = "wasm32"))]
mod tests {
    use super::*;
    use crate::dataset::json::digits;
    use crate::field::pair_figures::PairFigures;
    use crate::query::verdict::{Basis, Verdict};

    fn row() -> Row {
        Row {
            tool: "a, \"b\"".into(),
            pack: "c\nd".into(),
            setup: "standard".into(),
            rank: Some(1),
            rank_low: None,
            rank_high: Some(2),
            rank_of: 3,
            reaches: Some(true),
            value: Some(1.0),
            figures: PairFigures {
                basis: Basis::Measured,
                peak_torque_nm: Some(0.1 + 0.2),
                largest_sample_nm: Some(1e-9),
                mean_torque_nm: Some(0.0),
                early_torque_nm: Some(-1.5),
                typical_end_nm: Some(1661.0578985094398),
                runs_used: Some(4),
                runs_excluded: Some(0),
                specimens: Some(2),
                ..PairFigures::default()
            },
            typical_within_nm: 1661.0578985094398,
            torque_19_of_20_nm: None,
            reach_probability: None,
            verdict: Some(Verdict::OutOfReach),
            stated_torque_nm: None,
            mass_kg: None,
            length_mm: None,
            price: None,
            currency: None,
        }
    }

    #[test]
    fn the_columns_are_the_fields_of_a_row_in_their_order_and_the_cells_theirs() {
        let fields = serde_json::to_value(row()).unwrap();
        let fields = fields.as_object().unwrap();
        let mut names = Vec::new();
        Row::names("", &mut |name| names.push(name));
        assert_eq!(names, fields.keys().map(String::as_str).collect::<Vec<_>>());
        let mut found = Vec::new();
        row().cells(&mut |cell| {
            found.push(match cell {
                Cell::Text("") => serde_json::Value::Null,
                Cell::Text(text) => text.into(),
                Cell::Whole(number) => number.into(),
                Cell::Number(number) => number.into(),
                Cell::Truth(truth) => truth.into(),
            });
        });
        assert_eq!(found, fields.values().cloned().collect::<Vec<_>>());
    }

    #[test]
    fn a_text_that_begins_like_a_formula_stays_a_text_and_a_number_a_number() {
        for first in ["=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠"] {
            let tool = format!("{first}1+1");
            let hostile = Row {
                tool: tool.clone(),
                ..row()
            };
            let text = csv([hostile].iter(), &tool, Some(&tool), digits);
            let (_, body) = text.split_once('\n').unwrap();
            let cell = match first {
                "\r" | "\n" => format!("\"'{tool}\""),
                _ => format!("'{tool}"),
            };
            assert!(body.starts_with(&format!("{cell},")), "{body:?}");
            assert!(body.ends_with(&format!(",{cell},{cell}\n")), "{body:?}");
            assert!(body.contains(",0,-1.5,"), "{body:?}");
        }
        let text = csv([row()].iter(), "a=b", None, digits);
        assert!(text.ends_with(",a=b\n") && !text.contains('\''));
    }

    #[test]
    fn every_row_carries_edition_and_notice_and_odd_texts_stand_between_quotes() {
        let text = csv(
            [row()].iter(),
            "Edition 1.",
            Some("Made up, all of it."),
            digits,
        );
        let (head, body) = text.split_once('\n').unwrap();
        assert!(head.starts_with("tool,pack,") && head.ends_with(",price,currency,edition,notice"));
        assert!(body.starts_with("\"a, \"\"b\"\"\",\"c\nd\",standard,1,,2,3,true,1,measured,"));
        for exact in [
            ",0.30000000000000004,",
            ",1e-9,",
            ",0,-1.5,1661.0578985094398,",
        ] {
            assert!(body.contains(exact), "{exact} in {body}");
        }
        assert!(body.ends_with(",out of reach,,,,,,Edition 1.,\"Made up, all of it.\"\n"));
        let head = csv([row()].iter(), "Edition 1.", None, digits);
        assert!(head.starts_with("tool,") && !head.contains("notice"));
    }
}
