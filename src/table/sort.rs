//! What a table is sorted by, and the limits that it is filtered by, checked.

use super::column::{COLUMNS, Column};
use crate::escape::echoed;
use crate::problem::{Problem, quoted};
use crate::query::question::Question;
use crate::results::Results;

/// What a table is sorted by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Sort {
    pub column: Column,
    pub falling: bool,
}

impl Sort {
    /// As a question asks for it.
    pub fn code(self) -> String {
        let code = self.column.code();
        if self.falling {
            format!("-{code}")
        } else {
            code.to_owned()
        }
    }

    /// What a question asks for, if the table has that column: power stands for the rise rate, and
    /// the best of three for the typical run, as the table has it.
    ///
    /// # Errors
    ///
    /// A code that is no column's.
    pub fn of(
        results: &Results,
        question: &Question,
        columns: &[Column],
    ) -> Result<Option<Self>, Problem> {
        let Some(text) = question.sort.as_deref() else {
            return Ok(None);
        };
        let code = text.strip_prefix('-').unwrap_or(text);
        let Some(&column) = COLUMNS.iter().find(|column| column.code() == code) else {
            let codes: Vec<_> = COLUMNS.iter().map(|column| column.code()).collect();
            let wanted = format!("one of {}", codes.join(", "));
            let problem = Problem::new("/sort", quoted(code), wanted);
            return Err(problem.message(
                results
                    .catalogue
                    .fill("error.unknown_column", &[("id", &echoed(code))]),
            ));
        };
        let shown = columns
            .iter()
            .find(|&&shown| shown == column || (shown.is_power() && column.is_power()));
        Ok(shown.map(|&column| Self {
            column,
            falling: text.starts_with('-'),
        }))
    }
}

/// Refuses limits that are not above 0, and a code that is no column's.
pub(crate) fn check(results: &Results, question: &Question) -> Result<(), Problem> {
    let narrow = question.narrow.as_ref();
    for (limit, name) in [
        (narrow.and_then(|narrow| narrow.longest_mm), "longest_mm"),
        (narrow.and_then(|narrow| narrow.heaviest_kg), "heaviest_kg"),
        (narrow.and_then(|narrow| narrow.dearest), "dearest"),
    ] {
        if let Some(limit) = limit.filter(|limit| !(*limit > 0.0 && limit.is_finite())) {
            let pointer = format!("/narrow/{name}");
            let problem = Problem::new(pointer, (results.digits)(limit), "a number above 0");
            return Err(problem.message(results.catalogue.fill("error.limit", &[])));
        }
    }
    Sort::of(results, question, &[]).map(|_| ())
}
