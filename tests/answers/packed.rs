//! The packed form holds what the published JSON holds, and whatever becomes of its bytes is read or
//! refused.

use super::demo::{ask, demo, edited, text, told, try_read};
use jobtorque::dataset::write::{Publish, published};
use jobtorque::dataset::{json, packed};
use jobtorque::results::Results;
use jobtorque::text::catalogue::Catalogue;
use proptest::prelude::*;
use serde_json::{Value, json};
use std::sync::LazyLock;

const MARK: &[u8] = b"Jobtorque 0.0.0 sha256:0\n";

fn catalogue() -> Catalogue {
    serde_json::from_str(&text("www/texts/en.json")).unwrap()
}

/// A packed file of the dataset in a text.
fn file(text: &str) -> Vec<u8> {
    let dataset = json::parse(text).unwrap().dataset;
    [MARK, &packed::written(&dataset)].concat()
}

/// The published form of a document.
fn published_of(document: &Value) -> String {
    let text = document.to_string();
    let results = try_read(&text).unwrap_or_else(|problems| panic!("{problems:?}"));
    let scatter = results.scatter().unwrap();
    published(&text, results.buildups(), &scatter, Publish::default()).unwrap()
}

/// The packed form of the invented results.
static DEMO: LazyLock<Vec<u8>> = LazyLock::new(|| file(&published_of(&demo())));

/// The file with a body in place of its own and the checksum of that, worked out here.
fn with_body(body: &[u8]) -> Vec<u8> {
    let sum = body.iter().fold(2_166_136_261_u32, |sum, byte| {
        (sum ^ u32::from(*byte)).wrapping_mul(16_777_619)
    });
    [MARK, &sum.to_le_bytes(), body].concat()
}

#[test]
fn what_is_read_of_the_packed_form_is_what_is_read_of_the_json() {
    let documents = [
        demo(),
        serde_json::from_str(&text("tests/cases/healthy.json")).unwrap(),
        // What the invented dataset does not hold.
        {
            let mut document = demo();
            document["summary"] = json!("Größe „drei viertel“");
            document["match_margin_percent"] = json!(0.1 + 0.2);
            document["jobs"][0]["torque_nm"] = json!([100.25, 140]);
            document["tools"][0]["aka"] = json!(["one", "the other"]);
            document["runs"][0]["excluded"] = json!({"reason": "the socket slipped", "edition": 2});
            document
        },
    ];
    for document in documents {
        let text = published_of(&document);
        let mut text: Value = serde_json::from_str(&text).unwrap();
        for run in text["runs"].as_array_mut().unwrap().iter_mut().take(2) {
            let knots = run["buildup"]["step"].as_array().unwrap().len();
            run["buildup"]["turn_ddeg"] = json!(vec![5; knots]);
            run["buildup"]["lowest_mv"] = json!(-3);
            run["buildup"]["energy_mj"] = json!(3_600_000_000_000_i64);
            run["buildup"]["flags"] = json!(["no_quiet", "short"]);
        }
        let text = text.to_string();
        let from_json = json::parse(&text).unwrap();
        assert!(from_json.problems.is_empty(), "{:?}", from_json.problems);
        let from_bytes = packed::read(&file(&text)).unwrap();
        assert!(
            from_bytes == from_json.dataset,
            "{}",
            from_json.dataset.title
        );
    }
}

#[test]
fn a_field_that_is_not_known_is_not_packed() {
    let with = published_of(&{
        let mut document = demo();
        document["tools"][0]["colour"] = json!("unmistakable");
        document
    });
    assert!(with.contains("unmistakable"));
    assert!(file(&with) == *DEMO);
}

#[test]
fn the_packed_form_answers_as_the_dataset_does() {
    let raw = edited(|_| ());
    let dataset = packed::read(&DEMO).unwrap();
    let visitor = Results::published(dataset, catalogue(), json::digits).unwrap();
    for job in ["100 N·m", "650 N·m", "M20 10.9"] {
        let (a, b) = (
            ask(&raw, json!({"job": job})),
            ask(&visitor, json!({"job": job})),
        );
        assert!(told(&a) == told(&b), "{job}");
    }
}

#[test]
fn any_cut_is_refused() {
    for at in (0..DEMO.len()).step_by(97) {
        assert!(packed::read(&DEMO[..at]).is_err(), "{at}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    /// Bytes that somebody changed and summed up again: read, or refused; never a panic.
    #[test]
    fn changed_bytes_are_read_or_refused(
        changes in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 1..4),
        cut in prop::option::weighted(0.2, any::<prop::sample::Index>()),
        head in any::<bool>(),
    ) {
        let mut body = DEMO[MARK.len() + 4..].to_vec();
        for (at, byte) in changes {
            // Half of them near the front, where the lengths stand.
            let size = if head { 400 } else { body.len() };
            body[at.index(size)] = byte;
        }
        if let Some(cut) = cut {
            body.truncate(cut.index(body.len()));
        }
        if let Ok(dataset) = packed::read(&with_body(&body))
            && let Ok(results) = Results::published(dataset, catalogue(), json::digits)
        {
            let question = serde_json::from_value(json!({"job": "650 N·m"})).unwrap();
            let _ = results.ask(&question);
        }
    }
}
