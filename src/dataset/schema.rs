//! The JSON Schema of the format, made from the types.

use super::limits::{
    self, JOB_TORQUE_NM, JOINT_TORQUE_NM, MOST_EDITIONS, MOST_ELEMENTS, MOST_KNOTS,
};
use super::types::Dataset;
use super::{FORMAT, MOST_SAMPLES};
use schemars::generate::SchemaSettings;
use schemars::transform::RecursiveTransform;
use schemars::{Schema, json_schema};
use serde_json::{Value, json};

/// What the schema is written in.
const META_SCHEMA: &str = "https://json-schema.org/draft/2020-12/schema";

/// The lists that hold at least one element.
const NOT_EMPTY: [&str; 5] = ["editions", "rigs", "tools", "packs", "days"];

/// The JSON Schema (2020-12) of a dataset, as the text of a file.
///
/// It says what [`super::read`] refuses, and [`limits`]; what [`super::check`] refuses besides, a schema cannot say.
/// Fields it does not name are allowed, as they are kept.
pub fn schema() -> String {
    let settings = SchemaSettings::draft2020_12()
        .with_transform(RecursiveTransform(plain_numbers))
        .with_transform(RecursiveTransform(dates))
        .with_transform(RecursiveTransform(limited));
    let mut schema = settings.into_generator().into_root_schema_for::<Dataset>();
    set(&mut schema, "format", "const", FORMAT.into());
    for list in NOT_EMPTY {
        set(&mut schema, list, "minItems", 1.into());
    }
    for list in LISTS {
        set(&mut schema, list, "maxItems", MOST_ELEMENTS.into());
    }
    set(&mut schema, "editions", "maxItems", MOST_EDITIONS.into());
    for (pointer, limits) in [
        ("/$defs/Joint/properties/torque_nm", JOINT_TORQUE_NM),
        ("/$defs/TorqueRange", JOB_TORQUE_NM),
    ] {
        if let Some(part) = schema.pointer_mut(pointer) {
            limit(part, limits);
        }
    }
    let mut ordered = json_schema!({ "$schema": META_SCHEMA, "title": FORMAT });
    for (keyword, value) in schema.as_object().into_iter().flatten() {
        if ordered.get(keyword).is_none() {
            ordered.insert(keyword.clone(), value.clone());
        }
    }
    format!("{:#}", ordered.to_value())
}

/// The lists of the dataset itself.
const LISTS: [&str; 11] = [
    "editions",
    "rigs",
    "setups",
    "tools",
    "packs",
    "specimens",
    "days",
    "runs",
    "jobs",
    "field_checks",
    "scatter",
];

/// The series of samples and knots.
const SERIES: [&str; 5] = [
    "time_us",
    "torque_dnm",
    "voltage_mv",
    "current_ma",
    "angle_ddeg",
];

/// Fields that list the knots of a run, one by one.
const KNOTS: [&str; 3] = ["step", "rise_dnm", "turn_ddeg"];

/// The limits of numbers, texts and series by the names of their fields.
fn limited(schema: &mut Schema) {
    let Some(Value::Object(fields)) = schema.get_mut("properties") else {
        return;
    };
    for (name, field) in fields {
        if let Some(limits) = limits::of(name) {
            limit(field, limits);
        }
        lengthen(field, limits::most_chars(name));
        if SERIES.contains(&name.as_str())
            && let Value::Object(field) = field
        {
            field.insert("maxItems".into(), MOST_SAMPLES.into());
        }
        if KNOTS.contains(&name.as_str())
            && let Value::Object(field) = field
        {
            field.insert("maxItems".into(), MOST_KNOTS.into());
        }
    }
}

/// Sets the limits of every number in a part of the schema.
fn limit(part: &mut Value, limits: (f64, f64)) {
    let numeric = is_of(part, &["number", "integer"]);
    match part {
        Value::Object(fields) => {
            if numeric {
                fields.insert("minimum".into(), number(limits.0));
                fields.insert("maximum".into(), number(limits.1));
            }
            for (keyword, part) in fields {
                if matches!(keyword.as_str(), "items" | "anyOf") {
                    limit(part, limits);
                }
            }
        }
        Value::Array(parts) => parts.iter_mut().for_each(|part| limit(part, limits)),
        _ => {}
    }
}

/// Sets the most characters of every text in a part of the schema but those of a stated format.
fn lengthen(part: &mut Value, most: usize) {
    let text = is_of(part, &["string"]) && part.get("format").is_none();
    if let Value::Object(fields) = part {
        if text && !fields.contains_key("enum") {
            fields.insert("maxLength".into(), most.into());
        }
        if let Some(items) = fields.get_mut("items") {
            lengthen(items, most);
        }
    }
}

/// Whether a part of the schema is of one of these types, alone or beside null.
fn is_of(part: &Value, types: &[&str]) -> bool {
    match part.get("type") {
        Some(Value::String(one)) => types.contains(&one.as_str()),
        Some(Value::Array(several)) => several
            .iter()
            .filter_map(Value::as_str)
            .any(|one| types.contains(&one)),
        _ => false,
    }
}

/// A number without a point where it is whole.
fn number(value: f64) -> Value {
    if value.fract() == 0.0 {
        (value as i64).into()
    } else {
        value.into()
    }
}

/// Sets a keyword in the schema of one of the dataset's own fields.
fn set(schema: &mut Schema, field: &str, keyword: &str, value: Value) {
    let field = schema.pointer_mut(&format!("/properties/{field}"));
    if let Some(Value::Object(field)) = field {
        field.insert(keyword.into(), value);
    }
}

/// Limits in place of the names of Rust's number types, which other readers do not know.
fn plain_numbers(schema: &mut Schema) {
    let limits = match schema.get("format").and_then(Value::as_str) {
        Some("int32") => json_schema!({ "minimum": i32::MIN, "maximum": i32::MAX }),
        Some("uint32") => json_schema!({ "minimum": 0, "maximum": u32::MAX }),
        Some("int64") => json_schema!({ "minimum": i64::MIN, "maximum": i64::MAX }),
        Some("double") => json_schema!({}),
        _ => return,
    };
    schema.remove("format");
    for (keyword, limit) in limits.as_object().into_iter().flatten() {
        schema.insert(keyword.clone(), limit.clone());
    }
}

/// The format of every field called `date`.
fn dates(schema: &mut Schema) {
    if let Some(Value::Object(date)) = schema.pointer_mut("/properties/date") {
        date.insert("format".into(), json!("date"));
    }
}
