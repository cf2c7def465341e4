//! `drift`: the check runs of each day.

use super::{orchard, stdout};
use serde_json::{Value, json};
use std::fs;

fn demo() -> Value {
    serde_json::from_str(include_str!("../../data/demo.json")).unwrap()
}

/// What `drift` prints of a dataset, as JSON and as text.
fn told(dataset: &Value) -> (Value, String) {
    let around = tempfile::tempdir().unwrap();
    let file = around.path().join("bench.json");
    fs::write(&file, dataset.to_string()).unwrap();
    let file = file.to_str().unwrap();
    let exact = stdout(&["drift", file, "--json"]);
    (
        serde_json::from_str(&exact).unwrap(),
        stdout(&["drift", file]),
    )
}

#[test]
fn a_sound_season_has_no_day_outside() {
    let (drift, said) = told(&demo());
    let series = &drift["series"][0];
    let days = series["days"].as_array().unwrap();
    assert_eq!(days.len(), 6);
    assert!(days.iter().all(|day| day["outside"] == false), "{series}");
    assert_eq!(drift["days_without"], json!([]));
    assert!(
        said.contains("Every day with runs has a check run."),
        "{said}"
    );
    assert!(said.contains("by 12 % in about three of four"), "{said}");
    assert!(
        said.lines().all(|line| line.chars().count() <= 80),
        "{said}"
    );
}

#[test]
fn a_day_that_reads_low_is_outside_its_limits() {
    let mut dataset = demo();
    let corrections = &mut dataset["editions"][2]["corrections"];
    let fault = json!({"text": "made up for a test", "days": ["2026-06-29"], "torque_factor": 0.8});
    corrections.as_array_mut().unwrap().push(fault);
    let (drift, said) = told(&dataset);
    let days = drift["series"][0]["days"].as_array().unwrap().clone();
    let outside = days.iter().filter(|day| day["outside"] == true);
    let outside: Vec<&Value> = outside.map(|day| &day["date"]).collect();
    assert_eq!(outside, ["2026-06-29"], "{days:?}");
    assert!(
        said.contains("Outside its limits: 2026-06-29 (−1"),
        "{said}"
    );
}

/// The demo with its check runs as those of a hand-turned calibrated wrench.
fn with_reference() -> Value {
    let mut dataset = demo();
    let runs = dataset["runs"].as_array_mut().unwrap();
    let checks: Vec<&mut Value> = runs
        .iter_mut()
        .filter(|run| run["control"] == true)
        .collect();
    let mut mount = String::new();
    for run in checks {
        mount = run["tool"].as_str().unwrap().to_owned();
        run["tool"] = json!("hand-wrench");
    }
    let tools = dataset["tools"].as_array_mut().unwrap();
    let own = tools
        .iter()
        .find(|tool| tool["id"] == json!(mount))
        .unwrap();
    let wrench = json!({
        "id": "hand-wrench", "name": "Hand wrench (invented)", "pack_mount": own["pack_mount"],
        "reference": true,
    });
    tools.push(wrench);
    dataset
}

#[test]
fn a_reference_check_proposes_the_correction_of_a_day_and_makes_none() {
    let mut dataset = with_reference();
    let (drift, said) = told(&dataset);
    let series = &drift["series"][0];
    assert_eq!(series["reference"], true);
    // One reading a day says nothing of how far readings differ: 0.5 % is assumed.
    assert!((series["run_scatter_percent"].as_f64().unwrap() - 0.5).abs() < 1e-12);
    let days = series["days"].as_array().unwrap();
    let proposed = days.iter().filter(|day| day["proposal"] == "proposed");
    let proposed: Vec<&Value> = proposed.collect();
    assert_eq!(proposed.len(), 1, "{series}");
    assert_eq!(proposed[0]["date"], "2026-05-11");
    let factor = proposed[0]["torque_factor"].as_f64().unwrap();
    assert!((1.01..1.02).contains(&factor), "{factor}");
    assert!(
        said.starts_with("Invented data.") && said.contains("Reference checks with Hand wrench")
    );
    assert!(
        said.contains("would be multiplied on 2026-05-11 by 1.01"),
        "{said}"
    );
    // Once made, it is proposed no more, and what the check runs show stays as it was.
    let corrections = &mut dataset["editions"][2]["corrections"];
    let made = json!({
        "text": "by the reference checks", "days": ["2026-05-11"], "torque_factor": 1.015,
        "from_checks": true,
    });
    corrections.as_array_mut().unwrap().push(made);
    let (after, said) = told(&dataset);
    let after = after["series"][0]["days"].as_array().unwrap();
    let day = after
        .iter()
        .find(|day| day["date"] == "2026-05-11")
        .unwrap();
    assert_eq!(day["proposal"], "made");
    assert_eq!(day["mean_torque_nm"], proposed[0]["mean_torque_nm"]);
    assert!(!said.contains("would be multiplied"), "{said}");
}

#[test]
fn a_day_without_a_check_run_is_named() {
    let mut dataset = demo();
    let runs = dataset["runs"].as_array_mut().unwrap();
    let all = runs.len();
    runs.retain(|run| run["day"] != "2026-04-20" || run["control"] != true);
    assert_eq!(runs.len(), all - 1);
    let (drift, said) = told(&dataset);
    assert_eq!(drift["series"][0]["days"].as_array().unwrap().len(), 5);
    assert_eq!(drift["days_without"][0]["date"], "2026-04-20");
    assert!(
        said.contains("Days with runs and without a check run: 2026-04-20."),
        "{said}"
    );
}

#[test]
fn few_days_have_no_limits() {
    let folder = orchard();
    let said = stdout(&["drift", folder.to_str().unwrap()]);
    assert!(
        said.contains("Limits are drawn from 3 days with check runs on."),
        "{said}"
    );
    assert!(said.contains("without a check run: 2026-04-06."), "{said}");
}
