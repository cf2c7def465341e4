//! A number as people write it: decimal comma or point, digits grouped or not.

use super::ParseTorqueError;

/// The number without grouping and with a decimal point, as `f64` parses it. A leading plus is dropped.
///
/// Digits may be grouped in threes by spaces of any kind, by apostrophes, by commas or by points. A single
/// comma or point is the decimal sign, except where it could as well group thousands: that is refused.
///
/// # Errors
///
/// [`ParseTorqueError::Ambiguous`] for `1,234` or `1.234`, [`ParseTorqueError::NotANumber`] for anything
/// else that is no decimal number.
pub(super) fn plain(text: &str) -> Result<String, ParseTorqueError> {
    let (minus, body) = match text.strip_prefix(['-', '−']) {
        Some(body) => ("-", body),
        None => ("", text.strip_prefix('+').unwrap_or(text)),
    };
    let (whole, fraction, grouped) = split(body).ok_or(ParseTorqueError::NotANumber)?;
    let Some(fraction) = fraction else {
        return Ok(format!("{minus}{whole}"));
    };
    if !grouped && fraction.len() == 3 && may_lead_a_group(&whole) {
        return Err(ParseTorqueError::Ambiguous {
            whole: format!("{minus}{whole}{fraction}"),
            decimal: format!("{minus}{whole}.{fraction}"),
        });
    }
    Ok(format!("{minus}{whole}.{fraction}"))
}

/// Digits before the decimal sign, digits after it, and whether the former were grouped.
fn split(body: &str) -> Option<(String, Option<&str>, bool)> {
    let points = body.matches('.').count();
    let commas = body.matches(',').count();
    let (decimal, group) = match (points, commas) {
        (0, 0) => (None, None),
        (1, 0) => (Some('.'), None),
        (0, 1) => (Some(','), None),
        (_, 0) => (None, Some('.')),
        (0, _) => (None, Some(',')),
        _ if body.rfind('.') > body.rfind(',') => (Some('.'), Some(',')),
        _ => (Some(','), Some('.')),
    };
    let (whole, fraction) = match decimal {
        Some(sign) => {
            let (whole, fraction) = body.rsplit_once(sign)?;
            (whole, Some(fraction))
        }
        None => (body, None),
    };
    if !fraction.is_none_or(all_digits) {
        return None;
    }
    if whole.is_empty() && fraction.is_some() {
        return Some(("0".to_owned(), fraction, false));
    }
    let groups: Vec<&str> = match group {
        Some(sign) => whole.split(sign).collect(),
        None => whole
            .split(|c: char| c.is_whitespace() || matches!(c, '\'' | '’'))
            .collect(),
    };
    let (first, rest) = groups.split_first()?;
    let well_formed = if rest.is_empty() {
        all_digits(first)
    } else {
        may_lead_a_group(first)
            && rest
                .iter()
                .all(|group| all_digits(group) && group.len() == 3)
    };
    well_formed.then(|| (groups.concat(), fraction, !rest.is_empty()))
}

/// Whether a number whose thousands are grouped could begin with these digits.
fn may_lead_a_group(digits: &str) -> bool {
    all_digits(digits) && digits.len() <= 3 && !digits.starts_with('0')
}

fn all_digits(text: &str) -> bool {
    !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit())
}

/// The value of a [`plain`] number of at most fifteen digits, correctly rounded: its digits as a whole
/// number and the power of ten are exact, so that only their quotient is rounded. Source: William
/// D. Clinger, "How to read floating point numbers accurately", 1990.
pub(super) fn value(plain: &str) -> f64 {
    let (sign, digits) = match plain.strip_prefix('-') {
        Some(digits) => (-1.0, digits),
        None => (1.0, plain),
    };
    let (whole, fraction) = digits.split_once('.').unwrap_or((digits, ""));
    let read = |before, digit: u8| before * 10.0 + f64::from(digit.saturating_sub(b'0'));
    let mantissa = whole.bytes().chain(fraction.bytes()).fold(0.0, read);
    let scale = fraction.bytes().fold(1.0, |scale, _| scale * 10.0);
    sign * mantissa / scale
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn plain_numbers_keep_their_digits() {
        for (text, wanted) in [
            ("650", "650"),
            ("+650", "650"),
            ("-5", "-5"),
            ("−5", "-5"),
            ("650,0", "650.0"),
            ("650.50", "650.50"),
            (".5", "0.5"),
            ("0,650", "0.650"),
            ("0.001", "0.001"),
            ("012,345", "012.345"),
            ("1234,567", "1234.567"),
            ("1.2345", "1.2345"),
        ] {
            assert_eq!(plain(text).as_deref(), Ok(wanted), "{text}");
        }
    }

    #[test]
    fn grouping_is_taken_out() {
        for (text, wanted) in [
            ("1 234", "1234"),
            ("1\u{a0}234", "1234"),
            ("1\u{202f}234", "1234"),
            ("1'234", "1234"),
            ("1’234,5", "1234.5"),
            ("1 234,567", "1234.567"),
            ("1,234.5", "1234.5"),
            ("1.234,5", "1234.5"),
            ("1.234,567", "1234.567"),
            ("1,234,567", "1234567"),
            ("1.234.567", "1234567"),
            ("1.234.567,8", "1234567.8"),
        ] {
            assert_eq!(plain(text).as_deref(), Ok(wanted), "{text}");
        }
    }

    #[test]
    fn what_may_be_a_thousand_times_more_is_refused() {
        for text in ["1,234", "1.234", "12,345", "650.000", "+1,500", "-1.234"] {
            assert!(
                matches!(plain(text), Err(ParseTorqueError::Ambiguous { .. })),
                "{text}"
            );
        }
        assert_eq!(
            plain("1,234"),
            Err(ParseTorqueError::Ambiguous {
                whole: "1234".to_owned(),
                decimal: "1.234".to_owned()
            })
        );
    }

    #[test]
    fn anything_else_is_no_number() {
        for text in [
            "",
            "+",
            "-",
            ".",
            ",",
            "650.",
            "1,23,456",
            "12 34",
            "1  234",
            "1234 567",
            "0,123,456",
            "1,234.5,6",
            "1.2.3",
            "1,234,56",
            "--5",
            "+-5",
            "1 234.567,8",
            "1,234 567",
            "'234",
            "1'",
        ] {
            assert_eq!(plain(text), Err(ParseTorqueError::NotANumber), "{text}");
        }
    }

    #[test]
    fn values_are_rounded_once() {
        for text in [
            "0",
            "-0",
            "0.1",
            "-650.25",
            "999999999999999",
            "0.00000000000001",
            "0.99999999999999",
        ] {
            let wanted: f64 = text.parse().unwrap();
            assert_eq!(value(text).to_bits(), wanted.to_bits(), "{text}");
        }
    }

    proptest::proptest! {
        #[test]
        fn values_are_those_of_the_standard_library(
            text in "-?[0-9]{1,8}",
            fraction in "(\\.[0-9]{1,7})?",
        ) {
            let text = text + &fraction;
            let wanted: f64 = text.parse().unwrap();
            assert_eq!(value(&text).to_bits(), wanted.to_bits(), "{text}");
        }
    }
}
