//! Any edition can be shown as it was.

use super::demo::{ask, demo, edited, list, read, told};
use jobtorque::answer::data::Answer;
use jobtorque::results::Results;
use serde_json::{Value, json};

/// The list for a job in an edition.
fn in_edition(results: &Results, edition: u32, job: &str) -> Answer {
    ask(results, json!({"job": job, "edition": edition}))
}

/// Everything told of an edition for three jobs.
fn told_in(results: &Results, edition: u32) -> Vec<String> {
    ["car-wheel-loosen", "678 N·m", "1250 N·m"]
        .map(|job| told(&in_edition(results, edition, job)))
        .to_vec()
}

/// The one listed pair.
fn pair(results: &Results, edition: u32, tool: &str, pack: &str) -> Answer {
    ask(
        results,
        json!({"job": "300 N·m", "edition": edition, "tool": tool, "pack": pack}),
    )
}

/// The document with an edition 4 that makes these corrections.
fn with_edition_4(document: &mut Value, corrections: Value) {
    let edition = json!({"edition": 4, "date": "2026-09-01", "corrections": corrections});
    list(document, "editions").push(edition);
}

#[test]
fn a_run_set_aside_later_counts_in_earlier_editions() {
    let before = edited(|document| with_edition_4(document, json!([])));
    let mut place = 0;
    let after = edited(|document| {
        with_edition_4(document, json!([]));
        let runs = list(document, "runs");
        place = runs
            .iter()
            .position(|run| run["tool"] == "vetch-18-small")
            .unwrap();
        runs[place]["excluded"] = json!({"reason": "bolt was oiled", "edition": 4});
    });
    for edition in 1..=3 {
        assert!(
            told_in(&before, edition) == told_in(&after, edition),
            "edition {edition}"
        );
    }
    assert!(told_in(&before, 4) != told_in(&after, 4));
    let pack = demo()["runs"][place]["pack"].as_str().unwrap().to_owned();
    let counts = |results, edition| {
        let answer = pair(results, edition, "vetch-18-small", &pack);
        (answer.runs_used, answer.runs_excluded)
    };
    assert_eq!(counts(&before, 4), (Some(3), Some(0)));
    assert_eq!(counts(&after, 3), (Some(3), Some(0)));
    assert_eq!(counts(&after, 4), (Some(2), Some(1)));
}

#[test]
fn an_excluded_run_of_the_file_counted_until_it_was_excluded() {
    // Its socket slipped; published in edition 1, taken out in edition 2.
    let results = read(&demo());
    let counts = |edition| {
        let answer = pair(&results, edition, "sorrel-18-medium", "slim-4-0");
        (answer.runs_used, answer.runs_excluded)
    };
    assert_eq!(counts(1), (Some(4), Some(0)));
    assert_eq!(counts(2), (Some(3), Some(1)));
}

#[test]
fn later_runs_leave_earlier_editions_as_they_were() {
    let all = read(&demo());
    let early =
        edited(|document| list(document, "runs").retain(|run| run["edition"].as_u64() < Some(3)));
    for edition in 1..=2 {
        assert!(
            told_in(&all, edition) == told_in(&early, edition),
            "edition {edition}"
        );
    }
    assert!(told_in(&all, 3) != told_in(&early, 3));
}

#[test]
fn a_torque_factor_counts_from_its_edition_on() {
    let factor = 1.25;
    let plain = edited(|document| with_edition_4(document, json!([])));
    let correction = json!([{"text": "read low", "days": ["2026-03-02"], "torque_factor": factor}]);
    let corrected = edited(|document| with_edition_4(document, correction));
    for edition in 1..=3 {
        assert!(
            told_in(&plain, edition) == told_in(&corrected, edition),
            "edition {edition}"
        );
    }
    // All runs of this pair are of that day.
    let asked = |job: f64| json!({"job": format!("{job} N·m"), "tool": "vetch-18-small", "pack": "slim-4-0"});
    for torque_nm in [20.0, 60.0, 150.0, 200.0] {
        let before = ask(&plain, asked(torque_nm));
        let after = ask(&corrected, asked(torque_nm * factor));
        for (before, after) in [
            (before.peak_torque_nm, after.peak_torque_nm),
            (before.largest_sample_nm, after.largest_sample_nm),
            (before.mean_torque_nm, after.mean_torque_nm),
            (before.early_torque_nm, after.early_torque_nm),
        ] {
            let (wanted, got) = (before.unwrap() * factor, after.unwrap());
            assert!((got / wanted - 1.0).abs() < 1e-12, "{got} is not {wanted}");
        }
        // Typical curves are told in tenths of a N·m, so that times move by what such a curve takes for that.
        let ends = before.typical_end_nm.zip(after.typical_end_nm).unwrap();
        assert!((ends.0 * factor - ends.1).abs() < 0.12, "{ends:?}");
        let times = before.time_to_job_s.zip(after.time_to_job_s).unwrap();
        let tenth_s = ask(&plain, asked(torque_nm + 0.1)).time_to_job_s.unwrap()
            - ask(&plain, asked(torque_nm - 0.1)).time_to_job_s.unwrap();
        assert!((times.0 - times.1).abs() < tenth_s, "{times:?}, {tenth_s}");
    }
    // A pair without a run of that day stays.
    let elsewhere = |results| pair(results, 4, "knapweed-36-large", "ten-cell-4-0").peak_torque_nm;
    assert_eq!(elsewhere(&plain), elsewhere(&corrected));
}

#[test]
fn factors_multiply() {
    let plain = edited(|document| with_edition_4(document, json!([])));
    let correction =
        |factor: f64| json!({"text": "x", "days": ["2026-03-02"], "torque_factor": factor});
    let both =
        edited(|document| with_edition_4(document, json!([correction(1.25), correction(0.8)])));
    let peak_nm = |results| {
        pair(results, 4, "sedge-18-small", "slim-4-0")
            .peak_torque_nm
            .unwrap()
    };
    assert!((peak_nm(&both) / peak_nm(&plain) - 1.0).abs() < 1e-12);
}

#[test]
fn the_files_own_correction_lowers_its_day() {
    // Edition 3 lowers the runs of 11 May by 0.9756; all runs of this pair are of that day.
    let results = read(&demo());
    let peak_nm = |edition| {
        pair(&results, edition, "vetch-18-small", "pouch-5-0")
            .peak_torque_nm
            .unwrap()
    };
    assert!((peak_nm(3) / peak_nm(2) - 0.9756).abs() < 1e-12);
}

#[test]
fn numbers_of_editions_rise_through_the_list() {
    let mut document = demo();
    list(&mut document, "editions").swap(0, 1);
    let problems = super::demo::try_read(&document.to_string()).unwrap_err();
    assert!(
        problems
            .iter()
            .all(|problem| problem.pointer.starts_with("/editions/")),
        "{problems:?}"
    );
}
