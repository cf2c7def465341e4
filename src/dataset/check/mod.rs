//! A dataset by meaning: identifiers, orders, lengths, signs, limits. Every problem is listed.

pub mod bench;
pub mod buildup;
mod runs;
mod stock;

pub use runs::has_sound_samples;

use super::indices::{ById, Indices};
use super::limits;
use super::pointer::Pointer;
use super::read::Gaps;
use super::types::Dataset;
use crate::escape::reorders;
use crate::problem::{Problem, Problems, quoted};

/// Every problem of meaning in what was read of a dataset. `gaps` says what could not be read;
/// references into a list with gaps are not called unknown. `digits` prints a number exactly.
pub fn check(dataset: &Dataset, gaps: &Gaps, digits: fn(f64) -> String) -> Problems {
    let mut checker = Checker {
        dataset,
        gaps,
        indices: Indices::of(dataset),
        problems: Problems::default(),
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
    fn indices<'p, 'a>(self, indices: &'p Indices<'a>) -> &'p ById<'a> {
        match self {
            Self::Rigs => &indices.rigs,
            Self::Setups => &indices.setups,
            Self::Tools => &indices.tools,
            Self::Packs => &indices.packs,
            Self::Days => &indices.days,
        }
    }
}

struct Checker<'a> {
    dataset: &'a Dataset,
    gaps: &'a Gaps,
    indices: Indices<'a>,
    problems: Problems,
    digits: fn(f64) -> String,
}

/// Smallest and largest, both included; NaN and infinities are never within.
type Limits = (f64, f64);

/// The problem of a number outside its limits; `unit` in words.
fn outside(
    pointer: &Pointer,
    value: f64,
    (least, most): Limits,
    unit: Option<&str>,
    digits: fn(f64) -> String,
) -> Option<Problem> {
    if least <= value && value <= most {
        return None;
    }
    let unit = unit.map(|unit| format!(" {unit}")).unwrap_or_default();
    let wanted = format!("a number from {} to {}{unit}", digits(least), digits(most));
    Some(Problem::new(pointer, written(value, digits), wanted))
}

/// A number as people write it.
fn written(value: f64, digits: fn(f64) -> String) -> String {
    if value.is_infinite() {
        return "infinity".into();
    }
    digits(value)
}

impl<'a> Checker<'a> {
    fn problem(&mut self, pointer: &Pointer, found: impl Into<String>, wanted: impl Into<String>) {
        self.problems.push(Problem::new(pointer, found, wanted));
    }

    /// A number that is a member of the object at `pointer`, against the limits of its name.
    fn field(&mut self, pointer: &Pointer, key: &str, value: Option<f64>) {
        if let (Some(value), Some(limits)) = (value, limits::of(key)) {
            self.number(&pointer.member(key), value, limits, limits::unit(key));
        }
    }

    fn fields(&mut self, pointer: &Pointer, fields: &[(&str, Option<f64>)]) {
        for (key, value) in fields {
            self.field(pointer, key, *value);
        }
    }

    fn number(&mut self, pointer: &Pointer, value: f64, limits: Limits, unit: Option<&str>) {
        let problem = outside(pointer, value, limits, unit, self.digits);
        problem.into_iter().for_each(|one| self.problems.push(one));
    }

    /// The first number of a series that is outside the limits of the series' name.
    fn series(&mut self, pointer: &Pointer, key: &str, series: &[i32]) {
        let problem = series_outside(pointer, key, series, self.digits);
        problem.into_iter().for_each(|one| self.problems.push(one));
    }

    /// Texts that are members of the object at `pointer`.
    fn texts(&mut self, pointer: &Pointer, texts: &[(&str, Option<&str>)]) {
        for (key, text) in texts {
            self.text(&pointer.member(key), key, text.unwrap_or_default());
        }
    }

    /// A text: not longer than a field of the name `key` takes, and nothing in it orders the text
    /// around it anew, wherever it is shown.
    fn text(&mut self, pointer: &Pointer, key: &str, text: &str) {
        let most = limits::most_chars(key);
        // No text has more characters than bytes: most are not counted.
        if text.len() > most && text.chars().count() > most {
            let found = format!("a text of {} characters", text.chars().count());
            self.problem(pointer, found, format!("at most {most}"));
        }
        if let Some(sign) = text.chars().find(|&sign| reorders(sign)) {
            let sign = quoted(sign.encode_utf8(&mut [0; 4]));
            let found =
                format!("a text with the hidden sign {sign}, which reorders what is around");
            let problem = Problem::new(pointer, found, "a text without it");
            let hint = "names in scripts from right to left need no such sign";
            self.problems.push(problem.hint(hint));
        }
    }

