//! Decimal numbers and the ways in which loggers write them.

use super::choices::Choices;

/// A number of so many digits behind the decimal mark.
#[derive(Clone, Copy, Debug)]
pub struct Decimal {
    pub negative: bool,
    pub digits: u64,
    pub places: usize,
}

/// How the numbers of a column are written.
#[derive(Clone, Copy, Debug)]
pub struct Style {
    pub decimal: char,
    /// Between groups of three digits.
    pub thousands: Option<char>,
    /// Before a negative number.
    pub minus: char,
    pub plus: bool,
    /// No zero before the decimal mark.
    pub bare: bool,
    /// A mark behind a number without decimals.
    pub trailing_mark: bool,
    pub exponent: bool,
}

impl Decimal {
    /// In plain digits.
    fn plain(self) -> String {
        let sign = if self.negative { "-" } else { "" };
        let (whole, fraction) = self.parts();
        format!("{sign}{whole}.{fraction}0")
    }

    /// The nearest double.
    pub fn value(self) -> f64 {
        self.plain().parse().unwrap()
    }

    fn parts(self) -> (String, String) {
        let text = format!("{:0>width$}", self.digits, width = self.places + 1);
        let (whole, fraction) = text.split_at(text.len() - self.places);
        (whole.into(), fraction.into())
    }

    pub fn written(self, style: Style) -> String {
        let (mut whole, mut fraction) = self.parts();
        let mut exponent = String::new();
        if style.exponent {
            // One digit before the mark.
            let moved = whole.len() - 1;
            fraction = whole.split_off(1) + &fraction;
            exponent = format!("E{}{moved:02}", if moved > 0 { "+" } else { "-" });
        } else if let Some(mark) = style.thousands {
            whole = grouped(&whole, mark);
        }
        if style.bare && whole == "0" && !fraction.is_empty() {
            whole.clear();
        }
        let mark = if fraction.is_empty() && !style.trailing_mark {
            String::new()
        } else {
            style.decimal.to_string()
        };
        let sign = match self.negative {
            true => style.minus.to_string(),
            false if style.plus => "+".into(),
            false => String::new(),
        };
        format!("{sign}{whole}{mark}{fraction}{exponent}")
    }
}

/// Digits in groups of three.
fn grouped(whole: &str, mark: char) -> String {
    let mut text = String::new();
    for (at, digit) in whole.chars().enumerate() {
        if at > 0 && (whole.len() - at).is_multiple_of(3) {
            text.push(mark);
        }
        text.push(digit);
    }
    text
}

impl Style {
    /// A way to write the numbers of a column; a minus sign and any groups as the log has them.
    pub fn draw(
        choices: &mut Choices,
        decimal: char,
        thousands: Option<char>,
        minus: char,
    ) -> Self {
        Self {
            decimal,
            thousands: thousands.filter(|_| !choices.chance(4)),
            minus,
            plus: choices.chance(6),
            bare: choices.chance(6),
            trailing_mark: choices.chance(8),
            exponent: choices.chance(6),
        }
    }
}

/// A number whose size is below `most`.
pub fn draw(choices: &mut Choices, places: usize, most: f64) -> Decimal {
    let ten: f64 = (0..places).fold(1.0, |ten, _| ten * 10.0);
    let digits = (most * ten).min(9e18) as u64;
    Decimal {
        negative: choices.chance(3),
        digits: choices.digits(digits.saturating_sub(1)),
        places,
    }
}
