//! A document, element by element, to typed data: every problem of shape is listed.
//!
//! A wrong shape is one problem for its element, not the end of reading. Where a document comes
//! from (a text, a browser's object) is hidden behind [`Node`].

use super::types::Dataset;
use super::{FORMAT, MOST_ELEMENTS};
use crate::problem::{Problem, quoted};
use serde::de::DeserializeOwned;
use std::collections::BTreeMap;

/// A value of a document: of a text natively, of a parsed object in a browser.
pub trait Node: Sized {
    /// What kind of value this is.
    fn kind(&self) -> Kind;

    /// The member `key` of an object, if it is there and not `null`.
    fn member(&self, key: &str) -> Option<Self>;

    /// The elements of an array; none if this is not one.
    fn elements(&self) -> Vec<Self>;

    /// This value as a `T`.
    ///
    /// # Errors
    ///
    /// A problem under `pointer` (extended to the faulty part where it is known).
    fn decode<T: DeserializeOwned>(&self, pointer: &str) -> Result<T, Problem>;
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
#[derive(Debug, Default)]
pub struct Reading {
    /// The elements that could be read, in the file's order.
    pub dataset: Dataset,
    /// Which elements could not.
    pub gaps: Gaps,
    /// Why not.
    pub problems: Vec<Problem>,
}

impl Reading {
    fn refused(problem: Problem) -> Self {
        Self {
            problems: vec![problem],
            ..Self::default()
        }
    }
}

/// Elements of lists that could not be read, so that the others keep their place in the file.
#[derive(Debug, Default)]
pub struct Gaps(BTreeMap<&'static str, Vec<usize>>);

impl Gaps {
    /// Whether every element of `list` was read, so that a missing identifier is truly missing.
    pub fn whole(&self, list: &str) -> bool {
        !self.0.contains_key(list)
    }

    /// JSON pointer of the `read`-th element that was read of `list`.
    pub fn pointer(&self, list: &str, read: usize) -> String {
        let skipped = self.0.get(list).into_iter().flatten();
        let place = skipped.fold(
            read,
            |place, &gap| if gap <= place { place + 1 } else { place },
        );
        format!("/{list}/{place}")
    }
}

/// Reads a document. What could be read is returned beside the problems, so that problems of
/// meaning can be looked for in the rest.
pub fn read<N: Node>(document: &N) -> Reading {
    let mut reader = Reader {
        document,
        gaps: Gaps::default(),
        problems: Vec::new(),
    };
    if document.kind() != Kind::Object {
        let problem = Problem::new(
            "",
            format!("{} at the top", document.kind().words()),
            "an object",
        )
        .hint("a dataset begins with {\"format\": \"jobtorque/1\", …");
        return Reading::refused(problem);
    }
    let format: Option<String> = reader.required("format");
    if let Some(format) = &format
        && format != FORMAT
    {
        let problem = Problem::new("/format", quoted(format), format!("\"{FORMAT}\""))
            .hint("this file has another format, or one newer than this program");
        return Reading::refused(problem);
    }
    let dataset = Dataset {
        format: format.unwrap_or_default(),
        title: reader.required("title").unwrap_or_default(),
        summary: reader.optional("summary"),
        publisher: reader.optional("publisher"),
        contact: reader.optional("contact"),
        license: reader.required("license").unwrap_or_default(),
        invented: reader.optional("invented"),
        disclosure: reader.required("disclosure").unwrap_or_default(),
        match_margin_percent: reader.optional("match_margin_percent"),
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
    };
    Reading {
        dataset,
        gaps: reader.gaps,
        problems: reader.problems,
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
    problems: Vec<Problem>,
}

impl<N: Node> Reader<'_, N> {
    fn required<T: DeserializeOwned>(&mut self, key: &str) -> Option<T> {
        let value = self.document.member(key);
        if value.is_none() {
            self.missing(key);
        }
        self.decode(value?, format!("/{key}"))
    }

    fn optional<T: DeserializeOwned>(&mut self, key: &str) -> Option<T> {
        let value = self.document.member(key)?;
        self.decode(value, format!("/{key}"))
    }

    fn decode<T: DeserializeOwned>(&mut self, value: N, pointer: String) -> Option<T> {
        match value.decode(&pointer) {
            Ok(read) => Some(read),
            Err(problem) => {
                self.problems.push(problem);
                None
            }
        }
    }

    fn missing(&mut self, key: &str) {
        self.problems.push(Problem::new(
            "",
            format!("no \"{key}\""),
            format!("the required field \"{key}\""),
        ));
    }

    /// Every element of the list `key` that can be read; the others are noted as gaps.
    fn list<T: DeserializeOwned>(&mut self, key: &'static str, need: Need) -> Vec<T> {
        let pointer = format!("/{key}");
        let Some(list) = self.document.member(key) else {
            if need != Need::MayBeAbsent {
                self.missing(key);
                self.gaps.0.entry(key).or_default();
            }
            return Vec::new();
        };
        let elements = list.elements();
        let fault = if list.kind() != Kind::Array {
            Some(Problem::new(&pointer, list.kind().words(), "an array"))
        } else if need == Need::AtLeastOne && elements.is_empty() {
            Some(Problem::new(
                &pointer,
                "an empty array",
                "at least one element",
            ))
        } else if elements.len() > MOST_ELEMENTS {
            let found = format!("{} elements", elements.len());
            Some(Problem::new(
                &pointer,
                found,
                format!("at most {MOST_ELEMENTS}"),
            ))
        } else {
            None
        };
        if let Some(fault) = fault {
            self.problems.push(fault);
            self.gaps.0.entry(key).or_default();
            return Vec::new();
        }
        let mut read = Vec::with_capacity(elements.len());
        for (i, element) in elements.into_iter().enumerate() {
            match self.decode(element, format!("{pointer}/{i}")) {
                Some(element) => read.push(element),
                None => self.gaps.0.entry(key).or_default().push(i),
            }
        }
        read
    }
}
