//! A dataset as a tree whose leaves are JSON texts, so that values keep their digits to the letter.

use indexmap::IndexMap;
use serde_json::value::RawValue;

/// Members of an object, in order.
pub type Members = IndexMap<String, Json>;

/// A JSON value.
#[derive(Clone, Debug, PartialEq)]
pub enum Json {
    /// The JSON text of a value that is not taken apart.
    Raw(String),
    /// An object.
    Object(Members),
    /// An array.
    List(Vec<Json>),
}

impl Json {
    /// A text.
    pub fn text(text: &str) -> Self {
        Self::Raw(serde_json::Value::from(text).to_string())
    }

    /// A whole number.
    pub fn whole(number: i64) -> Self {
        Self::Raw(number.to_string())
    }

    /// A finite number, with the fewest digits that give it back.
    pub fn number(number: f64) -> Self {
        Self::Raw(crate::dataset::json::digits(number))
    }

    /// True or false.
    pub fn truth(truth: bool) -> Self {
        Self::Raw(truth.to_string())
    }

    /// A series of whole numbers.
    pub fn series<T: serde::Serialize>(series: &[T]) -> Self {
        Self::Raw(serde_json::to_string(series).unwrap_or_default())
    }

    /// Writes the value in one line.
    pub fn write(&self, out: &mut String) {
        match self {
            Self::Raw(text) => out.push_str(text),
            Self::List(elements) => {
                out.push('[');
                for (i, element) in elements.iter().enumerate() {
                    if i > 0 {
                        out.push(',');
                    }
                    element.write(out);
                }
                out.push(']');
            }
            Self::Object(members) => {
                out.push('{');
                for (i, (key, value)) in members.iter().enumerate() {
                    if i > 0 {
                        out.push(',');
                    }
                    out.push_str(&key_text(key));
                    out.push(':');
                    value.write(out);
                }
                out.push('}');
            }
        }
    }
}

/// A key as JSON text.
fn key_text(key: &str) -> String {
    serde_json::Value::from(key).to_string()
}

/// Writes a dataset: one member a line, and one element of its lists a line.
pub fn dataset_text(members: &Members) -> String {
    let mut out = String::from("{\n");
    for (i, (key, value)) in members.iter().enumerate() {
        if i > 0 {
            out.push_str(",\n");
        }
        out.push_str(&key_text(key));
        out.push_str(": ");
        match value {
            Json::List(elements) if !elements.is_empty() => {
                out.push_str("[\n");
                for (k, element) in elements.iter().enumerate() {
                    if k > 0 {
                        out.push_str(",\n");
                    }
                    element.write(&mut out);
                }
                out.push_str("\n]");
            }
            other => other.write(&mut out),
        }
    }
    out.push_str("\n}\n");
    out
}

/// Whether a text is the JSON text of a number.
pub fn is_number(text: &str) -> bool {
    text.starts_with(|c: char| c == '-' || c.is_ascii_digit()) && is_json(text)
}

/// Whether a text is the JSON text of some value, nothing around it.
pub fn is_json(text: &str) -> bool {
    text.trim().len() == text.len() && serde_json::from_str::<&RawValue>(text).is_ok()
}

/// The text that a JSON text stands for, if it stands for one.
pub fn decoded(json: &str) -> Option<String> {
    json.starts_with('"')
        .then(|| serde_json::from_str(json).ok())?
}
