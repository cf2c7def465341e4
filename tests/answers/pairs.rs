//! Which pairs are named, and which runs count.

use super::demo::{
    NEWEST, all_told, ask, demo, edited, list, measured, pairs, question, read, try_read,
};
use jobtorque::query::verdict::Basis;
use jobtorque::results::Results;
use serde_json::{Value, json};
use std::collections::BTreeSet;

fn mount<'a>(document: &'a Value, list: &str, id: &str) -> &'a Value {
    let elements = document[list].as_array().unwrap();
    &elements.iter().find(|element| element["id"] == id).unwrap()["pack_mount"]
}

#[test]
fn no_list_names_a_pair_that_does_not_fit() {
    let document = demo();
    let results = read(&document);
    for setup in ["standard", "cold-packs", "extension"] {
        let answer = ask(&results, json!({"job": "100 N·m", "setup": setup}));
        for (tool, pack) in pairs(&answer.list.unwrap()) {
            let (tool, pack) = (
                mount(&document, "tools", &tool),
                mount(&document, "packs", &pack),
            );
            assert_eq!(tool, pack);
        }
    }
}

#[test]
fn a_pair_that_does_not_fit_has_no_figures() {
    let asked = json!({"job": "100 N·m", "tool": "mullein-36-large", "pack": "slim-4-0"});
    let answer = ask(&read(&demo()), asked);
    assert_eq!((answer.fits, answer.basis), (Some(false), Basis::None));
    let figures = (
        answer.time_to_job_s,
        answer.peak_torque_nm,
        answer.rank,
        answer.list,
    );
    assert_eq!(figures, (None, None, None, None));
}

#[test]
fn a_run_of_a_pair_that_does_not_fit_is_refused() {
    let mut document = demo();
    list(&mut document, "runs")[7]["pack"] = json!("ten-cell-4-0");
    let problems = try_read(&document.to_string()).unwrap_err();
    let pointers: Vec<&str> = problems
        .iter()
        .map(|problem| problem.pointer.as_str())
        .collect();
    assert_eq!(pointers, ["/runs/7/pack"]);
}

/// Whether a run counts in an edition, by the words of the format.
fn counts(run: &Value, edition: u64) -> bool {
    let published = run["edition"]
        .as_u64()
        .is_some_and(|first| first <= edition);
    published && run["control"] != json!(true) && !set_aside(run, edition)
}

fn set_aside(run: &Value, edition: u64) -> bool {
    run["excluded"]["edition"]
        .as_u64()
        .is_some_and(|since| since <= edition)
}

#[test]
fn the_runs_that_count_are_those_of_the_edition_and_the_setup() {
    let document = demo();
    let results = read(&document);
    let runs = document["runs"].as_array().unwrap();
    for edition in 1..=NEWEST {
        for setup in ["standard", "cold-packs", "extension"] {
            let field: Vec<&Value> = runs.iter().filter(|run| run["setup"] == setup).collect();
            let with_runs: BTreeSet<(&str, &str)> = field
                .iter()
                .filter(|run| counts(run, edition))
                .map(|run| (run["tool"].as_str().unwrap(), run["pack"].as_str().unwrap()))
                .collect();
            let asked = json!({"job": "100 N·m", "setup": setup, "edition": edition});
            let listed = measured(ask(&results, asked));
            assert_eq!(listed.len(), with_runs.len(), "edition {edition}, {setup}");
            for answer in listed {
                let (tool, pack) = (answer.tool.unwrap(), answer.pack.unwrap());
                assert!(with_runs.contains(&(tool.as_str(), pack.as_str())));
                let own: Vec<_> = field
                    .iter()
                    .filter(|run| run["tool"] == json!(tool) && run["pack"] == json!(pack))
                    .collect();
                let counted: Vec<_> = own.iter().filter(|run| counts(run, edition)).collect();
                let specimens: BTreeSet<String> = counted
                    .iter()
                    .map(|run| run["specimen"].to_string())
                    .collect();
                let published = |run: &&&&Value| {
                    run["edition"]
                        .as_u64()
                        .is_some_and(|first| first <= edition)
                };
                let aside = own
                    .iter()
                    .filter(published)
                    .filter(|run| set_aside(run, edition));
                assert_eq!(
                    answer.runs_used,
                    Some(counted.len() as u32),
                    "{tool}, {pack}"
                );
                assert_eq!(
                    answer.runs_excluded,
                    Some(aside.count() as u32),
                    "{tool}, {pack}"
                );
                assert_eq!(
                    answer.specimens,
                    Some(specimens.len() as u32),
                    "{tool}, {pack}"
                );
            }
        }
    }
}

#[test]
fn drafts_count_nowhere() {
    let as_it_is = all_told(&read(&demo()), "standard");
    let without = edited(|document| {
        list(document, "runs").retain(|run| run["edition"].is_u64());
    });
    assert!(as_it_is == all_told(&without, "standard"));
    let with_more = edited(|document| {
        let runs = list(document, "runs");
        let mut draft = runs[3].clone();
        draft["edition"] = Value::Null;
        runs.insert(0, draft);
    });
    assert!(as_it_is == all_told(&with_more, "standard"));
}

#[test]
fn check_runs_show_how_far_days_differ_and_nothing_else() {
    let with = read(&demo());
    let without = edited(|document| {
        let runs = list(document, "runs");
        let before = runs.len();
        runs.retain(|run| run["control"] != json!(true));
        assert_eq!(before - runs.len(), 6);
    });
    let days = |results: &Results, setup: &str| {
        let asked = json!({"tool": "sorrel-18-medium", "pack": "two-row-8-0", "job": "480 N·m", "setup": setup});
        ask(results, asked).day_scatter_percent
    };
    assert_ne!(days(&with, "standard"), days(&without, "standard"));
    // Nothing of what was measured.
    let figures = |results: &Results| {
        let table = results.table(&question(json!({"by": "mean"}))).unwrap();
        let rows = table.rows.into_iter();
        let figures = rows.map(|row| {
            let own = row.figures;
            let torques = (own.mean_torque_nm, own.peak_torque_nm, own.early_torque_nm);
            (row.tool, row.pack, row.rank, own.runs_used, torques)
        });
        figures.collect::<Vec<_>>()
    };
    assert_eq!(figures(&with), figures(&without));
    // They are runs of the standard setup, and say nothing of another.
    assert!(all_told(&with, "cold-packs") == all_told(&without, "cold-packs"));
}
