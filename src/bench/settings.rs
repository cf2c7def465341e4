//! `bench.toml`: what a table cannot hold, under the names that the dataset has for it.

use super::document::{Json, Members, is_number};
use super::file_problem::FileProblem;
use super::near::nearly;
use super::settings_fields::{FIELDS, IN_TABLES};
use super::table::position_in;
use crate::dataset::not_json::not_utf8;
use crate::problem::{Problem, quoted};
use std::collections::BTreeMap;
use toml_edit::{Document, Item, TableLike, Value};

/// Name of the file.
pub const FILE: &str = "bench.toml";

/// `bench.toml` as read.
#[derive(Debug, Default)]
pub struct Settings {
    /// What it holds, as the dataset has it, with `loggers`, `tables_encoding` and `extra_fields`.
    pub members: Members,
    /// Line and column of every value, by its JSON pointer.
    pub positions: BTreeMap<String, (u32, u32)>,
    /// Fields that are not known and are kept, by their pointers.
    pub unknown: Vec<String>,
}

/// Reads `bench.toml`.
///
/// # Errors
///
/// One problem if it is not TOML, every problem of fields that stand elsewhere or are nearly known.
pub fn read(bytes: &[u8]) -> Result<Settings, Vec<FileProblem>> {
    let failed = |problem| vec![FileProblem::file(FILE, problem)];
    let text = match str::from_utf8(bytes) {
        Ok(text) => text.strip_prefix('\u{feff}').unwrap_or(text),
        Err(error) => return Err(failed(not_utf8(bytes, error.valid_up_to()))),
    };
    let document = Document::parse(text).map_err(|error| {
        let found = error.message().lines().collect::<Vec<_>>().join(", ");
        let (line, column) = position_in(text, error.span().map_or(0, |span| span.start));
        failed(
            Problem::new(
                "",
                format!("what is not TOML: {found}"),
                "key = value, or [[table]]",
            )
            .at(line, column),
        )
    })?;
    let mut reader = Reader {
        text,
        settings: Settings::default(),
        problems: Vec::new(),
        extra: Vec::new(),
    };
    reader.extra = names(document.as_table().get("extra_fields"));
    reader.settings.members = reader.table(document.as_table(), "", "");
    if reader.problems.is_empty() {
        Ok(reader.settings)
    } else {
        Err(reader.problems)
    }
}

fn names(item: Option<&Item>) -> Vec<String> {
    let names = item.and_then(Item::as_array).into_iter().flatten();
    names
        .filter_map(|name| name.as_str().map(String::from))
        .collect()
}

struct Reader<'a> {
    text: &'a str,
    settings: Settings,
    problems: Vec<FileProblem>,
    /// Names that are meant although they are not known.
    extra: Vec<String>,
}

impl Reader<'_> {
    /// Reads a table; `path` is its pointer without list elements.
    fn table(&mut self, table: &dyn TableLike, pointer: &str, path: &str) -> Members {
        let mut members = Members::new();
        let known = FIELDS
            .iter()
            .find(|(of, _)| *of == path)
            .map(|(_, fields)| *fields);
        for (key, item) in table.iter() {
            let at = table
                .key(key)
                .and_then(|key| key.span())
                .or_else(|| item.span());
            let position = at.map_or((1, 1), |span| position_in(self.text, span.start));
            let pointer = format!("{pointer}/{}", escaped(key));
            if let Some(known) = known {
                self.name(key, known, table, path, &pointer, position);
            }
            let span = item
                .span()
                .map_or(position, |span| position_in(self.text, span.start));
            self.settings.positions.insert(pointer.clone(), span);
            let path = format!("{path}/{key}");
            if let Some(value) = self.item(item, &pointer, &path) {
                members.insert(key.to_owned(), value);
            }
        }
        members
    }

    /// Says so if a key is nearly a known one or stands in a table.
    fn name(
        &mut self,
        key: &str,
        known: &[&str],
        table: &dyn TableLike,
        path: &str,
        pointer: &str,
        position: (u32, u32),
    ) {
        if known.contains(&key) {
            return;
        }
        let mut refuse = |problem: Problem| {
            let problem = FileProblem::file(FILE, problem.at(position.0, position.1));
            self.problems
                .push(problem.field(pointer.trim_start_matches('/').replace('/', ".")));
        };
        let elsewhere = IN_TABLES
            .iter()
            .find(|(list, _)| path.is_empty() && *list == key);
        if let Some((_, file)) = elsewhere {
            let found = format!("\"{key}\" in {FILE}");
            return refuse(Problem::new(pointer, found, format!("rows of {file}")));
        }
        if self.extra.iter().any(|extra| extra == key) {
            return;
        }
        let free = known
            .iter()
            .copied()
            .filter(|other| !table.contains_key(other));
        match nearly(key, free) {
            Some(near) => refuse(unknown_name("field", pointer, key, near)),
            None => self.settings.unknown.push(pointer.to_owned()),
        }
    }

    fn item(&mut self, item: &Item, pointer: &str, path: &str) -> Option<Json> {
        match item {
            Item::None => None,
            Item::Value(value) => Some(self.value(value, pointer, path)),
            Item::Table(table) => Some(Json::Object(self.table(table, pointer, path))),
            Item::ArrayOfTables(tables) => {
                let mut elements = Vec::with_capacity(tables.len());
                for (i, table) in tables.iter().enumerate() {
                    let pointer = format!("{pointer}/{i}");
                    let span = table
                        .span()
                        .map_or((1, 1), |span| position_in(self.text, span.start));
                    self.settings.positions.insert(pointer.clone(), span);
                    elements.push(Json::Object(self.table(table, &pointer, path)));
                }
                Some(Json::List(elements))
            }
        }
    }

    fn value(&mut self, value: &Value, pointer: &str, path: &str) -> Json {
        let written = value
            .span()
            .and_then(|span| self.text.get(span))
            .unwrap_or_default();
        match value {
            Value::String(text) => Json::text(text.value()),
            Value::Boolean(truth) => Json::truth(*truth.value()),
            // A day without quotation marks is a day all the same.
            Value::Datetime(_) => Json::text(written),
            Value::Integer(_) | Value::Float(_) if is_number(written) => Json::Raw(written.into()),
            Value::Integer(number) => Json::whole(*number.value()),
            Value::Float(number) if number.value().is_finite() => Json::number(*number.value()),
            Value::Float(_) => Json::text(written),
            Value::Array(array) => {
                let mut elements = Vec::with_capacity(array.len());
                for (i, element) in array.iter().enumerate() {
                    let pointer = format!("{pointer}/{i}");
                    if let Some(span) = element.span() {
                        let position = position_in(self.text, span.start);
                        self.settings.positions.insert(pointer.clone(), position);
                    }
                    elements.push(self.value(element, &pointer, path));
                }
                Json::List(elements)
            }
            Value::InlineTable(table) => Json::Object(self.table(table, pointer, path)),
        }
    }
}

