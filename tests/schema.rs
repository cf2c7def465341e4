//! `data/schema.json` says what the program reads: it is what the types give, and it refuses what
//! the reader refuses for its shape.

#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing)]

use jobtorque::dataset::fields_table::fields_table;
use jobtorque::dataset::schema::schema;
use jobtorque::dataset::{FORMAT, json};
use jobtorque::problem::{Problem, Problems};
use jobtorque::results::Results;
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
fn the_kept_table_of_fields_is_what_the_program_gives() {
    let kept = fs::read_to_string(path("data/fields.md")).unwrap();
    assert!(
        kept == fields_table(),
        "write the output of `jobtorque schema --table` to data/fields.md"
    );
    // Every field of the schema has its row: those of an element too.
    for field in [
        "| `format` | required text | \"jobtorque/1\"",
        "| `runs[].torque_dnm` | list of whole numbers |",
        "| `editions[].corrections[].torque_factor` | number |",
        "| `tools[].size` | word | `small`, `medium`, `large` |",
        "| `packs[].cells.parallel` | whole number | 1 to 1000 |",
    ] {
        assert!(kept.contains(field), "{field}");
    }
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

/// What is refused for its shape by one of the two only.
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
        let limits = read(text);
        let limits = limits.iter().filter(|problem| is_of_limits(problem));
        let reader = !shape.is_empty() || limits.count() > 0;
        let errors = errors(&validator, &document);
        let unlike = UNLIKE.iter().any(|(other, _)| *other == name);
        assert_eq!(
            reader != errors.is_empty(),
            !unlike,
            "{name}: {shape:?} and {errors:?}"
        );
        refused += usize::from(!errors.is_empty());
    }
    assert!(refused >= 45, "{refused}");
}

/// Every problem of a dataset.
fn read(text: &str) -> Problems {
    let english = serde_json::from_str(include_str!("../www/texts/en.json")).unwrap();
    Results::read(text.as_bytes(), english)
        .err()
        .unwrap_or_default()
}

/// Whether a problem is one of a limit that the schema says too.
fn is_of_limits(problem: &Problem) -> bool {
    let number = problem.wanted.starts_with("a number from ");
    let of_samples = problem.found.starts_with("samples that ");
    number && !of_samples || problem.found.starts_with("a text of ")
}

/// A part of the schema, what it refers to looked up; of several forms, the first.
fn resolved<'a>(schema: &'a Value, part: &'a Value) -> &'a Value {
    if let Some(Value::String(name)) = part.get("$ref") {
        return resolved(
            schema,
            schema.pointer(name.trim_start_matches('#')).unwrap(),
        );
    }
    match part.get("anyOf") {
        Some(Value::Array(parts)) => resolved(schema, &parts[0]),
        _ => part,
    }
}

fn has_type(part: &Value, wanted: &str) -> bool {
    let types = &part["type"];
    *types == wanted
        || types
            .as_array()
            .is_some_and(|types| types.contains(&wanted.into()))
}

/// A document in which every list has one element and every field some value: paths of its numbers
/// and texts with what the schema says of them.
fn leaves<'a>(schema: &'a Value, part: &'a Value, at: &str, found: &mut Vec<(String, &'a Value)>) {
    let part = resolved(schema, part);
    if let Some(Value::Object(fields)) = part.get("properties") {
        for (name, field) in fields {
            leaves(schema, field, &format!("{at}/{name}"), found);
        }
    } else if let Some(items) = part.get("items") {
        leaves(schema, items, &format!("{at}/*"), found);
    } else {
        found.push((at.to_owned(), part));
    }
}

/// Puts a value where the path leads, in the first element of every list on the way.
fn put(document: &mut Value, path: &str, value: Value) {
    let mut at = document;
    for part in path.trim_start_matches('/').split('/') {
        if part == "*" {
            if at.as_array().is_none_or(Vec::is_empty) {
                *at = Value::Array(vec![Value::Object(serde_json::Map::new())]);
            }
            at = &mut at[0];
        } else {
            at = &mut at[part];
        }
    }
    *at = value;
}

