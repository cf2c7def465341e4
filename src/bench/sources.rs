//! Where in the folder the values of the dataset made from it stand.

use super::columns::{LISTS, PRICES};
use super::file_problem::FileProblem;
use super::settings::{Settings, problem_at};
use super::table::Table;
use crate::problem::Problem;
use std::collections::BTreeMap;

/// The files of a folder, as far as problems are looked up in them.
#[derive(Debug, Default)]
pub struct Sources {
    /// `bench.toml`.
    pub settings: Settings,
    /// The tables, by the keys of their lists.
    pub tables: BTreeMap<&'static str, Table>,
    /// The rows of `prices.csv` for each tool or pack, by list and element.
    pub prices: BTreeMap<(&'static str, usize), Vec<usize>>,
}

impl Sources {
    /// A problem of the dataset as one of the file in which the value stands.
    pub fn located(&self, problem: Problem) -> FileProblem {
        let pointer = problem.pointer.clone();
        let mut parts = pointer.split('/').skip(1);
        let list = parts.next().unwrap_or_default();
        let Some(layout) = LISTS.into_iter().find(|layout| layout.list == list) else {
            let lacking = pointer.is_empty() && problem.hint.is_none();
            let problem = if lacking {
                problem.hint("the example in bench.toml counts once the # before it is gone")
            } else {
                problem
            };
            return problem_at(&self.settings, &pointer, problem);
        };
        let Some(table) = self.tables.get(layout.list) else {
            return FileProblem::file(layout.file, problem);
        };
        let Some(element) = parts
            .next()
            .and_then(|element| element.parse::<usize>().ok())
        else {
            let (line, column) = table.position(None, 0);
            let problem = if table.rows.is_empty() {
                let found = format!("no {} yet", layout.thing);
                let problem =
                    Problem::new(pointer, found, format!("a row for each {}", layout.thing));
                problem.hint("a row that begins with # is a comment and does not count")
            } else {
                problem
            };
            return FileProblem::file(layout.file, problem.at(line, column));
        };
        let path: Vec<&str> = parts.collect();
        if let ["prices", price, field @ ..] = path.as_slice() {
            let rows = self.prices.get(&(layout.list, element));
            let row = price
                .parse::<usize>()
                .ok()
                .and_then(|price| rows?.get(price).copied());
            if let (Some(row), Some(table)) = (row, self.tables.get(PRICES.list)) {
                return in_row(table, row, field, problem);
            }
        }
        in_row(table, element, &path, problem)
    }

    /// Whether a field is missing because its table lacks the column, which one of `problems` tells.
    pub(super) fn lacks_column(
        &self,
        pointer: &str,
        found: &str,
        problems: &[FileProblem],
    ) -> bool {
        let Some(name) = super::missing(found) else {
            return false;
        };
        let mut path = pointer.split('/').skip(1);
        let list = path.next().unwrap_or_default();
        let Some(layout) = LISTS.into_iter().find(|layout| layout.list == list) else {
            return false;
        };
        let path: Vec<&str> = path.skip(1).chain([name]).collect();
        let column = layout.columns.iter().find(|column| column.path == path);
        column.is_some_and(|column| {
            let wanted = [
                format!("\"{}\"", column.name),
                format!("the column \"{}\"", column.name),
            ];
            let told = |problem: &FileProblem| {
                problem.file == layout.file && wanted.contains(&problem.problem.wanted)
            };
            problems.iter().any(told)
        })
    }
}

/// A problem about the field `path` of a row.
fn in_row(table: &Table, row: usize, path: &[&str], problem: Problem) -> FileProblem {
    let layout = LISTS
        .into_iter()
        .chain([&PRICES])
        .find(|layout| layout.file == table.file);
    // Longer paths first: `cells/series/…` is the column of `cells.series`.
    let column = (1..=path.len()).rev().find_map(|length| {
        let path = path.get(..length)?;
        let known = layout?.columns.iter().find(|column| column.path == path);
        let name = known.map_or_else(|| path.join("."), |column| column.name.to_owned());
        table.column(&name)
    });
    let (line, at) = table.position(Some(row), column.unwrap_or_default());
    let field = match column.and_then(|column| table.header.get(column)) {
        Some(name) => name.clone(),
        None => path.join("."),
    };
    FileProblem::file(table.file, problem.at(line, at)).field(field)
}
