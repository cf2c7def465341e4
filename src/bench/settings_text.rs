//! The text of `bench.toml` for the members of a dataset that stand in it.

use super::document::decoded;
use super::near::nearly;
use super::settings_fields::{FIELDS, IN_TABLES, OWN};
use crate::problem::{Problem, quoted};
use indexmap::{IndexMap, IndexSet};
use serde_json::value::RawValue;
use toml_edit::{Array, ArrayOfTables, DocumentMut, InlineTable, Item, Key, Table, Value};

/// The members of an object as JSON texts.
pub(super) type Raw<'a> = IndexMap<String, &'a RawValue>;

/// The text that holds `members`, the names `extra` of fields that are meant, and a block for each
/// of the loggers `blocks` (identifier, pattern, whether there is voltage and current).
///
/// # Errors
///
/// What cannot be told in TOML.
pub fn settings_text<'a>(
    members: impl Iterator<Item = (&'a String, &'a &'a RawValue)>,
    extra: &IndexSet<String>,
    blocks: &[(String, String, (bool, bool))],
) -> Result<String, Vec<Problem>> {
    let mut writer = Writer {
        extra: extra.clone(),
        problems: Vec::new(),
    };
    let mut table = Table::new();
    let mut loggers = ArrayOfTables::new();
    for block in blocks {
        loggers.push(of_unbundled(block));
    }
    let members: Raw = members.map(|(key, value)| (key.clone(), *value)).collect();
    for (key, value) in &members {
        let pointer = format!("/{key}");
        if OWN.contains(&key.as_str()) && key != "loggers"
            || IN_TABLES.iter().any(|(list, _)| list == key)
        {
            let problem = Problem::new(
                pointer,
                format!("a field named {}", quoted(key)),
                "a name without a meaning in bench.toml",
            );
            writer.problems.push(problem);
            continue;
        }
        match writer.item(value, &pointer, &pointer) {
            Some(Item::ArrayOfTables(blocks)) if key == "loggers" => {
                blocks.into_iter().for_each(|block| loggers.push(block));
            }
            Some(item) => {
                table.insert_formatted(&Key::new(key), item);
            }
            None => {}
        }
    }
    writer.names(members.keys(), "");
    if !loggers.is_empty() {
        table.insert("loggers", Item::ArrayOfTables(loggers));
    }
    if !writer.problems.is_empty() {
        return Err(writer.problems);
    }
    if !writer.extra.is_empty() {
        let names: Array = writer.extra.iter().collect();
        table.insert("extra_fields", Item::Value(names.into()));
    }
    let document = DocumentMut::from(table);
    Ok(format!(
        "# Made from one file by `jobtorque unbundle`.\n{document}"
    ))
}

/// The block of a logger that reads logs written by `unbundle`.
fn of_unbundled((id, files, (voltage, current)): &(String, String, (bool, bool))) -> Table {
    let mut block = Table::new();
    block.insert("id", toml_edit::value(id));
    block.insert("files", toml_edit::value(files));
    for (there, channel, column, unit) in [
        (*voltage, "voltage", "voltage_v", "V"),
        (*current, "current", "current_a", "A"),
    ] {
        if there {
            let told = InlineTable::from_iter([("column", column), ("unit", unit)]);
            block.insert(channel, toml_edit::value(told));
        }
    }
    block
}

struct Writer {
    extra: IndexSet<String>,
    problems: Vec<Problem>,
}

impl Writer {
    /// Notes the names that would be taken for slips of known ones; `path` has no list elements.
    fn names<'k>(&mut self, keys: impl Iterator<Item = &'k String> + Clone, path: &str) {
        let Some((_, known)) = FIELDS.iter().find(|(of, _)| *of == path) else {
            return;
        };
        for key in keys.clone().filter(|key| !known.contains(&key.as_str())) {
            let free = known
                .iter()
                .copied()
                .filter(|other| !keys.clone().any(|key| key == other));
            if nearly(key, free).is_some() {
                self.extra.insert(key.clone());
            }
        }
    }

    /// A member: blocks of tables where it is a list of objects that the format knows, else a value.
    fn item(&mut self, value: &RawValue, pointer: &str, path: &str) -> Option<Item> {
        let known = FIELDS.iter().any(|(of, _)| *of == path);
        let elements: Vec<Raw> = match known {
            true => serde_json::from_str(value.get()).unwrap_or_default(),
            false => Vec::new(),
        };
        if elements.is_empty() {
            return self.value(value, pointer).map(Item::Value);
        }
        let mut tables = ArrayOfTables::new();
        for (at, element) in elements.iter().enumerate() {
            let mut table = Table::new();
            for (key, value) in element {
                let item = self.item(
                    value,
                    &format!("{pointer}/{at}/{key}"),
                    &format!("{path}/{key}"),
                );
                if let Some(item) = item {
                    table.insert_formatted(&Key::new(key), item);
                }
            }
            self.names(element.keys(), path);
            tables.push(table);
        }
        Some(Item::ArrayOfTables(tables))
    }

    /// A value; nothing for `null`, and for what TOML cannot hold, which is a problem.
    fn value(&mut self, value: &RawValue, pointer: &str) -> Option<Value> {
        let json = value.get();
        match json.as_bytes().first()? {
            b'n' => None,
            b'"' => match decoded(json) {
                Some(text) => Some(text.into()),
                None => self.refuse(json, pointer),
            },
            b't' | b'f' => Some((json == "true").into()),
            b'[' => {
                let elements: Vec<&RawValue> = serde_json::from_str(json).ok()?;
                let mut array = Array::new();
                for (at, element) in elements.into_iter().enumerate() {
                    let pointer = format!("{pointer}/{at}");
                    match self.value(element, &pointer) {
                        Some(value) => array.push(value),
                        None => return self.refuse(element.get(), &pointer),
                    }
                }
                Some(array.into())
            }
            b'{' => {
                let members: Raw = serde_json::from_str(json).ok()?;
                let mut table = InlineTable::new();
                for (key, value) in &members {
                    if let Some(value) = self.value(value, &format!("{pointer}/{key}")) {
                        table.insert(key, value);
                    }
                }
                Some(table.into())
            }
            _ => match json.parse::<Value>() {
                Ok(number) => Some(number),
                Err(_) => self.refuse(json, pointer),
            },
        }
    }

    fn refuse<T>(&mut self, json: &str, pointer: &str) -> Option<T> {
        let problem = Problem::new(pointer, json, "a value that TOML can hold");
        self.problems.push(problem);
        None
    }
}
