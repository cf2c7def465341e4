//! What is wrong: where it stands, what was found, what would be right, what to do.

use crate::escape::{shown, visible};
use serde::Serialize;

/// A job that can be written in place of one that cannot be read, and what it comes to.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct Offer {
    /// What to write for the job.
    pub job: String,
    /// Factor on the torque of an aged joint, if one is meant.
    pub condition: Option<f64>,
    /// Its name for people.
    pub name: String,
    /// Its torque in words, with the factor beside it if there is one.
    pub torque: String,
}

/// One thing wrong with a dataset, a log or a question.
///
/// A problem is a value: readers and checkers collect every one before they stop.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct Problem {
    /// JSON pointer (RFC 6901) to the faulty position, or the name of the faulty part of a question
    /// after a slash. Empty for the whole.
    pub pointer: String,
    /// Line of the faulty position in the text, from 1, where there is a text.
    pub line: Option<u32>,
    /// Column of the faulty position in bytes, from 1, where there is a text.
    pub column: Option<u32>,
    /// What stands there.
    pub found: String,
    /// What would be right.
    pub wanted: String,
    /// What to do next, where that is not plain from `wanted`.
    pub hint: Option<String>,
    /// The whole as a sentence for people.
    pub message: String,
    /// Jobs that may be meant by one that cannot be read, best first.
    #[cfg_attr(
        not(target_arch = "wasm32"),
        serde(skip_serializing_if = "Vec::is_empty")
    )]
    pub offers: Vec<Offer>,
}

impl Problem {
    /// A problem at `pointer`; its message is made from what was found and what is wanted.
    pub fn new(
        pointer: impl Into<String>,
        found: impl Into<String>,
        wanted: impl Into<String>,
    ) -> Self {
        Self::of(pointer.into(), found.into(), wanted.into())
    }

    // Apart from `new`, which is compiled anew for every kind of text.
    #[cold]
    fn of(pointer: String, found: String, wanted: String) -> Self {
        let message = format!("found {found}, wanted {wanted}");
        Self {
            pointer,
            line: None,
            column: None,
            found,
            wanted,
            hint: None,
            message,
            offers: Vec::new(),
        }
    }

    /// The same problem with advice on what to do, added to the message.
    #[must_use]
    pub fn hint(self, hint: impl Into<String>) -> Self {
        self.advised(hint.into())
    }

    #[cold]
    fn advised(mut self, hint: String) -> Self {
        self.message = format!("{} ({hint})", self.message);
        self.hint = Some(hint);
        self
    }

    /// The same problem under a ready-made message, such as a sentence from a text catalogue.
    #[must_use]
    pub fn message(mut self, message: impl Into<String>) -> Self {
        self.message = message.into();
        self
    }

    /// The same problem with jobs that may be meant.
    #[must_use]
    pub fn offers(mut self, offers: Vec<Offer>) -> Self {
        self.offers = offers;
        self
    }

    /// The same problem with its line and column, both from 1.
    #[must_use]
    pub fn at(mut self, line: u32, column: u32) -> Self {
        (self.line, self.column) = (Some(line), Some(column));
        self
    }
}

impl std::fmt::Display for Problem {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        if let (Some(line), Some(column)) = (self.line, self.column) {
            write!(f, "{line}:{column}: ")?;
        }
        if !self.pointer.is_empty() {
            // A key of the file may hold any sign.
            write!(f, "{}: ", shown(&self.pointer))?;
        }
        f.write_str(&self.message)
    }
}

impl std::error::Error for Problem {}

/// The most problems of one dataset or log that are kept in full; further ones are counted only, so
/// that a file of millions of faults takes no more memory than one of a thousand.
pub const MOST_KEPT: usize = 1_000;

/// The most problems that are shown to a person at once; further ones are counted only.
pub const MOST_SHOWN: usize = 50;

/// Problems in the order in which they were found: at most [`MOST_KEPT`] in full, the rest counted.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Problems {
    kept: Vec<Problem>,
    not_kept: usize,
}

