//! Places in a field, worked out again from the figures of a list.

use super::demo::{NEWEST, ask, demo, edited, list, measured, read};
use jobtorque::answer::data::Answer;
use jobtorque::query::verdict::Verdict;
use serde_json::json;

/// Whether one figure is above another by more than a tie.
fn above(a: f64, b: f64) -> bool {
    a > b && a - b >= 1e-9 * a.abs().max(b.abs())
}

/// Whether an answer stands before another: shorter time to the job first, then those that do not
/// reach it by their torque at the window's end.
fn is_faster(a: &Answer, b: &Answer) -> bool {
    match (a.time_to_job_s, b.time_to_job_s) {
        (Some(a), Some(b)) => above(b, a),
        (Some(_), None) => true,
        (None, Some(_)) => false,
        (None, None) => above(a.typical_end_nm.unwrap(), b.typical_end_nm.unwrap()),
    }
}

#[test]
fn places_are_by_time_then_by_torque() {
    let results = read(&demo());
    let (mut reached, mut short) = (0, 0);
    for edition in 1..=NEWEST {
        for job in [
            "car-wheel-loosen",
            "450 N·m",
            "heavy-truck-wheel-loosen",
            "1250 N·m",
            "1650 N·m",
        ] {
            let answer = ask(&results, json!({"job": job, "edition": edition}));
            let (rank_of, of, reach_count) = (answer.rank_of, answer.of, answer.reach_count);
            let list = measured(answer);
            for one in &list {
                let before = list.iter().filter(|other| is_faster(other, one)).count();
                assert_eq!(one.rank, Some(1 + before as u32), "{job}, {}", one.label);
                assert_eq!(one.rank_of, Some(list.len() as u32));
            }
            assert!(list.is_sorted_by_key(|one| one.rank));
            assert_eq!(
                (rank_of, of),
                (Some(list.len() as u32), Some(list.len() as u32))
            );
            let reaching = list
                .iter()
                .filter(|one| one.time_to_job_s.is_some())
                .count();
            let within = |one: &&Answer| one.verdict == Some(Verdict::WithinReach);
            let judged = list.iter().filter(within).count();
            assert_eq!(reach_count, Some(judged as u32), "{job}");
            let promised = list
                .iter()
                .filter(within)
                .all(|one| one.reach_probability.unwrap() >= 0.95);
            assert!(promised && judged <= reaching, "{job}");
            reached += reaching;
            short += list.len() - reaching;
        }
    }
    assert!(reached > 100 && short > 100, "{reached}, {short}");
}

#[test]
fn the_best_of_three_places_only_those_with_three_runs() {
    let results = edited(|document| {
        // Two runs are left of this pair.
        let runs = list(document, "runs");
        let place = runs
            .iter()
            .position(|run| run["tool"] == "vetch-18-small" && run["pack"] == "slim-4-0");
        runs.remove(place.unwrap());
    });
    let answer = ask(
        &results,
        json!({"job": "150 N·m", "score": "best-of-three"}),
    );
    let rank_of = answer.rank_of;
    let list = measured(answer);
    let scored: Vec<&Answer> = list
        .iter()
        .filter(|one| one.best_of_three_power_w.is_some())
        .collect();
    assert!(scored.len() < list.len());
    assert_eq!(rank_of, Some(scored.len() as u32));
    for one in &list {
        let score = one.best_of_three_power_w;
        let before = scored
            .iter()
            .filter(|other| other.best_of_three_power_w > score)
            .count();
        assert_eq!(one.rank, score.map(|_| 1 + before as u32), "{}", one.label);
        assert_eq!(one.rank_of, rank_of);
    }
    let last = list.last().unwrap();
    assert_eq!(
        (last.tool.as_deref(), last.rank),
        (Some("vetch-18-small"), None)
    );
}

#[test]
fn a_tools_list_keeps_the_places_of_the_whole_field() {
    let results = read(&demo());
    let whole = ask(&results, json!({"job": "678 N·m"}));
    let part = ask(
        &results,
        json!({"job": "678 N·m", "tool": "yarrow-18-large"}),
    );
    assert_eq!(part.rank_of, whole.rank_of);
    let whole = whole.list.unwrap();
    for one in part.list.unwrap() {
        let same = whole.iter().find(|other| other.label == one.label).unwrap();
        assert_eq!(one.rank, same.rank);
    }
}

#[test]
fn an_answer_does_not_depend_on_what_was_asked_before() {
    let questions = [
        json!({"job": "450 N·m"}),
        json!({"job": "450 N·m", "edition": 1}),
        json!({"job": "450 N·m", "edition": 2}),
        json!({"job": "450 N·m", "setup": "cold-packs"}),
        json!({"job": "450 N·m", "score": "best-of-three"}),
        json!({"job": "450 N·m", "condition": 1.5}),
        json!({"job": "450 N·m", "within_s": 0.3}),
    ];
    let one = read(&demo());
    for question in questions.iter().chain(questions.iter().rev()) {
        let fresh = ask(&read(&demo()), question.clone());
        assert_eq!(ask(&one, question.clone()), fresh, "{question}");
    }
}
