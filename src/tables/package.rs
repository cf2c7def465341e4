//! The descriptor of the tables.
//!
//! Source: Data Package 2.0 and Table Schema 2.0 (Open Knowledge Foundation, 2024).

use super::File;
use super::runs::{ROLE, ROLES};
use super::table::{Column, Kind, Table};
use crate::export::edition as find_edition;
use crate::results::Results;
use crate::text;
use serde_json::{Map, Value, json};

const PACKAGE: &str = "https://datapackage.org/profiles/2.0/datapackage.json";
const RESOURCE: &str = "https://datapackage.org/profiles/2.0/dataresource.json";
const SCHEMA: &str = "https://datapackage.org/profiles/2.0/tableschema.json";

/// The file that holds a licence in words.
const LICENCE: &str = "LICENSE.txt";

/// The descriptor of these tables, before it the licence where it is in words and not an identifier.
pub fn files(results: &Results, edition: u32, tables: &[Table]) -> Vec<File> {
    let dataset = results.dataset();
    let mut files = Vec::new();
    let is_identifier = |sign: char| sign.is_ascii_alphanumeric() || "-._".contains(sign);
    let licence = if dataset.license.chars().all(is_identifier) {
        json!({"name": dataset.license})
    } else {
        files.push((
            LICENCE.into(),
            format!("{}\n", dataset.license).into_bytes(),
        ));
        json!({"path": LICENCE, "title": dataset.license})
    };
    let told = find_edition(results, edition);
    let sentences = [
        text::notice(results.catalogue(), dataset),
        dataset.summary.clone(),
        Some(text::edition(results.catalogue(), told)),
    ];
    let sentences: Vec<String> = sentences.into_iter().flatten().collect();
    let mut package = Map::new();
    package.insert("$schema".into(), PACKAGE.into());
    package.insert("name".into(), "jobtorque-tables".into());
    package.insert("title".into(), dataset.title.clone().into());
    package.insert("description".into(), sentences.join(" ").into());
    package.insert("version".into(), edition.to_string().into());
    if let Some(told) = told {
        package.insert("created".into(), format!("{}T00:00:00Z", told.date).into());
    }
    package.insert("licenses".into(), json!([licence]));
    if let Some(publisher) = &dataset.publisher {
        let publisher = json!([{"title": publisher, "roles": ["publisher"]}]);
        package.insert("contributors".into(), publisher);
    }
    package.insert("invented".into(), dataset.invented.unwrap_or(false).into());
    package.insert("disclosure".into(), dataset.disclosure.clone().into());
    let resources: Vec<Value> = tables.iter().map(resource).collect();
    package.insert("resources".into(), resources.into());
    let text = format!("{:#}\n", Value::Object(package));
    files.push(("datapackage.json".into(), text.into_bytes()));
    files
}

fn resource(table: &Table) -> Value {
    let fields: Vec<Value> = table.columns.iter().map(field).collect();
    let mut schema = Map::new();
    schema.insert("$schema".into(), SCHEMA.into());
    schema.insert("fields".into(), fields.into());
    schema.insert("missingValues".into(), json!([""]));
    schema.insert("primaryKey".into(), json!(table.key));
    let refers = table.key.contains(&"run") && table.name != "runs";
    if refers {
        let key =
            json!([{"fields": ["run"], "reference": {"resource": "runs", "fields": ["run"]}}]);
        schema.insert("foreignKeys".into(), key);
    }
    json!({
        "$schema": RESOURCE,
        "name": table.name,
        "type": "table",
        "path": table.file(),
        "description": table.description,
        "format": "csv",
        "mediatype": "text/csv",
        "encoding": "utf-8",
        "bytes": table.csv.len(),
        "schema": schema,
    })
}

fn field(column: &Column) -> Value {
    let kind = match column.kind {
        Kind::Text => "string",
        Kind::Whole => "integer",
        Kind::Number => "number",
        Kind::Truth => "boolean",
        Kind::Date => "date",
    };
    let mut field = Map::new();
    field.insert("name".into(), column.name.into());
    field.insert("type".into(), kind.into());
    field.insert("description".into(), column.description.into());
    if let Some(unit) = column.unit {
        field.insert("unit".into(), unit.into());
    }
    let mut constraints = Map::new();
    if column.required {
        constraints.insert("required".into(), true.into());
    }
    if column.name == ROLE {
        constraints.insert("enum".into(), json!(ROLES));
    }
    if !constraints.is_empty() {
        field.insert("constraints".into(), Value::Object(constraints));
    }
    Value::Object(field)
}
