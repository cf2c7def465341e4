//! Line and column of the values in a JSON text that problems point to, and keys given twice, which a
//! reader of types does not see.
//!
//! A borrowed `RawValue` is a part of the text it was read from, so its address less that of the text
//! is where it stands.

use crate::problem::{Problem, Problems, quoted};
use serde::de::{Deserialize, Deserializer, MapAccess, Visitor};
use serde_json::value::RawValue;
use std::collections::{BTreeMap, BTreeSet};
use std::fmt;

/// What is found in a text.
#[derive(Debug, Default)]
pub struct Positions {
    /// Line and column, both from 1, of the wanted pointers that are there.
    pub of_pointers: BTreeMap<String, (u32, u32)>,
    /// One problem for every key given twice in one object.
    pub duplicates: Problems,
}

/// Objects deeper than this are not looked into: the format has no such depth.
const DEEPEST: usize = 64;

/// Looks in `text`, which must be a JSON document, for the `wanted` pointers and for keys given
/// twice.
pub fn positions(text: &str, wanted: &BTreeSet<String>) -> Positions {
    let mut search = Search {
        text,
        wanted,
        cursor: Cursor::default(),
        found: Positions::default(),
    };
    if let Ok(root) = serde_json::from_str::<&RawValue>(text) {
        search.value(root, "", 0);
    }
    search.found
}

/// Whether a line ends with the byte at `at`: LF, the second byte of CRLF, or CR alone.
fn ends_line(bytes: &[u8], at: usize) -> bool {
    match bytes.get(at) {
        Some(b'\n') => true,
        Some(b'\r') => bytes.get(at + 1) != Some(&b'\n'),
        _ => false,
    }
}

/// Line and column, both from 1, of the byte at `at`; columns are counted in bytes.
pub fn position(bytes: &[u8], at: usize) -> (u32, u32) {
    let at = at.min(bytes.len());
    let (mut line, mut line_start) = (1, 0);
    for before in (0..at).filter(|&before| ends_line(bytes, before)) {
        line += 1;
        line_start = before + 1;
    }
    let held = |number: usize| u32::try_from(number).unwrap_or(u32::MAX);
    (held(line), held(at - line_start + 1))
}

/// A line and column that only move forward.
#[derive(Default)]
struct Cursor {
    at: usize,
    lines: u32,
    line_start: usize,
}

impl Cursor {
    /// Line and column, both from 1, of a byte that is not before the last one asked for.
    fn moved_to(&mut self, bytes: &[u8], at: usize) -> (u32, u32) {
        for before in (self.at..at).filter(|&before| ends_line(bytes, before)) {
            self.lines = self.lines.saturating_add(1);
            self.line_start = before + 1;
        }
        self.at = at;
        let column = u32::try_from(at.saturating_sub(self.line_start)).unwrap_or(u32::MAX);
        (self.lines.saturating_add(1), column.saturating_add(1))
    }
}

/// The members of an object in their order, with keys that stand twice.
struct Members<'a>(Vec<(&'a RawValue, &'a RawValue)>);

impl<'de> Deserialize<'de> for Members<'de> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct InOrder;
        impl<'de> Visitor<'de> for InOrder {
            type Value = Members<'de>;
            fn expecting(&self, formatter: &mut fmt::Formatter) -> fmt::Result {
                formatter.write_str("an object")
            }
            fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Self::Value, A::Error> {
                let mut members = Vec::new();
                while let Some(member) = map.next_entry()? {
                    members.push(member);
                }
                Ok(Members(members))
            }
        }
        deserializer.deserialize_map(InOrder)
    }
}

struct Search<'a> {
    text: &'a str,
    wanted: &'a BTreeSet<String>,
    cursor: Cursor,
    found: Positions,
}

impl<'a> Search<'a> {
    /// Line and column of a part of the text. Parts come in the order of the text.
    fn position(&mut self, part: &'a RawValue) -> (u32, u32) {
        let at = part.get().as_ptr().addr() - self.text.as_ptr().addr();
        self.cursor.moved_to(self.text.as_bytes(), at)
    }

    fn value(&mut self, value: &'a RawValue, pointer: &str, depth: usize) {
        if self.wanted.contains(pointer) {
            let position = self.position(value);
            let of_pointers = &mut self.found.of_pointers;
            of_pointers.entry(pointer.to_owned()).or_insert(position);
        }
        let text = value.get();
        // A list of numbers that nothing points into is passed over.
        if depth >= DEEPEST || !(text.contains('{') || self.leads_into(pointer)) {
            return;
        }
        if let Ok(elements) = serde_json::from_str::<Vec<&RawValue>>(text) {
            for (index, element) in elements.into_iter().enumerate() {
                self.value(element, &format!("{pointer}/{index}"), depth + 1);
            }
        } else if let Ok(Members(members)) = serde_json::from_str(text) {
            self.members(members, pointer, depth);
        }
    }

