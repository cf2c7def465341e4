//! Options of a link or a page that are none.

use crate::escape::echoed;
use crate::problem::{Problem, quoted};
use crate::results::Results;

impl Results {
    /// The problem with an option that is not known: `text` is not among the `known` texts of the
    /// option called `name`, which gives the named `part` of a question. Without a name, `text` is
    /// itself the name of an option, and `known` the one that was probably meant.
    #[must_use]
    pub fn unknown_option(&self, part: &str, name: &str, text: &str, known: &str) -> Problem {
        let key = if name.is_empty() {
            "error.unknown_name"
        } else {
            "error.unknown_value"
        };
        let values = [("name", name), ("text", &echoed(text)), ("known", known)];
        let pointer = if part.is_empty() {
            String::new()
        } else {
            format!("/{part}")
        };
        let problem = Problem::new(pointer, quoted(text), format!("one of {known}"));
        problem.message(self.catalogue.fill(key, &values))
    }
}
