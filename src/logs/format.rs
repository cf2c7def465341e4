//! How a log is written: the fields of a `[[loggers]]` block, which the options of `reduce` fill in
//! as well.

use serde::Deserialize;

/// How a log is written. Nothing of it is guessed: where the log says neither unit nor column, the
/// format has to.
#[derive(Clone, Debug, Default, Deserialize, PartialEq)]
#[serde(default)]
pub struct LogFormat {
    /// Label of the text's encoding (WHATWG); a byte-order mark or UTF-8 if absent.
    pub encoding: Option<String>,
    /// What stands between fields: one character, `tab`, or `space` for any number of blanks and
    /// tabs; a comma if absent.
    pub delimiter: Option<String>,
    /// The decimal mark, `.` or `,`; a point if absent.
    pub decimal: Option<String>,
    /// The mark between groups of three digits: `,`, `.`, `'` or `space`; none if absent.
    pub thousands: Option<String>,
    /// Lines before the header that are passed over.
    pub skip_lines: usize,
    /// The header is the first line that begins so; what is before it is passed over.
    pub header_starts_with: Option<String>,
    /// There is no header: columns are told by their numbers.
    pub no_header: bool,
    /// There is no header if the first row has numbers, or times in their format, in all columns that
    /// are named, and all of them are named by number.
    pub detects_header: bool,
    /// A row of units stands below the header.
    pub units_row: bool,
    /// The samples end before the first row whose first field begins so.
    pub end_before: Option<String>,
    /// Samples a second, in place of a column of times.
    pub rate_hz: Option<f64>,
    /// Times; found by their unit if absent.
    pub time: Channel,
    /// Torque; found by its unit if absent.
    pub torque: Channel,
    /// Tension of a bolt, which becomes torque by [`LogFormat::nm_per_kn`]; only where named.
    pub tension: Option<Channel>,
    /// Angle; found by its unit, if there is one, if absent.
    pub angle: Channel,
    /// Voltage of the pack; only where named.
    pub voltage: Option<Channel>,
    /// Current of the pack; only where named.
    pub current: Option<Channel>,
    /// Torque for each kN of tension, in N·m: from the calibration in force, not from the logger.
    #[serde(skip)]
    pub nm_per_kn: Option<f64>,
}

/// Where a quantity stands in a log and how it is written.
#[derive(Clone, Debug, Default, Deserialize, PartialEq)]
#[serde(default, deny_unknown_fields)]
pub struct Channel {
    /// The column; found by its unit if absent.
    pub column: Option<ColumnName>,
    /// The unit, where the log says none.
    pub unit: Option<String>,
    /// Every number is multiplied by this before its unit counts; 1 if absent.
    pub factor: Option<f64>,
    /// Every number has the opposite sign.
    pub inverted: bool,
    /// How a clock or a date with a clock is written (`strftime`), in a column of times.
    pub format: Option<String>,
}

/// What a column is called.
#[derive(Clone, Debug, Deserialize, PartialEq)]
#[serde(untagged)]
pub enum ColumnName {
    /// Its number, from 1.
    Number(usize),
    /// Its header; its number, if no header reads so and the text is a whole number.
    Header(String),
}

impl ColumnName {
    /// The number of the column, from 1, if a number is what it is called by.
    pub(super) fn number(&self) -> Option<usize> {
        match self {
            Self::Number(number) => Some(*number),
            Self::Header(text) => text.trim().parse().ok(),
        }
    }
}
