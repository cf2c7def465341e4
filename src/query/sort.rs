//! What a table is sorted by.

use super::column::{COLUMNS, Column};
use super::question::Question;
use crate::escape::echoed;
use crate::problem::{Problem, quoted};
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
        let Some(column) = COLUMNS.into_iter().find(|column| column.code() == code) else {
            let codes = COLUMNS.map(Column::code);
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
