//! A field as CSV: exact figures in SI units, one line for each row.
//!
//! Source: RFC 4180, for what stands between quotes; lines end as texts do here, with a line feed.
//! Texts that a spreadsheet would take for a formula: the list of first characters of the OWASP page
//! on CSV injection, and its advice to put an apostrophe before them.

use crate::query::verdict::{Basis, Verdict};
use crate::table::data::Row;

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
    let names = COLUMNS.iter().map(|(name, _)| *name);
    let more = ["edition"].into_iter().chain(notice.map(|_| "notice"));
    record(&mut text, names.chain(more).map(String::from));
    for row in rows {
        let cells = COLUMNS.iter().map(|(_, cell)| match cell(row) {
            Cell::Text(text) => as_text(text),
            Cell::Count(count) => count.map_or_else(String::new, |count| count.to_string()),
            Cell::Figure(figure) => figure.map_or_else(String::new, digits),
            Cell::Truth(truth) => truth.map_or_else(String::new, |truth| truth.to_string()),
        });
        let more = [edition].into_iter().chain(notice).map(as_text);
        record(&mut text, cells.chain(more));
    }
    text
}

enum Cell<'a> {
    Text(&'a str),
    Count(Option<u32>),
    Figure(Option<f64>),
    Truth(Option<bool>),
}

type Column = (&'static str, fn(&Row) -> Cell<'_>);

const COLUMNS: [Column; 33] = [
    ("tool", |row| Cell::Text(&row.tool)),
    ("pack", |row| Cell::Text(&row.pack)),
    ("setup", |row| Cell::Text(&row.setup)),
    ("basis", |row| Cell::Text(basis(row.basis))),
    ("rank", |row| Cell::Count(row.rank)),
    ("rank_low", |row| Cell::Count(row.rank_low)),
    ("rank_high", |row| Cell::Count(row.rank_high)),
    ("rank_of", |row| Cell::Count(Some(row.rank_of))),
    ("reaches", |row| Cell::Truth(row.reaches)),
    ("value", |row| Cell::Figure(row.value)),
    ("peak_torque_nm", |row| Cell::Figure(row.peak_torque_nm)),
    ("largest_sample_nm", |row| {
        Cell::Figure(row.largest_sample_nm)
    }),
    ("mean_torque_nm", |row| {
        Cell::Figure(Some(row.mean_torque_nm))
    }),
    ("early_torque_nm", |row| {
        Cell::Figure(Some(row.early_torque_nm))
    }),
    ("typical_end_nm", |row| {
        Cell::Figure(Some(row.typical_end_nm))
    }),
    ("typical_within_nm", |row| {
        Cell::Figure(Some(row.typical_within_nm))
    }),
    ("time_to_job_s", |row| Cell::Figure(row.time_to_job_s)),
    ("work_j", |row| Cell::Figure(row.work_j)),
    ("average_power_w", |row| Cell::Figure(row.average_power_w)),
    ("rise_rate_nm_per_s", |row| {
        Cell::Figure(row.rise_rate_nm_per_s)
    }),
    ("best_of_three_power_w", |row| {
        Cell::Figure(row.best_of_three_power_w)
    }),
    ("best_of_three_rise_rate_nm_per_s", |row| {
        Cell::Figure(row.best_of_three_rise_rate_nm_per_s)
    }),
    ("torque_19_of_20_nm", |row| {
        Cell::Figure(row.torque_19_of_20_nm)
    }),
    ("reach_probability", |row| {
        Cell::Figure(row.reach_probability)
    }),
    ("verdict", |row| {
        Cell::Text(row.verdict.map_or("", self::verdict))
    }),
    ("stated_torque_nm", |row| Cell::Figure(row.stated_torque_nm)),
    ("mass_kg", |row| Cell::Figure(row.mass_kg)),
    ("length_mm", |row| Cell::Figure(row.length_mm)),
    ("price", |row| Cell::Figure(row.price)),
    ("currency", |row| {
        Cell::Text(row.currency.as_deref().unwrap_or_default())
    }),
    ("runs_used", |row| Cell::Count(Some(row.runs_used))),
    ("runs_excluded", |row| Cell::Count(Some(row.runs_excluded))),
    ("specimens", |row| Cell::Count(Some(row.specimens))),
];

