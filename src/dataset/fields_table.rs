//! The fields of the format as one table, made from the JSON Schema.

use super::FORMAT;
use super::schema::schema;
use serde_json::Value;

/// A Markdown table of every field: where it stands, its kind, its limits, what it means. A list is
/// followed by the fields of its elements.
pub fn fields_table() -> String {
    let schema: Value = serde_json::from_str(&schema()).unwrap_or_default();
    let mut table = Table {
        definitions: schema.get("$defs").unwrap_or(&Value::Null),
        rows: Vec::new(),
    };
    table.object("", &schema);
    format!(
        "# Fields of the format {FORMAT}\n\n\
        `[]` stands for each element of a list. Fields that are not named here are kept and not read. \
        `jobtorque schema --table` prints this table, made from the schema.\n\n\
        | field | kind | limits | meaning |\n| --- | --- | --- | --- |\n{}",
        table.rows.concat()
    )
}

struct Table<'a> {
    definitions: &'a Value,
    rows: Vec<String>,
}

impl<'a> Table<'a> {
    /// The rows of an object's fields, whose names begin with `path`.
    fn object(&mut self, path: &str, object: &'a Value) {
        let required = object.get("required").and_then(Value::as_array);
        let is_required =
            |name: &str| required.is_some_and(|names| names.iter().any(|other| other == name));
        for (name, field) in members(object, "properties") {
            self.field(&format!("{path}{name}"), field, is_required(name));
        }
    }

    /// The row of a field, and those of the fields inside.
    fn field(&mut self, path: &str, field: &'a Value, required: bool) {
        let shape = self.resolved(field);
        let elements = shape.get("items").map(|items| self.resolved(items));
        let inside = elements.unwrap_or(shape);
        let kind = match elements {
            Some(elements) => format!("list of {}", many(kind(elements))),
            None => kind(shape).to_owned(),
        };
        let must = if required { "required " } else { "" };
        let limits = [limits(shape), elements.map(limits).unwrap_or_default()].concat();
        let meaning = text(field, "description").or_else(|| text(shape, "description"));
        let meaning = meaning
            .unwrap_or_default()
            .replace('|', "\\|")
            .replace('\n', " ");
        self.rows.push(format!(
            "| `{path}` | {must}{kind} | {} | {meaning} |\n",
            limits.join("; ")
        ));
        let path = if elements.is_some() {
            format!("{path}[].")
        } else {
            format!("{path}.")
        };
        self.object(&path, inside);
    }

    /// What a part of the schema refers to, or the part itself; of a part that may be absent, what
    /// it is where it is there.
    fn resolved(&self, part: &'a Value) -> &'a Value {
        let choices = part.get("anyOf").and_then(Value::as_array);
        let there = choices.and_then(|choices| {
            choices
                .iter()
                .find(|choice| text(choice, "type").as_deref() != Some("null"))
        });
        let part = there.unwrap_or(part);
        let name = text(part, "$ref");
        let name = name
            .as_deref()
            .and_then(|name| name.strip_prefix("#/$defs/"));
        name.and_then(|name| self.definitions.get(name))
            .unwrap_or(part)
    }
}

/// The members of an object below a key.
fn members<'a>(of: &'a Value, key: &str) -> impl Iterator<Item = (&'a String, &'a Value)> {
    of.get(key).and_then(Value::as_object).into_iter().flatten()
}

fn text(of: &Value, key: &str) -> Option<String> {
    of.get(key)?.as_str().map(str::to_owned)
}

/// What a value is.
fn kind(shape: &Value) -> &'static str {
    if shape.get("enum").is_some() || shape.get("oneOf").is_some() {
        return "word";
    }
    let types = shape.get("type");
    let is = |name: &str| {
        types.is_some_and(|types| {
            types == name
                || types
                    .as_array()
                    .is_some_and(|all| all.iter().any(|one| one == name))
        })
    };
    let date = text(shape, "format").as_deref() == Some("date");
    let kinds = [
        ("string", if date { "date" } else { "text" }),
        ("integer", "whole number"),
        ("number", "number"),
        ("boolean", "true or false"),
        ("array", "list"),
        ("object", "object"),
    ];
    kinds
        .iter()
        .find(|(name, _)| is(name))
        .map_or("value", |(_, kind)| kind)
}

/// The word for several of a kind.
fn many(kind: &str) -> String {
    match kind {
        "true or false" => kind.to_owned(),
        _ => format!("{kind}s"),
    }
}

/// What a value is limited to.
fn limits(shape: &Value) -> Vec<String> {
    let mut limits = Vec::new();
    let words = |choices: &Value| {
        let quoted = |choice: &Value| choice.as_str().map(|word| format!("`{word}`"));
        let of = |choice: &Value| quoted(choice).or_else(|| quoted(choice.get("const")?));
        let all: Vec<String> = choices
            .as_array()
            .into_iter()
            .flatten()
            .filter_map(of)
            .collect();
        all.join(", ")
    };
    for key in ["enum", "oneOf"] {
        limits.extend(shape.get(key).map(words).filter(|words| !words.is_empty()));
    }
    limits.extend(shape.get("const").map(|value| value.to_string()));
    let range = |limits: &mut Vec<String>, least: &str, most: &str, of: &str| match (
        shape.get(least),
        shape.get(most),
    ) {
        (Some(least), Some(most)) => limits.push(format!("{least} to {most}{of}")),
        (Some(least), None) => limits.push(format!("{least}{of} or more")),
        (None, Some(most)) => limits.push(format!("at most {most}{of}")),
        (None, None) => {}
    };
    range(&mut limits, "minimum", "maximum", "");
    range(&mut limits, "minItems", "maxItems", " elements");
    range(&mut limits, "minLength", "maxLength", " signs");
    limits
}
