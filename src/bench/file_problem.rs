//! A problem in one of the files of a bench folder.

use crate::problem::Problem;
use serde::Serialize;

/// A problem, and the file of the bench folder in which it stands.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FileProblem {
    /// Name of the file, from the folder.
    pub file: String,
    /// Column of a table or key of `bench.toml` that the problem is about; empty for the whole.
    pub field: String,
    /// The problem; its line and column are those in the file, its pointer that in the dataset
    /// made from the folder.
    #[serde(flatten)]
    pub problem: Box<Problem>,
}

impl FileProblem {
    /// A problem about a whole file.
    pub fn file(file: impl Into<String>, problem: Problem) -> Self {
        Self {
            file: file.into(),
            field: String::new(),
            problem: Box::new(problem),
        }
    }

    /// The same problem about a field of the file.
    #[must_use]
    pub fn field(mut self, field: impl Into<String>) -> Self {
        self.field = field.into();
        self
    }

    /// What problems are sorted by: file, then line and column.
    pub fn order(&self) -> (&str, Option<u32>, Option<u32>) {
        (&self.file, self.problem.line, self.problem.column)
    }
}

impl std::fmt::Display for FileProblem {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.file)?;
        if let (Some(line), Some(column)) = (self.problem.line, self.problem.column) {
            write!(f, ":{line}:{column}")?;
        }
        if !self.field.is_empty() {
            write!(f, ": {}", self.field)?;
        }
        write!(f, ": {}", self.problem.message)
    }
}
