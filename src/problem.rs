//! What is wrong: where it stands, what was found, what would be right, what to do.

use crate::visible::visible;
use serde::Serialize;

/// One thing wrong with a dataset, a log or a question.
///
/// A problem is a value: readers and checkers collect every one before they stop.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct Problem {
    /// JSON pointer (RFC 6901) to the faulty place, or the name of the faulty part of a question
    /// after a slash. Empty for the whole.
    pub pointer: String,
    /// Line of the faulty place in the text, from 1, where there is a text.
    pub line: Option<u32>,
    /// Column of the faulty place in bytes, from 1, where there is a text.
    pub column: Option<u32>,
    /// What stands there.
    pub found: String,
    /// What would be right.
    pub wanted: String,
    /// What to do next, where that is not plain from `wanted`.
    pub hint: Option<String>,
    /// The whole as a sentence for people.
    pub message: String,
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
            write!(f, "{}: ", self.pointer)?;
        }
        f.write_str(&self.message)
    }
}

impl std::error::Error for Problem {}

/// Shortens a text from a file so that a message stays readable; at most 60 characters are kept.
pub fn quoted(text: &str) -> String {
    const KEPT: usize = 60;
    let short: String = text.chars().take(KEPT).collect();
    let mark = if short.len() < text.len() { "…" } else { "" };
    format!("\"{}{mark}\"", visible(&short))
}

#[cfg(test)]
mod tests {
    use super::quoted;

    #[test]
    fn a_long_text_is_cut_to_sixty_characters() {
        assert_eq!(quoted("a\"b"), "\"a\\\"b\"");
        assert_eq!(quoted(&"é".repeat(61)), format!("\"{}…\"", "é".repeat(60)));
    }
}
