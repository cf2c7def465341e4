//! A dataset's text: JSON to a document whose every element knows its line and column.

use super::MOST_BYTES;
use super::lines::scan;
use super::read::{Kind, Node, Reading, read};
use crate::problem::Problem;
use indexmap::IndexMap;
use serde::de::DeserializeOwned;
use serde_json::value::RawValue;
use std::collections::BTreeSet;

/// The bytes of a dataset as a text.
///
/// # Errors
///
/// One problem if there are too many bytes or they are not UTF-8.
pub fn text(bytes: &[u8]) -> Result<&str, Vec<Problem>> {
    if bytes.len() > MOST_BYTES {
        let found = format!("{} bytes", bytes.len());
        return Err(vec![Problem::new(
            "",
            found,
            format!("at most {MOST_BYTES} bytes (256 MB)"),
        )]);
    }
    match str::from_utf8(bytes) {
        Ok(text) => Ok(text.strip_prefix('\u{feff}').unwrap_or(text)),
        Err(error) => Err(vec![not_utf8(bytes, error.valid_up_to())]),
    }
}

/// Reads the text of a dataset: what could be read, and every problem of shape, keys given twice
/// included.
///
/// # Errors
///
/// One problem if the text is not JSON.
pub fn parse(text: &str) -> Result<Reading, Vec<Problem>> {
    let document: &RawValue =
        serde_json::from_str(text).map_err(|error| vec![not_json(text, &error)])?;
    let mut reading = read(&Slice(document));
    reading
        .problems
        .extend(scan(text, &BTreeSet::new()).duplicates);
    Ok(reading)
}

/// The same problems with the lines and columns of what they point to, in the order of the text.
pub fn located(text: &str, mut problems: Vec<Problem>) -> Vec<Problem> {
    let wanted = problems
        .iter()
        .map(|problem| problem.pointer.clone())
        .collect();
    let places = scan(text, &wanted).places;
    for problem in &mut problems {
        if problem.line.is_none()
            && let Some(&(line, column)) = places.get(&problem.pointer)
        {
            (problem.line, problem.column) = (Some(line), Some(column));
        }
    }
    problems.sort_by_key(|problem| (problem.line, problem.column));
    problems
}

fn not_utf8(bytes: &[u8], valid: usize) -> Problem {
    let before = bytes.get(..valid).unwrap_or_default();
    let line = before.iter().filter(|&&byte| byte == b'\n').count() + 1;
    let column = before
        .iter()
        .rev()
        .take_while(|&&byte| byte != b'\n')
        .count()
        + 1;
    let found = bytes
        .get(valid)
        .map_or_else(String::new, |byte| format!("the byte 0x{byte:02x}"));
    Problem::new("", found, "a text in UTF-8")
        .hint("save the file as UTF-8")
        .at(
            u32::try_from(line).unwrap_or(u32::MAX),
            u32::try_from(column).unwrap_or(u32::MAX),
        )
}

fn not_json(text: &str, error: &serde_json::Error) -> Problem {
    let place = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
    let found = if text.trim().is_empty() {
        "an empty file".to_owned()
    } else {
        reason(error)
    };
    Problem::new("", found, "a JSON document")
        .at(place(error.line()).max(1), place(error.column()).max(1))
}

/// What the JSON library found, without its own mention of line and column.
fn reason(error: &serde_json::Error) -> String {
    let text = error.to_string();
    text.split(" at line ").next().unwrap_or(&text).to_owned()
}

/// A slice of the text that holds one value.
#[derive(Clone, Copy)]
struct Slice<'a>(&'a RawValue);

impl<'a> Node for Slice<'a> {
    fn kind(&self) -> Kind {
        match self.0.get().as_bytes().first() {
            Some(b'{') => Kind::Object,
            Some(b'[') => Kind::Array,
            Some(b'"') => Kind::Text,
            Some(b't' | b'f') => Kind::Bool,
            Some(b'n') => Kind::Null,
            _ => Kind::Number,
        }
    }

    fn member(&self, key: &str) -> Option<Self> {
        let members: IndexMap<String, &'a RawValue> = serde_json::from_str(self.0.get()).ok()?;
        members
            .get(key)
            .map(|value| Slice(value))
            .filter(|value| value.kind() != Kind::Null)
    }

    fn elements(&self) -> Vec<Self> {
        let elements: Vec<&'a RawValue> = serde_json::from_str(self.0.get()).unwrap_or_default();
        elements.into_iter().map(Slice).collect()
    }

    fn decode<T: DeserializeOwned>(&self, pointer: &str) -> Result<T, Problem> {
        let mut text = serde_json::Deserializer::from_str(self.0.get());
        serde_path_to_error::deserialize(&mut text).map_err(|error| {
            let pointer = format!("{pointer}{}", to_pointer(error.path()));
            misshapen(pointer, &reason(error.inner()))
        })
    }
}

fn to_pointer(path: &serde_path_to_error::Path) -> String {
    use serde_path_to_error::Segment;
    path.iter()
        .map(|segment| match segment {
            Segment::Seq { index } => format!("/{index}"),
            Segment::Map { key } => format!("/{}", super::lines::escape(key)),
            Segment::Enum { .. } | Segment::Unknown => String::new(),
        })
        .collect()
}

/// "invalid type: string "x", expected f64" and its kind, as what was found and what was wanted.
pub fn misshapen(pointer: String, reason: &str) -> Problem {
    if let Some(field) = reason.strip_prefix("missing field ") {
        let field = field.replace('`', "\"");
        return Problem::new(
            pointer,
            format!("no {field}"),
            format!("the required field {field}"),
        );
    }
    let (found, wanted) = reason
        .rsplit_once(", expected ")
        .unwrap_or((reason, "a value that fits"));
    let found = ["invalid type: ", "invalid value: ", "invalid length "]
        .iter()
        .find_map(|prefix| found.strip_prefix(prefix))
        .unwrap_or(found);
    Problem::new(pointer, found.replace('`', "\""), in_words(wanted))
}

/// What the reader of a type expects, in words for people.
fn in_words(wanted: &str) -> String {
    match wanted {
        "u32" | "u64" => "a whole number, not negative".into(),
        "i32" | "i64" => "a whole number within the limits of its field".into(),
        "f64" => "a number".into(),
        "a string" => "a text".into(),
        "a sequence" => "an array".into(),
        "a boolean" => "true or false".into(),
        _ if wanted.starts_with("struct ") => "an object".into(),
        _ => wanted.replace('`', "\""),
    }
}
