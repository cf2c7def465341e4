//! A document, element by element, to typed data: every problem of shape is listed.
//!
//! A wrong shape is one problem for its element, not the end of reading. Where a document comes
//! from (a text, a browser's object) is hidden behind [`Node`].

mod fields;
pub mod value;

use super::pointer::Pointer;
use super::types::Dataset;
use super::{FORMAT, MOST_ELEMENTS};
use crate::problem::{Problem, Problems, quoted};
use value::Value;

/// A value of a document: of a text natively, of a parsed object in a browser.
pub trait Node: Sized {
    /// Whether a problem says what was found. The visitor's module leaves it out: whoever writes a
    /// dataset reads it natively.
    const SAYS_WHAT_WAS_FOUND: bool;

    /// What kind of value this is.
    fn kind(&self) -> Kind;

    /// The member `key` of an object.
    fn member(&self, key: &str) -> Option<Self>;

    /// The keys of an object's members; none if this is not one.
    fn keys(&self) -> Vec<String>;

    /// The elements of an array; none if this is not one.
    fn elements(&self) -> Vec<Self>;

    /// This value, if it is a text.
    fn text(&self) -> Option<String>;

    /// This value, if it is true or false.
    fn truth(&self) -> Option<bool>;

    /// This value, if it is a number; infinite if it is too large to be held.
    fn number(&self) -> Option<f64>;

    /// This value, if it is a whole number.
    fn whole(&self) -> Option<i64>;

    /// The elements of an array of whole numbers.
    fn wholes(&self) -> Option<Vec<i64>>;

    /// A number as it is written, with a point unless it is whole.
    fn digits(&self) -> String;

    /// The fewest digits that give a number back, as script prints them.
    fn print(number: f64) -> String;
}

/// Kinds of values in a document.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// An object.
    Object,
    /// An array.
    Array,
    /// A text.
    Text,
    /// A number.
    Number,
    /// True or false.
    Bool,
    /// Null.
    Null,
}

impl Kind {
    /// The kind in words, with its article.
    pub fn words(self) -> &'static str {
        match self {
            Self::Object => "an object",
            Self::Array => "an array",
            Self::Text => "a text",
            Self::Number => "a number",
            Self::Bool => "true or false",
            Self::Null => "null",
        }
    }
}

/// What could be read of a document.
#[derive(Debug)]
pub struct Reading {
    /// The elements that could be read, in the file's order.
    pub dataset: Dataset,
    /// Which elements could not.
    pub gaps: Gaps,
    /// Why not.
    pub problems: Problems,
    /// Prints a number as [`Node::print`] does.
    pub digits: fn(f64) -> String,
}

/// Elements of lists that could not be read, so that the others keep their place in the file.
#[derive(Debug, Default)]
pub struct Gaps(Vec<GapsOf>);

/// What could not be read of one list.
#[derive(Debug)]
struct GapsOf {
    list: &'static str,
    /// For each element that could not be read, how many before it could be: numbers that do not
    /// fall. Empty if the whole list could not be read.
    read_before: Vec<usize>,
}

impl Gaps {
    /// Whether every element of `list` was read, so that a missing identifier is truly missing.
    pub fn whole(&self, list: &str) -> bool {
        !self.0.iter().any(|gaps| gaps.list == list)
    }

    /// The index in the file of the `read`-th element that was read of `list`.
    pub fn pointer<'a>(&self, list: &'a str, read: usize) -> Pointer<'a> {
        let gaps = self.0.iter().find(|gaps| gaps.list == list);
        // By halving: one look at every gap for every element would be quadratic in a broken file.
        let before = gaps.map_or(0, |gaps| {
            let stands_before = |&before: &usize| looked(before) <= read;
            gaps.read_before.partition_point(stands_before)
        });
        Pointer::Element(&Pointer::Top, list, read + before)
    }
}

/// Nothing read, for one reason.
fn refused<N: Node>(problem: Problem) -> Reading {
    Reading {
        dataset: Dataset::default(),
        gaps: Gaps::default(),
        problems: problem.into(),
        digits: N::print,
    }
}

