//! Setups and rigs are fields of their own: what stands in one moves nothing in another.

use super::demo::{all_told, ask, demo, edited, list, read};
use serde_json::{Value, json};

#[test]
fn removing_the_runs_of_a_setup_moves_nothing_in_another() {
    let without =
        edited(|document| list(document, "runs").retain(|run| run["setup"] != "cold-packs"));
    let as_it_is = read(&demo());
    assert!(all_told(&as_it_is, "standard") == all_told(&without, "standard"));
    assert!(all_told(&as_it_is, "extension") == all_told(&without, "extension"));
    assert!(all_told(&as_it_is, "cold-packs") != all_told(&without, "cold-packs"));
}

#[test]
fn adding_runs_to_a_setup_moves_nothing_in_another() {
    let with_more = edited(|document| {
        let runs = list(document, "runs");
        let cold = |run: &Value| {
            let mut run = run.clone();
            run["setup"] = json!("cold-packs");
            run
        };
        let more: Vec<Value> = runs.iter().take(60).map(cold).collect();
        runs.splice(20..20, more);
    });
    let as_it_is = read(&demo());
    assert!(all_told(&as_it_is, "standard") == all_told(&with_more, "standard"));
    assert!(all_told(&as_it_is, "cold-packs") != all_told(&with_more, "cold-packs"));
}

#[test]
fn the_runs_of_a_second_rig_move_nothing_on_the_first() {
    let mut document = demo();
    let mut rig = document["rigs"][0].clone();
    rig["id"] = json!("second");
    list(&mut document, "rigs").push(rig);
    let with_a_rig = all_told(&read(&document), "standard");
    assert!(with_a_rig == all_told(&read(&demo()), "standard"));

    let day = json!({"id": "elsewhere", "date": "2026-06-30", "rig": "second"});
    list(&mut document, "days").push(day);
    let runs = list(&mut document, "runs");
    let elsewhere = |run: &Value| {
        let mut run = run.clone();
        run["day"] = json!("elsewhere");
        run
    };
    let more: Vec<Value> = runs.iter().take(60).map(elsewhere).collect();
    runs.splice(0..0, more);
    let results = read(&document);
    assert!(with_a_rig == all_told(&results, "standard"));
    let there = ask(&results, json!({"job": "100 N·m", "rig": "second"}));
    let here = ask(&results, json!({"job": "100 N·m"}));
    assert!(there.rank_of.unwrap() > 0 && there.rank_of != here.rank_of);
}

#[test]
fn no_rig_and_no_setup_given_are_the_first() {
    let named = all_told(&read(&demo()), "standard");
    let unnamed = edited(|document| {
        for day in list(document, "days") {
            day["rig"] = Value::Null;
        }
        for run in list(document, "runs") {
            if run["setup"] == "standard" {
                run["setup"] = Value::Null;
            }
        }
    });
    assert!(named == all_told(&unnamed, "standard"));
}
