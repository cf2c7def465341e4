//! `data/schema.json` says what the program reads: it is what the types give, and it refuses what
//! the reader refuses for its shape.

#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing)]

use jobtorque::dataset::schema::schema;
use jobtorque::dataset::{FORMAT, json};
use serde_json::Value;
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

fn path(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(name)
}

fn validator() -> jsonschema::Validator {
    let schema: Value = serde_json::from_str(&schema()).unwrap();
    jsonschema::options()
        .should_validate_formats(true)
        .build(&schema)
        .unwrap()
}

/// Says where a document breaks the schema.
fn errors(validator: &jsonschema::Validator, document: &Value) -> Vec<String> {
    let errors = validator.iter_errors(document);
    errors
        .map(|error| format!("{}: {error}", error.instance_path()))
        .collect()
}

#[test]
fn the_kept_schema_is_what_the_program_gives() {
    let kept = fs::read_to_string(path("data/schema.json")).unwrap();
    assert!(
        kept == schema() + "\n",
        "write the output of `jobtorque schema` to data/schema.json"
    );
}

#[test]
fn the_schema_is_a_schema() {
    let schema: Value = serde_json::from_str(&schema()).unwrap();
    jsonschema::meta::validate(&schema).unwrap();
    assert_eq!(schema["title"], FORMAT);
    assert_eq!(schema["properties"]["format"]["const"], FORMAT);
}

#[test]
fn datasets_that_are_read_keep_to_the_schema() {
    let validator = validator();
    for name in ["data/demo.json", "tests/cases/healthy.json"] {
        let document: Value = serde_json::from_slice(&fs::read(path(name)).unwrap()).unwrap();
        assert_eq!(
            errors(&validator, &document),
            Vec::<String>::new(),
            "{name}"
        );
    }
}

/// Shapes that only one of the two refuses.
const UNLIKE: [(&str, &str); 5] = [
    (
        "bad-date.json",
        "a date that is none is a problem of meaning for the reader",
    ),
    (
        "job-of-three-figures.json",
        "a third figure is a problem of meaning for the reader",
    ),
    (
        "disclosure-empty.json",
        "a text that says nothing is a problem of meaning for the reader",
    ),
    ("key-twice-at-the-top.json", "a schema sees one of the two"),
    ("key-twice-in-a-pack.json", "a schema sees one of the two"),
];

#[test]
fn the_schema_refuses_the_shapes_that_the_reader_refuses() {
    let validator = validator();
    let mut refused = 0;
    for file in fs::read_dir(path("tests/cases")).unwrap() {
        let file = file.unwrap().path();
        let name = file.file_name().unwrap().to_string_lossy().into_owned();
        let bytes = fs::read(&file).unwrap();
        let (Ok(document), Ok(text)) = (
            serde_json::from_slice::<Value>(&bytes),
            str::from_utf8(&bytes),
        ) else {
            continue;
        };
        let shape = json::parse(text).unwrap().problems;
        let errors = errors(&validator, &document);
        let unlike = UNLIKE.iter().any(|(other, _)| *other == name);
        assert_eq!(
            shape.is_empty() == errors.is_empty(),
            !unlike,
            "{name}: {shape:?} and {errors:?}"
        );
        refused += usize::from(!errors.is_empty());
    }
    assert!(refused >= 20, "{refused}");
}

/// Where a schema has objects below `at`, `*` for each element of a list.
fn objects(schema: &Value, part: &Value, at: &str, found: &mut BTreeSet<String>) {
    if let Some(Value::String(name)) = part.get("$ref") {
        objects(
            schema,
            schema.pointer(name.trim_start_matches('#')).unwrap(),
            at,
            found,
        );
    }
    for other in part
        .get("anyOf")
        .and_then(Value::as_array)
        .into_iter()
        .flatten()
    {
        objects(schema, other, at, found);
    }
    if let Some(elements) = part.get("items") {
        objects(schema, elements, &format!("{at}/*"), found);
    }
    if let Some(Value::Object(fields)) = part.get("properties") {
        found.insert(at.trim_start_matches('/').to_owned());
        for (name, field) in fields {
            objects(schema, field, &format!("{at}/{name}"), found);
        }
    }
}

/// Puts a list where the path leads, in the first element of every list on the way.
fn put_list(document: &mut Value, path: &str) {
    let mut at = document;
    for part in path.split('/') {
        if part == "*" {
            if at.as_array().is_none_or(Vec::is_empty) {
                *at = Value::Array(vec![Value::Object(serde_json::Map::new())]);
            }
            at = &mut at[0];
        } else {
            at = &mut at[part];
        }
    }
    *at = Value::Array(Vec::new());
}

#[test]
fn a_list_in_the_place_of_any_object_is_refused() {
    let schema: Value = serde_json::from_str(&schema()).unwrap();
    let mut found = BTreeSet::new();
    objects(&schema, &schema, "", &mut found);
    // The dataset itself.
    assert!(found.remove(""));
    assert!(found.len() >= 19, "{found:?}");
    for place in found {
        let mut document: Value =
            serde_json::from_slice(&fs::read(path("tests/cases/healthy.json")).unwrap()).unwrap();
        put_list(&mut document, &place);
        let problems = json::parse(&document.to_string()).unwrap().problems;
        let pointer = format!("/{}", place.replace('*', "0"));
        let refused = problems.iter().any(|problem| {
            problem.pointer == pointer
                && problem.found == "an array"
                && problem.wanted == "an object"
        });
        assert!(refused, "{place}: {problems:?}");
    }
}
