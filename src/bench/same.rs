//! Whether two texts hold the same dataset.

use crate::problem::Problem;
use indexmap::IndexMap;
use serde_json::Value;
use serde_json::value::RawValue;

type Raw<'a> = IndexMap<String, &'a RawValue>;

/// The first value that differs between two datasets; `None` if they are the same. Absent, `null`
/// and empty mean the same, and so do numbers that are equal.
pub fn difference(one: &str, other: &str) -> Option<Problem> {
    let (Ok(one), Ok(other)) = (
        serde_json::from_str::<Raw>(one),
        serde_json::from_str::<Raw>(other),
    ) else {
        return Some(Problem::new("", "a text that is no object", "a dataset"));
    };
    objects(&one, &other, "")
}

fn objects(one: &Raw, other: &Raw, pointer: &str) -> Option<Problem> {
    let keys = one
        .keys()
        .chain(other.keys().filter(|key| !one.contains_key(*key)));
    keys.into_iter().find_map(|key| {
        let text = |object: &Raw| {
            object
                .get(key)
                .map_or("null", |value| value.get())
                .to_owned()
        };
        values(&text(one), &text(other), &format!("{pointer}/{key}"))
    })
}

fn values(one: &str, other: &str, pointer: &str) -> Option<Problem> {
    if one == other {
        return None;
    }
    // Element by element, so that a large list is not held as values at once.
    let lists = (
        serde_json::from_str::<Vec<Raw>>(one),
        serde_json::from_str::<Vec<Raw>>(other),
    );
    if let (Ok(one), Ok(other)) = lists
        && one.len() == other.len()
    {
        let mut pairs = one.iter().zip(&other).enumerate();
        return pairs
            .find_map(|(at, (one, other))| objects(one, other, &format!("{pointer}/{at}")));
    }
    let value = |text: &str| serde_json::from_str::<Value>(text).ok();
    // What cannot be read is equal to nothing but its own text.
    let alike = match (value(one), value(other)) {
        (Some(one), Some(other)) => equal(&one, &other),
        _ => one == other,
    };
    if alike {
        return None;
    }
    let cut = |text: &str| text.chars().take(60).collect::<String>();
    Some(Problem::new(pointer, cut(other), cut(one)))
}

fn is_empty(value: &Value) -> bool {
    match value {
        Value::Null => true,
        Value::Array(elements) => elements.is_empty(),
        Value::Object(members) => members.values().all(is_empty),
        _ => false,
    }
}

fn equal(one: &Value, other: &Value) -> bool {
    match (one, other) {
        (Value::Number(a), Value::Number(b)) => a == b || a.as_f64() == b.as_f64(),
        (Value::Array(a), Value::Array(b)) => {
            a.len() == b.len() && a.iter().zip(b).all(|(a, b)| equal(a, b))
        }
        (Value::Object(a), Value::Object(b)) => {
            let keys = a.keys().chain(b.keys());
            let of = |object: &serde_json::Map<String, Value>, key| {
                object.get(key).cloned().unwrap_or_default()
            };
            keys.into_iter().all(|key| equal(&of(a, key), &of(b, key)))
        }
        _ => one == other || (is_empty(one) && is_empty(other)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn differs(one: &str, other: &str) -> Option<String> {
        difference(one, other).map(|problem| problem.pointer)
    }

    #[test]
    fn order_spaces_and_ways_to_write_a_number_do_not_matter() {
        assert_eq!(
            differs(
                r#"{"a": 1.0, "b": [{"c": null}], "d": {"e": {}}}"#,
                r#"{"b":[{}],"a":1}"#
            ),
            None
        );
        assert_eq!(
            differs(r#"{"a": [1, 2]}"#, r#"{"a": [1, 3]}"#),
            Some("/a".into())
        );
        assert_eq!(
            differs(
                r#"{"a": [{"b": 1}, {"b": "x"}]}"#,
                r#"{"a": [{"b": 1}, {}]}"#
            ),
            Some("/a/1/b".into())
        );
        assert_eq!(
            differs(r#"{"a": [{}]}"#, r#"{"a": [{}, {}]}"#),
            Some("/a".into())
        );
        assert_eq!(differs(r#"{"a": 12}"#, r#"{"a": "12"}"#), Some("/a".into()));
        assert_eq!(differs(r#"{"a": false}"#, "{}"), Some("/a".into()));
    }
}