/// The problem of a name that is nearly a known one.
pub fn unknown_name(thing: &str, pointer: &str, name: &str, near: &str) -> Problem {
    let found = format!("the {thing} {}", quoted(name));
    let hint = format!("if it is meant as it stands, list it in extra_fields of {FILE}");
    Problem::new(pointer, found, format!("\"{near}\"")).hint(hint)
}

/// A problem at a position of `bench.toml`.
pub fn problem_at(settings: &Settings, pointer: &str, problem: Problem) -> FileProblem {
    let mut known = pointer;
    let position = loop {
        match (settings.positions.get(known), known.rfind('/')) {
            (Some(position), _) => break *position,
            (None, Some(end)) => known = known.get(..end).unwrap_or_default(),
            (None, None) => break (1, 1),
        }
    };
    let field = pointer.trim_start_matches('/').replace('/', ".");
    FileProblem::file(FILE, problem.at(position.0, position.1)).field(field)
}

/// A key as a part of a JSON pointer (RFC 6901, section 3).
fn escaped(key: &str) -> String {
    key.replace('~', "~0").replace('/', "~1")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::document::dataset_text;

    #[test]
    fn values_keep_their_digits_and_places() {
        let text = "title = \"é\"\nfactor = 1.10\nday = 2026-03-02\n[[rigs]]\nid = \"a\"\nwindow_s = +5.0\n  [[rigs.joints]]\n  angle_deg = [0, 4.50]\n";
        let settings = read(text.as_bytes()).unwrap();
        let json = dataset_text(&settings.members);
        assert!(
            json.contains("\"factor\": 1.10,\n\"day\": \"2026-03-02\""),
            "{json}"
        );
        assert!(
            json.contains("\"window_s\":5,\"joints\":[{\"angle_deg\":[0,4.50]}]"),
            "{json}"
        );
        let position = |pointer: &str| settings.positions.get(pointer).copied();
        assert_eq!(position("/factor"), Some((2, 10)));
        assert_eq!(position("/rigs/0"), Some((4, 1)));
        assert_eq!(position("/rigs/0/joints/0/angle_deg/1"), Some((8, 19)));
        assert_eq!(settings.unknown, ["/factor", "/day"]);
    }

    #[test]
    fn names_that_are_nearly_known_or_stand_elsewhere_are_problems() {
        let told = |text: &str| read(text.as_bytes()).unwrap_err()[0].to_string();
        assert!(
            told("titel = \"a\"\n")
                .starts_with("bench.toml:1:1: titel: found the field \"titel\", wanted \"title\"")
        );
        assert!(
            told("[[rigs]]\nid = \"a\"\n[[rigs.calibrations]]\nnm_per_kN = 4\n")
                .starts_with("bench.toml:4:1: rigs.0.calibrations.0.nm_per_kN")
        );
        assert!(told("[[tools]]\nid = \"a\"\n").contains("wanted rows of tools.csv"));
        assert!(told("title = a\n").starts_with("bench.toml:1:9: found what is not TOML"));
        let meant = read(b"extra_fields = [\"titel\"]\ntitel = 1\n").unwrap();
        assert!(meant.unknown.is_empty());
    }
}
