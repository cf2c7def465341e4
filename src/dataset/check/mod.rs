//! A dataset by meaning: identifiers, orders, lengths, signs, limits. Every problem is listed.

mod bench;
mod runs;
mod stock;

use super::place::Place;
use super::places::{ById, Places};
use super::read::Gaps;
use super::types::Dataset;
use crate::problem::{Problem, quoted};
use std::cmp::Ordering;

/// Every problem of meaning in what was read of a dataset. `gaps` says what could not be read;
/// references into a list with gaps are not called unknown. `digits` prints a number exactly.
pub fn check(dataset: &Dataset, gaps: &Gaps, digits: fn(f64) -> String) -> Vec<Problem> {
    let mut checker = Checker {
        dataset,
        gaps,
        places: Places::of(dataset),
        problems: Vec::new(),
        digits,
    };
    checker.bench();
    checker.stock();
    checker.runs();
    checker.problems
}

/// A list whose elements others name by their identifiers.
#[derive(Clone, Copy)]
enum List {
    Rigs,
    Setups,
    Tools,
    Packs,
    Days,
}

impl List {
    /// Its key in the file, and what one of its elements is.
    fn words(self) -> (&'static str, &'static str) {
        match self {
            Self::Rigs => ("rigs", "rig"),
            Self::Setups => ("setups", "setup"),
            Self::Tools => ("tools", "tool"),
            Self::Packs => ("packs", "pack"),
            Self::Days => ("days", "day"),
        }
    }

    /// Where its elements stand.
    fn places<'p, 'a>(self, places: &'p Places<'a>) -> &'p ById<'a> {
        match self {
            Self::Rigs => &places.rigs,
            Self::Setups => &places.setups,
            Self::Tools => &places.tools,
            Self::Packs => &places.packs,
            Self::Days => &places.days,
        }
    }
}

struct Checker<'a> {
    dataset: &'a Dataset,
    gaps: &'a Gaps,
    places: Places<'a>,
    problems: Vec<Problem>,
    digits: fn(f64) -> String,
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

    fn words(self, digits: fn(f64) -> String) -> String {
        match self {
            Self::Finite => "a finite number".into(),
            Self::NotNegative => "a number not below 0".into(),
            Self::Positive => "a number above 0".into(),
            Self::Within(low, high) => {
                format!("a number from {} to {}", digits(low), digits(high))
            }
        }
    }
}

impl<'a> Checker<'a> {
    fn problem(&mut self, place: &Place, found: impl Into<String>, wanted: impl Into<String>) {
        self.problems.push(Problem::new(place, found, wanted));
    }

    /// A number that is a member of the object at `place`.
    fn field(&mut self, place: &Place, key: &str, value: Option<f64>, range: Range) {
        self.number(&place.member(key), value, range);
    }

    fn number(&mut self, place: &Place, value: Option<f64>, range: Range) {
        if let Some(value) = value
            && !range.holds(value)
        {
            self.problem(place, self.written(value), range.words(self.digits));
        }
    }

    /// An identifier: there, and the first of its kind in its list.
    fn id(&mut self, element: &Place, id: &str, is_first: bool) {
        let place = element.member("id");
        if id.is_empty() {
            self.problem(&place, "an empty text", "a text that names it");
        } else if !is_first {
            let found = format!("the identifier {} again", quoted(id));
            self.problem(&place, found, "every identifier once");
        }
    }

    /// A reference into `list`.
    fn known(&mut self, place: &Place, id: &str, list: List) {
        let (key, thing) = list.words();
        let ids = list.places(&self.places);
        if ids.get(id).is_some() || !self.gaps.whole(key) {
            return;
        }
        let known = one_of(ids.ids().map(quoted));
        let problem = Problem::new(
            place,
            format!("the unknown {thing} {}", quoted(id)),
            format!("the \"id\" of a {thing} in this file"),
        );
        self.problems.push(match known {
            Some(known) => problem.hint(known),
            None => problem,
        });
    }

    /// A reference to an edition.
    fn known_edition(&mut self, place: &Place, edition: u32) {
        let known = self.dataset.editions.iter().map(|known| known.edition);
        if known.clone().any(|known| known == edition) || !self.gaps.whole("editions") {
            return;
        }
        let known = one_of(known.map(|known| known.to_string()));
        let problem = Problem::new(
            place,
            format!("the unknown edition {edition}"),
            "the number of an edition in this file",
        );
        self.problems.push(match known {
            Some(known) => problem.hint(known),
            None => problem,
        });
    }

    fn date(&mut self, place: &Place, date: &str) {
        if !is_date(date) {
            self.problem(
                place,
                quoted(date),
                "a day of the calendar such as \"2026-03-02\"",
            );
        }
    }

    fn month(&mut self, place: &Place, month: Option<&str>) {
        if let Some(month) = month
            && !is_date(&format!("{month}-01"))
        {
            self.problem(place, quoted(month), "a month such as \"2026-03\"");
        }
    }

    /// A number as people write it.
    fn written(&self, value: f64) -> String {
        if value.is_infinite() {
            return "infinity".into();
        }
        (self.digits)(value)
    }

    fn strictly_rising(&mut self, place: &Place, series: &[f64]) {
        let pairs = series.iter().zip(series.iter().skip(1));
        if let Some((at, (before, value))) = pairs
            .enumerate()
            .find(|(_, (a, b))| a.partial_cmp(b) != Some(Ordering::Less))
        {
            self.problem(
                &place.nth(at + 1),
                format!("{} after {}", self.written(*value), self.written(*before)),
                "values that rise",
            );
        }
    }
}

/// A few things to choose from, as advice; nothing if there are none or too many to read.
fn one_of(things: impl Iterator<Item = String>) -> Option<String> {
    const READABLE: usize = 6;
    let things: Vec<_> = things.take(READABLE + 1).collect();
    (1..=READABLE)
        .contains(&things.len())
        .then(|| format!("there is {}", things.join(", ")))
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
