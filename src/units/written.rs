//! A torque as people write it, with its unit: `650 N·m`, `480 ft-lb`.

use std::fmt;

use super::{EntryUnit, Torque, written_number};

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
    /// Says what is wrong with the text; a number without a unit is never given one. Whether the torque is
    /// positive or within limits is for the caller to check.
    pub fn parse(text: &str) -> Result<Self, ParseTorqueError> {
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
        let unit = read_unit(unit)?;
        let value: f64 = number.parse().map_err(|_| ParseTorqueError::NotANumber)?;
        Ok(Self {
            torque: unit.torque(value),
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
                    unit.escape_debug()
                )
            }
        }
    }
}

impl std::error::Error for ParseTorqueError {}

/// The leading sign, digits, decimal and group signs; and what follows them.
fn split_off_number(text: &str) -> (&str, &str) {
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

fn read_unit(text: &str) -> Result<EntryUnit, ParseTorqueError> {
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
const NEWTONS: [&str; 3] = ["newtons", "newton", "n"];
const POUNDS: [&str; 9] = [
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
const KILOGRAMS: [&str; 8] = [
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
const FEET: [&str; 3] = ["feet", "foot", "ft"];
const INCHES: [&str; 3] = ["inches", "inch", "in"];

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
mod tests {
    use super::*;

    fn kind(text: &str) -> ParseTorqueError {
        WrittenTorque::parse(text).unwrap_err()
    }

    #[test]
    fn spelled_forms_are_the_same_torque() {
        let families: [(EntryUnit, &str, &[&str]); 4] = [
            (
                EntryUnit::NewtonMetre,
                "650",
                &[
                    "650 N·m",
                    "650Nm",
                    "650 N m",
                    "650 N.m",
                    "650 N⋅m",
                    "650 N•m",
                    "650 N∙m",
                    "650 N-m",
                    "650 N*m",
                    "650 nm",
                    "650 NM",
                    "650\u{a0}N·m",
                    "650\u{202f}N·m",
                    "650-Nm",
                    "650 Newton metre",
                    "650 newton metres",
                    "650 newton meter",
                    "650 Newton meters",
                    "650 newton-metres",
                    "650 Newtonmeter",
                    "650 newtons-mètres",
                    "650 newton-mètre",
                    "650 newtons metros",
                    "  +650 N·m  ",
                    "650 N·m.",
                ],
            ),
            (
                EntryUnit::PoundForceFoot,
                "480",
                &[
                    "480 lbf·ft",
                    "480 ft-lb",
                    "480 lb-ft",
                    "480 ft·lbf",
                    "480 ft lbs",
                    "480 lb.ft",
                    "480 foot-pounds",
                    "480 foot pound",
                    "480 pound-feet",
                    "480 pounds-feet",
                    "480ftlb",
                    "480 FT-LBS",
                    "480 LbFt",
                    "480 ft.lb.",
                    "480 foot-pounds-force",
                    "480 pound-force feet",
                ],
            ),
            (
                EntryUnit::PoundForceInch,
                "5800",
                &[
                    "5800 lbf·in",
                    "5800 in-lb",
                    "5800 lb-in",
                    "5800 in lbs",
                    "5800 inch-pounds",
                    "5 800 in·lbf",
                ],
            ),
            (
                EntryUnit::KilogramForceMetre,
                "66",
                &[
                    "66 kgf·m",
                    "66 kgf-m",
                    "66 kgfm",
                    "66 kgf m",
                    "66 kg·m",
                    "66 kgm",
                    "66 kg-m",
                    "66 m-kg",
                    "66 mkgf",
                    "66 kp·m",
                    "66 kilogram-force metres",
                ],
            ),
        ];
        for (unit, number, texts) in families {
            for text in texts {
                let written = WrittenTorque::parse(text).unwrap();
                assert_eq!((written.unit(), written.number()), (unit, number), "{text}");
                assert_eq!(
                    written.torque(),
                    unit.torque(number.parse().unwrap()),
                    "{text}"
                );
            }
        }
    }

    #[test]
    fn a_foot_pound_is_a_torque_of_known_size() {
        // U-05: 1 lbf·ft = 1.355 817 948 331 4 N·m; "lb·ft", "ft·lb" and "lbf·ft" are the same.
        for text in ["1 lb·ft", "1 ft·lb", "1 lbf·ft"] {
            let torque_nm = WrittenTorque::parse(text).unwrap().torque().newton_metres();
            assert!((torque_nm / 1.355_817_948_331_4 - 1.0).abs() <= 1e-12);
        }
    }

    #[test]
    fn numbers_may_be_grouped_but_not_doubtful() {
        for text in [
            "1 234,5 N·m",
            "1,234.5 Nm",
            "1.234,5 Nm",
            "1'234.5 Nm",
            "1234.5 Nm",
        ] {
            assert_eq!(
                WrittenTorque::parse(text).unwrap().number(),
                "1234.5",
                "{text}"
            );
        }
        for text in ["1,234 N·m", "1.234 N·m", "1,234", "650.000 ft-lb"] {
            assert!(
                matches!(kind(text), ParseTorqueError::Ambiguous { .. }),
                "{text}"
            );
        }
    }

    #[test]
    fn a_bare_number_has_no_unit() {
        for text in ["650", " 650 ", "1234.5", "0", "650 ·"] {
            assert_eq!(kind(text), ParseTorqueError::NoUnit, "{text}");
        }
    }

    #[test]
    fn an_energy_is_no_torque() {
        for text in [
            "650 J", "650J", "0.65 kJ", "90 Wh", "90 W·h", "1 kWh", "5 cal", "5 kcal", "5 joules",
        ] {
            assert_eq!(kind(text), ParseTorqueError::IsEnergy, "{text}");
        }
    }

    #[test]
    fn other_units_are_refused_as_written() {
        for (text, unit) in [
            ("650 N", "N"),
            ("650 kN·m", "kN·m"),
            ("650 mN", "mN"),
            ("650 mN·m", "mN·m"),
            ("650 N/m", "N/m"),
            ("650 Nm/s", "Nm/s"),
            ("650 W", "W"),
            ("650 ft", "ft"),
            ("650 lbs", "lbs"),
            ("650 kg", "kg"),
            ("5 kg·m2", "kg·m2"),
            ("650 N·m·m", "N·m·m"),
            ("650 oranges", "oranges"),
            ("650 N·m🔧", "N·m🔧"),
        ] {
            assert_eq!(
                kind(text),
                ParseTorqueError::UnknownUnit(unit.to_owned()),
                "{text}"
            );
        }
    }

    #[test]
    fn hostile_texts_are_refused_and_never_panic() {
        for text in [
            "NaN N·m",
            "inf N·m",
            "-inf Nm",
            "1e400 N·m",
            "1e3 N·m",
            "1E+3 Nm",
            "1e-3 Nm",
            "0x10 Nm",
            "N·m",
            "+ N·m",
            "--5 N·m",
            "6 50 N·m",
            "65 68 N·m",
            "610-680 N·m",
            "650. N·m",
            "٦٥٠ N·m",
            "６５０ N·m",
            "½ N·m",
            "M20 10.9",
            "\u{feff}650 N·m",
            "\0",
            "’",
            "5 − 6 Nm",
        ] {
            let kind = kind(text);
            let fits = matches!(
                kind,
                ParseTorqueError::NotANumber | ParseTorqueError::UnknownUnit(_)
            );
            assert!(fits, "{text}: {kind:?}");
        }
        for text in ["", " ", "\u{a0}\t\n"] {
            assert_eq!(kind(text), ParseTorqueError::Empty);
        }
        let digits = "9".repeat(16);
        for text in [
            digits + " N·m",
            "9".repeat(100_000),
            "N·m".repeat(50_000),
            "é".repeat(65),
        ] {
            assert_eq!(kind(&text), ParseTorqueError::TooLong);
        }
    }

    #[test]
    fn random_texts_never_panic_and_never_change_size() {
        let pieces = [
            "1", "23", "650", ".", ",", " ", "'", "\u{202f}", "-", "−", "+", "e", "N", "·", "m",
            "ft", "lb", "f", "in", "kg", "J", "W", "h", "é", "\u{301}", "/", "0", "000",
        ];
        let mut state: u64 = 1;
        for _ in 0..200_000 {
            let mut text = String::new();
            let mut count = 0;
            while count < 1 + state as usize % 9 {
                state = state
                    .wrapping_mul(6_364_136_223_846_793_005)
                    .wrapping_add(1_442_695_040_888_963_407);
                text.push_str(pieces[(state >> 33) as usize % pieces.len()]);
                count += 1;
            }
            if let Ok(written) = WrittenTorque::parse(&text) {
                assert!(written.torque().newton_metres().is_finite(), "{text}");
                assert_eq!(
                    WrittenTorque::parse(&written.to_string()),
                    Ok(written),
                    "{text}"
                );
            }
        }
    }

    #[test]
    fn negative_and_zero_are_left_to_the_caller() {
        for (text, torque_nm) in [("−5 N·m", -5.0), ("-5 N·m", -5.0), ("0 N·m", 0.0)] {
            assert_eq!(
                WrittenTorque::parse(text).unwrap().torque(),
                Torque::from_newton_metres(torque_nm)
            );
        }
    }

    #[test]
    fn every_error_says_what_to_write() {
        for text in ["", "x", "1,234 Nm", "650", "650 J", "650 apples"] {
            assert!(kind(text).to_string().contains(": "), "{text}");
        }
        let doubt = kind("1,234 N·m").to_string();
        assert!(doubt.contains("1234") && doubt.contains("1.234"));
    }
}
