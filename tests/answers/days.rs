//! Days corrected by what their check runs show.

use super::demo::{ask, demo, edited, list, read};
use jobtorque::answer::data::Answer;
use jobtorque::results::Results;
use serde_json::{Value, json};

const DAY: &str = "2026-05-11";

/// The demo with one more correction of a day in its newest edition.
fn corrected(day: &str, from_checks: bool) -> Results {
    edited(|document| {
        let corrections = &mut list(document, "editions")[2]["corrections"];
        corrections.as_array_mut().unwrap().push(json!({
            "text": "made up for a test", "days": [day], "torque_factor": 1.02,
            "from_checks": from_checks,
        }));
    })
}

/// A pair all of whose counted runs are of that day.
fn pair_of_the_day(document: &Value) -> (String, String) {
    let runs = document["runs"].as_array().unwrap();
    let counts = |run: &&Value| {
        run["control"] != json!(true) && run["setup"] == "standard" && run["excluded"].is_null()
    };
    let of = |run: &Value| (run["tool"].to_string(), run["pack"].to_string());
    let on_day = runs.iter().filter(counts).find(|run| {
        run["day"] == DAY
            && runs
                .iter()
                .filter(counts)
                .filter(|other| of(other) == of(run))
                .all(|other| other["day"] == DAY)
    });
    let text = |value: &Value| value.as_str().unwrap().to_owned();
    let run = on_day.unwrap();
    (text(&run["tool"]), text(&run["pack"]))
}

#[test]
fn a_correction_by_check_runs_changes_no_scatter_and_leaves_less_of_the_day() {
    let (tool, pack) = pair_of_the_day(&demo());
    let answer = |results: &Results| {
        let asked = json!({"tool": tool, "pack": pack, "job": "100 N·m"});
        ask(results, asked)
    };
    let as_it_is = answer(&read(&demo()));
    let by_checks = answer(&corrected(DAY, true));
    let otherwise = answer(&corrected(DAY, false));
    let end = |answer: &Answer| answer.typical_end_nm.unwrap();
    // Typical curves are told in tenths of a N·m.
    assert!((end(&by_checks) - 1.02 * end(&as_it_is)).abs() < 0.102);
    assert_eq!(end(&by_checks), end(&otherwise));
    // Scatters are those of the values before it, whichever the day, ...
    let scatters = |answer: &Answer| {
        (
            answer.unit_scatter_percent,
            answer.pack_scatter_percent,
            answer.day_scatter_percent,
        )
    };
    for day in demo()["days"].as_array().unwrap() {
        let day = day["id"].as_str().unwrap();
        let corrected = answer(&corrected(day, true));
        assert_eq!(scatters(&corrected), scatters(&as_it_is), "{day}");
    }
    assert_ne!(otherwise.day_scatter_percent, as_it_is.day_scatter_percent);
    // ... and less of the day is left, so that a further try is foretold more closely.
    let margin = |answer: &Answer| end(answer) / answer.torque_19_of_20_nm.unwrap();
    assert!(margin(&by_checks) < margin(&as_it_is));
}