    fn members(&mut self, members: Vec<(&'a RawValue, &'a RawValue)>, pointer: &str, depth: usize) {
        let mut keys = BTreeSet::new();
        for (written, value) in members {
            let key = serde_json::from_str(written.get()).unwrap_or_else(|_| written.to_string());
            if keys.contains(&key) {
                let (line, column) = self.position(written);
                let problem = twice(pointer, &key).at(line, column);
                self.found.duplicates.push(problem);
            }
            self.value(value, &format!("{pointer}/{}", escape(&key)), depth + 1);
            keys.insert(key);
        }
    }

    /// Whether some wanted pointer leads into the value at `pointer`.
    fn leads_into(&self, pointer: &str) -> bool {
        let into = format!("{pointer}/");
        let mut after = self.wanted.range(into.clone()..);
        after.next().is_some_and(|next| next.starts_with(&into))
    }
}

/// The problem of a key that the object at `pointer` has twice.
fn twice(pointer: &str, key: &str) -> Problem {
    Problem::new(
        format!("{pointer}/{}", escape(key)),
        format!("the key {} twice", quoted(key)),
        "every key once",
    )
}

/// A key as a part of a JSON pointer (RFC 6901, section 3).
fn escape(key: &str) -> String {
    key.replace('~', "~0").replace('/', "~1")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn found_at(text: &str, pointers: &[&str]) -> Vec<Option<(u32, u32)>> {
        let wanted = pointers.iter().map(ToString::to_string).collect();
        let found = positions(text, &wanted);
        pointers
            .iter()
            .map(|pointer| found.of_pointers.get(*pointer).copied())
            .collect()
    }

    #[test]
    fn values_are_found_by_their_pointers() {
        let text = "{\"a\": [1, {\"b\": \"x,]\\\"\"}],\n \"c/d\": {\"e\": null}\n}";
        assert_eq!(
            found_at(text, &["", "/a", "/a/0", "/a/1/b", "/c~1d/e", "/z"]),
            [
                Some((1, 1)),
                Some((1, 7)),
                Some((1, 8)),
                Some((1, 17)),
                Some((2, 15)),
                None
            ]
        );
    }

    #[test]
    fn a_key_given_twice_is_found_where_it_stands_again() {
        let found = positions("{\"a\": {\"b\": 1,\n\"b\": 2}, \"b\": 3}", &BTreeSet::new());
        let [problem] = &found.duplicates[..] else {
            panic!("{:?}", found.duplicates)
        };
        assert_eq!(
            (problem.pointer.as_str(), problem.line, problem.column),
            ("/a/b", Some(2), Some(1))
        );
    }

    #[test]
    fn a_key_written_with_escapes_is_the_same_key() {
        assert_eq!(
            positions(r#"{"a": 1, "\u0061": 2}"#, &BTreeSet::new())
                .duplicates
                .len(),
            1
        );
    }

    #[test]
    fn lines_end_with_any_of_the_usual_line_ends() {
        for end in ["\n", "\r\n", "\r"] {
            let text = "{#\"a\":#  [1,#2],##\"b\": {#\"c\": 3}}".replace('#', end);
            assert_eq!(
                found_at(&text, &["/a", "/a/1", "/b", "/b/c"]),
                [Some((3, 3)), Some((4, 1)), Some((6, 6)), Some((7, 6))],
                "{end:?}"
            );
            let at = text.find('3').unwrap();
            assert_eq!(position(text.as_bytes(), at), (7, 6), "{end:?}");
        }
    }

    #[test]
    fn line_ends_in_deep_nesting_are_counted() {
        for end in ["\n", "\r\n", "\r"] {
            let deep = format!("{}{end}{}", "[".repeat(200), "]".repeat(200));
            let text = format!("{{\"a\": {deep},{end}\"b\": 1}}");
            assert_eq!(found_at(&text, &["/b"]), [Some((3, 6))], "{end:?}");
        }
    }

    #[test]
    fn deep_nesting_is_passed_over() {
        let text = format!(
            "{{\"a\": {}{}, \"b\": 1}}",
            "[".repeat(100_000),
            "]".repeat(100_000)
        );
        assert_eq!(found_at(&text, &["/b"]), [Some((1, 200_014))]);
    }
}
