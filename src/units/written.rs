//! A torque as people write it, with its unit: `650 N·m`, `480 ft-lb`.

use std::fmt;

use super::{EntryUnit, Torque, written_number};
use crate::escape::visible;

/// The longest text read as a torque, in characters.
pub const LONGEST_WRITTEN_TORQUE: usize = 64;

/// The most digits read in one number; an `f64` holds every number of fifteen.
pub const MOST_WRITTEN_DIGITS: usize = 15;

/// A torque someone wrote: what it is, and how they wrote it, so that their own number is shown unchanged.
///
/// # Guarantees
///
/// The torque is finite and is the number times the unit. The number is a plain decimal number with a
/// point and at most [`MOST_WRITTEN_DIGITS`] digits; it may be negative or zero.
#[derive(Clone, Debug, PartialEq)]
pub struct WrittenTorque {
    torque: Torque,
    number: String,
    unit: EntryUnit,
}

impl WrittenTorque {
    /// Reads a number and a torque unit. Case does not matter, nor how the parts of the unit are joined;
    /// loose spellings count as what they stand for (`ft-lb` is lbf·ft, `kg·m` is kgf·m).
    ///
    /// # Errors
    ///
    /// Says what is wrong with the text; a number without a unit is refused here. Whether the torque is
    /// positive or within limits is for the caller to check.
    pub fn parse(text: &str) -> Result<Self, ParseTorqueError> {
        Self::parse_in(text, None)
    }

    /// Reads a number with its torque unit, or without one in `unit`, if that is given.
    ///
    /// # Errors
    ///
    /// As [`WrittenTorque::parse`].
    pub fn parse_in(text: &str, unit: Option<EntryUnit>) -> Result<Self, ParseTorqueError> {
        let usual = unit;
        let text = text.trim();
        if text.is_empty() {
            return Err(ParseTorqueError::Empty);
        }
        if text.chars().count() > LONGEST_WRITTEN_TORQUE {
            return Err(ParseTorqueError::TooLong);
        }
        let (number, unit) = split_off_number(text);
        let number = written_number::plain(number)?;
        if number.bytes().filter(u8::is_ascii_digit).count() > MOST_WRITTEN_DIGITS {
            return Err(ParseTorqueError::TooLong);
        }
        let unit = match (read_unit(unit), usual) {
            (Err(ParseTorqueError::NoUnit), Some(usual)) => usual,
            (read, _) => read?,
        };
        Ok(Self {
            torque: unit.torque(written_number::value(&number)),
            number,
            unit,
        })
    }

    /// The torque.
    #[must_use]
    pub fn torque(&self) -> Torque {
        self.torque
    }

    /// The number as it was written, without grouping and with a decimal point.
    #[must_use]
    pub fn number(&self) -> &str {
        &self.number
    }

    /// The unit it was written in.
    #[must_use]
    pub fn unit(&self) -> EntryUnit {
        self.unit
    }
}

/// The number, a space and the symbol of the unit. Reading it again gives the same.
impl fmt::Display for WrittenTorque {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.number, self.unit.symbol())
    }
}

/// Why a text is no torque.
#[derive(Clone, Debug, Eq, PartialEq)]
#[non_exhaustive]
pub enum ParseTorqueError {
    /// There is no text.
    Empty,
    /// The text is longer than [`LONGEST_WRITTEN_TORQUE`], or its number than [`MOST_WRITTEN_DIGITS`].
    TooLong,
    /// The text does not begin with a decimal number.
    NotANumber,
    /// The one comma or point may be a decimal sign or group thousands, such as in `1,234`.
    Ambiguous {
        /// The number if the sign groups thousands.
        whole: String,
        /// The number if it is a decimal sign.
        decimal: String,
    },
    /// The number has no unit.
    NoUnit,
    /// The unit is one of energy.
    IsEnergy,
    /// The unit is none of torque; it is given as written.
    UnknownUnit(String),
}

impl fmt::Display for ParseTorqueError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Empty => {
                f.write_str("no torque given: write a number and a unit, such as 650 N·m")
            }
            Self::TooLong => write!(
                f,
                "too long for a torque: at most {LONGEST_WRITTEN_TORQUE} characters and {MOST_WRITTEN_DIGITS} digits"
            ),
            Self::NotANumber => {
                f.write_str("not a number: write digits and a unit, such as 650 N·m")
            }
            Self::Ambiguous { whole, decimal } => write!(
                f,
                "this may be {whole} or {decimal}: write {whole} without a sign, or other than three decimals"
            ),
            Self::NoUnit => f.write_str("no unit: write 650 N·m or 480 lbf·ft"),
            Self::IsEnergy => f.write_str("an energy: write a torque, such as 650 N·m"),
            Self::UnknownUnit(unit) => {
                write!(
                    f,
                    "\"{}\" is no torque unit: write N·m or lbf·ft",
                    visible(unit)
                )
            }
        }
    }
}

