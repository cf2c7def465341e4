//! A rounded number as an integer and a count of decimals, and its printing.

use serde::Deserialize;
use std::cmp::Ordering;

/// The signs a language writes numbers with.
#[derive(Clone, Debug, Default, Deserialize, Eq, PartialEq)]
pub struct NumberStyle {
    /// Between whole and decimals, such as `.`.
    pub decimal: String,
    /// Between groups of three digits from 1,000 up, such as `,`.
    pub group: String,
    /// Before a negative number, such as `−`.
    pub minus: String,
}

impl NumberStyle {
    /// Prints a plain decimal number: digits, at most one point, at most one leading hyphen.
    pub(super) fn print(&self, plain: &str) -> String {
        let (minus, digits) = match plain.strip_prefix('-') {
            Some(digits) => (self.minus.as_str(), digits),
            None => ("", plain),
        };
        let (whole, fraction) = digits.split_once('.').unwrap_or((digits, ""));
        let mut text = String::from(minus);
        for (at, digit) in whole.chars().enumerate() {
            if at > 0 && (whole.len() - at) % 3 == 0 {
                text.push_str(&self.group);
            }
            text.push(digit);
        }
        if !fraction.is_empty() {
            text.push_str(&self.decimal);
            text.push_str(fraction);
        }
        text
    }
}

/// Which way a number is rounded.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum RoundingDirection {
    /// To the nearest step, half a step away from zero.
    Nearest,
    /// To the next step above, towards plus infinity.
    Up,
    /// To the next step below, towards minus infinity.
    Down,
}

/// What a number is rounded to: a whole number of this many units of the last decimal.
///
/// # Guarantees
///
/// `multiple` is positive, and 1 where there are decimals.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub(super) struct Step {
    multiple: i64,
    decimals: u8,
}

impl Step {
    /// Steps of this many whole units; zero and less count as one.
    pub(super) const fn whole(multiple: i64) -> Self {
        Self {
            multiple: if multiple > 0 { multiple } else { 1 },
            decimals: 0,
        }
    }

    /// Steps of one in the last of this many decimals.
    pub(super) const fn decimals(decimals: u8) -> Self {
        Self {
            multiple: 1,
            decimals,
        }
    }

    /// How many units of the last decimal it is.
    pub(super) fn multiple(self) -> i64 {
        self.multiple
    }

    /// How many decimals are printed.
    pub(super) fn decimal_places(self) -> u8 {
        self.decimals
    }

    /// The step with one digit less, for steps that are powers of ten.
    pub(super) fn coarser(self) -> Self {
        match self.decimals.checked_sub(1) {
            Some(decimals) => Self::decimals(decimals),
            None => Self::whole(self.multiple.saturating_mul(10)),
        }
    }

    /// The step with one more digit: the next power of ten below.
    pub(super) fn finer(self) -> Self {
        if self.multiple == 1 {
            return Self::decimals(self.decimals.saturating_add(1));
        }
        let mut power = 1;
        while power <= (self.multiple - 1) / 10 {
            power *= 10;
        }
        Self::whole(power)
    }
}

/// A finer step is less than a coarser one.
impl Ord for Step {
    fn cmp(&self, other: &Self) -> Ordering {
        other
            .decimals
            .cmp(&self.decimals)
            .then(self.multiple.cmp(&other.multiple))
    }
}

impl PartialOrd for Step {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

/// Numbers beyond this many steps are not printed: an `f64` no longer holds each whole number there.
const MOST_STEPS: f64 = 9.0e15;

/// A number this close to a step, relative to itself, stands on it: what is left is the error of `f64`
/// arithmetic (650 × 1.1 is 715.000 000 000 000 1, which rounded up is 715 and not 716).
const ON_A_STEP: f64 = 1e-12;

/// An integer divided by a power of ten.
#[derive(Clone, Copy, Debug)]
pub(super) struct Decimal {
    mantissa: i64,
    decimals: u8,
}

impl Decimal {
    /// The value in steps, rounded. None if it is not finite or too large to print.
    pub(super) fn rounded(value: f64, step: Step, direction: RoundingDirection) -> Option<Self> {
        let steps = value * scale(step.decimals) / step.multiple as f64;
        let nearest = steps.round();
        let rounded = if (steps - nearest).abs() <= ON_A_STEP * nearest.abs() {
            nearest
        } else {
            match direction {
                RoundingDirection::Nearest => nearest,
                RoundingDirection::Up => steps.ceil(),
                RoundingDirection::Down => steps.floor(),
            }
        };
        let mantissa = rounded * step.multiple as f64;
        (mantissa.abs() < MOST_STEPS).then_some(Self {
            mantissa: mantissa as i64,
            decimals: step.decimals,
        })
    }

