//! Why the bytes of a file are no JSON document, in words for people.

use super::json_positions::position;
use crate::problem::{Problem, quoted};

/// What the JSON library says, without its own mention of line and column.
fn reason(error: &serde_json::Error) -> String {
    let text = error.to_string();
    text.rsplit_once(" at line ")
        .map_or(text.as_str(), |(reason, _)| reason)
        .to_owned()
}

/// The problem of bytes that are UTF-8 only up to `valid`.
pub fn not_utf8(bytes: &[u8], valid: usize) -> Problem {
    let (line, column) = position(bytes, valid);
    let byte = bytes.get(valid).copied().unwrap_or_default();
    let problem = if bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]) {
        Problem::new("", "a text in UTF-16", "a text in UTF-8").hint("save the file as UTF-8")
    } else if bytes.contains(&0) {
        Problem::new("", "a file that is no text", "a dataset, a text in UTF-8")
    } else {
        let found = format!("the byte 0x{byte:02x}, which is not UTF-8 here");
        Problem::new("", found, "a text in UTF-8").hint("save the file as UTF-8")
    };
    problem.at(line, column)
}

/// The problem of a text that the JSON library refused.
pub fn not_json(text: &str, error: &serde_json::Error) -> Problem {
    let reason = reason(error);
    let reason = reason.as_str();
    let at = byte_at(text, error.line(), error.column());
    let problem = if text.trim().is_empty() {
        Problem::new("", "an empty file", "a JSON document")
    } else if error.is_eof() {
        let inside = match reason {
            "EOF while parsing a list" => "inside an array",
            "EOF while parsing an object" => "inside an object",
            "EOF while parsing a string" => "inside a text",
            _ => "where a value should stand",
        };
        Problem::new(
            "",
            format!("the end of the file {inside}"),
            "the rest of the document",
        )
        .hint("the file is cut off, or a closing bracket or quote is missing")
    } else {
        let word = word_at(text, at);
        let begins = text
            .get(..at)
            .is_none_or(|before| !before.contains(['{', '[']));
        let (found, wanted) = if begins {
            (quoted(&word), "a JSON document, which begins with {".into())
        } else {
            in_words(reason, &word)
        };
        let problem = Problem::new("", found, wanted);
        match advice(text, at) {
            Some(advice) => problem.hint(advice),
            None => problem,
        }
    };
    let (line, column) = position(text.as_bytes(), at);
    problem.at(line, column)
}

/// What was found and what would be right, from what the JSON library says and the word there.
fn in_words(reason: &str, word: &str) -> (String, String) {
    let found = quoted(word);
    let (found, wanted) = match reason {
        "expected value" | "expected ident" => (found, "a value"),
        "expected `:`" => (found, "a colon after the key"),
        "expected `,` or `]`" => (found, "a comma or the end of the array"),
        "expected `,` or `}`" => (found, "a comma or the end of the object"),
        "key must be a string" => (found, "a key in double quotes"),
        "trailing characters" => (
            format!("{found} behind the document"),
            "the end of the file",
        ),
        "invalid number" => (found, "a number such as 0.5"),
        "invalid escape" => (
            "a backslash that begins no escape".into(),
            "two backslashes for one",
        ),
        _ if reason.starts_with("control character") => (
            "a line break or control character inside a text".into(),
            "an escape such as \\n",
        ),
        _ => (reason.to_owned(), "a JSON document"),
    };
    (found, wanted.to_owned())
}

/// What to do about common slips.
fn advice(text: &str, at: usize) -> Option<&'static str> {
    let word = word_at(text, at);
    let number = word.trim_start_matches(['-', '+']).to_ascii_lowercase();
    let before = text.get(..at).unwrap_or_default().trim_end();
    if number.starts_with("nan") || number.starts_with("inf") {
        Some("JSON has no such number: leave the value out")
    } else if word.starts_with('\'') {
        Some("texts stand in double quotes")
    } else if word.starts_with('/') || word.starts_with('#') {
        Some("JSON has no comments")
    } else if word.starts_with([']', '}']) && before.ends_with(',') {
        Some("the comma before it is one too many")
    } else if number.starts_with(|first: char| first.is_ascii_digit()) && before.ends_with(',') {
        Some("numbers have a decimal point, not a comma")
    } else {
        None
    }
}

