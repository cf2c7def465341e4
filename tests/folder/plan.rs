//! `plan`: what to run next.

use super::{copied, edit, json_of, orchard, refused, stdout};
use serde_json::{Value, json};

fn planned(arguments: &[&str]) -> Value {
    json_of(&[&["plan", "--json"], arguments].concat())
}

#[test]
fn check_runs_come_first_and_last_and_a_seed_gives_one_order() {
    let plan = planned(&["--runs", "12", "--seed", "5"]);
    let runs = plan["runs"].as_array().unwrap();
    assert_eq!(runs.len(), 14);
    let checks: Vec<bool> = runs.iter().map(|run| run["check"] == true).collect();
    assert_eq!(checks.iter().filter(|check| **check).count(), 2);
    assert!(checks[0] && checks[13]);
    assert_eq!(
        (&runs[0]["tool"], &runs[0]["pack"]),
        (&json!("burdock-18-medium"), &runs[13]["pack"])
    );
    assert_eq!(plan, planned(&["--runs", "12", "--seed", "5"]));
    let other = planned(&["--runs", "12", "--seed", "6"]);
    assert_ne!(plan["runs"], other["runs"]);
    let sorted = |plan: &Value| {
        let mut runs: Vec<String> = plan["runs"]
            .as_array()
            .unwrap()
            .iter()
            .map(Value::to_string)
            .collect();
        runs.sort();
        runs
    };
    assert_eq!(sorted(&plan), sorted(&other));
}

#[test]
fn no_pack_is_used_twice_in_a_row_where_others_are_left() {
    let plan = planned(&["--runs", "20"]);
    let runs = plan["runs"].as_array().unwrap();
    let packs: Vec<&Value> = runs[1..21].iter().map(|run| &run["pack"]).collect();
    assert!(packs.windows(2).all(|two| two[0] != two[1]), "{packs:?}");
}

#[test]
fn pairs_with_the_fewest_runs_come_with_their_reasons() {
    let folder = orchard();
    let plan = planned(&[folder.to_str().unwrap(), "--runs", "1"]);
    let run = &plan["runs"][1];
    assert_eq!(run["check"], false);
    assert!(
        run["reasons"]
            .as_array()
            .unwrap()
            .contains(&json!("fewest runs")),
        "{run}"
    );
    // A pair that loses all but one run.
    let (_around, folder) = copied();
    for part in ["1", "2"] {
        let row = format!("wren thick.csv,{part},wren-18,thick-6,A,,,2026-05-04,");
        edit(
            &folder,
            "runs.csv",
            &row,
            &row.replace("wren-18,thick-6", "wren-18,thin-3"),
        );
    }
    let plan = planned(&[folder.to_str().unwrap(), "--runs", "2"]);
    for run in &plan["runs"].as_array().unwrap()[1..3] {
        assert_eq!(
            (&run["tool"], &run["pack"]),
            (&json!("wren-18"), &json!("thick-6"))
        );
        let reasons = json!([
            "fewer than three runs",
            "one day only",
            "one specimen of the tool only",
            "one specimen of the pack only",
            "fewest runs"
        ]);
        assert_eq!(run["reasons"], reasons);
    }
}

#[test]
fn a_pair_nobody_ran_comes_first() {
    let plan = planned(&["--runs", "3"]);
    for run in &plan["runs"].as_array().unwrap()[1..4] {
        assert_eq!(run["reasons"][0], "no run yet", "{run}");
    }
    let said = stdout(&["plan", "--runs", "3"]);
    assert!(said.contains("no run yet"), "{said}");
    assert!(
        said.lines().all(|line| line.chars().count() <= 80),
        "{said}"
    );
}

#[test]
fn another_setup_is_planned_by_its_own_runs() {
    // A pair that was run as the first setup has it and not with cold packs.
    let reasons = |setup: &str| {
        let plan = planned(&["--runs", "200", "--setup", setup]);
        assert_eq!(
            (&plan["setup"], &plan["rig"]),
            (&json!(setup), &json!("bench"))
        );
        let runs = plan["runs"].as_array().unwrap();
        let own = runs.iter().find(|run| {
            run["check"] == false && run["tool"] == "sorrel-18-medium" && run["pack"] == "pouch-5-0"
        });
        own.unwrap()["reasons"].as_array().unwrap().clone()
    };
    assert!(!reasons("standard").contains(&json!("no run yet")));
    assert!(reasons("cold-packs").contains(&json!("no run yet")));
    let (code, said) = refused(&["plan", "--runs", "3", "--setup", "warm"]);
    assert_eq!(code, 2);
    assert!(
        said.contains("--setup: there is no setup \"warm\", only standard, "),
        "{said}"
    );
}