    /// Reads a plain decimal number of at most fifteen digits.
    pub(super) fn read(plain: &str) -> Option<Self> {
        let (whole, fraction) = plain.split_once('.').unwrap_or((plain, ""));
        let mantissa = format!("{whole}{fraction}").parse().ok()?;
        Some(Self {
            mantissa,
            decimals: u8::try_from(fraction.len()).ok()?,
        })
    }

    /// The size of this number, its sign aside, in whole steps.
    pub(super) fn count(self, step: Step) -> u64 {
        self.mantissa.unsigned_abs() / step.multiple.unsigned_abs().max(1)
    }

    /// Whether the size of this number, its sign aside, is below a whole number.
    pub(super) fn size_is_below(self, limit: i64) -> bool {
        self.scaled(self.decimals).abs()
            < i128::from(limit).saturating_mul(power_of_ten(self.decimals))
    }

    /// Order by value, whatever the decimals.
    pub(super) fn cmp(self, other: Self) -> Ordering {
        let decimals = self.decimals.max(other.decimals);
        self.scaled(decimals).cmp(&other.scaled(decimals))
    }

    /// The nearest number with the decimals of this step that is less than, or greater than, this one.
    pub(super) fn beside(self, step: Step, order: Ordering) -> Option<Self> {
        let decimals = step.decimals;
        let mantissa = match order {
            Ordering::Less => -self.negated().floor(decimals) - 1,
            Ordering::Equal => return Some(self),
            Ordering::Greater => self.floor(decimals) + 1,
        };
        Some(Self {
            mantissa: i64::try_from(mantissa).ok()?,
            decimals,
        })
    }

    /// This number less another, exact.
    pub(super) fn minus(self, other: Self) -> Option<Self> {
        let decimals = self.decimals.max(other.decimals);
        let mantissa = self.scaled(decimals).checked_sub(other.scaled(decimals))?;
        Some(Self {
            mantissa: i64::try_from(mantissa).ok()?,
            decimals,
        })
    }

    fn negated(self) -> Self {
        Self {
            mantissa: self.mantissa.saturating_neg(),
            ..self
        }
    }

    /// The greatest integer of 10^-decimals that is not above the value.
    fn floor(self, decimals: u8) -> i128 {
        let excess = self.decimals.saturating_sub(decimals);
        self.scaled(decimals.max(self.decimals))
            .div_euclid(power_of_ten(excess))
    }

    fn scaled(self, decimals: u8) -> i128 {
        i128::from(self.mantissa)
            .saturating_mul(power_of_ten(decimals.saturating_sub(self.decimals)))
    }

    /// The value.
    pub(super) fn value(self) -> f64 {
        self.mantissa as f64 / scale(self.decimals)
    }

    /// Prints the number in the signs of a language.
    pub(super) fn print(self, style: &NumberStyle) -> String {
        let decimals = usize::from(self.decimals);
        let digits = format!(
            "{:0width$}",
            self.mantissa.unsigned_abs(),
            width = decimals + 1
        );
        let minus = if self.mantissa < 0 { "-" } else { "" };
        let (whole, fraction) = digits
            .split_at_checked(digits.len() - decimals)
            .unwrap_or((&digits, ""));
        style.print(&format!("{minus}{whole}.{fraction}"))
    }
}

/// Ten to this power, exact up to 22 decimals.
fn scale(decimals: u8) -> f64 {
    (0..decimals).fold(1.0, |scale, _| scale * 10.0)
}

fn power_of_ten(exponent: u8) -> i128 {
    10_i128.saturating_pow(u32::from(exponent))
}

#[cfg(test)]
mod tests {
    use super::super::tests::english;
    use super::*;

