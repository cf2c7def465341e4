//! The rows of a table to elements of a list of the dataset.

use super::cell::read;
use super::columns::{Column, Layout};
use super::document::{Json, Members};
use super::file_problem::FileProblem;
use super::near::nearly;
use super::settings::unknown_name;
use super::table::{Row, Table};
use crate::problem::{Problem, quoted};

/// What a column of a table is for.
#[derive(Clone, Debug)]
pub enum Use {
    /// A known column.
    Known(&'static Column),
    /// A column that is not known: kept as a field of that path.
    Extra(Vec<String>),
    /// A column that cannot be used, or is empty.
    Nothing,
}

/// The elements that the rows of a table make.
#[derive(Debug, Default)]
pub struct Elements {
    /// One for each row.
    pub members: Vec<Members>,
    /// What each column is for.
    pub uses: Vec<Use>,
    /// Every problem.
    pub problems: Vec<FileProblem>,
    /// Columns that are not known and are kept.
    pub notes: Vec<FileProblem>,
}

/// Reads the rows of a table. `extra` names columns that are meant although they are not known.
pub fn elements(layout: &'static Layout, table: &Table, extra: &[String]) -> Elements {
    let mut elements = Elements::default();
    elements.columns(layout, table, extra);
    for row in 0..table.rows.len() {
        let members = elements.row(layout, table, row);
        elements.members.push(members);
    }
    elements
}

/// The known column that `name`, of a column that is not known, is nearly; those that the table has
/// are not meant.
pub fn near_column<'a>(layout: &'a Layout, header: &[String], name: &str) -> Option<&'a str> {
    let free = layout.columns.iter().map(|column| column.name);
    nearly(
        name,
        free.filter(|other| !header.iter().any(|there| there == other)),
    )
}

impl Elements {
    fn columns(&mut self, layout: &'static Layout, table: &Table, extra: &[String]) {
        for (at, name) in table.header.iter().enumerate() {
            let (line, column) = table.position(None, at);
            let here = |problem: Problem| FileProblem::file(layout.file, problem.at(line, column));
            let used = match refused(layout, table, at, name) {
                Some(problem) => {
                    self.problems.push(here(problem));
                    Use::Nothing
                }
                None if name.is_empty() => Use::Nothing,
                None => match layout.column(name) {
                    Some(known) => Use::Known(known),
                    None => {
                        let meant = extra.iter().any(|extra| extra == name);
                        self.unknown(layout, table, name, meant, here)
                    }
                },
            };
            self.uses.push(used);
        }
        self.missing(layout, table);
    }

    /// A column that is not known: refused if it is nearly a known one, else kept, with a note unless
    /// it is meant.
    fn unknown(
        &mut self,
        layout: &Layout,
        table: &Table,
        name: &str,
        meant: bool,
        here: impl Fn(Problem) -> FileProblem,
    ) -> Use {
        if let Some(near) = near_column(layout, &table.header, name).filter(|_| !meant) {
            self.problems
                .push(here(unknown_name("column", "", name, near)));
            return Use::Nothing;
        }
        if !meant {
            let found = format!("the column {}", quoted(name));
            let problem = Problem::new("", found, "a column of the format");
            self.notes.push(here(problem.message(format!(
                "the column {} is not known and is kept as it is",
                quoted(name)
            ))));
        }
        let path = layout.extra_path(name).into_iter();
        Use::Extra(path.map(String::from).collect())
    }

    /// Needed columns that are not there, those left out that a column is nearly named like.
    fn missing(&mut self, layout: &Layout, table: &Table) {
        for needed in layout.needed {
            let misnamed = self
                .problems
                .iter()
                .any(|problem| problem.problem.wanted == format!("\"{needed}\""));
            if table.column(needed).is_none() && !misnamed {
                let (line, column) = table.position(None, 0);
                let problem = Problem::new(
                    "",
                    format!("no column \"{needed}\""),
                    format!("the column \"{needed}\""),
                );
                self.problems
                    .push(FileProblem::file(layout.file, problem.at(line, column)));
            }
        }
    }

    fn row(&mut self, layout: &Layout, table: &Table, row: usize) -> Members {
        let mut members = Members::new();
        let cells = table
            .rows
            .get(row)
            .map(|row| row.cells.as_slice())
            .unwrap_or_default();
        for (at, cell) in cells
            .iter()
            .enumerate()
            .filter(|(_, cell)| !cell.is_empty())
        {
            let Some(used) = self.uses.get(at) else {
                let (line, column) = table.position(Some(row), at);
                let found = format!("{} cells", cells.len());
                let wanted = format!("{}, as many as in the first line", table.header.len());
                let problem = Problem::new(format!("/{}/{row}", layout.list), found, wanted);
                let problem = problem.hint("a cell that holds the sign between cells, such as a decimal comma, needs quotation marks");
                self.problems
                    .push(FileProblem::file(layout.file, problem.at(line, column)));
                break;
            };
            let (kind, path): (_, Vec<&str>) = match used {
                Use::Known(column) => (column.kind, column.path.to_vec()),
                Use::Extra(path) => (
                    super::cell::Kind::Any,
                    path.iter().map(String::as_str).collect(),
                ),
                Use::Nothing => continue,
            };
            match read(cell, kind, table.decimals) {
                Ok(Json::Raw(null)) if null == "null" => {}
                Ok(value) => insert(&mut members, &path, value),
                Err(unreadable) => {
                    let (line, column) = table.position(Some(row), at);
                    let pointer = format!("/{}/{row}/{}", layout.list, path.join("/"));
                    let mut problem = Problem::new(pointer, quoted(cell), unreadable.wanted);
                    if let Some(hint) = unreadable.hint {
                        problem = problem.hint(hint);
                    }
                    let problem = FileProblem::file(layout.file, problem.at(line, column));
                    let name = table.header.get(at).cloned();
                    self.problems.push(problem.field(name.unwrap_or_default()));
                }
            }
        }
        members
    }
}

/// What is wrong with a column whatever it is for: filled cells below no name, a name that another has
/// already, or one that stands elsewhere.
fn refused(layout: &Layout, table: &Table, at: usize, name: &str) -> Option<Problem> {
    if name.is_empty() {
        let filled = |row: &Row| row.cells.get(at).is_some_and(|cell| !cell.is_empty());
        return table
            .rows
            .iter()
            .any(filled)
            .then(|| Problem::new("", "a column without a name", "a name in the first line"));
    }
    if table.column(name) != Some(at) {
        let found = format!("the column {} again", quoted(name));
        return Some(Problem::new("", found, "every column once"));
    }
    if layout.column(name).is_some() {
        return None;
    }
    let (_, instead) = layout.elsewhere.iter().find(|(field, _)| *field == name)?;
    let found = format!("the column {}", quoted(name));
    Some(Problem::new("", found, *instead))
}

/// Puts a value at a path of members; nowhere if the path is empty.
fn insert(members: &mut Members, path: &[&str], value: Json) {
    match path {
        [] => {}
        [key] => {
            members.insert((*key).to_owned(), value);
        }
        [key, rest @ ..] => {
            let inner = members.entry((*key).to_owned());
            let inner = inner.or_insert_with(|| Json::Object(Members::new()));
            if let Json::Object(inner) = inner {
                insert(inner, rest, value);
            }
        }
    }
}
