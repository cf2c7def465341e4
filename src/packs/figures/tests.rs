use super::*;
use crate::dataset::json;
use crate::query::question::Question;
use crate::text::catalogue::Catalogue;
use serde_json::{Value, json};
use std::time::Instant;

const TOOL: &str = "sorrel-18-medium";

/// The demo with so many packs on one tool: those it has, several times under other names, each copy
/// with its torque changed a little where `differ` is not 0; a margin in per cent.
fn results(count: usize, differ: i64, margin_percent: f64) -> Results {
    let demo = include_str!("../../../data/demo.json");
    let mut data: Value = serde_json::from_str(demo).unwrap();
    let runs = data["runs"].as_array().unwrap().iter();
    let runs: Vec<Value> = runs.filter(|run| run["tool"] == TOOL).cloned().collect();
    let packs = data["packs"].as_array().unwrap().iter();
    let packs = packs.filter(|pack| runs.iter().any(|run| run["pack"] == pack["id"]));
    let packs: Vec<Value> = packs.cloned().collect();
    let list = |data: &mut Value, of: &str, more: Vec<Value>| {
        data[of].as_array_mut().unwrap().extend(more);
    };
    for copy in packs.len()..count {
        let (of, number) = (&packs[copy % packs.len()], copy / packs.len());
        let mut pack = of.clone();
        pack["id"] = json!(format!("{}-{number}", of["id"].as_str().unwrap()));
        let own = runs.iter().filter(|run| run["pack"] == of["id"]).cloned();
        let own = own.map(|mut run| {
            run["pack"] = pack["id"].clone();
            // In thousandths, by turns up and down, the farther the later.
            let part = 1000 + differ * (number as i64 % 7 - 3);
            for torque in run["torque_dnm"].as_array_mut().unwrap() {
                *torque = json!(torque.as_i64().unwrap() * part / 1000);
            }
            run
        });
        let own = own.collect();
        list(&mut data, "runs", own);
        list(&mut data, "packs", vec![pack]);
    }
    data["match_margin_percent"] = json!(margin_percent);
    data.as_object_mut().unwrap().remove("field_checks");
    let texts = include_str!("../../../www/texts/en.json");
    let catalogue: Catalogue = serde_json::from_str(texts).unwrap();
    let text = serde_json::to_string(&data).unwrap();
    Results::new(json::parse(&text).unwrap(), catalogue).unwrap()
}

fn question() -> Question {
    Question {
        tool: Some(TOOL.into()),
        ..Question::default()
    }
}

/// What is sure beforehand of every two packs against their verdict, and groups against those of every
/// two, as they are and where more of them match.
#[test]
fn what_is_sure_of_packs_is_so_and_groups_are_those_of_every_two() {
    let (mut left_out, mut sure, mut grouped_packs) = (0, 0, 0);
    for (differ, margin_percent) in [(0, 3.0), (2, 8.0), (2, 20.0), (10, 12.0), (0, 60.0)] {
        let results = results(28, differ, margin_percent);
        let study = results.study(&question()).unwrap();
        let comparing = Comparing::of(&study);
        let tool = study.asked().tool.unwrap();
        let (packs, members) = on_tool(&comparing, tool);
        let alike = Alike::of(&comparing, &members);
        let count = members.len();
        assert!(count >= 28, "{count}");
        for (i, j) in (0..count).flat_map(|i| (0..count).map(move |j| (i, j))) {
            if i == j {
                continue;
            }
            let verdict = alike.verdict(i, j).unwrap();
            let of = [i.min(j), i.max(j)];
            if !alike.near(i).contains(&j) || alike.bounds.surely_not_alike(i, j) {
                left_out += 1;
                assert!(!verdict.is_alike(), "{i} {j}: {verdict:?}");
            }
            if alike.surely_all(&of) {
                sure += 1;
                assert!(verdict.is_alike(), "{i} {j}: {verdict:?}");
            }
        }
        let circle = |i: usize| {
            let verdict = |j: usize| alike.verdict(i.min(j), i.max(j)).unwrap();
            let alike = |j: &usize| i == *j || verdict(*j).is_alike();
            (0..count).filter(alike).collect::<Vec<usize>>()
        };
        for (i, pack) in packs.packs.iter().enumerate() {
            let own = circle(i);
            let whole = own.len() > 1 && own.iter().all(|&j| circle(j) == own);
            assert_eq!(pack.group.is_some(), whole, "{i}");
            let mut others = own.iter().filter(|j| **j != i);
            let all = others.all(|&j| alike.verdict(i, j) == Some(CompareVerdict::Match));
            assert_eq!(pack.group_matches, whole.then_some(all), "{i}");
            grouped_packs += usize::from(whole);
        }
    }
    // Each bound decides of some, else this would hold nothing.
    let decided = (left_out, sure, grouped_packs);
    assert!(
        left_out > 100 && sure > 100 && grouped_packs > 20,
        "{decided:?}"
    );
}

/// Prints how long the packs on one tool take: not a check, a measurement.
#[test]
#[ignore = "a measurement, by `cargo test --release --lib -- --ignored --nocapture packs_on_one_tool`"]
fn two_thousand_packs_on_one_tool_against_five_hundred() {
    for (differ, margin_percent) in [(0, 3.0), (2, 8.0), (10, 12.0)] {
        let took = |count: usize| {
            let results = results(count, differ, margin_percent);
            let study = results.study(&question()).unwrap();
            let start = Instant::now();
            let packs = study.panels().packs.unwrap();
            assert!(packs.rows.len() >= count);
            start.elapsed()
        };
        let (few, many) = (took(500), took(2000));
        let ratio = many.as_secs_f64() / few.as_secs_f64();
        println!(
            "{differ} thousandths, {margin_percent} %: {few:?} and {many:?}, {ratio:.1} times"
        );
    }
}
