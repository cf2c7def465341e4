//! A dataset by meaning: identifiers, orders, lengths, signs, limits. Every problem is listed.

mod bench;
mod runs;
mod stock;

use super::read::Gaps;
use super::types::Dataset;
use crate::problem::{Problem, quoted};
use std::collections::BTreeSet;

/// Every problem of meaning in what was read of a dataset. `gaps` says what could not be read;
/// references into a list with gaps are not called unknown.
pub fn check(dataset: &Dataset, gaps: &Gaps) -> Vec<Problem> {
    let mut checker = Checker {
        dataset,
        gaps,
        ids: Ids::of(dataset),
        problems: Vec::new(),
    };
    checker.bench();
    checker.stock();
    checker.runs();
    checker.problems
}

/// The identifiers that may be referred to.
struct Ids<'a> {
    editions: BTreeSet<u32>,
    rigs: BTreeSet<&'a str>,
    setups: BTreeSet<&'a str>,
    tools: BTreeSet<&'a str>,
    packs: BTreeSet<&'a str>,
    days: BTreeSet<&'a str>,
}

impl<'a> Ids<'a> {
    fn of(dataset: &'a Dataset) -> Self {
        Self {
            editions: dataset
                .editions
                .iter()
                .map(|edition| edition.edition)
                .collect(),
            rigs: dataset.rigs.iter().map(|rig| rig.id.as_str()).collect(),
            setups: dataset
                .setups
                .iter()
                .map(|setup| setup.id.as_str())
                .collect(),
            tools: dataset.tools.iter().map(|tool| tool.id.as_str()).collect(),
            packs: dataset.packs.iter().map(|pack| pack.id.as_str()).collect(),
            days: dataset.days.iter().map(|day| day.id.as_str()).collect(),
        }
    }
}

struct Checker<'a> {
    dataset: &'a Dataset,
    gaps: &'a Gaps,
    ids: Ids<'a>,
    problems: Vec<Problem>,
}

/// Which numbers a field takes. NaN and infinities never fit.
#[derive(Clone, Copy)]
enum Range {
    /// Any finite number.
    Finite,
    /// Not negative.
    NotNegative,
    /// Above zero.
    Positive,
    /// From the first to the second, both included.
    Within(f64, f64),
}

impl Range {
    fn holds(self, x: f64) -> bool {
        x.is_finite()
            && match self {
                Self::Finite => true,
                Self::NotNegative => x >= 0.0,
                Self::Positive => x > 0.0,
                Self::Within(low, high) => low <= x && x <= high,
            }
    }

    fn words(self) -> String {
        match self {
            Self::Finite => "a finite number".into(),
            Self::NotNegative => "a number not below 0".into(),
            Self::Positive => "a number above 0".into(),
            Self::Within(low, high) => format!("a number from {low} to {high}"),
        }
    }
}

impl<'a> Checker<'a> {
    fn problem(
        &mut self,
        pointer: impl Into<String>,
        found: impl Into<String>,
        wanted: impl Into<String>,
    ) {
        self.problems.push(Problem::new(pointer, found, wanted));
    }

    fn number(&mut self, pointer: String, value: Option<f64>, range: Range) {
        if let Some(value) = value
            && !range.holds(value)
        {
            self.problem(pointer, format!("{value}"), range.words());
        }
    }

    /// Identifiers of one list: present and unique.
    fn unique_ids(&mut self, ids: impl Iterator<Item = (String, &'a str)>) {
        let mut seen = BTreeSet::new();
        for (pointer, id) in ids {
            let pointer = format!("{pointer}/id");
            if id.is_empty() {
                self.problem(pointer, "an empty identifier", "a text that names it");
            } else if !seen.insert(id) {
                self.problem(
                    pointer,
                    format!("the identifier {} again", quoted(id)),
                    "every identifier once",
                );
            }
        }
    }

    /// A reference into `list`, which holds `known`.
    fn known(&mut self, pointer: String, id: &str, list: &'static str, known: bool) {
        if !known && self.gaps.whole(list) {
            let thing = list.strip_suffix('s').unwrap_or(list);
            let wanted = format!("the \"id\" of a {thing} of this file");
            self.problem(
                pointer,
                format!("the unknown {thing} {}", quoted(id)),
                wanted,
            );
        }
    }

    fn date(&mut self, pointer: String, date: &str) {
        if !is_date(date) {
            self.problem(pointer, quoted(date), "a date such as \"2026-03-02\"");
        }
    }

    fn strictly_rising(&mut self, pointer: &str, series: &[f64]) {
        let falls = series
            .windows(2)
            .position(|pair| matches!(pair, [a, b] if !(a < b)));
        if let Some(place) = falls {
            self.problem(
                format!("{pointer}/{}", place + 1),
                "a value not above the one before",
                "rising values",
            );
        }
    }
}

/// Whether a text is a day of the calendar written `YYYY-MM-DD` (ISO 8601).
fn is_date(text: &str) -> bool {
    let [year, month, day] = text.split('-').collect::<Vec<_>>()[..] else {
        return false;
    };
    let digits =
        |part: &str, length| part.len() == length && part.bytes().all(|byte| byte.is_ascii_digit());
    if !(digits(year, 4) && digits(month, 2) && digits(day, 2)) {
        return false;
    }
    let (Ok(year), Ok(month), Ok(day)) = (
        year.parse::<u32>(),
        month.parse::<u32>(),
        day.parse::<u32>(),
    ) else {
        return false;
    };
    let leap = year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400));
    let length = match month {
        4 | 6 | 9 | 11 => 30,
        2 if leap => 29,
        2 => 28,
        1..=12 => 31,
        _ => return false,
    };
    (1..=length).contains(&day)
}

#[cfg(test)]
mod tests {
    use super::is_date;

    #[test]
    fn dates_are_days_of_the_calendar() {
        for good in ["2026-03-02", "2024-02-29", "2000-02-29", "2026-12-31"] {
            assert!(is_date(good), "{good}");
        }
        for bad in [
            "2026-3-2",
            "2026-02-29",
            "1900-02-29",
            "2026-13-01",
            "2026-04-31",
            "02.03.2026",
            "",
            "2026-03-02-1",
        ] {
            assert!(!is_date(bad), "{bad}");
        }
    }
}
