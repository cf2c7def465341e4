//! A torque that a curve reaches exactly, and pairs that tie.

use super::demo::{ask, demo, list, question, read};
use jobtorque::results::Results;
use serde_json::{Value, json};

/// A run whose curve rises evenly in 0.625 s, half of the instants of the window, to `end_nm` and stays there.
fn run(tool: &str, pack: &str, end_nm: u32) -> Value {
    json!({
        "tool": tool, "pack": pack, "setup": "standard", "day": "2026-03-02", "edition": 1,
        "buildup": {
            "onset_dnm": 0, "tick_us": 1000, "first_us": 0, "step": [0, 625, 4875],
            "rise_dnm": [0, 10 * end_nm, 0], "largest_dnm": 10 * end_nm, "samples": 5501,
            "zero_dnm": 0, "gap_us": 1000,
        },
    })
}

/// The invented dataset with these runs in place of its own.
fn with_runs(runs: Vec<Value>) -> Results {
    let mut document = demo();
    *list(&mut document, "runs") = runs;
    *list(&mut document, "field_checks") = Vec::new();
    read(&document)
}

const PAIR: (&str, &str) = ("sorrel-18-medium", "two-row-5-0");
const OTHER: (&str, &str) = ("bracken-18-medium", "two-row-5-0");

fn runs(pair: (&str, &str), end_nm: u32, count: usize) -> Vec<Value> {
    vec![run(pair.0, pair.1, end_nm); count]
}

#[test]
fn a_curve_that_ends_at_the_jobs_torque_reaches_it() {
    for end_nm in 601..=720 {
        // One run, and several whose mean logarithm is no exact one.
        for count in [1, 4] {
            let results = with_runs(runs(PAIR, end_nm, count));
            let asked = json!({"job": format!("{end_nm} N·m"), "tool": PAIR.0, "pack": PAIR.1});
            let answer = ask(&results, asked.clone());
            assert_eq!(answer.typical_end_nm, Some(f64::from(end_nm)));
            assert_eq!(answer.peak_torque_nm, Some(f64::from(end_nm)));
            assert_eq!(answer.time_to_job_s, Some(0.625), "{end_nm}");
            let rows = results.table(&question(asked)).unwrap().rows;
            assert_eq!(rows[0].reaches, Some(true), "{end_nm}");
            if count == 4 {
                assert!(answer.best_of_three_rise_rate_nm_per_s > Some(0.0));
                assert_eq!(answer.reach_probability, Some(0.5), "{end_nm}");
            }
        }
    }
}

#[test]
fn a_needed_torque_that_a_factor_makes_is_reached_too() {
    // 650 × 1.1 is 715.000 000 000 000 1.
    let results = with_runs(runs(PAIR, 715, 3));
    let asked = json!({"job": "650 N·m", "direction": "loosen", "condition": 1.1});
    let answer = ask(&results, asked);
    assert!(answer.required_torque_nm > 715.0);
    let list = answer.list.unwrap();
    assert_eq!(list[0].time_to_job_s, Some(0.625));
    let misses = results.choices(&question(json!({"job": "650 N·m", "condition": 1.1})));
    let misses = misses.unwrap().misses;
    assert!(
        misses.iter().all(|miss| miss.short_nm.is_none()),
        "{misses:?}"
    );
    // A torque that is missed by more than a tie is missed.
    let missed = ask(&results, json!({"job": "715.00001 N·m"})).list.unwrap();
    assert_eq!(missed[0].time_to_job_s, None);
}

#[test]
fn pairs_that_take_the_same_time_share_place_score_and_interval() {
    // Five runs beside three: sums of shares differ in the last bits, scores do not.
    let mut both = runs(PAIR, 700, 3);
    both.extend(runs(OTHER, 700, 5));
    both.extend(runs(("yarrow-18-large", "two-row-5-0"), 900, 3));
    let results = with_runs(both);
    for job in ["333.3 N·m", "700 N·m", "701 N·m"] {
        for score in ["typical", "best-of-three"] {
            let list = ask(&results, json!({"job": job, "score": score}))
                .list
                .unwrap();
            let of = |pair: (&str, &str)| {
                list.iter()
                    .find(|one| one.tool.as_deref() == Some(pair.0))
                    .unwrap()
            };
            let (one, other) = (of(PAIR), of(OTHER));
            assert_eq!((one.rank, other.rank), (Some(2), Some(2)), "{job} {score}");
            assert_eq!(one.peak_torque_nm, other.peak_torque_nm);
            assert_eq!(one.time_to_job_s, other.time_to_job_s);
            for (one, other) in [
                (one.best_of_three_power_w, other.best_of_three_power_w),
                (
                    one.best_of_three_rise_rate_nm_per_s,
                    other.best_of_three_rise_rate_nm_per_s,
                ),
            ] {
                let (one, other) = (one.unwrap(), other.unwrap());
                assert!((one - other).abs() <= 1e-12 * one, "{one} {other}");
            }
            for answer in [one, other] {
                let place = answer.rank_low..=answer.rank_high;
                assert!(place.contains(&answer.rank), "{job} {score}: {place:?}");
            }
            let asked = question(json!({"job": job, "score": score}));
            let rows = results.table(&asked).unwrap().rows;
            let ranks: Vec<Option<u32>> = rows.iter().map(|row| row.rank).collect();
            assert_eq!(ranks, [Some(1), Some(2), Some(2)], "{job} {score}");
        }
    }
}
