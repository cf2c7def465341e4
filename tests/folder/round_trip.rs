//! File to folder to file, and folder to file to folder: every field and every sample stays.

use super::{copied, stdout};
use jobtorque::bench::new_folder::new_folder;
use jobtorque::bench::same::difference;
use jobtorque::bench::{self, unbundle};
use jobtorque::dataset::json;
use proptest::prelude::*;
use serde_json::{Map, Value, json};
use std::fs;
use std::path::Path;

/// Makes a folder of a dataset, and a dataset of that folder.
fn there_and_back(text: &str, folder: &Path) -> String {
    let reading = json::parse(text).unwrap();
    assert!(reading.problems.is_empty(), "{:#?}", reading.problems);
    let files = unbundle::files(text, &reading.dataset.runs)
        .unwrap_or_else(|problems| panic!("{problems:#?}"));
    new_folder(folder, &files, |_| Ok(())).unwrap();
    let read = bench::read(folder).unwrap_or_else(|problems| panic!("{problems:#?}"));
    assert!(read.problems().is_empty(), "{:#?}", read.problems());
    read.bundled_text()
}

#[test]
fn a_folder_comes_back_from_its_file() {
    let (around, folder) = copied();
    let path = |name: &str| around.path().join(name).to_str().unwrap().to_owned();
    let (file, back, again) = (path("a.json"), path("back"), path("b.json"));
    stdout(&["bundle", folder.to_str().unwrap(), "--out", &file]);
    let said = stdout(&["unbundle", &file, "--out", &back]);
    assert!(
        said.contains("15 runs") && said.contains("holds the same"),
        "{said}"
    );
    stdout(&["bundle", &back, "--out", &again]);
    let (one, other) = (
        fs::read_to_string(&file).unwrap(),
        fs::read_to_string(&again).unwrap(),
    );
    assert_eq!(difference(&one, &other), None);
    let rank = |dataset: &str| stdout(&["rank", dataset, "--json", "--job", "120 N·m"]);
    assert_eq!(rank(&file), rank(&back));
    let settings = fs::read_to_string(around.path().join("back/bench.toml")).unwrap();
    for kept in [
        "factor = 0.990",
        "id = \"amp\"",
        "season = ",
        "nm_per_kn = 3.2",
    ] {
        assert!(settings.contains(kept), "{settings}");
    }
}

#[test]
fn the_demo_comes_back_from_its_folder() {
    let around = tempfile::tempdir().unwrap();
    let demo = include_str!("../../data/demo.json");
    let back = there_and_back(demo, &around.path().join("demo"));
    assert_eq!(difference(demo, &back), None);
}

#[test]
fn runs_as_knots_and_odd_times_come_back() {
    let healthy = include_str!("../cases/healthy.json");
    let around = tempfile::tempdir().unwrap();
    let back = there_and_back(healthy, &around.path().join("healthy"));
    assert_eq!(difference(healthy, &back), None);
}

#[test]
fn what_a_folder_cannot_hold_is_refused() {
    let healthy = include_str!("../cases/healthy.json");
    let told = |find: &str, replace: &str| {
        assert_eq!(healthy.matches(find).count(), 1, "{find}");
        let text = healthy.replace(find, replace);
        let reading = json::parse(&text).unwrap();
        let problems = unbundle::files(&text, &reading.dataset.runs).unwrap_err();
        problems[0].to_string()
    };
    let aspen = "\"name\": \"Aspen (invented)\"";
    assert!(
        told(aspen, &format!("{aspen}, \" a\": 1"))
            .starts_with("/tools/1: found a field named \" a\"")
    );
    let tuesday = "\"id\": \"tuesday\"";
    assert!(told("\"pack_specimen\": \"1\"", "\"clock\": 1").contains("named \"clock\""));
    assert!(
        told("\"invented\": true", "\"invented\": true, \"x\": [1, null]")
            .starts_with("/x/1: found null")
    );
    assert!(
        told(
            "\"invented\": true",
            "\"invented\": true, \"x\": 123456789012345678901"
        )
        .contains("TOML")
    );
    assert!(healthy.contains(tuesday));
}

/// A text with what cells and TOML stumble over.
fn text() -> impl Strategy<Value = String> {
    prop_oneof![
        "[ -~]{1,12}",
        "[a-zé·#|;,\"'\\n\\r\\t]{1,8}",
        Just("12".to_owned()),
        Just("1,500".to_owned()),
        Just("true".to_owned()),
        Just("null".to_owned()),
        Just("[1]".to_owned()),
        Just("\u{feff}x".to_owned()),
        Just("# no comment".to_owned()),
        Just("  edges  ".to_owned()),
        Just("=1+1".to_owned()),
    ]
}

/// A value of a field that the format does not know.
fn unknown_value() -> impl Strategy<Value = Value> {
    let leaf = prop_oneof![
        any::<bool>().prop_map(Value::from),
        any::<i64>().prop_map(Value::from),
        (-1e9..1e9f64).prop_map(Value::from),
        text().prop_map(Value::from),
    ];
    leaf.prop_recursive(2, 8, 3, |inner| {
        prop_oneof![
            prop::collection::vec(inner.clone(), 1..3).prop_map(Value::from),
            prop::collection::vec(("[a-z ./~]{1,5}", inner), 1..3)
                .prop_map(|members| Value::Object(members.into_iter().collect())),
        ]
    })
}

