//! A list is what each of its pairs answers alone.

use super::demo::{NEWEST, ask, demo, edited, pairs, question, read, told};
use jobtorque::results::Results;
use serde_json::{Value, json};

/// Holds a list against its pairs, asked one by one.
fn is_its_pairs(results: &Results, asked: &Value) {
    let whole = ask(results, asked.clone());
    let list = whole.list.unwrap();
    assert!(!list.is_empty(), "{asked}");
    for mut listed in list {
        let mut one = asked.clone();
        (one["tool"], one["pack"]) = (json!(listed.tool), json!(listed.pack));
        let alone = ask(results, one);
        // What setups cost is told once, with the whole list.
        assert!(listed.setup_costs.is_empty());
        listed.setup_costs = whole.setup_costs.clone();
        // So is what nuts say that were tried.
        assert!(listed.nuts_tried.is_empty());
        listed.nuts_tried = whole.nuts_tried.clone();
        assert_eq!(told(&alone), told(&listed), "{asked}");
    }
}

#[test]
fn any_tool_and_any_pack_is_each_pair_one_by_one() {
    let results = read(&demo());
    for edition in 1..=NEWEST {
        for job in ["car-wheel-loosen", "678 N·m", "1650 N·m"] {
            for score in ["typical", "best-of-three"] {
                is_its_pairs(
                    &results,
                    &json!({"job": job, "score": score, "edition": edition}),
                );
            }
        }
    }
    is_its_pairs(
        &results,
        &json!({"job": "450 N·m", "setup": "cold-packs", "within_s": 1.5}),
    );
    for condition in [json!(1.4), json!("checked")] {
        let asked = json!({
            "job": "heavy-truck-wheel-loosen", "condition": condition, "units": "lbf-ft"
        });
        is_its_pairs(&results, &asked);
    }
}

#[test]
fn one_open_end_is_that_part_of_the_whole_list() {
    let results = read(&demo());
    let whole = pairs(&ask(&results, json!({"job": "250 N·m"})).list.unwrap());
    for (part, id) in [("tool", "sorrel-18-medium"), ("pack", "slim-4-0")] {
        let asked = json!({"job": "250 N·m", part: id});
        is_its_pairs(&results, &asked);
        let listed = pairs(&ask(&results, asked).list.unwrap());
        let matches = |pair: &&(String, String)| {
            if part == "tool" {
                pair.0 == id
            } else {
                pair.1 == id
            }
        };
        let wanted: Vec<_> = whole.iter().filter(matches).cloned().collect();
        assert!(wanted.len() > 4);
        assert_eq!(listed, wanted);
    }
}

#[test]
fn a_table_is_the_list_with_the_same_places() {
    let results = read(&demo());
    for score in ["typical", "best-of-three"] {
        let asked = json!({"job": "678 N·m", "score": score});
        let table = results.table(&question(asked.clone())).unwrap();
        let list = ask(&results, asked).list.unwrap();
        assert_eq!(table.rows.len() + table.estimates.len(), list.len());
        let rows = table.rows.iter().chain(&table.estimates);
        for (row, answer) in rows.zip(&list) {
            assert_eq!(row.figures.basis, answer.basis);
            assert_eq!(
                (Some(&row.tool), Some(&row.pack)),
                (answer.tool.as_ref(), answer.pack.as_ref())
            );
            assert_eq!((row.rank, Some(row.rank_of)), (answer.rank, answer.rank_of));
            assert_eq!(row.figures.time_to_job_s, answer.time_to_job_s);
            assert_eq!(row.figures.average_power_w, answer.average_power_w);
            assert_eq!(row.figures.peak_torque_nm, answer.peak_torque_nm);
            assert_eq!(row.figures.runs_used, answer.runs_used);
        }
    }
}

#[test]
fn where_nothing_was_run_the_list_says_so_and_names_no_number() {
    for invented in [true, false] {
        let results = edited(|document| {
            document["invented"] = json!(invented);
            document["runs"] = json!([]);
        });
        let answer = ask(&results, json!({"job": "300 N·m"}));
        assert_eq!(answer.headline, "No runs yet.");
        assert_eq!((answer.of, answer.reach_count), (Some(0), Some(0)));
        assert_eq!(answer.list.map(|list| list.len()), Some(0));
        assert_eq!(answer.rests_on, answer.remarks);
    }
}
