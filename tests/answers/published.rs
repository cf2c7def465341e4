//! The published form gives the same answers as the samples it was made from, bit for bit.

use super::demo::{NEWEST, ask, list, read, text, told, try_read};
use jobtorque::dataset::write::{Publish, published};
use jobtorque::dataset::{json, packed};
use jobtorque::problem::Problem;
use jobtorque::results::Results;
use serde_json::{Value, json};

/// The published text of the invented dataset's results.
fn published_demo(raw: &Results) -> String {
    published(
        &text("data/demo.json"),
        raw.buildups(),
        &raw.scatter().unwrap(),
        Publish::default(),
    )
    .unwrap()
}

fn both() -> (Results, Results) {
    let raw = try_read(&text("data/demo.json")).unwrap();
    let published = try_read(&published_demo(&raw)).unwrap();
    (raw, published)
}

/// The published text packed with the mark that `page` sets, read as the visitor's module reads it.
fn visited(document: &str) -> Result<Results, Problem> {
    let catalogue = serde_json::from_str(&text("www/texts/en.json")).unwrap();
    let dataset = packed::read(&marked(document))?;
    Results::published(dataset, catalogue, json::digits)
}

/// The published text packed, behind a mark.
fn marked(document: &str) -> Vec<u8> {
    let dataset = json::parse(document).unwrap().dataset;
    [
        &b"Jobtorque 0.0.0 sha256:0\n"[..],
        &packed::written(&dataset),
    ]
    .concat()
}

#[test]
fn a_visitor_is_answered_alike() {
    let (raw, _) = both();
    let visited = visited(&published_demo(&raw)).unwrap();
    let mut asked_for = 0;
    for edition in 1..=NEWEST {
        for job in ["100 N·m", "650 N·m", "M20 10.9"] {
            let asked = json!({"job": job, "edition": edition});
            let (a, b) = (ask(&raw, asked.clone()), ask(&visited, asked));
            assert!(told(&a) == told(&b), "{job}, edition {edition}");
            asked_for += a.list.unwrap().len();
        }
    }
    assert!(asked_for > 100, "{asked_for}");
}

#[test]
fn scatters_written_by_hand_are_passed_over_and_those_published_are_used() {
    let (raw, _) = both();
    let by_hand = |text: &str| {
        let mut document: Value = serde_json::from_str(text).unwrap();
        document["scatter"] = json!([{
            "rig": "bench", "setup": "standard", "edition": NEWEST,
            "specimen_ppm": 200_000, "specimen_cnu": 9_900, "pack_ppm": 200_000, "pack_cnu": 9_900,
            "day_ppm": 200_000, "day_cnu": 9_900,
        }]);
        document.to_string()
    };
    let asked = || json!({"tool": "sorrel-18-medium", "pack": "two-row-8-0", "job": "650 N·m"});
    let tester = try_read(&by_hand(&text("data/demo.json"))).unwrap();
    assert!(told(&ask(&tester, asked())) == told(&ask(&raw, asked())));
    // A visitor is answered by the six numbers of the file alone.
    let visitor = visited(&by_hand(&published_demo(&raw))).unwrap();
    let answer = ask(&visitor, asked());
    for percent in [
        answer.unit_scatter_percent,
        answer.pack_scatter_percent,
        answer.day_scatter_percent,
    ] {
        assert!((percent.unwrap() - 20.0).abs() < 1e-9, "{percent:?}");
    }
}

#[test]
fn a_visitor_is_shown_no_file_that_was_not_published_or_does_not_fit() {
    let (raw, _) = both();
    let whole = published_demo(&raw);
    let unmarked = packed::read(&marked(&whole)[1..]).unwrap_err();
    assert_eq!(unmarked.pointer, "/jobtorque");
    assert!(unmarked.message.contains("with `jobtorque page`"));
    let broken = |edit: &dyn Fn(&mut Value)| {
        let mut document: Value = serde_json::from_str(&whole).unwrap();
        edit(&mut document);
        visited(&document.to_string()).unwrap_err().pointer
    };
    let of_run = |key: &'static str, value: Value| {
        broken(&move |document| document["runs"][7][key] = value.clone())
    };
    let of_knots = |key: &'static str, change: &dyn Fn(&mut Value)| {
        broken(&|document| change(&mut document["runs"][7]["buildup"][key]))
    };
    let longer = |series: &mut Value| series.as_array_mut().unwrap().push(json!(1));
    assert_eq!(of_run("tool", json!("gone")), "/runs/7");
    assert_eq!(of_run("pack", json!("gone")), "/runs/7");
    assert_eq!(of_run("setup", json!("gone")), "/runs/7");
    assert_eq!(of_run("day", json!("gone")), "/runs/7");
    assert_eq!(of_run("buildup", Value::Null), "/runs/7");
    assert_eq!(of_knots("step", &longer), "/runs/7");
    assert_eq!(of_knots("rise_dnm", &longer), "/runs/7");
    assert_eq!(of_knots("step", &|series| series[3] = json!(0)), "/runs/7");
    assert_eq!(of_knots("step", &|series| series[0] = json!(1)), "/runs/7");
    assert_eq!(
        of_knots("rise_dnm", &|series| series[3] = json!(-1)),
        "/runs/7"
    );
    assert_eq!(of_knots("tick_us", &|tick| *tick = json!(0)), "/runs/7");
    assert_eq!(
        of_knots("onset_dnm", &|onset| *onset = json!(90_000)),
        "/runs/7"
    );
    assert_eq!(
        broken(&|document| document["format"] = json!("jobtorque/2")),
        "/format"
    );
}

