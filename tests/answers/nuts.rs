//! Real nuts that were tried: what they say of a nut like them, and when they say nothing.

use super::demo::{ask, demo, edited, list, question, read, told};
use jobtorque::query::condition::Checked;
use jobtorque::query::verdict::Verdict;
use jobtorque::results::Results;
use serde_json::{Value, json};

const CHOSEN: &str = "These are real nuts that somebody chose to try with some of these pairs.";

fn sorrel(job: &str, condition: Value) -> Value {
    json!({
        "tool": "sorrel-18-medium", "pack": "two-row-8-0", "job": job, "condition": condition
    })
}

/// The demo with the first aged nuts of its list alone.
fn with_aged(number: usize) -> Results {
    edited(|document| {
        let checks = list(document, "field_checks");
        checks.retain(|check| check["state"] != "fresh");
        checks.truncate(number);
    })
}

fn refused(results: &Results, asked: Value) -> String {
    let problem = results.ask(&question(asked)).unwrap_err();
    assert_eq!(problem.pointer, "/condition");
    problem.message
}

#[test]
fn a_nut_like_those_tried_is_judged_by_them() {
    let results = read(&demo());
    let answer = ask(&results, sorrel("400 N·m", json!("checked")));
    assert_eq!(answer.condition_from, Some(Checked::Aged));
    let [aged, fresh] = answer.nuts_tried.as_slice() else {
        panic!("{:?}", answer.nuts_tried);
    };
    assert_eq!((aged.checks, aged.groups, aged.loose), (18, 6, 15));
    assert_eq!(Some(answer.condition_factor), aged.factor);
    assert_eq!(answer.required_torque_nm, 400.0 * answer.condition_factor);
    // Half of such nuts need less, and some need more than the pair has: the torque itself is certain.
    let as_torque = ask(&results, sorrel("400 N·m", json!(answer.condition_factor)));
    assert_eq!(as_torque.verdict, Some(Verdict::WithinReach));
    assert_eq!(answer.verdict, Some(Verdict::WithinReach));
    assert!(answer.reach_probability < as_torque.reach_probability);
    assert_eq!(answer.time_nine_in_ten_s, None);
    assert_eq!(
        answer.headline,
        "Made-up data: a nut like those tried, tightened to 400 N·m, is within reach."
    );
    let chance = "such nuts to come loose within 5 s.";
    assert!(answer.lines[0].ends_with(chance), "{:?}", answer.lines);
    let caution =
        "These are real nuts that somebody chose to try. Yours may hold harder.".to_owned();
    // The nut that this pair did not loosen is the caution beside the answer.
    assert!(answer.cautions.is_empty() && answer.checks.len() == 1);
    assert!(answer.rests_on.contains(&caution));
    assert!(answer.rests_on.contains(&aged.words));
    assert_eq!(aged.take.as_deref(), Some("as 18 aged nuts here"));
    assert_eq!((fresh.factor, fresh.take.as_deref()), (None, None));
}

#[test]
fn a_loss_on_the_way_lowers_the_chance_of_a_nut() {
    let results = read(&demo());
    let chance = |loss_percent: f64| {
        let mut asked = sorrel("500 N·m", json!("checked"));
        asked["loss_percent"] = json!(loss_percent);
        ask(&results, asked).reach_probability.unwrap()
    };
    assert!(chance(12.0) + 0.1 < chance(0.0));
    // As if it had been tightened to that much more.
    let more = ask(&results, sorrel("625 N·m", json!("checked")));
    assert!((chance(20.0) - more.reach_probability.unwrap()).abs() < 1e-12);
}

#[test]
fn the_chance_of_loosening_says_what_it_is_of() {
    let results = read(&demo());
    let lines = |direction: &str| {
        let mut asked = sorrel("650 N·m", Value::Null);
        asked["direction"] = json!(direction);
        ask(&results, asked).lines.join(" ")
    };
    let bench = "bench tries to get there within 5 s.";
    assert!(lines("loosen").contains(bench));
    let tighten = lines("tighten");
    assert!(tighten.contains("tries to get there within 5 s.") && !tighten.contains("bench"));
}

