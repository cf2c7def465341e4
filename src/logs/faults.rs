//! Faults of rows, gathered: one problem a kind, at the first line that has it, with a count.

use crate::problem::{Problem, quoted};

/// What is wrong with a row.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Kind {
    /// More or fewer fields than in the header.
    Width,
    /// A row without any field filled in, before others.
    Empty,
    /// A field of the column at this index that is no number.
    NoNumber(usize),
    /// A field of the column at this index that is too large.
    TooLarge(usize),
    /// A field of the column of times at this index that is not in its format.
    NoTime(usize),
    /// A time in another zone than the first.
    Zone,
    /// A time before the one ahead of it.
    Backwards,
    /// A row that cannot be read.
    Unreadable,
}

/// One kind of fault in a log.
pub(super) struct Fault {
    pub kind: Kind,
    /// The line of the first.
    pub line: u32,
    pub found: String,
    pub wanted: String,
    pub hint: Option<String>,
    /// How many rows have it.
    count: usize,
}

/// All faults of a log, in the order in which they are met.
#[derive(Default)]
pub(super) struct Faults {
    pub all: Vec<Fault>,
    /// Line and first field of the first row that has any.
    pub first: Option<(u32, String)>,
    /// Rows in turn at the end of the log that have some.
    pub at_end: usize,
    /// Rows, from the first to the last, that have some.
    pub rows: usize,
}

impl Faults {
    /// Counts a fault; what is found and wanted is said of the first of its kind alone.
    pub fn add(&mut self, kind: Kind, line: u32, words: impl FnOnce() -> (String, String)) {
        if let Some(fault) = self.all.iter_mut().find(|fault| fault.kind == kind) {
            fault.count += 1;
            return;
        }
        let (found, wanted) = words();
        self.all.push(Fault {
            kind,
            line,
            found,
            wanted,
            hint: None,
            count: 1,
        });
    }

    /// Counts a row that was looked at.
    pub fn end_row(&mut self, line: u32, first_field: &str, is_faulty: bool) {
        if !is_faulty {
            self.at_end = 0;
            return;
        }
        self.at_end += 1;
        self.rows += 1;
        self.first
            .get_or_insert_with(|| (line, first_field.to_owned()));
    }

    /// How many faults there are in all rows together.
    pub fn count(&self) -> usize {
        self.all.iter().map(|fault| fault.count).sum()
    }

    /// One problem for each kind.
    pub fn problems(self) -> Vec<Problem> {
        let problem = |fault: Fault| {
            let mut found = fault.found;
            if fault.count > 1 {
                let lines = if fault.count == 2 { "line" } else { "lines" };
                found = format!(
                    "{found} … and {} more such {lines}",
                    grouped(fault.count - 1)
                );
            }
            let problem = Problem::new("", found, fault.wanted).at(fault.line, 1);
            match fault.hint {
                Some(hint) => problem.hint(hint),
                None => problem,
            }
        };
        self.all.into_iter().map(problem).collect()
    }
}

/// A count with commas between groups of three digits.
fn grouped(count: usize) -> String {
    let digits = count.to_string();
    let mut text = String::new();
    for (i, digit) in digits.chars().enumerate() {
        if i > 0 && (digits.len() - i).is_multiple_of(3) {
            text.push(',');
        }
        text.push(digit);
    }
    text
}

/// A field and its column in a message.
pub(super) fn in_column(text: &str, column: &str) -> String {
    if text.is_empty() {
        format!("an empty field in the column {}", quoted(column))
    } else {
        format!("{} in the column {}", quoted(text), quoted(column))
    }
}

#[cfg(test)]
mod tests {
    use super::grouped;

    #[test]
    fn counts_are_grouped() {
        assert_eq!(
            [1, 999, 2439, 1234567].map(grouped),
            ["1", "999", "2,439", "1,234,567"]
        );
    }
}
