//! The invented dataset, edits of it, and what it answers.

use jobtorque::answer::data::Answer;
use jobtorque::problem::Problems;
use jobtorque::query::question::Question;
use jobtorque::query::verdict::Basis;
use jobtorque::results::Results;
use jobtorque::text::catalogue::Catalogue;
use serde_json::{Value, json};
use std::path::Path;

/// The newest edition of the invented dataset.
pub const NEWEST: u64 = 3;

/// Text of a file of the package.
pub fn text(path: &str) -> String {
    std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(path)).unwrap()
}

/// The invented dataset as a document.
pub fn demo() -> Value {
    serde_json::from_str(&text("data/demo.json")).unwrap()
}

/// The results of a dataset's text, or every problem it has.
pub fn try_read(text: &str) -> Result<Results, Problems> {
    let catalogue: Catalogue = serde_json::from_str(&self::text("www/texts/en.json")).unwrap();
    Results::read(text.as_bytes(), catalogue)
}

/// The results of a document that has no problem.
pub fn read(document: &Value) -> Results {
    try_read(&document.to_string()).unwrap_or_else(|problems| panic!("{problems:?}"))
}

/// The results of the invented dataset, as it is or after an edit.
pub fn edited(edit: impl FnOnce(&mut Value)) -> Results {
    let mut document = demo();
    edit(&mut document);
    read(&document)
}

/// A list of the document.
pub fn list<'a>(document: &'a mut Value, name: &str) -> &'a mut Vec<Value> {
    document[name].as_array_mut().unwrap()
}

/// A question, written as script would.
pub fn question(question: Value) -> Question {
    serde_json::from_value(question).unwrap()
}

/// The answer to a question that has one.
pub fn ask(results: &Results, asked: Value) -> Answer {
    let what = asked.to_string();
    results
        .ask(&question(asked))
        .unwrap_or_else(|problem| panic!("{what}: {problem}"))
}

/// An answer to the last bit: numbers are written so that they read back as they were.
pub fn told(answer: &Answer) -> String {
    serde_json::to_string(answer).unwrap()
}

/// The pairs of a list that were measured.
pub fn measured(answer: Answer) -> Vec<Answer> {
    let mut list = answer.list.unwrap();
    list.retain(|one| one.basis == Basis::Measured);
    list
}

/// Pairs of a list by id.
pub fn pairs(list: &[Answer]) -> Vec<(String, String)> {
    list.iter()
        .map(|answer| (answer.tool.clone().unwrap(), answer.pack.clone().unwrap()))
        .collect()
}

/// What is told of a setup's own runs: without what the others cost, which an answer tells as well,
/// its last reminder in words.
fn of_its_own(mut answer: Answer) -> Answer {
    for one in answer.list.iter_mut().flatten() {
        one.reminders.pop();
    }
    answer.reminders.pop();
    answer.setup_costs.clear();
    answer
}

/// Everything that is told about one setup of the first rig: for each edition, score and job the
/// whole list, and the whole table by each measure.
pub fn all_told(results: &Results, setup: &str) -> Vec<String> {
    let editions: Vec<u32> = results
        .dataset()
        .editions
        .iter()
        .map(|edition| edition.edition)
        .collect();
    let mut told = Vec::new();
    for edition in editions {
        for job in [
            "car-wheel-loosen",
            "heavy-truck-wheel-loosen",
            "250 N·m",
            "900 N·m",
        ] {
            for score in ["typical", "best-of-three"] {
                let asked = json!({"job": job, "score": score, "setup": setup, "edition": edition});
                told.push(self::told(&of_its_own(ask(results, asked))));
            }
        }
        for by in ["mean", "peak", "early", "mean-per-kg", "peak-per-price"] {
            let asked = question(json!({"by": by, "setup": setup, "edition": edition}));
            told.push(serde_json::to_string(&results.table(&asked).unwrap()).unwrap());
        }
    }
    told
}