/// The byte that stands at a line and a column, both from 1.
fn byte_at(text: &str, line: usize, column: usize) -> usize {
    let before: usize = text
        .split_inclusive('\n')
        .take(line.saturating_sub(1))
        .map(str::len)
        .sum();
    before + column.saturating_sub(1)
}

/// The word or sign around a byte.
fn word_at(text: &str, at: usize) -> String {
    let of_word = |byte: &u8| byte.is_ascii_alphanumeric() || b"_.+-".contains(byte);
    let bytes = text.as_bytes();
    let within =
        |bytes: &mut dyn Iterator<Item = &u8>| bytes.take_while(|byte| of_word(byte)).count();
    let before = within(&mut bytes.get(..at).unwrap_or_default().iter().rev());
    let after = within(&mut bytes.get(at..).unwrap_or_default().iter());
    match text.get(at - before..at + after) {
        Some(word) if !word.is_empty() => word.to_owned(),
        _ => text
            .get(at..)
            .and_then(|rest| rest.chars().next())
            .map(String::from)
            .unwrap_or_default(),
    }
}

#[cfg(test)]
mod tests {
    use super::{not_json, not_utf8};
    use serde_json::value::RawValue;

    #[test]
    fn line_ends_of_any_kind_are_counted_once() {
        for end in ["\n", "\r\n", "\r"] {
            let text = format!("{{{end}\"a\": 1,{end}{end} \"b\" 2}}");
            let error = serde_json::from_str::<&RawValue>(&text).unwrap_err();
            let problem = not_json(&text, &error);
            assert_eq!(
                (problem.line, problem.column),
                (Some(4), Some(6)),
                "{end:?}"
            );
            let problem = not_utf8(format!("a{end}{end}b").as_bytes(), 2 + 2 * end.len());
            assert_eq!(
                (problem.line, problem.column),
                (Some(3), Some(2)),
                "{end:?}"
            );
        }
    }

    #[test]
    fn slips_of_the_pen_are_named_where_they_stand() {
        for (text, said) in [
            ("", "1:1: found an empty file, wanted a JSON document"),
            (" \n\t", "2:1: found an empty file, wanted a JSON document"),
            (
                "{\"a\": NaN}",
                "1:7: found \"NaN\", wanted a value (JSON has no such number: leave the value out)",
            ),
            (
                "{\"a\": -Infinity}",
                "1:8: found \"-Infinity\", wanted a number such as 0.5 (JSON has no such number: leave the value out)",
            ),
            ("{\"a\": none}", "1:8: found \"none\", wanted a value"),
            (
                "{'a': 1}",
                "1:2: found \"'\", wanted a key in double quotes (texts stand in double quotes)",
            ),
            (
                "{\"a\": 1 // one\n}",
                "1:9: found \"/\", wanted a comma or the end of the object (JSON has no comments)",
            ),
            (
                "{\"a\": 1,}",
                "1:9: found \"}\", wanted a key in double quotes (the comma before it is one too many)",
            ),
            (
                "{\"a\": [1 2]}",
                "1:10: found \"2\", wanted a comma or the end of the array",
            ),
            (
                "{\"a\" 1}",
                "1:6: found \"1\", wanted a colon after the key",
            ),
            (
                "{\"a\": \"1\n\"}",
                "1:8: found a line break or control character inside a text, wanted an escape such as \\n",
            ),
            (
                "{\"a\": \"C:\\data\"}",
                "1:11: found a backslash that begins no escape, wanted two backslashes for one",
            ),
            (
                "{} {}",
                "1:4: found \"{\" behind the document, wanted the end of the file",
            ),
            (
                "Time [s],Torque [N·m]",
                "1:1: found \"Time\", wanted a JSON document, which begins with {",
            ),
            ("{\"ä\": µ}", "1:8: found \"µ\", wanted a value"),
        ] {
            let error = serde_json::from_str::<&RawValue>(text).unwrap_err();
            assert_eq!(not_json(text, &error).to_string(), said, "{text}");
        }
    }
}
