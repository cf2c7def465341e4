//! Numbers as loggers write them: decimal mark, marks between groups of three digits.

/// Which marks numbers hold.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Marks {
    /// Before the decimals: a point or a comma.
    pub decimal: char,
    /// Between groups of three digits; a space stands for any kind of space.
    pub thousands: Option<char>,
}

impl Marks {
    /// A decimal point, no groups.
    pub const PLAIN: Self = Self {
        decimal: '.',
        thousands: None,
    };

    /// The options of `reduce` that say so; an empty text for [`Marks::PLAIN`].
    pub fn options(self) -> String {
        let mut options = Vec::new();
        if self.decimal == ',' {
            options.push("--decimal-comma".to_owned());
        }
        options.extend(self.thousands.map(|mark| match mark {
            ' ' => "--thousands space".to_owned(),
            '\'' => "--thousands \"'\"".to_owned(),
            mark => format!("--thousands '{mark}'"),
        }));
        options.join(" ")
    }
}

/// A number in these marks; `None` for anything else, infinite and unknown ones included.
pub(super) fn number(text: &str, marks: Marks) -> Option<f64> {
    if marks.thousands.is_none()
        && let Some(number) = short_number(text.as_bytes(), marks.decimal as u8)
    {
        return Some(number);
    }
    let is_plain = |byte: u8| matches!(byte, b'0'..=b'9' | b'.' | b'-' | b'+' | b'e' | b'E');
    if marks == Marks::PLAIN && text.bytes().all(is_plain) {
        return text.parse().ok().filter(|number: &f64| number.is_finite());
    }
    let text = text.replace('−', "-");
    let (mantissa, exponent) = match text.find(['e', 'E']) {
        Some(at) => text.split_at(at),
        None => (text.as_str(), ""),
    };
    let (sign, body) = match mantissa.strip_prefix(['-', '+']) {
        Some(body) => (mantissa.get(..1)?, body),
        None => ("", mantissa),
    };
    let (whole, fraction) = match body.split_once(marks.decimal) {
        Some((whole, fraction)) => (whole, fraction),
        None => (body, ""),
    };
    let whole = joined(whole, marks.thousands)?;
    if !digits(fraction) || whole.is_empty() && fraction.is_empty() {
        return None;
    }
    let plain = format!("{sign}0{whole}.{fraction}0{exponent}");
    let is_plain = plain.bytes().all(is_plain);
    let number: f64 = plain.parse().ok().filter(|_| is_plain)?;
    number.is_finite().then_some(number)
}

/// Powers of ten.
const POWERS: [f64; SHORT + 1] = [
    1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15,
];

/// The most digits of a number that is surely below 2⁵³ without its mark.
const SHORT: usize = 15;

/// A number of at most 15 digits without an exponent, as nearly all numbers of logs are; `None` if it
/// is another, or none. Both the digits as a whole number and the power of ten are exact, so their
/// quotient is rounded once, as that of the standard library (W. D. Clinger, How to read floating
/// point numbers accurately, 1990).
fn short_number(text: &[u8], decimal: u8) -> Option<f64> {
    let (negative, text) = match text {
        [b'-', rest @ ..] => (true, rest),
        [b'+', rest @ ..] => (false, rest),
        _ => (false, text),
    };
    let (mut whole, mut digits, mut decimals) = (0u64, 0, None);
    for &byte in text {
        if byte.is_ascii_digit() {
            whole = whole.wrapping_mul(10).wrapping_add(u64::from(byte - b'0'));
            digits += 1;
        } else if byte == decimal && decimals.is_none() {
            decimals = Some(digits);
        } else {
            return None;
        }
    }
    if digits == 0 || digits > SHORT {
        return None;
    }
    let power = POWERS.get(digits - decimals.unwrap_or(digits))?;
    let number = whole as f64 / power;
    Some(if negative { -number } else { number })
}

/// The digits before the decimal mark without the marks between their groups.
fn joined(whole: &str, mark: Option<char>) -> Option<String> {
    let is_mark = |c: char| match mark {
        Some(' ') => c.is_whitespace(),
        Some('\'') => c == '\'' || c == '’',
        Some(mark) => c == mark,
        None => false,
    };
    let groups: Vec<&str> = whole.split(is_mark).collect();
    if !groups.iter().all(|group| digits(group)) {
        return None;
    }
    if let [first, rest @ ..] = groups.as_slice()
        && !rest.is_empty()
    {
        let first_fits = (1..=3).contains(&first.len()) && !first.starts_with('0');
        if !first_fits || rest.iter().any(|group| group.len() != 3) {
            return None;
        }
    }
    Some(groups.concat())
}

fn digits(text: &str) -> bool {
    text.chars().all(|c| c.is_ascii_digit())
}

/// Whether a text has nothing but what numbers are made of, in whatever marks.
pub(super) fn is_numeric(text: &str) -> bool {
    let allowed = |c: char| c.is_ascii_digit() || c.is_whitespace() || "+-−.,'’eE".contains(c);
    text.starts_with(|c: char| c.is_ascii_digit() || "+-−.,".contains(c))
        && text.contains(|c: char| c.is_ascii_digit())
        && text.chars().all(allowed)
}

