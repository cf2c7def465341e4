//! What can be seen of a log by itself: encoding, delimiter, marks of numbers, preamble, header, units,
//! columns, footer. What can be read in several ways is told in all of them.

mod layout;
mod stamp_formats;

use super::encoding;
use super::numbers::{Marks, number};
use super::rows::Delimiter;
use super::units::Unit;
use crate::problem::Problem;

/// What was seen of a log.
#[derive(Debug)]
pub struct Survey {
    /// Its encoding.
    pub encoding: Encoding,
    /// How its lines end.
    pub line_ends: &'static str,
    /// Its text, every line ended by a line feed.
    pub text: String,
    /// Every way of reading its rows and numbers; none if no rows of numbers were found.
    pub layouts: Vec<Layout>,
}

/// The encoding of a log.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Encoding {
    /// What people call it.
    pub name: &'static str,
    /// The value of `encoding` that says so, where neither a mark nor validity does.
    pub said: Option<&'static str>,
    /// How it is known.
    pub by: &'static str,
}

/// One way of reading the rows of a log.
#[derive(Clone, Debug, PartialEq)]
pub struct Layout {
    /// The value of `delimiter` that says what stands between fields.
    pub delimiter: String,
    /// The mark before decimals.
    pub decimal: char,
    /// The mark between groups of three digits; a space for any kind of space.
    pub thousands: Option<char>,
    /// Lines before the header, or before the first row if there is none.
    pub skip_lines: usize,
    /// Line of the header, from 1.
    pub header_line: Option<u32>,
    /// With what the header begins, where lines stand above it and none of them begins so.
    pub header_starts_with: Option<String>,
    /// Whether a row of units stands below it.
    pub units_row: bool,
    /// Line of the first row, from 1.
    pub first_line: u32,
    /// How many rows there are.
    pub rows: usize,
    /// The columns.
    pub columns: Vec<Column>,
    /// What stands behind the rows.
    pub footer: Option<Footer>,
    /// A number that is read in another way than in the other layouts, and its value here.
    pub example: Option<(String, f64)>,
}

/// A column of a log.
#[derive(Clone, Debug, PartialEq)]
pub struct Column {
    /// Its number, from 1.
    pub number: usize,
    /// Its header, empty if there is none.
    pub header: String,
    /// The different units that header and row of units say.
    pub units: Vec<Unit>,
    /// Its first field.
    pub first: String,
    /// What its fields hold.
    pub holds: Fields,
    /// Whether another column has the same header.
    pub is_doubled: bool,
}

/// What the fields of a column hold.
#[derive(Clone, Debug, PartialEq)]
pub enum Fields {
    /// Numbers, from the least to the largest.
    Numbers(f64, f64),
    /// Clocks or dates: every format that reads them all.
    Times(Vec<String>),
    /// Anything else.
    Words,
}

/// What stands behind the rows.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Footer {
    /// Its first line, from 1.
    pub line: u32,
    /// Its first field; empty if `end_before` cannot tell it from the rows.
    pub first_field: String,
}

/// What is said of a log beforehand, by the keys of its logger.
#[derive(Clone, Copy, Debug, Default)]
pub struct Said<'a> {
    /// The encoding.
    pub encoding: Option<&'a str>,
    /// What stands between fields.
    pub delimiter: Option<&'a str>,
    /// The mark before decimals.
    pub decimal: Option<&'a str>,
    /// The mark between groups of three digits.
    pub thousands: Option<&'a str>,
}

/// Looks at a log.
///
/// # Errors
///
/// If its bytes are no text in the encoding that is said.
pub fn survey(bytes: &[u8], said: Said) -> Result<Survey, Problem> {
    let encoding = match said.encoding {
        Some(_) => Encoding {
            name: "as said",
            said: None,
            by: "said",
        },
        None => seen(bytes),
    };
    let text = encoding::decoded(bytes, said.encoding.or(encoding.said))?;
    let line_ends = line_ends(&text);
    let text = encoding::with_newlines(text).into_owned();
    let delimiters = match said.delimiter {
        Some(_) => vec![Delimiter::named(said.delimiter)?],
        None => [b';', b'\t', b'|', b',']
            .map(Delimiter::One)
            .into_iter()
            .chain([Delimiter::Blanks])
            .collect(),
    };
    Ok(Survey {
        encoding,
        line_ends,
        layouts: layout::layouts(&text, &delimiters, said),
        text,
    })
}

/// The encoding of a text, by its mark, its validity or the order of its bytes.
fn seen(bytes: &[u8]) -> Encoding {
    let of = |name, said, by| Encoding { name, said, by };
    match encoding_rs::Encoding::for_bom(bytes) {
        Some((encoding, _)) => return of(encoding.name(), None, "byte-order mark"),
        None if bytes.is_ascii() && encoding::utf16_order(bytes).is_none() => {
            return of("ASCII", None, "no letter beyond it");
        }
        None => {}
    }
    match encoding::utf16_order(bytes) {
        Some("utf-16le") => of(
            "UTF-16LE",
            Some("utf-16le"),
            "a NUL behind each letter, no mark",
        ),
        Some(_) => of(
            "UTF-16BE",
            Some("utf-16be"),
            "a NUL before each letter, no mark",
        ),
        None if str::from_utf8(bytes).is_ok() => of("UTF-8", None, "valid"),
        None => of(
            "windows-1252",
            Some("windows-1252"),
            "not UTF-8; do the words below read right?",
        ),
    }
}

fn line_ends(text: &str) -> &'static str {
    let pairs = text.matches("\r\n").count();
    let (returns, feeds) = (text.matches('\r').count(), text.matches('\n').count());
    match (returns - pairs, feeds - pairs, pairs) {
        (0, _, 0) => "LF",
        (0, 0, _) => "CRLF",
        (_, 0, 0) => "CR",
        _ => "several kinds of end",
    }
}

impl Layout {
    fn marks(&self) -> Marks {
        Marks {
            decimal: self.decimal,
            thousands: self.thousands,
        }
    }

    /// The value of a field in this layout, if it is a number.
    pub fn number(&self, text: &str) -> Option<f64> {
        number(text, self.marks())
    }
}

#[cfg(test)]
mod tests;
