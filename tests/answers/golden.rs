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
    for (entry, now) in entries.iter().zip(&now) {
        let asked = entry.get("ask").or_else(|| entry.get("table")).unwrap();
        differs(&entry["answer"], &now["answer"], &asked.to_string());
    }
}

/// Holds two answers together and names the fields that differ.
fn differs(golden: &Value, now: &Value, asked: &str) {
    let (golden, now) = (golden.as_object().unwrap(), now.as_object().unwrap());
    let keys = golden.keys().chain(now.keys());
    let differing: Vec<String> = keys
        .filter(|key| golden.get(*key) != now.get(*key))
        .map(|key| format!("{key}: {:?} is now {:?}", golden.get(key), now.get(key)))
        .collect();
    assert!(
        differing.is_empty(),
        "{asked}\n{}\nif this is meant: UPDATE_GOLDEN=1 cargo test --test answers golden",
        differing.join("\n")
    );
}
