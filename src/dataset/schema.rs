//! The JSON Schema of the format, made from the types.

use super::FORMAT;
use super::types::Dataset;
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
/// It says what [`super::read`] refuses; what [`super::check`] refuses besides, a schema cannot say.
/// Fields it does not name are allowed, as they are kept.
pub fn schema() -> String {
    let settings = SchemaSettings::draft2020_12()
        .with_transform(RecursiveTransform(plain_numbers))
        .with_transform(RecursiveTransform(dates));
    let mut schema = settings.into_generator().into_root_schema_for::<Dataset>();
    set(&mut schema, "format", "const", FORMAT.into());
    for list in NOT_EMPTY {
        set(&mut schema, list, "minItems", 1.into());
    }
    let mut ordered = json_schema!({ "$schema": META_SCHEMA, "title": FORMAT });
    for (keyword, value) in schema.as_object().into_iter().flatten() {
        if ordered.get(keyword).is_none() {
            ordered.insert(keyword.clone(), value.clone());
        }
    }
    format!("{:#}", ordered.to_value())
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