/// Reads a document. What could be read is returned beside the problems, so that problems of
/// meaning can be looked for in the rest.
pub fn read<N: Node>(document: &N) -> Reading {
    let mut reader = Reader {
        document,
        gaps: Gaps::default(),
        problems: Problems::default(),
    };
    if document.kind() != Kind::Object {
        let problem = Problem::new(
            "",
            format!("{} at the top", document.kind().words()),
            "an object",
        )
        .hint("a dataset begins with {\"format\": \"jobtorque/1\", …");
        return refused::<N>(problem);
    }
    let format: Option<String> = reader.required("format");
    if let Some(format) = &format
        && format != FORMAT
    {
        let problem = Problem::new("/format", quoted(format), format!("\"{FORMAT}\""))
            .hint("this file has another format, or one newer than this program");
        return refused::<N>(problem);
    }
    let dataset = Dataset {
        format: format.unwrap_or_default(),
        title: reader.required("title").unwrap_or_default(),
        summary: reader.optional("summary"),
        publisher: reader.optional("publisher"),
        contact: reader.optional("contact"),
        license: reader.required("license").unwrap_or_default(),
        invented: reader.optional("invented"),
        disclosure: reader.disclosure().unwrap_or_default(),
        match_margin_percent: reader.optional("match_margin_percent"),
        least_trigger_s: reader.optional("least_trigger_s"),
        editions: reader.list("editions", Need::AtLeastOne),
        rigs: reader.list("rigs", Need::AtLeastOne),
        setups: reader.list("setups", Need::MayBeAbsent),
        tools: reader.list("tools", Need::AtLeastOne),
        packs: reader.list("packs", Need::AtLeastOne),
        specimens: reader.list("specimens", Need::MayBeAbsent),
        days: reader.list("days", Need::AtLeastOne),
        runs: reader.list("runs", Need::MayBeEmpty),
        jobs: reader.list("jobs", Need::MayBeAbsent),
        field_checks: reader.list("field_checks", Need::MayBeAbsent),
        scatter: reader.list("scatter", Need::MayBeAbsent),
    };
    Reading {
        dataset,
        gaps: reader.gaps,
        problems: reader.problems,
        digits: N::print,
    }
}

/// How much of a list must be there.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Need {
    AtLeastOne,
    MayBeEmpty,
    MayBeAbsent,
}

struct Reader<'a, N> {
    document: &'a N,
    gaps: Gaps,
    problems: Problems,
}

impl<N: Node> Reader<'_, N> {
    /// The member `key`, if it is there and not `null`.
    fn member(&self, key: &str) -> Option<N> {
        let member = self.document.member(key);
        member.filter(|member| member.kind() != Kind::Null)
    }

    fn required<T: Value>(&mut self, key: &str) -> Option<T> {
        let value = self.optional(key);
        if value.is_none() && self.member(key).is_none() {
            self.missing(key);
        }
        value
    }

    /// Who paid: said, even if it was nobody.
    fn disclosure(&mut self) -> Option<String> {
        let said: String = self.required("disclosure")?;
        if said.trim().is_empty() {
            let wanted = "who paid, who gave or lent tools; \"nobody\" if so";
            let pointer = Pointer::Top.member("disclosure");
            self.problems
                .push(Problem::new(pointer, "an empty text", wanted));
        }
        Some(said)
    }

    fn optional<T: Value>(&mut self, key: &str) -> Option<T> {
        let pointer = Pointer::Top.member(key);
        T::read(&self.member(key)?, &pointer, &mut self.problems)
    }

    fn missing(&mut self, key: &str) {
        self.problems.push(value::missing::<N>(&Pointer::Top, key));
    }

    fn gap(&mut self, list: &'static str, read_before: Vec<usize>) {
        self.gaps.0.push(GapsOf { list, read_before });
    }

    /// Every element of the list `key` that can be read; the others are noted as gaps.
    fn list<T: Value>(&mut self, key: &'static str, need: Need) -> Vec<T> {
        let elements = self.elements(key, need);
        let mut read = Vec::with_capacity(elements.len());
        let mut read_before = Vec::new();
        for (i, element) in elements.iter().enumerate() {
            match T::read(element, &Pointer::Top.element(key, i), &mut self.problems) {
                Some(element) => read.push(element),
                None => read_before.push(read.len()),
            }
        }
        if !read_before.is_empty() {
            self.gap(key, read_before);
        }
        read
    }

    /// The elements of the list `key`; none if it cannot be read, which is noted.
    fn elements(&mut self, key: &'static str, need: Need) -> Vec<N> {
        let Some(list) = self.member(key) else {
            if need != Need::MayBeAbsent {
                self.missing(key);
                self.gap(key, Vec::new());
            }
            return Vec::new();
        };
        let elements = list.elements();
        let (found, wanted): (String, String) = if list.kind() != Kind::Array {
            (list.kind().words().into(), "an array".into())
        } else if need == Need::AtLeastOne && elements.is_empty() {
            ("an empty array".into(), "at least one element".into())
        } else if elements.len() > MOST_ELEMENTS {
            let found = format!("{} elements", elements.len());
            (found, format!("at most {MOST_ELEMENTS}"))
        } else {
            return elements;
        };
        let pointer = Pointer::Top.member(key);
        self.problems.push(Problem::new(pointer, found, wanted));
        self.gap(key, Vec::new());
        Vec::new()
    }
}