    /// An identifier: there, and the first of its kind in its list.
    fn id(&mut self, element: &Pointer, id: &str, is_first: bool) {
        self.texts(element, &[("id", Some(id))]);
        let pointer = element.member("id");
        if id.is_empty() {
            self.problem(&pointer, "an empty text", "a text that names it");
        } else if !is_first {
            let found = format!("the identifier {} again", quoted(id));
            self.problem(&pointer, found, "every identifier once");
        }
    }

    /// A reference into `list`.
    fn known(&mut self, pointer: &Pointer, id: &str, list: List) {
        let (key, thing) = list.words();
        let ids = list.indices(&self.indices);
        if ids.get(id).is_some() || !self.gaps.whole(key) {
            return;
        }
        let known = one_of(ids.ids().map(quoted));
        let problem = Problem::new(
            pointer,
            format!("the unknown {thing} {}", quoted(id)),
            format!("the \"id\" of a {thing} in this file"),
        );
        self.problems.push(match known {
            Some(known) => problem.hint(known),
            None => problem,
        });
    }

    /// A reference to an edition.
    fn known_edition(&mut self, pointer: &Pointer, edition: u32) {
        // Too many editions are a problem already; every run is not to be held against all of them.
        if self.dataset.editions.len() > limits::MOST_EDITIONS {
            return;
        }
        let known = self.dataset.editions.iter().map(|known| known.edition);
        if known.clone().any(|known| known == edition) || !self.gaps.whole("editions") {
            return;
        }
        let known = one_of(known.map(|known| known.to_string()));
        let problem = Problem::new(
            pointer,
            format!("the unknown edition {edition}"),
            "the number of an edition in this file",
        );
        self.problems.push(match known {
            Some(known) => problem.hint(known),
            None => problem,
        });
    }

    fn date(&mut self, pointer: &Pointer, date: &str) {
        if !is_date(date) {
            self.problem(
                pointer,
                quoted(date),
                "a day of the calendar such as \"2026-03-02\"",
            );
        }
    }

    fn month(&mut self, pointer: &Pointer, month: Option<&str>) {
        if let Some(month) = month
            && !is_date(&format!("{month}-01"))
        {
            self.problem(pointer, quoted(month), "a month such as \"2026-03\"");
        }
    }

    /// A series each of whose values is above the one before by at least `least`, in `unit`.
    fn rising(&mut self, pointer: &Pointer, series: &[f64], least: f64, unit: &str) {
        let pairs = series.iter().zip(series.iter().skip(1));
        if let Some((at, (before, value))) = pairs
            .enumerate()
            .find(|(_, (a, b))| !rises(**a, **b, least))
        {
            let [value, before, least] =
                [*value, *before, least].map(|number| written(number, self.digits));
            self.problem(
                &pointer.nth(at + 1),
                format!("{value} after {before}"),
                format!("values that rise by at least {least} {unit}"),
            );
        }
    }
}

/// Whether `b` is above `a` by at least `least`, or by what is left of it in the last bits.
fn rises(a: f64, b: f64, least: f64) -> bool {
    const LAST_BITS: f64 = 1e-9;
    b - a >= least * (1.0 - LAST_BITS) - LAST_BITS * a.abs() && b > a
}

/// The problem of the first number of a series that is outside the limits of the series' name.
fn series_outside(
    pointer: &Pointer,
    key: &str,
    series: &[i32],
    digits: fn(f64) -> String,
) -> Option<Problem> {
    let (least, most) = limits::of(key)?;
    let mut numbers = series.iter().map(|&number| f64::from(number)).enumerate();
    let (at, number) = numbers.find(|(_, number)| !(least <= *number && *number <= most))?;
    let pointer = pointer.member(key);
    outside(
        &pointer.nth(at),
        number,
        (least, most),
        limits::unit(key),
        digits,
    )
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
