//! A dataset in short answers as the whole one does, or says that it cannot.

use super::demo::{ask, demo, question, text, try_read};
use jobtorque::dataset::summary::InShort;
use jobtorque::dataset::write::{Publish, published};
use jobtorque::dataset::{json, packed};
use jobtorque::results::Results;
use serde_json::{Value, json};

const MARK: &[u8] = b"Jobtorque 0.0.0 sha256:0\n";

/// The number of the newest edition of the demo.
const NEWEST: u32 = 3;

/// A document and the same as `page` puts it in short for an edition.
fn both(document: &Value, edition: u32) -> (Results, InShort) {
    let raw = document.to_string();
    let results = try_read(&raw).unwrap_or_else(|problems| panic!("{problems:?}"));
    let scatter = results.scatter().unwrap();
    let published = published(&raw, results.buildups(), &scatter, Publish::default()).unwrap();
    let dataset = json::parse(&published).unwrap().dataset;
    let in_short = try_read(&published)
        .unwrap()
        .put_in_short(&dataset, edition);
    let in_short = in_short.unwrap();
    (results, in_short)
}

/// Read again as the first part of a page reads it.
fn read(in_short: &InShort) -> Results {
    let bytes = [MARK, &packed::written(in_short)].concat();
    let read = packed::read_in_short(&bytes).unwrap();
    assert!(read.summary == in_short.summary && read.dataset == in_short.dataset);
    let catalogue = serde_json::from_str(&text("www/texts/en.json")).unwrap();
    Results::in_short(read, catalogue, json::digits).unwrap()
}

/// An answer without its best of three, for which runs need curves of their own.
fn by_typical(results: &Results, asked: &Value) -> Value {
    let mut answer = serde_json::to_value(ask(results, asked.clone())).unwrap();
    let list = answer["list"].as_array_mut();
    let parts: Vec<&mut Value> = list.into_iter().flatten().collect();
    let forget = |part: &mut Value| {
        for figure in ["best_of_three_power_w", "best_of_three_rise_rate_nm_per_s"] {
            part.as_object_mut().unwrap().remove(figure);
        }
    };
    parts.into_iter().for_each(forget);
    forget(&mut answer);
    answer
}

#[test]
fn results_in_short_answer_to_the_bit() {
    let mut document = demo();
    // A day that read low, and one of which check runs say so.
    document["editions"][2]["corrections"] = json!([
        {"text": "low", "days": ["2026-03-02"], "torque_factor": 1.0234, "from_checks": true},
        {"text": "high", "days": ["2026-04-20"], "torque_factor": 0.97},
    ]);
    for (document, edition) in [
        (demo(), NEWEST),
        (demo(), 2),
        (document.clone(), NEWEST),
        (document, 1),
    ] {
        let (results, in_short) = both(&document, edition);
        let in_short = read(&in_short);
        let mut answers = 0;
        for setup in ["standard", "cold-packs", "extension"] {
            for job in [
                "100 N·m",
                "433 N·m",
                "650 N·m",
                "M20 10.9",
                "car-wheel-loosen",
            ] {
                for rest in [
                    json!({}),
                    json!({"within_s": 1.3}),
                    json!({"direction": "loosen", "condition": "checked"}),
                    json!({"tool": "sorrel-18-medium", "pack": "two-row-8-0"}),
                    json!({"tool": "vetch-18-small", "pack": "ten-cell-4-0"}),
                ] {
                    let mut asked = rest;
                    asked["job"] = json!(job);
                    asked["edition"] = json!(edition);
                    asked["setup"] = json!(setup);
                    let are_tried = setup == "standard" && edition == NEWEST;
                    if !are_tried && asked["condition"] == "checked" {
                        // Enough nuts were tried in the standard setup alone, up to the newest edition.
                        asked["condition"] = json!(1.5);
                    }
                    let [a, b] = [&results, &in_short].map(|own| by_typical(own, &asked));
                    assert!(a == b, "{asked}:\n{a}\n{b}");
                    let curves = |own: &Results| {
                        let curves = own.curves(&question(asked.clone())).unwrap();
                        let told = |at| {
                            curves
                                .curves
                                .iter()
                                .map(move |one| one.combination.torque_at(at))
                        };
                        (
                            told(0.3).chain(told(4.9)).collect::<Vec<f64>>(),
                            curves
                                .curves
                                .iter()
                                .map(|one| one.band.clone())
                                .collect::<Vec<_>>(),
                        )
                    };
                    assert!(curves(&results) == curves(&in_short), "{asked}");
                    answers += 1;
                }
            }
        }
        assert_eq!(answers, 75);
        let to_choose = |results: &Results| {
            let mut contents = serde_json::to_value(results.contents()).unwrap();
            for told_on_the_page in ["summary", "measured", "citation"] {
                contents[told_on_the_page].take();
            }
            for edition in contents["editions"].as_array_mut().unwrap() {
                edition["lines"].take();
            }
            contents
        };
        assert_eq!(to_choose(&results), to_choose(&in_short));
        assert!(in_short.contents().measured.is_empty());
    }
}

#[test]
fn what_needs_the_runs_curves_is_a_problem() {
    let (_, in_short) = both(&demo(), NEWEST);
    let results = read(&in_short);
    for asked in [
        json!({"job": "300 N·m", "edition": 2}),
        json!({"job": "300 N·m", "edition": 1}),
        json!({"job": "300 N·m", "score": "best-of-three"}),
    ] {
        let problem = results.study(&question(asked.clone())).unwrap_err();
        assert_eq!(problem.found, "results in short", "{asked}");
    }
    // What an article does not say its edition of is asked of the newest.
    let (_, older) = both(&demo(), 2);
    let older = read(&older);
    assert!(
        older
            .study(&question(json!({"job": "300 N·m", "edition": 2})))
            .is_ok()
    );
    assert!(older.study(&question(json!({"job": "300 N·m"}))).is_err());
}

#[test]
fn a_field_whose_runs_have_angles_of_their_own_is_not_put_in_short() {
    let mut document = demo();
    let mut runs = document["runs"].as_array_mut().unwrap().iter_mut();
    let run = runs.find(|run| run["setup"] == "extension").unwrap();
    let samples = run["torque_dnm"].as_array().unwrap().len();
    run["angle_ddeg"] = (0..samples).map(|sample| json!(sample)).collect();
    let (_, in_short) = both(&document, NEWEST);
    let setups = in_short
        .summary
        .fields
        .iter()
        .map(|field| field.setup.as_str());
    assert_eq!(setups.collect::<Vec<_>>(), ["standard", "cold-packs"]);
    let results = read(&in_short);
    let asked = |setup: &str| question(json!({"job": "300 N·m", "setup": setup}));
    assert!(results.study(&asked("standard")).is_ok());
    assert!(results.study(&asked("extension")).is_err());
}

#[test]
fn results_in_short_are_no_whole_ones_and_the_other_way_round() {
    let (_, in_short) = both(&demo(), NEWEST);
    let bytes = [MARK, &packed::written(&in_short)].concat();
    let problem = packed::read(&bytes).unwrap_err();
    assert_eq!(problem.pointer, "/format");
    let mut fewer = in_short;
    fewer.summary.mean_mnm.pop();
    let catalogue = serde_json::from_str(&text("www/texts/en.json")).unwrap();
    assert!(Results::in_short(fewer, catalogue, json::digits).is_err());
}
