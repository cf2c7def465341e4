//! One scan of a JSON text: where the values stand that problems point to, and what a reader of
//! types does not see: keys given twice.
//!
//! The text is known to be JSON by then, so the scan only follows quotes, brackets and commas. It
//! keeps its own stack: nesting cannot exhaust the program's.

use crate::problem::{Problem, quoted};
use std::collections::{BTreeMap, BTreeSet};

/// What a scan finds.
#[derive(Debug, Default)]
pub struct Scan {
    /// Line and column, both from 1, of the wanted pointers that are there.
    pub places: BTreeMap<String, (u32, u32)>,
    /// One problem for every key given twice in one object.
    pub duplicates: Vec<Problem>,
}

/// Objects deeper than this are not looked into: the format has no such depth.
const DEEPEST: usize = 64;

/// An array or object that is open.
struct Level {
    place: Place,
    /// Whether some wanted pointer leads into it.
    leads: bool,
}

enum Place {
    Object { key: String, keys: BTreeSet<String> },
    Array { index: usize },
}

/// Scans `text`, which must be a JSON document, for the places of the `wanted` pointers and for keys
/// given twice.
pub fn scan(text: &str, wanted: &BTreeSet<String>) -> Scan {
    let mut scanner = Scanner {
        text,
        wanted,
        at: 0,
        line: 1,
        line_start: 0,
        levels: Vec::new(),
        found: Scan::default(),
    };
    scanner.run();
    scanner.found
}

struct Scanner<'a> {
    text: &'a str,
    wanted: &'a BTreeSet<String>,
    at: usize,
    line: u32,
    line_start: usize,
    levels: Vec<Level>,
    found: Scan,
}

