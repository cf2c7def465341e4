//! What a reader of types says about a value that does not fit, in words for people.

use crate::problem::{Problem, quoted};

/// A problem from what the reader of a type says, such as
/// `invalid type: string "x", expected f64`.
pub fn misshapen(pointer: String, reason: &str) -> Problem {
    if let Some(field) = reason.strip_prefix("missing field ") {
        let field = field.replace('`', "\"");
        return Problem::new(
            pointer,
            format!("no {field}"),
            format!("the required field {field}"),
        );
    }
    if let Some(field) = reason.strip_prefix("duplicate field ") {
        return twice(&pointer, field.trim_matches('`'));
    }
    if reason.starts_with("number out of range") {
        return Problem::new(pointer, "a number too large to be read", "a smaller one");
    }
    let (found, wanted) = reason
        .rsplit_once(", expected ")
        .unwrap_or((reason, "a value that fits"));
    let found = found_in_words(found);
    let fraction = found.parse::<f64>().is_ok() && found.contains('.');
    let counted = counted(&pointer).filter(|_| fraction);
    let problem = Problem::new(pointer, found.as_str(), wanted_in_words(wanted, &found));
    match counted {
        Some(unit) => problem.hint(format!("this field counts {unit}")),
        None => problem,
    }
}

/// What a whole-numbered field counts, by the ending of its name.
fn counted(pointer: &str) -> Option<&'static str> {
    let mut names = pointer
        .rsplit('/')
        .filter(|part| !part.bytes().all(|byte| byte.is_ascii_digit()));
    let (_, unit) = names.next()?.rsplit_once('_')?;
    Some(match unit {
        "dnm" => "tenths of a N·m",
        "ddeg" => "tenths of a degree",
        "mv" => "millivolts",
        "ma" => "milliamperes",
        "us" => "microseconds",
        "uohm" => "micro-ohms",
        "mj" => "millijoules",
        _ => return None,
    })
}

/// The problem of a key that the object at `pointer` has twice.
pub fn twice(pointer: &str, key: &str) -> Problem {
    Problem::new(
        format!("{pointer}/{}", escape(key)),
        format!("the key {} twice", quoted(key)),
        "every key once",
    )
}

/// A key as a part of a JSON pointer (RFC 6901, section 3).
pub fn escape(key: &str) -> String {
    key.replace('~', "~0").replace('/', "~1")
}

/// What the reader met.
fn found_in_words(found: &str) -> String {
    let found = [
        "invalid type: ",
        "invalid value: ",
        "invalid length ",
        "unknown variant ",
    ]
    .iter()
    .find_map(|prefix| found.strip_prefix(prefix))
    .unwrap_or(found);
    if let Some(text) = found.strip_prefix("string ") {
        return format!("the text {}", shortened(text.trim_matches('"')));
    }
    if let Some(variant) = found
        .strip_prefix('`')
        .and_then(|text| text.strip_suffix('`'))
    {
        return shortened(variant);
    }
    for kind in ["integer ", "floating point ", "boolean "] {
        if let Some(value) = found.strip_prefix(kind) {
            return value.trim_matches('`').to_owned();
        }
    }
    match found {
        "sequence" => "an array".into(),
        "map" => "an object".into(),
        "unit value" => "null".into(),
        _ => found.replace('`', "\""),
    }
}

/// A text that the reader has already escaped, in quotes and cut to a readable length.
fn shortened(escaped: &str) -> String {
    quoted(&escaped.replace("\\\"", "\"").replace("\\\\", "\\"))
}

/// What the reader expects, with its limits where a whole number is beyond them.
fn wanted_in_words(wanted: &str, found: &str) -> String {
    let whole = found.parse::<i128>().is_ok();
    match wanted {
        "i32" if whole => format!("a whole number from {} to {}", i32::MIN, i32::MAX),
        "u32" if whole && !found.starts_with('-') => {
            format!("a whole number from 0 to {}", u32::MAX)
        }
        "i64" if whole => "a whole number of at most 18 digits".into(),
        "i32" | "i64" => "a whole number".into(),
        "u32" => "a whole number, 0 or more".into(),
        "f64" => "a number".into(),
        "a string" => "a text".into(),
        "a sequence" => "an array".into(),
        "a boolean" => "true or false".into(),
        _ if wanted.starts_with("struct ") => "an object".into(),
        _ => wanted.replace('`', "\""),
    }
}

#[cfg(test)]
mod tests {
    use super::misshapen;

    fn message(reason: &str) -> String {
        misshapen(String::new(), reason).message
    }

    #[test]
    fn no_name_of_a_type_reaches_people() {
        for (reason, said) in [
            (
                "invalid type: string \"x, expected y\", expected f64",
                "found the text \"x, expected y\", wanted a number",
            ),
            (
                "invalid type: string \"a\\\"b\", expected u32",
                "found the text \"a\\\"b\", wanted a whole number, 0 or more",
            ),
            (
                "invalid value: integer `-1`, expected u32",
                "found -1, wanted a whole number, 0 or more",
            ),
            (
                "invalid type: floating point `1.5`, expected i64",
                "found 1.5, wanted a whole number",
            ),
            (
                "invalid type: boolean `true`, expected a string",
                "found true, wanted a text",
            ),
            (
                "invalid type: null, expected a sequence",
                "found null, wanted an array",
            ),
            (
                "invalid type: map, expected a boolean",
                "found an object, wanted true or false",
            ),
            (
                "invalid type: sequence, expected struct Run",
                "found an array, wanted an object",
            ),
            (
                "unknown variant `huge`, expected one of `small`, `large`",
                "found \"huge\", wanted one of \"small\", \"large\"",
            ),
            (
                "missing field `pack`",
                "found no \"pack\", wanted the required field \"pack\"",
            ),
        ] {
            assert_eq!(message(reason), said);
        }
    }

    #[test]
    fn a_long_text_is_cut_short() {
        let reason = format!(
            "invalid type: string \"{}\", expected f64",
            "x".repeat(10_000)
        );
        assert!(message(&reason).len() < 120, "{}", message(&reason));
    }
}
