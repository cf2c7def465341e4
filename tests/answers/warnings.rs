//! What an answer says to bear in mind.

use super::demo::{ask, demo, edited, list, read};
use jobtorque::results::Results;
use jobtorque::text::warning::Warning;
use serde_json::{Value, json};

const TOOL: &str = "vetch-18-small";
const PACK: &str = "slim-4-0";

/// The runs of the pair.
fn runs(document: &mut Value) -> impl Iterator<Item = &mut Value> {
    list(document, "runs")
        .iter_mut()
        .filter(|run| run["tool"] == TOOL && run["pack"] == PACK)
}

/// Whether the answer of a pair has a warning.
fn warns(results: &Results, tool: &str, pack: &str, job: &str, warning: &Warning) -> bool {
    let answer = ask(results, json!({"job": job, "tool": tool, "pack": pack}));
    let words = warning.words(results.catalogue());
    let remarked = answer.remarks.contains(&words);
    assert_eq!(remarked, answer.rests_on.contains(&words));
    remarked || answer.warnings.contains(&words)
}

/// Whether the pair has a warning that it lacks as the file stands.
fn warns_after(edit: impl FnOnce(&mut Value), warning: &Warning) {
    let (before, after) = (read(&demo()), edited(edit));
    let warns = |results| warns(results, TOOL, PACK, "100 N·m", warning);
    assert!(!warns(&before), "{warning:?} as the file stands");
    assert!(warns(&after), "{warning:?} after the edit");
}

#[test]
fn sampling_slower_than_a_hundred_a_second() {
    let interval_s = |interval_s: f64| {
        move |document: &mut Value| {
            for run in runs(document) {
                run["interval_s"] = json!(interval_s);
            }
        }
    };
    warns_after(interval_s(0.0125), &Warning::SlowSampling(80));
    // One slow run is enough; a hundred a second is not slow.
    warns_after(
        |document| runs(document).next().unwrap()["interval_s"] = json!(0.02),
        &Warning::SlowSampling(50),
    );
    let hundred = edited(interval_s(0.01));
    assert!(!warns(
        &hundred,
        TOOL,
        PACK,
        "100 N·m",
        &Warning::SlowSampling(100)
    ));
}

#[test]
fn packs_that_were_not_full() {
    let lowered = |part: f64, most: usize| {
        move |document: &mut Value| {
            let logged = runs(document).filter(|run| !run["voltage_mv"].is_null());
            for run in logged.take(most) {
                for voltage in run["voltage_mv"].as_array_mut().unwrap() {
                    *voltage = json!((voltage.as_f64().unwrap() * (1.0 - part)).round() as i64);
                }
            }
        }
    };
    warns_after(lowered(0.02, 1), &Warning::PacksNotFull(1));
    warns_after(lowered(0.02, 9), &Warning::PacksNotFull(2));
    let nearly = edited(lowered(0.006, 9));
    for runs in [1, 2] {
        assert!(!warns(
            &nearly,
            TOOL,
            PACK,
            "100 N·m",
            &Warning::PacksNotFull(runs)
        ));
    }
}

#[test]
fn runs_cut_short() {
    let results = read(&demo());
    for (tool, pack) in [
        ("yarrow-18-large", "two-row-5-0"),
        ("bracken-18-medium", "slim-2-5"),
    ] {
        assert!(warns(&results, tool, pack, "100 N·m", &Warning::Short(1)));
    }
    let stops = |document: &mut Value| {
        for run in runs(document).take(2) {
            run["torque_dnm"].as_array_mut().unwrap().truncate(700);
            for series in ["voltage_mv", "current_ma"] {
                if let Some(series) = run.get_mut(series) {
                    series.as_array_mut().unwrap().truncate(700);
                }
            }
        }
    };
    warns_after(stops, &Warning::Short(2));
}

#[test]
fn runs_begun_under_load() {
    // A tenth of a second at 50 N·m, before all that was logged at rest.
    let under_load = |most: usize| {
        move |document: &mut Value| {
            for run in runs(document).take(most) {
                for torque in run["torque_dnm"]
                    .as_array_mut()
                    .unwrap()
                    .iter_mut()
                    .take(20)
                {
                    *torque = json!(500);
                }
            }
        }
    };
    warns_after(under_load(1), &Warning::NoQuiet(1));
    warns_after(under_load(2), &Warning::NoQuiet(2));
}

#[test]
fn one_run_alone() {
    let one = |document: &mut Value| {
        let mut kept = 0;
        list(document, "runs").retain(|run| {
            let of_pair = run["tool"] == TOOL && run["pack"] == PACK;
            kept += u32::from(of_pair);
            !of_pair || kept == 1
        });
    };
    warns_after(one, &Warning::OneRun);
}

#[test]
fn no_calibration_in_force() {
    let later = |document: &mut Value| {
        document["rigs"][0]["calibrations"][0]["date"] = json!("2026-03-03");
    };
    warns_after(later, &Warning::NoCalibration);
}

#[test]
fn beyond_the_joints_line() {
    let short_line = |document: &mut Value| {
        let joint = &mut document["rigs"][0]["joints"][0];
        (joint["angle_deg"], joint["torque_nm"]) = (json!([0, 6]), json!([0, 55]));
    };
    warns_after(short_line, &Warning::BeyondJointLine);
}

#[test]
fn the_temperatures_that_were_tested_are_told_of_the_standard_setup() {
    const LESS: &str = "Cold, old or part-empty packs do less.";
    let told = |results: &Results, asked: Value| {
        let reminders = ask(results, asked).reminders;
        reminders
            .into_iter()
            .find(|text| text.ends_with(LESS))
            .unwrap()
    };
    // Turned in reverse, cold packs do not tell what cold costs, which would be said in its place.
    let days = |temperatures: [Value; 2]| {
        edited(|document| {
            list(document, "setups")[1]["rotation"] = json!("reverse");
            for (place, day) in list(document, "days").iter_mut().enumerate() {
                day["ambient_c"] = temperatures[place % 2].clone();
            }
        })
    };
    let asked = json!({"job": "400 N·m"});
    for (temperatures, tested) in [
        (
            [json!(23), json!(17.5)],
            "Tested with full packs at 17.5 to 23 °C. ",
        ),
        (
            [json!(20), json!(null)],
            "Tested with full packs at 20 °C. ",
        ),
        ([json!(null), json!(null)], ""),
    ] {
        let results = days(temperatures);
        assert_eq!(told(&results, asked.clone()), format!("{tested}{LESS}"));
        let cold = json!({"job": "400 N·m", "setup": "cold-packs"});
        assert_eq!(told(&results, cold), LESS);
    }
    let part_empty = edited(|document| {
        list(document, "setups")[1]["rotation"] = json!("reverse");
        list(document, "setups")[0]["start_charge_percent"] = json!(80);
    });
    assert_eq!(told(&part_empty, asked), LESS);
}