#[test]
fn every_combination_edition_and_job_is_answered_alike() {
    let (raw, published) = both();
    let document: Value = serde_json::from_str(&text("data/demo.json")).unwrap();
    let jobs = document["jobs"].as_array().unwrap();
    for edition in 1..=NEWEST {
        for setup in ["standard", "cold-packs", "extension"] {
            for job in jobs {
                for score in ["typical", "best-of-three"] {
                    let asked = json!({"job": job["id"], "setup": setup, "edition": edition, "score": score});
                    let (a, b) = (ask(&raw, asked.clone()), ask(&published, asked));
                    assert!(
                        told(&a) == told(&b),
                        "{}, {setup}, edition {edition}",
                        job["id"]
                    );
                }
            }
        }
    }
}

#[test]
fn every_combination_is_answered_alike_at_ten_torques() {
    let (raw, published) = both();
    let mut asked_for = 0;
    for edition in 1..=NEWEST {
        for setup in ["standard", "cold-packs", "extension"] {
            let whole = ask(
                &raw,
                json!({"job": "100 N·m", "setup": setup, "edition": edition}),
            );
            for pair in whole.list.unwrap() {
                for tenth in 1..=10 {
                    let torque_nm = pair.typical_end_nm.unwrap() * f64::from(tenth) / 10.0;
                    let asked = json!({"job": format!("{torque_nm:.6} N·m"), "setup": setup,
                        "edition": edition, "tool": pair.tool, "pack": pair.pack});
                    let (a, b) = (ask(&raw, asked.clone()), ask(&published, asked.clone()));
                    assert!(told(&a) == told(&b), "{asked}");
                    asked_for += 1;
                }
            }
        }
    }
    assert!(asked_for > 1_000, "{asked_for}");
}

#[test]
fn publishing_what_is_published_changes_nothing() {
    let (raw, published_once) = both();
    let once = published_demo(&raw);
    let twice = published(
        &once,
        published_once.buildups(),
        &published_once.scatter().unwrap(),
        Publish::default(),
    )
    .unwrap();
    assert!(once == twice);
}

#[test]
fn drafts_operators_and_serial_numbers_are_not_published() {
    let (raw, _) = both();
    let mut document: Value = serde_json::from_str(&published_demo(&raw)).unwrap();
    assert!(
        list(&mut document, "days")
            .iter()
            .all(|day| day.get("operator").is_none())
    );
    assert!(
        list(&mut document, "specimens")
            .iter()
            .all(|one| one.get("serial_ends").is_none())
    );
    let runs = list(&mut document, "runs");
    assert_eq!(runs.len(), 164, "all but the draft");
    for run in runs {
        assert!(run["edition"].is_u64() && run["buildup"].is_object());
        assert!(run.get("torque_dnm").is_none() && run.get("interval_s").is_none());
    }
    assert!(read(&document).dataset().invented == Some(true));
}

#[test]
fn unknown_fields_are_published() {
    let mut document = super::demo::demo();
    document["tools"][0]["field_of_tomorrow"] = json!([1, {"a": null}]);
    document["runs"][0]["humidity_percent"] = json!(40.5);
    let raw = read(&document);
    let text = published(
        &document.to_string(),
        raw.buildups(),
        &raw.scatter().unwrap(),
        Publish::default(),
    )
    .unwrap();
    let published: Value = serde_json::from_str(&text).unwrap();
    assert_eq!(published["tools"][0], document["tools"][0]);
    assert_eq!(published["runs"][0]["humidity_percent"], json!(40.5));
}
