//! Golden answers: a change of any published number or word turns this red and is to be explained
//! where changes are listed.
//!
//! `tests/golden/answers.json` holds questions and their answers. To take what the program answers
//! now, or to answer a question added to the file:
//!
//! ```text
//! UPDATE_GOLDEN=1 cargo test --test answers golden
//! ```

use super::demo::{ask, demo, question, read, text};
use jobtorque::results::Results;
use serde_json::{Value, json};
use std::collections::BTreeSet;

const PATH: &str = "tests/golden/answers.json";

/// Of each pair in a list, what tells it from the others; all else it answers alone, and that is
/// held elsewhere.
const OF_A_LISTED_PAIR: [&str; 8] = [
    "tool",
    "pack",
    "rank",
    "rank_of",
    "time_to_job_s",
    "typical_end_nm",
    "runs_used",
    "headline",
];

/// What the program answers to an entry's question.
fn answered(results: &Results, entry: &Value) -> Value {
    if let Some(asked) = entry.get("table") {
        let table = results.table(&question(asked.clone())).unwrap();
        return serde_json::to_value(table).unwrap();
    }
    let mut answer = serde_json::to_value(ask(results, entry["ask"].clone())).unwrap();
    if let Some(list) = answer["list"].as_array_mut() {
        for pair in list {
            pair.as_object_mut()
                .unwrap()
                .retain(|key, _| OF_A_LISTED_PAIR.contains(&key.as_str()));
        }
    }
    answer
}

#[test]
fn golden_answers() {
    let entries: Vec<Value> = serde_json::from_str(&text(PATH)).unwrap();
    assert!(entries.len() >= 40, "{} questions", entries.len());
    let results = read(&demo());
    let now: Vec<Value> = entries
        .iter()
        .map(|entry| {
            let kind = if entry.get("table").is_some() {
                "table"
            } else {
                "ask"
            };
            json!({kind: entry[kind], "answer": answered(&results, entry)})
        })
        .collect();
    if std::env::var_os("UPDATE_GOLDEN").is_some() {
        let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(PATH);
        let text = serde_json::to_string_pretty(&now).unwrap();
        std::fs::write(path, format!("{text}\n")).unwrap();
        return;
    }
    let differing: Vec<String> = entries
        .iter()
        .zip(&now)
        .filter_map(|(a, b)| difference(a, b))
        .collect();
    assert!(
        differing.is_empty(),
        "{}\nif this is meant: UPDATE_GOLDEN=1 cargo test --test answers golden",
        differing.join("\n")
    );
}

/// The question, and every field of its answer that is no longer what it was; none if all are.
fn difference(entry: &Value, now: &Value) -> Option<String> {
    let asked = entry.get("ask").or_else(|| entry.get("table")).unwrap();
    // An entry without an answer differs in every field.
    let golden = entry["answer"].as_object().cloned().unwrap_or_default();
    let now = now["answer"].as_object().unwrap();
    let keys: BTreeSet<&String> = golden.keys().chain(now.keys()).collect();
    let fields: Vec<String> = keys
        .into_iter()
        .filter(|&key| golden.get(key) != now.get(key))
        .map(|key| format!("  {key}: {:?} is now {:?}", golden.get(key), now.get(key)))
        .collect();
    (!fields.is_empty()).then(|| format!("{asked}\n{}", fields.join("\n")))
}