impl Problems {
    /// Adds a problem.
    pub fn push(&mut self, problem: Problem) {
        if self.is_full() {
            self.not_kept += 1;
        } else {
            self.kept.push(problem);
        }
    }

    /// Adds one problem that is counted only. For callers that have found [`Problems::is_full`] and
    /// so need not put the problem into words.
    pub fn count_one_more(&mut self) {
        self.not_kept += 1;
    }

    /// Whether further problems are counted only.
    pub fn is_full(&self) -> bool {
        self.kept.len() >= MOST_KEPT
    }

    /// Adds all of `others`.
    pub fn append(&mut self, others: Self) {
        let room = MOST_KEPT.saturating_sub(self.kept.len());
        self.not_kept += others.not_kept + others.kept.len().saturating_sub(room);
        self.kept.extend(others.kept.into_iter().take(room));
    }

    /// How many problems there are, those not kept included.
    pub fn count(&self) -> usize {
        self.kept.len() + self.not_kept
    }

    /// Those to be shown to a person, and how many there are besides.
    pub fn shown(&self) -> (&[Problem], usize) {
        let shown = self.kept.get(..MOST_SHOWN).unwrap_or(&self.kept);
        (shown, self.count() - shown.len())
    }

    /// Those kept, to be put in another order or given their positions.
    pub fn kept_mut(&mut self) -> &mut [Problem] {
        &mut self.kept
    }
}

impl std::ops::Deref for Problems {
    type Target = [Problem];

    /// Those kept in full.
    fn deref(&self) -> &[Problem] {
        &self.kept
    }
}

impl From<Problem> for Problems {
    fn from(problem: Problem) -> Self {
        Self {
            kept: vec![problem],
            not_kept: 0,
        }
    }
}

impl FromIterator<Problem> for Problems {
    fn from_iter<T: IntoIterator<Item = Problem>>(problems: T) -> Self {
        let mut all = Self::default();
        problems.into_iter().for_each(|problem| all.push(problem));
        all
    }
}

/// Shortens a text from a file so that a message stays readable; at most 60 characters are kept.
pub fn quoted(text: &str) -> String {
    const KEPT: usize = 60;
    let short: String = text.chars().take(KEPT).collect();
    let mark = if short.len() < text.len() { "…" } else { "" };
    format!("\"{}{mark}\"", visible(&short))
}

#[cfg(test)]
mod tests {
    use super::{MOST_KEPT, MOST_SHOWN, Problem, Problems, quoted};

    #[test]
    fn a_long_text_is_cut_to_sixty_characters() {
        assert_eq!(quoted("a\"b"), "\"a\\\"b\"");
        assert_eq!(quoted(&"é".repeat(61)), format!("\"{}…\"", "é".repeat(60)));
    }

    #[test]
    fn problems_beyond_those_kept_are_counted() {
        let mut problems = Problems::default();
        for at in 0..MOST_KEPT + 7 {
            problems.push(Problem::new(format!("/{at}"), "a", "b"));
        }
        let others = problems.clone();
        assert_eq!(
            (problems.len(), problems.count()),
            (MOST_KEPT, MOST_KEPT + 7)
        );
        let (shown, more) = problems.shown();
        assert_eq!(
            (shown.len(), more),
            (MOST_SHOWN, MOST_KEPT + 7 - MOST_SHOWN)
        );
        problems.append(others);
        assert_eq!(
            (problems.len(), problems.count()),
            (MOST_KEPT, 2 * MOST_KEPT + 14)
        );
        let mut few = Problems::from(Problem::new("/a", "a", "b"));
        few.append(problems);
        assert_eq!((few.len(), few.count()), (MOST_KEPT, 2 * MOST_KEPT + 15));
        assert_eq!(
            (few[0].pointer.as_str(), few[1].pointer.as_str()),
            ("/a", "/0")
        );
    }

    #[test]
    fn a_pointer_is_printed_without_control_signs() {
        let problem = Problem::new("/\u{1b}[2J", "a", "b");
        assert_eq!(problem.to_string(), "/\\u{1b}[2J: found a, wanted b");
    }
}