impl std::error::Error for ParseTorqueError {}

/// The leading sign, digits, decimal and group signs; and what follows them.
pub(super) fn split_off_number(text: &str) -> (&str, &str) {
    let is_number =
        |c: char| c.is_ascii_digit() || c.is_whitespace() || matches!(c, '.' | ',' | '\'' | '’');
    let end = text
        .char_indices()
        .find(|&(at, c)| !(is_number(c) || at == 0 && matches!(c, '+' | '-' | '−')))
        .map_or(text.len(), |(at, _)| at);
    let (number, unit) = text.split_at_checked(end).unwrap_or((text, ""));
    (number.trim_end(), unit)
}

/// Signs that join the parts of a unit, or a number and its unit.
fn joins(c: char) -> bool {
    c.is_whitespace()
        || matches!(
            c,
            '·' | '⋅' | '•' | '∙' | '‧' | '.' | '*' | '×' | '-' | '‐' | '‑' | '–'
        )
}

/// The unit of a text.
pub(super) fn read_unit(text: &str) -> Result<EntryUnit, ParseTorqueError> {
    let unit: String = text
        .chars()
        .filter(|&c| !joins(c))
        .map(|c| c.to_ascii_lowercase())
        .collect();
    let exponent = unit
        .strip_prefix('e')
        .map(|rest| rest.trim_start_matches(['+', '−']));
    if exponent
        .unwrap_or(&unit)
        .starts_with(|c: char| c.is_ascii_digit())
    {
        return Err(ParseTorqueError::NotANumber);
    }
    if unit.is_empty() {
        Err(ParseTorqueError::NoUnit)
    } else if ENERGIES.contains(&unit.as_str()) {
        Err(ParseTorqueError::IsEnergy)
    } else {
        torque_unit(&unit).ok_or_else(|| ParseTorqueError::UnknownUnit(text.trim().to_owned()))
    }
}

const ENERGIES: [&str; 22] = [
    "j",
    "kj",
    "mj",
    "joule",
    "joules",
    "kilojoule",
    "kilojoules",
    "ws",
    "wh",
    "kwh",
    "mwh",
    "watthour",
    "watthours",
    "kilowatthour",
    "kilowatthours",
    "cal",
    "kcal",
    "calorie",
    "calories",
    "btu",
    "ev",
    "erg",
];
pub(super) const NEWTONS: [&str; 3] = ["newtons", "newton", "n"];
pub(super) const POUNDS: [&str; 9] = [
    "poundsforce",
    "poundforce",
    "pounds",
    "pound",
    "lbsf",
    "lbfs",
    "lbs",
    "lbf",
    "lb",
];
pub(super) const KILOGRAMS: [&str; 8] = [
    "kilogramsforce",
    "kilogramforce",
    "kilograms",
    "kilogram",
    "kgf",
    "kg",
    "kp",
    "kilopond",
];
const METRES: [&str; 8] = [
    "metres", "metre", "meters", "meter", "mètres", "mètre", "metros", "m",
];
pub(super) const FEET: [&str; 3] = ["feet", "foot", "ft"];
pub(super) const INCHES: [&str; 3] = ["inches", "inch", "in"];

fn torque_unit(unit: &str) -> Option<EntryUnit> {
    if force_times_length(unit, &NEWTONS, &METRES) {
        Some(EntryUnit::NewtonMetre)
    } else if either_order(unit, &POUNDS, &FEET) {
        Some(EntryUnit::PoundForceFoot)
    } else if either_order(unit, &POUNDS, &INCHES) {
        Some(EntryUnit::PoundForceInch)
    } else if either_order(unit, &KILOGRAMS, &METRES) {
        Some(EntryUnit::KilogramForceMetre)
    } else {
        None
    }
}

/// Whether the unit is one of the first names followed by one of the second. Newton metres are read in
/// this order only: `mN` is a force.
fn force_times_length(unit: &str, firsts: &[&str], seconds: &[&str]) -> bool {
    firsts.iter().any(|first| {
        unit.strip_prefix(first)
            .is_some_and(|rest| seconds.contains(&rest))
    })
}

fn either_order(unit: &str, forces: &[&str], lengths: &[&str]) -> bool {
    force_times_length(unit, forces, lengths) || force_times_length(unit, lengths, forces)
}

#[cfg(test)]
mod tests;
