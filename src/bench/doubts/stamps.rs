//! Dates in texts: what a log's own stamps and its name say.

/// Whether a text is a date such as `2026-03-14`.
pub fn is_date(text: &str) -> bool {
    matches!(dates(text).as_slice(), [date] if *date == text)
}

/// Every date in a text as `YYYY-MM-DD`: year first, or day first with a year of four digits; the
/// parts joined by one and the same of `-`, `.` and `/`. Where day and month may be either, both
/// readings are given.
pub fn dates(text: &str) -> Vec<String> {
    let mut found = Vec::new();
    let bytes = text.as_bytes();
    let mut at = 0;
    while at < bytes.len() {
        let starts = at == 0 || !bytes.get(at - 1).is_some_and(u8::is_ascii_digit);
        match bytes.get(at..).filter(|_| starts).and_then(date) {
            Some((length, dates)) => {
                found.extend(dates);
                at += length;
            }
            None => at += 1,
        }
    }
    found
}

/// The length of the date with which a text begins, and its readings.
fn date(text: &[u8]) -> Option<(usize, Vec<String>)> {
    let digits = |from: usize| {
        let rest = text.get(from..).unwrap_or_default();
        rest.iter().take_while(|byte| byte.is_ascii_digit()).count()
    };
    let number = |from: usize, count: usize| -> Option<u32> {
        std::str::from_utf8(text.get(from..from + count)?)
            .ok()?
            .parse()
            .ok()
    };
    let first = digits(0);
    let mark = text.get(first).filter(|mark| b"-./".contains(mark))?;
    let second = digits(first + 1);
    let third_at = first + second + 2;
    text.get(third_at - 1).filter(|other| *other == mark)?;
    let third = digits(third_at);
    let (a, b, c) = (
        number(0, first)?,
        number(first + 1, second)?,
        number(third_at, third)?,
    );
    let valid = |year: u32, month: u32, day: u32| {
        let plausible =
            (1990..=2199).contains(&year) && (1..=12).contains(&month) && (1..=31).contains(&day);
        plausible.then(|| format!("{year}-{month:02}-{day:02}"))
    };
    let short = |length: usize| (1..=2).contains(&length);
    let mut readings: Vec<String> = if first == 4 && short(second) && short(third) {
        valid(a, b, c).into_iter().collect()
    } else if short(first) && short(second) && third == 4 {
        let day_first = valid(c, b, a);
        // With hyphens and slashes the month may stand first; with points the day does.
        let month_first = valid(c, a, b).filter(|_| *mark != b'.');
        day_first.into_iter().chain(month_first).collect()
    } else {
        Vec::new()
    };
    readings.dedup();
    (!readings.is_empty()).then_some((third_at + third, readings))
}

/// The number of a day `YYYY-MM-DD` on a count that runs through months and years: days since
/// 0000-03-01 of the Gregorian calendar.
pub fn day_number(date: &str) -> Option<i64> {
    if !is_date(date) {
        return None;
    }
    let mut parts = date.split('-').map(str::parse::<i64>);
    let (year, month, day) = (
        parts.next()?.ok()?,
        parts.next()?.ok()?,
        parts.next()?.ok()?,
    );
    // March is the first month, so that the day that leap years add is the last of the year.
    let (year, month) = if month > 2 {
        (year, month - 3)
    } else {
        (year - 1, month + 9)
    };
    Some(365 * year + year / 4 - year / 100 + year / 400 + (153 * month + 2) / 5 + day - 1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dates_are_found_in_texts() {
        assert_eq!(dates("t,2026-03-04T12:00:00.5,9"), ["2026-03-04"]);
        assert_eq!(dates("04.03.2026 12:00"), ["2026-03-04"]);
        assert_eq!(dates("3/4/2026"), ["2026-04-03", "2026-03-04"]);
        assert_eq!(dates("3-4-2026"), ["2026-04-03", "2026-03-04"]);
        assert_eq!(dates("2026/13/01 and 2026-03.04 and 12026-03-04"), [""; 0]);
        assert_eq!(dates("1.25.3 and 10.0.0.1"), [""; 0]);
    }

    #[test]
    fn days_are_counted_through_months_and_leap_years() {
        let between = |a, b| day_number(b).unwrap() - day_number(a).unwrap();
        assert_eq!(between("2026-03-01", "2027-03-01"), 365);
        assert_eq!(between("2028-02-28", "2028-03-01"), 2);
        assert_eq!(between("2026-12-31", "2027-01-01"), 1);
        assert_eq!(day_number("soon"), None);
    }

    #[test]
    fn a_date_alone_is_a_date() {
        assert!(is_date("2026-03-04"));
        assert!(!is_date("day 2026-03-04") && !is_date("d4") && !is_date("04.03.2026"));
    }
}