/// Every way of reading all these numbers, as far as each of its marks stands in one of them.
pub(super) fn readings(texts: &[&str]) -> Vec<Marks> {
    let decimals = ['.', ','];
    let groups = [None, Some(','), Some('.'), Some(' '), Some('\'')];
    let all = decimals.iter().flat_map(|&decimal| {
        let marks = groups
            .iter()
            .map(move |&thousands| Marks { decimal, thousands });
        marks.filter(|marks| marks.thousands != Some(marks.decimal))
    });
    let needed = |marks: &Marks| {
        let without = Marks {
            thousands: None,
            ..*marks
        };
        marks.thousands.is_none() || texts.iter().any(|text| number(text, without).is_none())
    };
    all.filter(|&marks| texts.iter().all(|text| number(text, marks).is_some()))
        .filter(needed)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use rand_pcg::Pcg32;
    use rand_pcg::rand_core::{Rng, SeedableRng};

    const COMMA: Marks = Marks {
        decimal: ',',
        thousands: None,
    };

    fn grouped(decimal: char, thousands: char) -> Marks {
        Marks {
            decimal,
            thousands: Some(thousands),
        }
    }

    #[test]
    fn numbers_are_read_in_their_marks() {
        for (text, marks, wanted) in [
            ("1.5", Marks::PLAIN, 1.5),
            ("-.5", Marks::PLAIN, -0.5),
            ("5.", Marks::PLAIN, 5.0),
            ("−5", Marks::PLAIN, -5.0),
            ("1.5E-3", Marks::PLAIN, 0.0015),
            ("1,5", COMMA, 1.5),
            ("-1,5e2", COMMA, -150.0),
            ("1,234.5", grouped('.', ','), 1234.5),
            ("1.234,5", grouped(',', '.'), 1234.5),
            ("1\u{202f}234,5", grouped(',', ' '), 1234.5),
            ("12 345 678", grouped('.', ' '), 12_345_678.0),
            ("1'234.5", grouped('.', '\''), 1234.5),
            ("234.5", grouped('.', ','), 234.5),
        ] {
            assert_eq!(number(text, marks), Some(wanted), "{text}");
        }
    }

    #[test]
    fn short_numbers_are_those_of_the_standard_library() {
        let mut random = Pcg32::seed_from_u64(5);
        let mut digits = |count: u32| -> String {
            let digit = |_| char::from(b'0' + (random.next_u32() % 10) as u8);
            (0..count).map(digit).collect()
        };
        for at in 0..20_000 {
            let (whole, decimals) = (digits(at % 10), digits(at / 10 % 9));
            for sign in ["", "-", "+"] {
                let plain = format!("{sign}{whole}.{decimals}");
                let wanted = plain.parse::<f64>().ok().map(f64::to_bits);
                for (text, marks) in [
                    (plain.clone(), Marks::PLAIN),
                    (plain.replace('.', ","), COMMA),
                ] {
                    assert_eq!(number(&text, marks).map(f64::to_bits), wanted, "{text}");
                }
            }
        }
        assert_eq!(
            number("-0", Marks::PLAIN).map(f64::to_bits),
            Some((-0.0f64).to_bits())
        );
    }

    #[test]
    fn anything_else_is_no_number() {
        for (text, marks) in [
            ("", Marks::PLAIN),
            ("NaN", Marks::PLAIN),
            ("inf", Marks::PLAIN),
            ("1e999", Marks::PLAIN),
            ("1,5", Marks::PLAIN),
            ("0x10", Marks::PLAIN),
            ("1 234", Marks::PLAIN),
            ("12.5 Nm", Marks::PLAIN),
            (".", Marks::PLAIN),
            ("1.5", COMMA),
            ("1,2,3", COMMA),
            (",", COMMA),
            ("1,23", grouped('.', ',')),
            ("0,123", grouped('.', ',')),
            ("1234,567", grouped('.', ',')),
            ("1.234,567", grouped('.', ',')),
            (",123", grouped('.', ',')),
            ("nan", COMMA),
            ("1e5,0", COMMA),
        ] {
            assert_eq!(number(text, marks), None, "{text}");
        }
    }

    #[test]
    fn what_can_be_read_in_two_ways_has_two_readings() {
        assert_eq!(readings(&["1,234", "12,500"]), [grouped('.', ','), COMMA]);
        assert_eq!(readings(&["1,234", "0,005"]), [COMMA]);
        assert_eq!(readings(&["1,234", "1.5"]), [grouped('.', ',')]);
        assert_eq!(readings(&["1.234,5", "7"]), [grouped(',', '.')]);
        assert_eq!(readings(&["1 234,5"]), [grouped(',', ' ')]);
        assert_eq!(readings(&["1.5", "1,5"]), []);
    }
}
