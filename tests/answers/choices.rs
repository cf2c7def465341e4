//! Others that reach the job, held against the table and worked out again.

use super::demo::{demo, edited, list, question, read};
use jobtorque::alternatives::data::{Choice, Choices};
use jobtorque::query::verdict::Verdict;
use jobtorque::results::Results;
use jobtorque::table::row::Row;
use serde_json::{Value, json};

const JOB: &str = "678 N·m";

fn choices(results: &Results, asked: Value) -> Choices {
    let what = asked.to_string();
    results
        .choices(&question(asked))
        .unwrap_or_else(|problem| panic!("{what}: {problem}"))
}

fn pairs(choices: &[Choice]) -> Vec<(&str, &str)> {
    choices
        .iter()
        .map(|choice| (choice.row.tool.as_str(), choice.row.pack.as_str()))
        .collect()
}

#[test]
fn they_are_every_pair_within_reach_in_the_order_picked() {
    let results = read(&demo());
    // A job that the typical run of some pair reaches that does not have it within reach.
    let job = "740 N·m";
    let table = results.table(&question(json!({"job": job}))).unwrap();
    assert!(
        table
            .rows
            .iter()
            .any(|row| { row.reaches == Some(true) && row.verdict == Some(Verdict::Borderline) })
    );
    let mut wanted: Vec<(&str, &str)> = table
        .rows
        .iter()
        .filter(|row| row.verdict == Some(Verdict::WithinReach))
        .map(|row| (row.tool.as_str(), row.pack.as_str()))
        .collect();
    wanted.sort_unstable();
    type Figure = fn(&Row) -> Option<f64>;
    let orders: [(&str, Figure); 4] = [
        ("lightest", |row| row.mass_kg),
        ("shortest", |row| row.length_mm),
        ("least-costly", |row| row.price),
        ("quickest", |row| row.figures.time_to_job_s),
    ];
    for (order, figure) in orders {
        let told = choices(&results, json!({"job": job, "order": order}));
        let mut found = pairs(&told.rows);
        let figures: Vec<f64> = told
            .rows
            .iter()
            .map(|choice| figure(&choice.row).unwrap_or(f64::INFINITY))
            .collect();
        assert!(figures.is_sorted(), "{order}: {figures:?}");
        let without = figures.iter().filter(|figure| figure.is_infinite()).count();
        assert_eq!(told.without as usize, without);
        found.sort_unstable();
        assert_eq!(found, wanted, "{order}");
        assert!(told.judged && told.misses.is_empty());
    }
}

/// Whether one row is no worse than another in each of these, and better in one; what is missing is
/// the worst.
fn beats(a: &Row, b: &Row) -> bool {
    let worst = f64::INFINITY;
    let triples = [
        (a.mass_kg, b.mass_kg),
        (a.price, b.price),
        (a.figures.time_to_job_s, b.figures.time_to_job_s),
    ];
    let triples = triples.map(|(a, b)| (a.unwrap_or(worst), b.unwrap_or(worst)));
    triples.iter().all(|(a, b)| a <= b) && triples.iter().any(|(a, b)| a < b)
}

#[test]
fn those_that_no_other_beats_are_marked() {
    let results = read(&demo());
    for asked in [
        json!({"job": JOB}),
        json!({"job": "250 N·m", "narrow": {"size": "medium"}}),
        json!({"job": "250 N·m", "within_s": 0.5}),
    ] {
        let told = choices(&results, asked).rows;
        assert!(told.len() > 5);
        for one in &told {
            let beaten = told.iter().any(|other| beats(&other.row, &one.row));
            assert_eq!(one.unbeaten, !beaten, "{} {}", one.row.tool, one.row.pack);
        }
        assert!(told.iter().any(|one| one.unbeaten) && told.iter().any(|one| !one.unbeaten));
    }
}

#[test]
fn the_pair_asked_for_is_left_out_but_still_beats_others() {
    let results = read(&demo());
    let all = choices(&results, json!({"job": JOB})).rows;
    // Someone among the unbeaten is the only one that beats some other.
    for asked in all.iter().filter(|one| one.unbeaten) {
        let asked = &asked.row;
        let others = json!({"job": JOB, "tool": asked.tool, "pack": asked.pack});
        let others = choices(&results, others).rows;
        let wanted: Vec<&Choice> = all
            .iter()
            .filter(|one| (&one.row.tool, &one.row.pack) != (&asked.tool, &asked.pack))
            .collect();
        assert_eq!(others.iter().collect::<Vec<_>>(), wanted);
    }
    let asked = &all[0].row;
    let one_tool = choices(&results, json!({"job": JOB, "tool": asked.tool})).rows;
    assert!(!one_tool.is_empty() && one_tool.iter().all(|one| one.row.tool == asked.tool));
}

#[test]
fn the_limits_of_the_visitor_hold() {
    let results = read(&demo());
    let told = choices(
        &results,
        json!({"job": JOB, "narrow": {"longest_mm": 160, "heaviest_kg": 2.3}}),
    );
    assert!(!told.rows.is_empty());
    for one in &told.rows {
        assert!(one.row.length_mm.unwrap() <= 160.0 && one.row.mass_kg.unwrap() <= 2.3);
    }
    let nothing = json!({"job": JOB, "narrow": {"size": "small"}});
    let told = choices(&results, nothing.clone());
    assert!(told.rows.is_empty());
    let words = results.worded_choices(&question(nothing)).unwrap();
    assert_eq!(
        words.empty.as_deref(),
        Some("Within your limits, no pair has 678 N·m within reach. These come closest:")
    );
    assert_eq!(words.rows.len(), 3);
}

