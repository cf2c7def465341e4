//! Small datasets, and changes to them.

use super::below;
use rand_pcg::{Pcg32, rand_core::Rng};
use serde_json::{Value, json};

/// Datasets that are read: runs as samples with all series, runs as knots, more pairs than runs.
pub fn bases() -> Vec<Value> {
    let healthy = serde_json::from_str(super::HEALTHY).unwrap();
    vec![healthy, one_run(), a_field()]
}

fn head(title: &str) -> Value {
    json!({
        "format": "jobtorque/1",
        "title": title,
        "license": "CC0-1.0",
        "invented": true,
        "disclosure": "nobody",
        "editions": [{"edition": 1, "date": "2026-03-02"}],
        "rigs": [{"id": "r", "torque_from": "torque sensor", "window_s": 1, "smooth_s": 0,
            "joints": [{"id": "j", "name": "j", "angle_deg": [0, 30, 60], "torque_nm": [0, 90, 300]}]}],
        "setups": [{"id": "s", "name": "s", "joint": "j"}],
        "days": [{"id": "d", "date": "2026-03-02"}],
        "jobs": [{"id": "nut", "label": "nut", "direction": "loosen", "torque_nm": 110}],
    })
}

/// One run of one pair with every series.
fn one_run() -> Value {
    let mut base = head("one run");
    base["tools"] = json!([{"id": "t", "name": "T", "pack_mount": "m", "mass_kg": 1.5, "length_mm": 150,
        "prices": [{"amount": 99, "currency": "EUR", "date": "2026-03-01"}]}]);
    base["packs"] = json!([{"id": "p", "name": "P", "pack_mount": "m", "nominal_v": 18, "capacity_ah": 4,
        "cells": {"series": 5, "parallel": 2}, "mass_kg": 0.6}]);
    base["runs"] = json!([{"tool": "t", "pack": "p", "day": "d", "edition": 1, "interval_s": 0.05,
        "torque_dnm": [1, 2, 1, 2, 1, 2, 1, 2, 1, 2, 1, 2, 400, 800, 1100, 1250, 1310, 1350],
        "voltage_mv": [20500, 20500, 20500, 20500, 20500, 20500, 20500, 20500, 20500, 20500, 20500, 20500,
            19500, 19000, 18800, 18700, 18700, 18600],
        "current_ma": [0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 30000, 45000, 50000, 52000, 53000, 54000],
        "angle_ddeg": [0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 900, 1400, 1600, 1700, 1750, 1780]}]);
    base
}

/// Three tools and two packs, most pairs run twice or more: scatter, intervals and an estimate.
fn a_field() -> Value {
    let mut base = head("a field");
    base["tools"] = ["a", "b", "c"]
        .iter()
        .map(|id| json!({"id": id, "name": id, "pack_mount": "m", "mass_kg": 2}))
        .collect();
    base["packs"] = ["p", "q"]
        .iter()
        .map(|id| json!({"id": id, "name": id, "pack_mount": "m", "nominal_v": 18, "capacity_ah": 5}))
        .collect();
    let runs = [
        ("a", "p", 900),
        ("a", "p", 930),
        ("a", "p", 915),
        ("a", "q", 980),
        ("a", "q", 1010),
        ("b", "p", 1300),
        ("b", "p", 1340),
        ("b", "q", 1420),
        ("b", "q", 1405),
        ("c", "p", 700),
        ("c", "p", 716),
    ];
    base["runs"] = runs
        .iter()
        .map(|(tool, pack, peak)| {
            json!({"tool": tool, "pack": pack, "day": "d", "edition": 1, "buildup": {
                "onset_dnm": 20, "tick_us": 5000, "first_us": 1000, "step": [0, 20, 60],
                "rise_dnm": [40, peak / 2, peak / 2], "largest_dnm": peak + 60, "samples": 120,
                "zero_dnm": 0, "gap_us": 5000, "turn_ddeg": [0, 900, 300], "open_mv": 20400,
                "resistance_uohm": 30000, "lowest_mv": 17000, "energy_mj": 400000}})
        })
        .collect();
    base
}

/// Numbers at the ends of what is held and of what is taken.
const NUMBERS: [&str; 26] = [
    "0",
    "-0.0",
    "-1",
    "1",
    "2",
    "0.5",
    "-0.5",
    "1e-320",
    "1e-9",
    "0.01",
    "0.1",
    "10",
    "60",
    "100",
    "1000",
    "1e9",
    "1e300",
    "-1e300",
    "65535",
    "200000",
    "-200000",
    "199999",
    "20000",
    "2147483647",
    "4294967295",
    "9007199254740993",
];

const TEXTS: [&str; 9] = [
    "",
    " ",
    "2026-03-01",
    "2026-02",
    "standard",
    "=1+1",
    "\u{1b}[31m",
    "\u{202e}abc",
    "</script><!--",
];

/// Changes one value of a document.
pub fn change(document: &mut Value, rng: &mut Pcg32) {
    let pointers = super::pointers(document, String::new());
    let pick = |rng: &mut Pcg32| pointers[below(rng, pointers.len())].clone();
    let (pointer, other) = (pick(rng), pick(rng));
    let another = document.pointer(&other).cloned().unwrap();
    let value = document.pointer_mut(&pointer).unwrap();
    match value {
        Value::Number(number) => {
            let number = number.as_f64().unwrap();
            let scaled = |factor: f64| {
                let scaled = number * factor;
                if number.fract() == 0.0 && scaled.abs() < 1e15 {
                    json!(scaled.round() as i64)
                } else {
                    json!(scaled)
                }
            };
            *value = match below(rng, 6) {
                0 => serde_json::from_str(NUMBERS[below(rng, NUMBERS.len())]).unwrap(),
                1 => scaled(-1.0),
                2 => scaled([0.001, 0.01, 0.1, 10.0, 100.0, 1000.0][below(rng, 6)]),
                3 => scaled(f64::from(rng.next_u32()) / f64::from(u32::MAX) * 3.0),
                4 if another.is_number() => another,
                _ => json!((number.round() as i64).saturating_add(below(rng, 3) as i64 - 1)),
            };
        }
        Value::String(_) => {
            *value = match below(rng, 3) {
                0 if another.is_string() => another,
                _ => json!(TEXTS[below(rng, TEXTS.len())]),
            };
        }
        Value::Array(elements) if !elements.is_empty() => {
            let (at, to) = (below(rng, elements.len()), below(rng, elements.len()));
            match below(rng, 5) {
                0 => drop(elements.remove(at)),
                1 => elements.push(elements[at].clone()),
                2 => elements.swap(at, to),
                3 => elements.reverse(),
                _ => elements.truncate(at.max(1)),
            }
        }
        Value::Object(members) if !members.is_empty() && !pointer.is_empty() => {
            let key = members.keys().nth(below(rng, members.len())).cloned();
            drop(members.remove(&key.unwrap()));
        }
        Value::Bool(truth) => *truth = !*truth,
        _ => {}
    }
}