/// The healthy file with a value in many more fields; its first run has samples at one interval, at
/// times, or knots.
fn full(first_run: &str) -> Value {
    let mut document: Value =
        serde_json::from_slice(&fs::read(path("tests/cases/healthy.json")).unwrap()).unwrap();
    put(
        &mut document,
        "/editions/*/corrections/*/text",
        "one".into(),
    );
    let prices = document["tools"][0]["prices"].clone();
    put(&mut document, "/packs/*/prices", prices);
    let runs = &mut document["runs"];
    runs[0]["current_ma"] = vec![0; 12].into();
    runs[0]["angle_ddeg"] = vec![0; 12].into();
    runs[2]["buildup"]["turn_ddeg"] = vec![0; 4].into();
    let first = match first_run {
        "samples" => 0,
        "times" => 1,
        _ => 2,
    };
    let runs = runs.as_array_mut().unwrap();
    runs.swap(0, first);
    runs[0]["excluded"] = serde_json::json!({"reason": "slipped", "edition": 2});
    document["scatter"] = serde_json::json!([{
        "rig": "bench", "setup": "standard", "edition": 2, "specimen_ppm": 35_000, "specimen_cnu": 400,
        "pack_ppm": 20_000, "pack_cnu": 300, "day_ppm": 10_000, "day_cnu": 300,
    }]);
    document
}

/// Numbers that have no limits of their own: an edition is only held against others.
const UNLIMITED: [&str; 4] = [
    "/editions/*/edition",
    "/scatter/*/edition",
    "/runs/*/edition",
    "/runs/*/excluded/edition",
];

#[test]
fn every_number_and_every_text_has_limits_that_the_reader_holds_too() {
    let schema: Value = serde_json::from_str(&schema()).unwrap();
    let validator = validator();
    let bases = ["samples", "times", "knots"].map(full);
    for base in &bases {
        assert_eq!(errors(&validator, base), Vec::<String>::new());
        assert!(read(&base.to_string()).is_empty());
    }
    let mut found = Vec::new();
    leaves(&schema, &schema, "", &mut found);
    let (mut numbers, mut texts) = (0, 0);
    let refused = |path: &str, value: Value| {
        let mut document = match path {
            _ if path.contains("buildup") => bases[2].clone(),
            _ if path.contains("time_us") => bases[1].clone(),
            _ => bases[0].clone(),
        };
        put(&mut document, path, value.clone());
        assert!(!validator.is_valid(&document), "{path} {value}");
        let pointer = path.replace('*', "0");
        let problems = read(&document.to_string());
        assert!(
            problems.iter().any(|problem| problem.pointer == pointer),
            "{path} {value}: {problems:?}"
        );
    };
    for (path, part) in found {
        let words = part.get("enum").or(part.get("const")).or(part.get("oneOf"));
        if has_type(part, "string") && words.is_none() {
            texts += 1;
            if part["format"] == "date" {
                refused(&path, "2026-13-01".into());
            } else {
                let most = part["maxLength"]
                    .as_u64()
                    .unwrap_or_else(|| panic!("{path}"));
                refused(&path, "é".repeat(most as usize + 1).into());
            }
        } else if has_type(part, "number") || has_type(part, "integer") {
            if UNLIMITED.contains(&path.as_str()) {
                continue;
            }
            numbers += 1;
            let limit = |keyword: &str| part[keyword].as_f64().unwrap_or_else(|| panic!("{path}"));
            let (least, most) = (limit("minimum"), limit("maximum"));
            assert!(least < most && most <= 1e15, "{path}");
            let step = if has_type(part, "integer") {
                1.0
            } else {
                most / 1000.0
            };
            for beyond in [least - step, most + step] {
                let value = if has_type(part, "integer") {
                    (beyond as i64).into()
                } else {
                    beyond.into()
                };
                refused(&path, value);
            }
        }
    }
    assert!(numbers >= 50 && texts >= 40, "{numbers} and {texts}");
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