#[test]
fn the_first_five_stand_there_and_the_rest_opens() {
    let results = read(&demo());
    let worded = |asked: Value| results.worded_choices(&question(asked)).unwrap();
    let many = worded(json!({"job": JOB}));
    let length = many.rows.len();
    assert!(length > 6, "{length}");
    for (place, row) in many.rows.iter().enumerate() {
        assert_eq!(row.at_first, place < 5, "{place}: {}", row.name);
    }
    assert_eq!(many.open_all, Some(format!("Show all {length} pairs")));
    // Where none reaches the job, all that come closest stand there.
    let misses = worded(json!({"job": "2000 N·m"}));
    assert!(misses.rows.len() == 3 && misses.rows.iter().all(|row| row.at_first));
    assert_eq!(misses.open_all, None);
}

/// They are of those that reach the job in any case: that the table shows these alone limits nothing here.
#[test]
fn a_table_of_those_that_reach_the_job_takes_away_none_that_come_closest() {
    let results = read(&demo());
    for job in [JOB, "2000 N·m"] {
        let told = |asked: Value| {
            let words = results.worded_choices(&question(asked.clone())).unwrap();
            (choices(&results, asked), words)
        };
        let alone = told(json!({"job": job, "narrow": {"reaching": true}}));
        assert_eq!(alone, told(json!({"job": job})), "{job}");
        let (told, _) = alone;
        assert_eq!(told.misses.len(), if told.rows.is_empty() { 3 } else { 0 });
    }
}

#[test]
fn where_none_reaches_the_nearest_are_told_and_by_how_much() {
    let results = read(&demo());
    let asked = json!({"job": "2000 N·m"});
    let told = choices(&results, asked.clone());
    let table = results.table(&question(asked.clone())).unwrap();
    assert!(told.rows.is_empty() && told.misses.len() == 3);
    let chances: Vec<f64> = told
        .misses
        .iter()
        .map(|miss| miss.reach_probability.unwrap())
        .collect();
    assert!(chances.is_sorted_by(|a, b| a >= b));
    let best = table
        .rows
        .iter()
        .map(|row| row.reach_probability.unwrap())
        .fold(0.0, f64::max);
    assert_eq!(chances[0], best);
    for miss in &told.misses {
        let row = table
            .rows
            .iter()
            .find(|row| (&row.tool, &row.pack) == (&miss.tool, &miss.pack));
        assert_eq!(
            Some(miss.typical_within_nm),
            row.map(|row| row.figures.typical_end_nm.unwrap())
        );
        assert_eq!(miss.short_nm, Some(2000.0 - miss.typical_within_nm));
    }
    let words = results.worded_choices(&question(asked)).unwrap();
    let cell = &words.rows[0].cells[0];
    assert!(
        cell.starts_with("a typical run ends at ") && cell.ends_with(" N·m short"),
        "{cell}"
    );
    // By hand: a patience that ends early is named.
    let soon = results.worded_choices(&question(json!({"job": "2000 N·m", "within_s": 0.5})));
    assert!(soon.unwrap().rows[0].cells[0].contains(" after 0.5 s, "));
}

#[test]
fn with_too_few_runs_the_typical_run_counts_and_that_is_said() {
    let results = edited(|document| {
        let mut seen = Vec::new();
        list(document, "runs").retain(|run| {
            let pair = (run["tool"].clone(), run["pack"].clone());
            let first = !seen.contains(&pair) && run["setup"] == "standard";
            seen.push(pair);
            first
        });
    });
    let asked = json!({"job": "300 N·m"});
    let table = results.table(&question(asked.clone())).unwrap();
    let reaching = table
        .rows
        .iter()
        .filter(|row| row.reaches == Some(true))
        .count();
    let told = choices(&results, asked.clone());
    assert!(reaching > 5 && !told.judged);
    assert_eq!(told.rows.len(), reaching);
    let words = results.worded_choices(&question(asked)).unwrap();
    assert_eq!(
        words.notes[0],
        "There are too few runs to say. On these, the typical run reaches it."
    );
}

#[test]
fn prices_in_two_currencies_give_no_order_and_beat_nothing() {
    let results = edited(|document| {
        for price in list(document, "tools")[3]["prices"].as_array_mut().unwrap() {
            price["currency"] = json!("SEK");
        }
        for price in list(document, "packs")[1]["prices"].as_array_mut().unwrap() {
            price["currency"] = json!("SEK");
        }
    });
    let told = choices(&results, json!({"job": JOB, "order": "least-costly"}));
    let light = choices(&results, json!({"job": JOB}));
    assert!(told.across_currencies && !told.priced);
    assert_eq!(told.rows, light.rows);
    let words = results
        .worded_choices(&question(json!({"job": JOB, "order": "least-costly"})))
        .unwrap();
    assert_eq!(words.order, "lightest");
    assert_eq!(
        words.notes,
        ["Prices are in EUR, SEK. Choose one currency to sort by."]
    );
    assert_eq!(
        words.legend.as_deref(),
        Some("No other beats a marked one on mass and time together.")
    );
}
