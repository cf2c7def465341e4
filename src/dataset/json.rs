//! A dataset's text: JSON to a document whose every element knows its line and column.

use super::MOST_BYTES;
use super::json_positions::positions;
use super::not_json::{not_json, not_utf8};
use super::not_text::not_text;
use super::read::{Kind, Node, Reading, read};
use crate::problem::{Problem, Problems};
use indexmap::IndexMap;
use serde::Deserialize;
use serde_json::value::RawValue;
use std::cell::OnceCell;
use std::collections::BTreeSet;

/// The bytes of a dataset as a text.
///
/// # Errors
///
/// One problem if there are too many bytes or they are not UTF-8.
pub fn text(bytes: &[u8]) -> Result<&str, Problems> {
    if bytes.len() > MOST_BYTES {
        let found = format!("{} bytes", bytes.len());
        let wanted = format!("at most {MOST_BYTES} bytes (256 MB)");
        return Err(Problem::new("", found, wanted).into());
    }
    if let Some(problem) = not_text(bytes, "a dataset, a text in UTF-8") {
        return Err(problem.into());
    }
    match str::from_utf8(bytes) {
        Ok(text) => Ok(text.strip_prefix('\u{feff}').unwrap_or(text)),
        Err(error) => Err(not_utf8(bytes, error.valid_up_to()).into()),
    }
}

/// Reads the text of a dataset: what could be read, and every problem of shape, keys given twice
/// included.
///
/// # Errors
///
/// One problem if the text is not JSON.
pub fn parse(text: &str) -> Result<Reading, Problems> {
    let document: &RawValue = serde_json::from_str(text).map_err(|error| not_json(text, &error))?;
    let mut reading = read(&Slice::new(document));
    let twice = positions(text, &BTreeSet::new()).duplicates;
    reading.problems.append(twice);
    Ok(reading)
}

/// The same problems with the lines and columns of what they point to, in the order of the text.
pub fn located(text: &str, mut problems: Problems) -> Problems {
    let wanted = problems
        .iter()
        .map(|problem| problem.pointer.clone())
        .collect();
    let positions = positions(text, &wanted).of_pointers;
    for problem in problems.kept_mut() {
        if problem.line.is_none()
            && let Some(&(line, column)) = positions.get(&problem.pointer)
        {
            (problem.line, problem.column) = (Some(line), Some(column));
        }
    }
    problems
        .kept_mut()
        .sort_by_key(|problem| (problem.line, problem.column));
    problems
}

/// A slice of the text that holds one value.
pub(super) struct Slice<'a> {
    value: &'a RawValue,
    /// The members of an object, read when first asked for.
    members: OnceCell<IndexMap<String, &'a RawValue>>,
}

impl<'a> Slice<'a> {
    pub(super) fn new(value: &'a RawValue) -> Self {
        Self {
            value,
            members: OnceCell::new(),
        }
    }

    fn members(&self) -> &IndexMap<String, &'a RawValue> {
        self.members.get_or_init(|| self.read().unwrap_or_default())
    }

    /// This value as a `T`; nothing if it is none.
    fn read<T: Deserialize<'a>>(&self) -> Option<T> {
        serde_json::from_str(self.value.get()).ok()
    }
}

impl Node for Slice<'_> {
    const SAYS_WHAT_WAS_FOUND: bool = true;

    fn kind(&self) -> Kind {
        match self.value.get().as_bytes().first() {
            Some(b'{') => Kind::Object,
            Some(b'[') => Kind::Array,
            Some(b'"') => Kind::Text,
            Some(b't' | b'f') => Kind::Bool,
            Some(b'n') => Kind::Null,
            _ => Kind::Number,
        }
    }

    fn member(&self, key: &str) -> Option<Self> {
        self.members().get(key).map(|value| Slice::new(value))
    }

    fn keys(&self) -> Vec<String> {
        self.members().keys().cloned().collect()
    }

    fn elements(&self) -> Vec<Self> {
        let elements: Vec<&RawValue> = self.read().unwrap_or_default();
        elements.into_iter().map(Slice::new).collect()
    }

    fn text(&self) -> Option<String> {
        self.read()
    }

    fn truth(&self) -> Option<bool> {
        self.read()
    }

    fn number(&self) -> Option<f64> {
        let is_number = self.kind() == Kind::Number;
        self.value.get().parse().ok().filter(|_| is_number)
    }

    fn whole(&self) -> Option<i64> {
        self.read()
    }

    fn wholes(&self) -> Option<Vec<i64>> {
        self.read()
    }

    fn digits(&self) -> String {
        let written = self.value.get();
        let whole = self.whole().is_some() || self.read::<u64>().is_some();
        match self.number().filter(|_| !whole) {
            Some(number) => format!("{number:?}"),
            None => written.to_owned(),
        }
    }

    fn print(number: f64) -> String {
        digits(number)
    }
}

/// The fewest digits that give the same number back, as script prints it where it is finite
/// (ECMA-262, `Number::toString`).
pub fn digits(number: f64) -> String {
    match number.abs() {
        0.0 => "0".into(),
        size if size < 1e-6 => format!("{number:e}"),
        size if size >= 1e21 && size.is_finite() => format!("{number:e}").replace('e', "e+"),
        _ => number.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::digits;

    #[test]
    fn numbers_are_printed_as_script_prints_them() {
        let numbers = [0.0, -0.0, -0.5, 1e300, 2e-9, 1e21, 1e20, 1e-6, 1234.5];
        let printed = numbers.map(digits);
        let script = [
            "0",
            "0",
            "-0.5",
            "1e+300",
            "2e-9",
            "1e+21",
            "100000000000000000000",
        ];
        assert_eq!(printed[..7], script);
        assert_eq!(printed[7..], ["0.000001", "1234.5"]);
    }
}
