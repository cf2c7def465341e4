//! A table: its columns, and its rows as CSV.

use crate::cells::Cell;
use crate::export::csv::{printed, record};

/// What the cells of a column hold, by the name that Table Schema has for it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Text.
    Text,
    /// A whole number.
    Whole,
    /// A number.
    Number,
    /// `true` or `false`.
    Truth,
    /// A day, `YYYY-MM-DD`.
    Date,
}

/// A column.
#[derive(Clone, Copy, Debug)]
pub struct Column {
    /// Its header, with the unit.
    pub name: &'static str,
    /// What its cells hold.
    pub kind: Kind,
    /// Its unit, where it has one.
    pub unit: Option<&'static str>,
    /// Whether no cell is empty.
    pub required: bool,
    /// What it means.
    pub description: &'static str,
}

impl Column {
    /// A column whose cells may be empty.
    pub const fn new(name: &'static str, kind: Kind, description: &'static str) -> Self {
        Self {
            name,
            kind,
            unit: None,
            required: false,
            description,
        }
    }

    /// The same with a unit.
    pub const fn unit(self, unit: &'static str) -> Self {
        Self {
            unit: Some(unit),
            ..self
        }
    }

    /// The same without empty cells.
    pub const fn required(self) -> Self {
        Self {
            required: true,
            ..self
        }
    }
}

/// A table.
#[derive(Debug)]
pub struct Table {
    /// Its name; that of its file without `.csv`.
    pub name: &'static str,
    /// What its rows are.
    pub description: &'static str,
    /// Its columns.
    pub columns: &'static [Column],
    /// Columns whose cells together are different in every row.
    pub key: &'static [&'static str],
    /// Header and rows as CSV.
    pub csv: String,
    /// Prints a number with the fewest digits that give it back.
    digits: fn(f64) -> String,
}

impl Table {
    /// A table without rows.
    pub fn new(
        name: &'static str,
        description: &'static str,
        columns: &'static [Column],
        key: &'static [&'static str],
        digits: fn(f64) -> String,
    ) -> Self {
        let mut csv = String::new();
        record(&mut csv, columns.iter().map(|column| column.name.into()));
        Self {
            name,
            description,
            columns,
            key,
            csv,
            digits,
        }
    }

    /// The name of its file.
    pub fn file(&self) -> String {
        format!("{}.csv", self.name)
    }

    /// Adds a row with a cell for each column.
    pub fn row(&mut self, cells: &[Cell]) {
        debug_assert_eq!(cells.len(), self.columns.len(), "{}", self.name);
        let digits = self.digits;
        let cells = cells.iter().map(|cell| printed(*cell, digits));
        record(&mut self.csv, cells);
    }
}

/// The number that a run has in every table: its number in the dataset, from 1.
pub fn number(index: usize) -> Cell<'static> {
    Cell::Whole(u64::try_from(index).ok().map(|index| index + 1))
}

/// A text that may be absent.
pub fn text(text: Option<&String>) -> Cell<'_> {
    Cell::Text(text.map_or("", String::as_str))
}