/// A basis as `rank --json` writes it.
fn basis(basis: Basis) -> &'static str {
    match basis {
        Basis::Measured => "measured",
        Basis::Estimate => "estimate",
        Basis::None => "none",
    }
}

/// A verdict as `rank --json` writes it.
pub(crate) fn verdict(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::WithinReach => "within reach",
        Verdict::Borderline => "borderline",
        Verdict::OutOfReach => "out of reach",
        Verdict::TooFewRuns => "too few runs to say",
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
    for (place, cell) in cells.enumerate() {
        if place > 0 {
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

    fn row() -> Row {
        Row {
            tool: "a, \"b\"".into(),
            pack: "c\nd".into(),
            setup: "standard".into(),
            basis: Basis::Measured,
            rank: Some(1),
            rank_low: None,
            rank_high: Some(2),
            rank_of: 3,
            reaches: Some(true),
            value: Some(1.0),
            peak_torque_nm: Some(0.1 + 0.2),
            largest_sample_nm: Some(1e-9),
            mean_torque_nm: 0.0,
            early_torque_nm: -1.5,
            typical_end_nm: 1661.0578985094398,
            typical_within_nm: 1661.0578985094398,
            time_to_job_s: None,
            work_j: None,
            average_power_w: None,
            rise_rate_nm_per_s: None,
            best_of_three_power_w: None,
            best_of_three_rise_rate_nm_per_s: None,
            torque_19_of_20_nm: None,
            reach_probability: None,
            verdict: Some(Verdict::OutOfReach),
            stated_torque_nm: None,
            mass_kg: None,
            length_mm: None,
            price: None,
            currency: None,
            runs_used: 4,
            runs_excluded: 0,
            specimens: 2,
        }
    }

    #[test]
    fn the_columns_are_the_fields_of_a_row_in_their_order_and_the_cells_theirs() {
        let fields = serde_json::to_value(row()).unwrap();
        let fields = fields.as_object().unwrap();
        let names: Vec<&str> = COLUMNS.iter().map(|(name, _)| *name).collect();
        assert_eq!(names, fields.keys().map(String::as_str).collect::<Vec<_>>());
        for (name, cell) in COLUMNS {
            let found = match cell(&row()) {
                Cell::Text("") => serde_json::Value::Null,
                Cell::Text(text) => text.into(),
                Cell::Count(count) => count.into(),
                Cell::Figure(figure) => figure.into(),
                Cell::Truth(truth) => truth.into(),
            };
            assert_eq!(found, fields[name], "{name}");
        }
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
    fn a_basis_is_written_as_in_json() {
        for one in [Basis::Measured, Basis::Estimate, Basis::None] {
            assert_eq!(serde_json::to_value(one).unwrap(), basis(one));
        }
    }

    #[test]
    fn verdicts_are_written_as_in_json() {
        for verdict in [
            Verdict::WithinReach,
            Verdict::Borderline,
            Verdict::OutOfReach,
            Verdict::TooFewRuns,
        ] {
            assert_eq!(
                serde_json::to_value(verdict).unwrap(),
                self::verdict(verdict)
            );
        }
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
        assert!(head.starts_with("tool,pack,") && head.ends_with(",specimens,edition,notice"));
        assert!(body.starts_with("\"a, \"\"b\"\"\",\"c\nd\",standard,measured,1,,2,3,true,1,"));
        assert!(body.contains(",0.30000000000000004,1e-9,0,-1.5,1661.0578985094398,"));
        assert!(body.ends_with(",4,0,2,Edition 1.,\"Made up, all of it.\"\n"));
        let head = csv([row()].iter(), "Edition 1.", None, digits);
        assert!(head.starts_with("tool,") && !head.contains("notice"));
    }
}
