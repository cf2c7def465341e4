//! Which texts of the catalogue are used.

use super::{files, sources, text};
use std::collections::BTreeSet;

/// The keys of the catalogue.
fn keys() -> BTreeSet<String> {
    let catalogue: serde_json::Value = serde_json::from_str(&text("www/texts/en.json")).unwrap();
    catalogue["texts"]
        .as_object()
        .unwrap()
        .keys()
        .cloned()
        .collect()
}

/// The texts in quotes in the program and the script.
fn quoted() -> BTreeSet<String> {
    let script = files("www")
        .into_iter()
        .filter(|(name, _)| name.ends_with(".js") || name.ends_with(".html"));
    let mut found = BTreeSet::new();
    for (name, source) in sources().into_iter().chain(script) {
        let quotes: &[char] = if name.ends_with(".rs") {
            &['"']
        } else {
            &['"', '\'', '`']
        };
        for line in source
            .lines()
            .filter(|line| !line.trim_start().starts_with(['*', '/']))
        {
            // Each kind of quote for itself: a template in one kind holds texts in another.
            found.extend(
                quotes
                    .iter()
                    .flat_map(|quote| line.split(*quote).skip(1).step_by(2))
                    .map(String::from),
            );
        }
    }
    found
}

/// A text with one blank, such as `table.{key}` or `form.${key}`: what stands before and behind it.
fn around_blank(text: &str) -> Option<(&str, &str)> {
    let (before, rest) = text.split_once('{')?;
    let (_, behind) = rest.split_once('}')?;
    (!behind.contains('{')).then_some((before.trim_end_matches('$'), behind))
}

/// The endings of a key that depends on a count.
const COUNTED: [&str; 2] = [".one", ".other"];

/// The keys that the program or the script may ask for. A key is asked for if it stands in quotes as
/// it is; without the ending for a count; or with one blank, where what fills the blank stands in
/// quotes too or is a number.
fn used_keys() -> BTreeSet<String> {
    let quoted = quoted();
    let blanks: Vec<_> = quoted
        .iter()
        .filter_map(|text| around_blank(text))
        .collect();
    let number = |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
    let asked = |key: &str| {
        quoted.contains(key)
            || blanks.iter().any(|(before, behind)| {
                let filled = key
                    .strip_prefix(before)
                    .and_then(|rest| rest.strip_suffix(behind));
                filled.is_some_and(|filled| quoted.contains(filled) || number(filled))
            })
    };
    let uncounted = |key: &str| {
        COUNTED
            .iter()
            .find_map(|ending| key.strip_suffix(ending).map(String::from))
    };
    keys()
        .into_iter()
        .filter(|key| asked(key) || uncounted(key).is_some_and(|key| asked(&key)))
        .collect()
}

#[test]
fn every_text_of_the_catalogue_is_used() {
    let used = used_keys();
    let unused: Vec<String> = keys()
        .into_iter()
        .filter(|key| !used.contains(key))
        .collect();
    assert!(unused.is_empty(), "not used: {unused:?}");
}

#[test]
fn every_text_that_is_asked_for_is_in_the_catalogue() {
    const ENDINGS_OF_FILES: [&str; 9] = [
        ".js", ".css", ".csv", ".html", ".json", ".png", ".rs", ".svg", ".toml",
    ];
    let keys = keys();
    let groups: BTreeSet<&str> = keys
        .iter()
        .filter_map(|key| Some(key.split_once('.')?.0))
        .collect();
    let is_key = |text: &str| {
        let of_key = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_' || c == '.';
        text.split_once('.')
            .is_some_and(|(group, rest)| groups.contains(group) && !rest.is_empty())
            && text.chars().all(of_key)
            && !ENDINGS_OF_FILES.iter().any(|ending| text.ends_with(ending))
    };
    let asked: Vec<String> = quoted().into_iter().filter(|text| is_key(text)).collect();
    assert!(asked.len() > 80, "{}", asked.len());
    let there = |key: &String| {
        keys.contains(key)
            || COUNTED
                .iter()
                .all(|ending| keys.contains(&format!("{key}{ending}")))
    };
    let missing: Vec<&String> = asked.iter().filter(|key| !there(key)).collect();
    assert!(missing.is_empty(), "{missing:?}");
}