/// Fields that the format does not know; among them names that are nearly known.
fn unknown() -> impl Strategy<Value = Map<String, Value>> {
    let name = prop_oneof![
        "x[a-z0-9_é,;#\" ]{0,8}y",
        Just("nam".to_owned()),
        Just("mass_g".to_owned()),
        Just("dat".to_owned()),
        Just("xx.yy".to_owned()),
        Just("12".to_owned()),
    ];
    prop::collection::vec((name, unknown_value()), 0..3)
        .prop_map(|fields| fields.into_iter().collect())
}

/// The times of a run.
fn times(count: usize) -> impl Strategy<Value = Map<String, Value>> {
    let told = |value: Value| match value {
        Value::Object(members) => members,
        _ => Map::new(),
    };
    prop_oneof![
        (0..2000i64, 1..50_000i64).prop_map(move |(start, gap)| told(
            json!({"start_s": start as f64 / 1e6, "interval_s": gap as f64 / 1e6})
        )),
        (1..1000u32).prop_map(move |rate| told(json!({"interval_s": 1.0 / f64::from(rate)}))),
        prop::collection::vec(0..5000i64, count).prop_map(move |gaps| {
            let times: Vec<i64> = gaps
                .iter()
                .scan(-7, |time, gap| {
                    Some({
                        *time += gap;
                        *time
                    })
                })
                .collect();
            told(json!({"time_us": times}))
        }),
        (1..5000i64).prop_map(move |gap| {
            let times: Vec<i64> = (0..count as i64).map(|i| i * gap).collect();
            told(json!({"start_s": 0.5, "time_us": times}))
        }),
    ]
}

fn series(count: usize) -> impl Strategy<Value = Vec<i32>> {
    prop::collection::vec(-1_000_000..1_000_000i32, count)
}

fn run() -> impl Strategy<Value = Value> {
    (1..6usize).prop_flat_map(|count| {
        let optional = (prop::option::of(series(count)), prop::option::of(series(count)), prop::option::of(series(count)));
        let details = (prop::option::of(text()), prop::option::of(0..90_000u32), prop::option::of(any::<bool>()), any::<bool>(), prop::option::of(text()));
        (times(count), series(count), optional, details, unknown()).prop_map(
            |(times, torque, (angle, voltage, current), (specimen, at_s, control, log, excluded), unknown)| {
                let mut run = json!({"tool": "a", "pack": "p", "day": "d", "torque_dnm": torque, "angle_ddeg": angle,
                    "voltage_mv": voltage, "current_ma": current, "specimen": specimen, "at_s": at_s, "control": control,
                    "excluded": excluded.map(|reason| json!({"reason": reason})),
                    "log": log.then(|| json!({"file": "a b.csv", "sha256": "00", "more": 1}))});
                let members = run.as_object_mut().unwrap();
                members.extend(times);
                members.extend(unknown);
                run
            },
        )
    })
}

fn dataset() -> impl Strategy<Value = Value> {
    let texts = (text(), text(), text(), prop::collection::vec(text(), 0..3));
    let more = (unknown(), unknown(), unknown(), unknown());
    (texts, more, prop::collection::vec(run(), 0..4)).prop_map(|((title, name, note, aka), (top, tool, rig, price), runs)| {
        let mut dataset = json!({"format": "jobtorque/1", "title": title, "license": "x", "disclosure": note,
            "editions": [{"edition": 1, "date": "2026-03-02", "note": note, "corrections": [{"text": name, "days": ["d"]}]}],
            "rigs": [{"id": "r", "torque_from": "torque sensor", "joints": [{"id": "j", "name": name}]}],
            "tools": [{"id": "a", "name": name, "pack_mount": "m", "aka": aka, "prices": [{"amount": 1.5, "currency": "EUR", "date": "2026-03-01"}]}],
            "packs": [{"id": "p", "name": note, "pack_mount": "m", "cells": {"series": 5, "shape": title}}],
            "days": [{"id": "d", "date": "2026-03-02", "note": note}],
            "field_checks": [{"fastener": title}],
            "runs": runs});
        let add = |value: &mut Value, fields: Map<String, Value>| value.as_object_mut().unwrap().extend(fields);
        add(&mut dataset["tools"][0], tool);
        add(&mut dataset["rigs"][0], rig);
        add(&mut dataset["tools"][0]["prices"][0], price);
        add(&mut dataset, top);
        dataset
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn any_dataset_comes_back_from_its_folder(dataset in dataset()) {
        let text = dataset.to_string();
        prop_assume!(dataset["disclosure"].as_str().is_some_and(|said| !said.trim().is_empty()));
        let around = tempfile::tempdir().unwrap();
        let back = there_and_back(&text, &around.path().join("bench"));
        prop_assert_eq!(difference(&text, &back), None);
    }
}