#[test]
fn too_few_nuts_are_counted_and_nothing_is_computed() {
    let results = with_aged(9);
    let answer = ask(&results, sorrel("400 N·m", json!(1.5)));
    let [aged] = answer.nuts_tried.as_slice() else {
        panic!("{:?}", answer.nuts_tried);
    };
    assert_eq!((aged.factor, aged.factor_19_of_20), (None, None));
    assert!(
        aged.words.starts_with("8 of 9 aged nuts came loose, at "),
        "{}",
        aged.words
    );
    let last = answer.rests_on.iter().rev().take(2).collect::<Vec<_>>();
    assert_eq!(last, [CHOSEN, &aged.words]);
    assert_eq!(
        refused(&results, sorrel("400 N·m", json!("checked"))),
        "Too few aged nuts were tried here: nuts 9, groups 4, came loose 8. It takes 10, 3 and 4."
    );
    // A fresh nut is not like these.
    let fresh = ask(&results, sorrel("400 N·m", Value::Null));
    assert!(!fresh.rests_on.contains(&aged.words));
    let none = refused(&results, sorrel("400 N·m", json!("checked-fresh")));
    assert!(
        none.starts_with("Too few fresh nuts were tried here: nuts 0"),
        "{none}"
    );
    // One more is enough.
    ask(&with_aged(10), sorrel("400 N·m", json!("checked")));
}

#[test]
fn an_edition_knows_no_nuts_of_later() {
    let results = read(&demo());
    let in_edition = |edition: u32| {
        let mut asked = sorrel("400 N·m", Value::Null);
        asked["edition"] = json!(edition);
        let checks = ask(&results, asked).nuts_tried;
        checks.iter().map(|nuts| nuts.checks).sum::<u32>()
    };
    assert_eq!([1, 2, 3].map(in_edition), [0, 6, 24]);
    let later = edited(|document| {
        for check in list(document, "field_checks") {
            check["date"] = json!("2026-07-12");
        }
    });
    assert!(
        ask(&later, sorrel("400 N·m", Value::Null))
            .nuts_tried
            .is_empty()
    );
}

#[test]
fn a_check_without_its_pair_torque_or_end_does_not_count() {
    let count = |part: &str| {
        let results = edited(|document| list(document, "field_checks")[2][part] = Value::Null);
        let answer = ask(&results, sorrel("400 N·m", Value::Null));
        answer.nuts_tried[0].checks
    };
    for part in ["tool", "pack", "installed_nm", "came_loose"] {
        assert_eq!(count(part), 17, "{part}");
    }
    for part in ["date", "fastener", "state", "tried_s"] {
        assert_eq!(count(part), 18, "{part}");
    }
}

#[test]
fn the_same_factor_by_itself_is_another_question() {
    let results = read(&demo());
    let checked = question(sorrel("400 N·m", json!("checked")));
    let study = results.study(&checked).unwrap();
    let factor = study.answer().unwrap().condition_factor;
    let own = question(sorrel("400 N·m", json!(factor)));
    let after = results.study_after(&own, &study.kept()).unwrap();
    let alone = results.study(&own).unwrap();
    assert_eq!(
        told(&after.answer().unwrap()),
        told(&alone.answer().unwrap())
    );
}

#[test]
fn tightening_has_no_such_nuts() {
    let results = read(&demo());
    let mut asked = sorrel("400 N·m", json!("checked"));
    asked["direction"] = json!("tighten");
    let refused = refused(&results, asked.clone());
    assert!(refused.starts_with("The factor is for loosening only."));
    asked["condition"] = Value::Null;
    assert!(ask(&results, asked).nuts_tried.is_empty());
}

#[test]
fn lists_of_pairs_are_judged_by_nuts_too() {
    let results = read(&demo());
    let asked = json!({"job": "640 N·m", "condition": "checked"});
    let answer = ask(&results, asked.clone());
    assert_eq!(
        answer.headline,
        "Made-up data: 4 of 43 pairs have such a nut tightened to 640 N·m within reach."
    );
    let table = results.worded_table(&question(asked)).unwrap();
    let mut headings = table.headings.iter().map(|heading| heading.text.as_str());
    assert!(headings.any(|text| text == "nuts of 100"));
    let far = json!({"job": "1500 N·m", "condition": "checked"});
    let lines = ask(&results, far.clone()).lines.join(" ");
    assert!(lines.contains("such nuts to come loose."), "{lines}");
    let choices = results.worded_choices(&question(far)).unwrap();
    let empty = choices.empty.unwrap();
    assert!(empty.starts_with("None of these pairs has such a nut within reach."));
    let miss = choices.rows[0].cells.join(" ");
    assert!(
        miss.contains("such nuts") || miss.contains("short"),
        "{miss}"
    );
}