    fn print(value: f64, step: Step, direction: RoundingDirection) -> String {
        Decimal::rounded(value, step, direction)
            .unwrap()
            .print(&english())
    }

    #[test]
    fn numbers_are_grouped_from_a_thousand_up() {
        for (value, text) in [
            (0.0, "0"),
            (-0.0, "0"),
            (999.0, "999"),
            (1_000.0, "1,000"),
            (-1_234_567.0, "−1,234,567"),
        ] {
            assert_eq!(
                print(value, Step::whole(1), RoundingDirection::Nearest),
                text
            );
        }
        assert_eq!(
            print(1_234.567_8, Step::decimals(3), RoundingDirection::Nearest),
            "1,234.568"
        );
        assert_eq!(
            print(0.004, Step::decimals(2), RoundingDirection::Nearest),
            "0.00"
        );
        assert_eq!(
            print(-0.004, Step::decimals(2), RoundingDirection::Nearest),
            "0.00"
        );
        assert_eq!(
            print(-0.05, Step::decimals(1), RoundingDirection::Nearest),
            "−0.1"
        );
    }

    #[test]
    fn another_language_brings_its_own_signs() {
        let style = NumberStyle {
            decimal: ",".into(),
            group: "\u{202f}".into(),
            minus: "-".into(),
        };
        let number =
            Decimal::rounded(-12_345.6, Step::decimals(1), RoundingDirection::Nearest).unwrap();
        assert_eq!(number.print(&style), "-12\u{202f}345,6");
    }

    #[test]
    fn halves_go_away_from_zero_and_directions_hold() {
        for (value, nearest, up, down) in [
            (2.5, "3", "3", "2"),
            (-2.5, "−3", "−2", "−3"),
            (2.4, "2", "3", "2"),
            (2.0, "2", "2", "2"),
            (715.000_000_000_000_1, "715", "715", "715"),
            (1e-9, "0", "1", "0"),
        ] {
            for (direction, wanted) in [
                (RoundingDirection::Nearest, nearest),
                (RoundingDirection::Up, up),
                (RoundingDirection::Down, down),
            ] {
                assert_eq!(
                    print(value, Step::whole(1), direction),
                    wanted,
                    "{value} {direction:?}"
                );
            }
        }
    }

    #[test]
    fn what_cannot_be_printed_is_none() {
        for value in [
            f64::NAN,
            f64::INFINITY,
            f64::NEG_INFINITY,
            f64::MAX,
            -1e16,
            1e300,
        ] {
            assert!(Decimal::rounded(value, Step::whole(5), RoundingDirection::Up).is_none());
        }
        assert!(Decimal::rounded(1.0, Step::decimals(u8::MAX), RoundingDirection::Up).is_none());
    }

    #[test]
    fn a_finer_step_is_the_next_power_of_ten() {
        for (multiple, finer) in [(1_000, 100), (10, 1), (5, 1), (50, 10), (20, 10), (2, 1)] {
            assert_eq!(
                Step::whole(multiple).finer(),
                Step::whole(finer),
                "{multiple}"
            );
        }
        assert_eq!(Step::whole(1).finer(), Step::decimals(1));
        assert!(Step::decimals(1) < Step::whole(1) && Step::whole(1) < Step::whole(5));
    }

    #[test]
    fn neighbours_stand_on_either_side() {
        for (text, below, above) in [
            ("650", "649.9", "650.1"),
            ("650.25", "650.2", "650.3"),
            ("-0.07", "−0.1", "0.0"),
            ("0", "−0.1", "0.1"),
        ] {
            let number = Decimal::read(text).unwrap();
            let beside = |order| {
                number
                    .beside(Step::decimals(1), order)
                    .unwrap()
                    .print(&english())
            };
            assert_eq!(
                (
                    beside(Ordering::Less).as_str(),
                    beside(Ordering::Greater).as_str()
                ),
                (below, above)
            );
        }
    }
}