/// A look at a gap, counted in tests.
#[cfg(not(all(test, not(target_arch = "wasm32"))))]
fn looked(before: usize) -> usize {
    before
}
#[cfg(all(test, not(target_arch = "wasm32")))]
fn looked(before: usize) -> usize {
    tests::LOOKS.with(|looks| looks.set(looks.get() + 1));
    before
}

#[cfg(all(test, not(target_arch = "wasm32")))]
mod tests {
    use super::*;
    use crate::dataset::check::check;
    use crate::dataset::json::{Slice, digits};
    use serde_json::value::RawValue;
    use std::cell::Cell;

    thread_local! {
        pub(super) static LOOKS: Cell<usize> = const { Cell::new(0) };
    }

    /// Steps taken to find the places of elements, with as many that can be read as cannot.
    fn looks(pairs: usize) -> usize {
        let elements = vec!["null, {\"tried_s\": 0}"; pairs].join(", ");
        let text = format!("{{\"format\": \"{FORMAT}\", \"field_checks\": [{elements}]}}");
        let document: &RawValue = serde_json::from_str(&text).unwrap();
        LOOKS.set(0);
        let reading = read(&Slice::new(document));
        let problems = check(&reading.dataset, &reading.gaps, digits);
        assert_eq!(problems.count(), pairs, "one for each number");
        let last = problems[pairs - 1].pointer.as_str();
        assert_eq!(last, format!("/field_checks/{}/tried_s", 2 * pairs - 1));
        LOOKS.get()
    }

    #[test]
    fn finding_the_places_of_elements_takes_hardly_more_steps_each_where_more_are_broken() {
        let (few, many) = (looks(125), looks(1_000));
        assert!(many >= 1_000, "{many}: not counted");
        // Eight times as many; by halving each takes three more steps of seven.
        assert!(many <= 16 * few, "{few} and {many}");
    }

    #[test]
    fn elements_keep_their_places_beside_gaps() {
        let gaps = Gaps(vec![GapsOf {
            list: "runs",
            read_before: vec![0, 0, 1, 3],
        }]);
        // Read are those marked: - - 0 - 1 2 - 3 4.
        let pointers = [0, 1, 2, 3, 4].map(|read| gaps.pointer("runs", read).text());
        assert_eq!(
            pointers,
            ["/runs/2", "/runs/4", "/runs/5", "/runs/7", "/runs/8"]
        );
        assert_eq!(gaps.pointer("days", 4).text(), "/days/4");
        assert!(!gaps.whole("runs") && gaps.whole("days"));
    }
}