impl Scanner<'_> {
    fn run(&mut self) {
        let mut value_comes = true;
        while let Some(&byte) = self.text.as_bytes().get(self.at) {
            match byte {
                b'\n' => {
                    self.line = self.line.saturating_add(1);
                    self.line_start = self.at + 1;
                    self.at += 1;
                }
                b' ' | b'\t' | b'\r' | b':' => self.at += 1,
                b',' => {
                    self.at += 1;
                    if let Some(Place::Array { index }) = self.innermost() {
                        *index += 1;
                    }
                    value_comes = true;
                }
                b'}' | b']' => {
                    self.at += 1;
                    self.levels.pop();
                    value_comes = false;
                }
                b'"' if value_comes && self.key_comes() => self.key(),
                _ => {
                    if value_comes {
                        self.note_place();
                    }
                    value_comes = self.value(byte);
                }
            }
        }
    }

    /// Whether the text that comes is a key: in an object whose current key has been used up.
    fn key_comes(&mut self) -> bool {
        matches!(self.innermost(), Some(Place::Object { .. })) && !self.after_colon()
    }

    fn after_colon(&self) -> bool {
        let before = self.text.as_bytes().get(..self.at).unwrap_or_default();
        before.iter().rev().find(|byte| !byte.is_ascii_whitespace()) == Some(&b':')
    }

    fn key(&mut self) {
        let place = self.place();
        let written = self.string();
        let name = serde_json::from_str::<String>(written).unwrap_or_else(|_| written.to_owned());
        let Some(Place::Object { key, keys }) = self.innermost() else {
            return;
        };
        name.clone_into(key);
        if !keys.insert(name.clone()) {
            let object = self.pointer_of(self.levels.len().saturating_sub(1));
            self.found
                .duplicates
                .push(twice(&object, &name).at(place.0, place.1));
        }
    }

    /// Passes over a value or steps into it; whether a value comes next.
    fn value(&mut self, first: u8) -> bool {
        match first {
            b'{' | b'[' if self.levels.len() >= DEEPEST => self.skip_nested(),
            b'{' => {
                self.open(Place::Object {
                    key: String::new(),
                    keys: BTreeSet::new(),
                });
                return true;
            }
            b'[' => {
                self.open(Place::Array { index: 0 });
                return true;
            }
            b'"' => {
                self.string();
            }
            _ => {
                let rest = self.text.as_bytes().get(self.at..).unwrap_or_default();
                let length = rest
                    .iter()
                    .take_while(|byte| !b",]} \t\r\n".contains(byte))
                    .count();
                self.at += length.max(1);
            }
        }
        false
    }

    fn skip_nested(&mut self) {
        let mut depth = 0usize;
        while let Some(&byte) = self.text.as_bytes().get(self.at) {
            match byte {
                b'"' => {
                    self.string();
                    continue;
                }
                b'{' | b'[' => depth += 1,
                b'}' | b']' => depth -= 1,
                b'\n' => {
                    self.line = self.line.saturating_add(1);
                    self.line_start = self.at + 1;
                }
                _ => {}
            }
            self.at += 1;
            if depth == 0 {
                return;
            }
        }
    }

    /// Passes over a text in quotes and returns it, quotes included.
    fn string(&mut self) -> &str {
        let start = self.at;
        self.at += 1;
        while let Some(&byte) = self.text.as_bytes().get(self.at) {
            self.at += if byte == b'\\' { 2 } else { 1 };
            if byte == b'"' {
                break;
            }
        }
        self.text.get(start..self.at).unwrap_or_default()
    }

    fn place(&self) -> (u32, u32) {
        (
            self.line,
            u32::try_from(self.at - self.line_start + 1).unwrap_or(u32::MAX),
        )
    }

    /// The pointer to the value at hand.
    fn pointer(&self) -> String {
        self.pointer_of(self.levels.len())
    }

    /// The pointer as far as the outermost `depth` levels give it.
    fn pointer_of(&self, depth: usize) -> String {
        self.levels
            .iter()
            .take(depth)
            .map(|level| match &level.place {
                Place::Object { key, .. } => format!("/{}", escape(key)),
                Place::Array { index } => format!("/{index}"),
            })
            .collect()
    }

    fn innermost(&mut self) -> Option<&mut Place> {
        self.levels.last_mut().map(|level| &mut level.place)
    }

    /// Steps into an array or object.
    fn open(&mut self, place: Place) {
        self.at += 1;
        let leads = self.leads() && {
            let into = format!("{}/", self.pointer());
            self.wanted
                .range(into.clone()..)
                .next()
                .is_some_and(|next| next.starts_with(&into))
        };
        self.levels.push(Level { place, leads });
    }

    /// Whether some wanted pointer leads into the level at hand.
    fn leads(&self) -> bool {
        self.levels
            .last()
            .map_or(!self.wanted.is_empty(), |level| level.leads)
    }

    fn note_place(&mut self) {
        if !self.leads() {
            return;
        }
        let pointer = self.pointer();
        if self.wanted.contains(&pointer) {
            let place = self.place();
            self.found.places.entry(pointer).or_insert(place);
        }
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

    fn places(text: &str, pointers: &[&str]) -> Vec<Option<(u32, u32)>> {
        let wanted = pointers.iter().map(ToString::to_string).collect();
        let found = scan(text, &wanted);
        pointers
            .iter()
            .map(|pointer| found.places.get(*pointer).copied())
            .collect()
    }

    #[test]
    fn values_are_found_by_their_pointers() {
        let text = "{\"a\": [1, {\"b\": \"x,]\\\"\"}],\n \"c/d\": {\"e\": null}\n}";
        assert_eq!(
            places(text, &["", "/a", "/a/0", "/a/1/b", "/c~1d/e", "/z"]),
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
        let found = scan("{\"a\": {\"b\": 1,\n\"b\": 2}, \"b\": 3}", &BTreeSet::new());
        let [problem] = found.duplicates.as_slice() else {
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
            scan(r#"{"a": 1, "\u0061": 2}"#, &BTreeSet::new())
                .duplicates
                .len(),
            1
        );
    }

    #[test]
    fn deep_nesting_is_passed_over() {
        let text = format!(
            "{{\"a\": {}{}, \"b\": 1}}",
            "[".repeat(100_000),
            "]".repeat(100_000)
        );
        assert_eq!(places(&text, &["/b"]), [Some((1, 200_014))]);
    }
}
