//! What is narrowed and sorted keeps its places; what is long is folded, and nothing is lost.

use super::demo::{demo, edited, list, question, read};
use jobtorque::results::Results;
use jobtorque::table::data::{Table, WordedRow, WordedTable};
use jobtorque::table::row::Row;
use serde_json::{Value, json};
use std::collections::{BTreeMap, BTreeSet};

/// Said of a table with all prices of the invented dataset.
const PRICES: &str = "Prices of February 2026 to July 2026, with tax. Check before you buy.";

/// A torque that some pairs of the invented dataset reach and some do not.
const JOB: &str = "678 N·m";

fn table(results: &Results, asked: Value) -> Table {
    let what = asked.to_string();
    results
        .table(&question(asked))
        .unwrap_or_else(|problem| panic!("{what}: {problem}"))
}

fn worded(results: &Results, asked: Value) -> WordedTable {
    results.worded_table(&question(asked)).unwrap()
}

fn pair(row: &Row) -> (String, String) {
    (row.tool.clone(), row.pack.clone())
}

/// Whether one field's row equals another but for nothing.
fn by_pair(table: &Table) -> BTreeMap<(String, String), Row> {
    table
        .rows
        .iter()
        .map(|row| (pair(row), row.clone()))
        .collect()
}

#[test]
fn a_narrowed_table_is_that_part_of_the_whole_with_its_places() {
    let results = read(&demo());
    let document = demo();
    let tools: BTreeMap<&str, &Value> = document["tools"]
        .as_array()
        .unwrap()
        .iter()
        .map(|tool| (tool["id"].as_str().unwrap(), tool))
        .collect();
    let whole = table(&results, json!({"job": JOB}));
    let all = by_pair(&whole);
    type Keeps<'a> = Box<dyn Fn(&Row) -> bool + 'a>;
    let tool = |row: &Row| tools[row.tool.as_str()];
    let cases: Vec<(Value, Keeps)> = vec![
        (
            json!({"find": "SÓRREL mid"}),
            Box::new(|row| row.tool == "sorrel-18-medium"),
        ),
        (
            json!({"find": "the little one slim"}),
            Box::new(|row| row.tool == "sedge-18-small" && row.pack.starts_with("slim")),
        ),
        (
            json!({"find": "stile"}),
            Box::new(|row| tool(row)["maker"].as_str().unwrap().starts_with("Stile")),
        ),
        (
            json!({"size": "large"}),
            Box::new(|row| tool(row)["size"] == "large"),
        ),
        (
            json!({"mount": "hedge-rail-36"}),
            Box::new(|row| tool(row)["pack_mount"] == "hedge-rail-36"),
        ),
        (
            json!({"still_sold": true}),
            Box::new(|row| tool(row)["last_sold"].is_null()),
        ),
        (
            json!({"longest_mm": 152}),
            Box::new(|row| row.length_mm.is_some_and(|length| length <= 152.0)),
        ),
        (
            json!({"heaviest_kg": 2.5}),
            Box::new(|row| row.mass_kg.is_some_and(|mass| mass <= 2.5)),
        ),
        (
            json!({"dearest": 300, "size": "medium"}),
            Box::new(|row| {
                row.price.is_some_and(|price| price <= 300.0) && tool(row)["size"] == "medium"
            }),
        ),
        (
            json!({"reaching": true}),
            Box::new(|row| row.reach_probability.is_some_and(|chance| chance >= 0.95)),
        ),
    ];
    for (narrow, keeps) in cases {
        let narrowed = table(&results, json!({"job": JOB, "narrow": narrow}));
        let wanted: Vec<&Row> = whole.rows.iter().filter(|row| keeps(row)).collect();
        assert!(
            !wanted.is_empty() && wanted.len() < whole.rows.len(),
            "{narrow}"
        );
        assert_eq!(narrowed.rows.iter().collect::<Vec<_>>(), wanted, "{narrow}");
        assert_eq!(narrowed.of, whole.of);
        for row in &narrowed.rows {
            assert_eq!(Some(row), all.get(&pair(row)));
        }
    }
}

#[test]
fn a_limit_leaves_out_what_has_no_figure_and_says_so() {
    let results = read(&demo());
    let long = table(
        &results,
        json!({"job": JOB, "narrow": {"longest_mm": 9999}}),
    );
    let missing = |row: &&Row| row.length_mm.is_none();
    let whole = table(&results, json!({"job": JOB}));
    let without = whole.rows.iter().filter(missing).count();
    assert_eq!(long.left_out.no_length as usize, without);
    assert_eq!(long.rows.len() + without, whole.rows.len());
    let words = worded(
        &results,
        json!({"job": JOB, "narrow": {"longest_mm": 9999}}),
    );
    assert_eq!(
        words.notes,
        [
            "2 pairs were never measured for length and are left out.",
            PRICES
        ]
    );
    // What another limit leaves out is not counted.
    let small = json!({"job": JOB, "narrow": {"longest_mm": 9999, "size": "small"}});
    assert_eq!(table(&results, small).left_out.no_length, 0);
}

/// Holds the order of a sorted table: those that reach before those that do not, the figure in its
/// direction, what has none last, equals by place.
fn is_sorted(rows: &[Row], figure: impl Fn(&Row) -> Option<f64>, falling: bool) {
    for rows in rows.windows(2) {
        let (a, b) = (&rows[0], &rows[1]);
        if a.reaches != b.reaches {
            assert_eq!((a.reaches, b.reaches), (Some(true), Some(false)));
            continue;
        }
        match (figure(a), figure(b)) {
            (Some(x), Some(y)) if x == y => assert!(a.rank <= b.rank),
            (Some(x), Some(y)) => assert_eq!(x > y, falling, "{x} before {y}"),
            (None, Some(_)) => panic!("what has no figure stands first"),
            (Some(_), None) | (None, None) => {}
        }
    }
}

#[test]
fn every_column_sorts_both_ways_and_moves_no_place() {
    let results = read(&demo());
    let whole = by_pair(&table(&results, json!({"job": JOB})));
    type Figure = fn(&Row) -> Option<f64>;
    let figures: [(&str, Figure); 9] = [
        ("place", |row| row.rank.map(f64::from)),
        ("chance", |row| row.reach_probability),
        ("time", |row| row.figures.time_to_job_s),
        ("power", |row| {
            row.figures.average_power_w.filter(|power| *power > 0.0)
        }),
        ("nineteen", |row| row.torque_19_of_20_nm),
        ("peak", |row| row.figures.peak_torque_nm),
        ("mass", |row| row.mass_kg),
        ("length", |row| row.length_mm),
        ("price", |row| row.price),
    ];
    for (code, figure) in figures {
        for falling in [false, true] {
            let sort = if falling {
                format!("-{code}")
            } else {
                code.to_owned()
            };
            let sorted = table(&results, json!({"job": JOB, "sort": sort}));
            assert_eq!(by_pair(&sorted), whole, "{sort}");
            assert_eq!(sorted.sort.as_deref(), Some(sort.as_str()));
            is_sorted(&sorted.rows, figure, falling);
        }
    }
}

#[test]
fn names_sort_by_their_letters() {
    let results = read(&demo());
    let rows = table(&results, json!({"job": "1 N·m", "sort": "pair"})).rows;
    let first = rows.first().unwrap();
    assert_eq!(first.tool, "bracken-18-medium");
    // By the tool, then by the pack; the demo's names are plain letters.
    let dataset = results.dataset();
    let name = |row: &Row| {
        let tool = dataset.tools.iter().find(|tool| tool.id == row.tool);
        let pack = dataset.packs.iter().find(|pack| pack.id == row.pack);
        [&tool.unwrap().name, &pack.unwrap().name].map(|name| name.to_lowercase())
    };
    assert!(rows.iter().map(name).is_sorted());
    let back = table(&results, json!({"job": "1 N·m", "sort": "-pair"})).rows;
    assert_eq!(back.first().unwrap().tool, "yarrow-18-large");
}

#[test]
fn a_sorted_table_says_what_has_no_figure() {
    let results = read(&demo());
    let words = worded(&results, json!({"job": JOB, "sort": "price"}));
    let sorted: Vec<_> = words
        .headings
        .iter()
        .filter(|heading| heading.sorted.is_some())
        .collect();
    assert_eq!(sorted.len(), 1);
    assert_eq!(sorted[0].key, "price");
    assert_eq!(sorted[0].sorted.as_deref(), Some("ascending"));
    assert_eq!(sorted[0].next, "-price");
    assert_eq!(
        words.notes,
        ["3 pairs have no price and stand last.", PRICES]
    );
    let words = worded(&results, json!({"job": JOB}));
    let next: Vec<&str> = words
        .headings
        .iter()
        .map(|heading| heading.next.as_str())
        .collect();
    assert_eq!(
        next,
        [
            "-place",
            "pair",
            "-chance",
            "time",
            "-power",
            "-nineteen",
            "-peak",
            "mass",
            "length",
            "price",
            "-tested"
        ]
    );
    assert_eq!(words.notes, [PRICES]);
    assert!(words.state.is_none() && words.empty.is_none());
}

/// The invented dataset with some tools priced in another currency.
fn two_currencies() -> Results {
    edited(|document| {
        for kind in ["tools", "packs"] {
            for thing in list(document, kind).iter_mut().take(3) {
                for price in thing["prices"].as_array_mut().unwrap() {
                    price["currency"] = json!("SEK");
                }
            }
        }
    })
}

#[test]
fn nothing_is_ordered_or_limited_by_price_across_currencies() {
    let results = two_currencies();
    let plain = table(&results, json!({"job": JOB}));
    assert_eq!(plain.currencies, ["EUR", "SEK"]);
    let sorted = table(&results, json!({"job": JOB, "sort": "price"}));
    assert_eq!(sorted.rows, plain.rows);
    assert!(sorted.sort.is_none() && sorted.across_currencies && !plain.across_currencies);
    let limited = table(&results, json!({"job": JOB, "narrow": {"dearest": 1}}));
    assert_eq!(limited.rows, plain.rows);
    let words = worded(&results, json!({"job": JOB, "sort": "price"}));
    assert_eq!(
        words.notes,
        [
            "Prices are in EUR, SEK. Choose one currency to sort by.",
            PRICES
        ]
    );
    let offered = words.filters.unwrap().currencies;
    assert_eq!(
        offered
            .iter()
            .map(|one| one.value.as_str())
            .collect::<Vec<_>>(),
        ["EUR", "SEK"]
    );

    let chosen = table(
        &results,
        json!({"job": JOB, "sort": "price", "currency": "EUR"}),
    );
    assert_eq!(chosen.sort.as_deref(), Some("price"));
    is_sorted(&chosen.rows, |row| row.price, false);
    assert!(chosen.without > 3 && !chosen.across_currencies);
    let unknown = question(json!({"job": JOB, "currency": "XYZ"}));
    assert_eq!(results.table(&unknown).unwrap_err().pointer, "/currency");
}

#[test]
fn what_is_narrowed_stands_in_words() {
    let results = read(&demo());
    let narrow = json!({"reaching": true, "longest_mm": 170, "find": " sorrel "});
    let words = worded(&results, json!({"job": JOB, "narrow": narrow}));
    assert_eq!(
        words.state.as_deref(),
        Some("Showing 6 of 43: only those that reach it, found by “sorrel”, at most 170 mm.")
    );
    let marks = |words: &WordedTable| {
        let marks = words.rows.iter().filter_map(|row| row.mark.as_ref());
        let ends: Vec<(f64, f64)> = marks.map(|mark| (mark.low, mark.high)).collect();
        let low = ends.iter().map(|end| end.0).fold(1.0, f64::min);
        (low, ends.iter().map(|end| end.1).fold(0.0, f64::max))
    };
    // Marks of most of the field share the scale of all places, those of a few places zoom.
    let most = worded(
        &results,
        json!({"job": JOB, "narrow": {"mount": "hedge-rail-18"}}),
    );
    assert_eq!(most.notes, [PRICES]);
    assert!(marks(&most).0 > 0.0 && marks(&most).1 == 1.0);
    let few = json!({"find": "mullein"});
    let few = worded(&results, json!({"job": JOB, "narrow": few}));
    // Prices are told of the pairs that are left.
    let prices = "Prices of April 2026, with tax. Check before you buy.";
    assert_eq!(few.notes, [prices, "The marks span places 2 to 4 of 43."]);
    assert_eq!(marks(&few), (0.0, 1.0));
    // A pair nobody ran is left where its estimate is.
    let estimate = worded(
        &results,
        json!({"job": JOB, "narrow": {"find": "vetch three-row"}}),
    );
    assert!(estimate.rows.is_empty() && estimate.empty.is_none());
    assert_eq!(estimate.estimates.len(), 1);
    assert_eq!(
        estimate.state.as_deref(),
        Some("Showing 0 of 43: found by “vetch three-row”.")
    );
    // Patience is named where rows fall short by then.
    let hasty = worded(&results, json!({"job": JOB, "within_s": 1}));
    assert_eq!(
        hasty.falls_short.as_deref(),
        Some("do not reach 678 N·m within 1 s")
    );
    let nothing = worded(&results, json!({"job": JOB, "narrow": {"find": "nobody"}}));
    assert!(nothing.rows.is_empty() && nothing.state.is_none());
    assert_eq!(
        nothing.empty.as_deref(),
        Some("No pair is left. Clear the filters to see all 43.")
    );
}

#[test]
fn one_row_whose_place_is_certain_keeps_the_scale_of_all_places() {
    let results = read(&demo());
    let rows = table(&results, json!({"job": JOB})).rows;
    let is_certain = |row: &&Row| row.rank.is_some() && row.rank_low == row.rank_high;
    let certain = rows.iter().find(is_certain).unwrap();
    let dataset = results.dataset();
    let tool = dataset.tools.iter().find(|tool| tool.id == certain.tool);
    let pack = dataset.packs.iter().find(|pack| pack.id == certain.pack);
    let find = format!("{} {}", tool.unwrap().name, pack.unwrap().name);
    let words = worded(&results, json!({"job": JOB, "narrow": {"find": find}}));
    assert_eq!(words.rows.len(), 1);
    assert!(
        !words.notes.iter().any(|note| note.contains("span")),
        "{:?}",
        words.notes
    );
    let mark = words.rows[0].mark.as_ref().unwrap();
    let at = f64::from(certain.rank.unwrap() - 1) / f64::from(certain.rank_of - 1);
    assert_eq!((mark.low, mark.at, mark.high), (at, at, at));
}

#[test]
fn a_mark_says_its_place_and_where_else_it_could_be() {
    let results = read(&demo());
    let (asked, mut seen) = (json!({"job": JOB}), BTreeSet::new());
    let rows = table(&results, asked.clone()).rows;
    for (row, words) in rows.iter().zip(worded(&results, asked).rows) {
        let (place, low, high) = (
            row.rank.unwrap(),
            row.rank_low.unwrap(),
            row.rank_high.unwrap(),
        );
        let said = match low == high {
            true => format!("place {place}"),
            false => format!("place {place}, could be {low} to {high}"),
        };
        assert_eq!(words.mark.unwrap().text, said);
        seen.insert(low == high);
    }
    assert_eq!(seen.len(), 2);
}

#[test]
fn what_cannot_be_is_refused_with_a_sentence() {
    let results = read(&demo());
    for (asked, pointer) in [
        (json!({"narrow": {"longest_mm": 0}}), "/narrow/longest_mm"),
        (
            json!({"narrow": {"heaviest_kg": -1.5}}),
            "/narrow/heaviest_kg",
        ),
        (json!({"narrow": {"dearest": -0.0}}), "/narrow/dearest"),
        (json!({"sort": "weight"}), "/sort"),
        (json!({"sort": "--mass"}), "/sort"),
        (json!({"currency": "eur"}), "/currency"),
    ] {
        let mut asked = asked;
        asked["job"] = json!(JOB);
        for problem in [
            results.table(&question(asked.clone())).unwrap_err(),
            results.ask(&question(asked.clone())).unwrap_err(),
        ] {
            assert_eq!(problem.pointer, pointer);
            assert!(!problem.message.contains('['), "{}", problem.message);
        }
    }
    let mut nan = question(json!({"job": JOB, "narrow": {}}));
    nan.narrow.as_mut().unwrap().longest_mm = Some(f64::NAN);
    assert_eq!(
        results.table(&nan).unwrap_err().pointer,
        "/narrow/longest_mm"
    );
}

/// A field of so many pairs: tools of the invented dataset under further ids, each with the packs it
/// was run with, until there are enough.
fn field_of(pairs: usize) -> Results {
    let mut document = demo();
    let runs: Vec<Value> = std::mem::take(list(&mut document, "runs"));
    let standard: Vec<&Value> = runs
        .iter()
        .filter(|run| run["setup"] == "standard" && run["excluded"].is_null())
        .filter(|run| run["edition"].is_u64() && run["control"] != true)
        .collect();
    let tools: Vec<Value> = std::mem::take(list(&mut document, "tools"));
    document["field_checks"] = json!([]);
    for edition in list(&mut document, "editions") {
        edition["corrections"] = json!([]);
    }
    let mut found = 0;
    'enough: for round in 0.. {
        for tool in &tools {
            if found == pairs {
                break 'enough;
            }
            let id = format!("{}-{round}", tool["id"].as_str().unwrap());
            let mut packs: Vec<&Value> = Vec::new();
            for run in standard.iter().filter(|run| run["tool"] == tool["id"]) {
                if !packs.contains(&&run["pack"]) && found < pairs {
                    packs.push(&run["pack"]);
                    found += 1;
                }
            }
            let mut tool_again = tool.clone();
            tool_again["id"] = json!(id);
            list(&mut document, "tools").push(tool_again);
            let own = standard
                .iter()
                .filter(|run| run["tool"] == tool["id"] && packs.contains(&&run["pack"]));
            let again = own.map(|run| {
                let mut run = (*run).clone();
                run["tool"] = json!(id);
                run["specimen"] = Value::Null;
                run
            });
            let again: Vec<Value> = again.collect();
            list(&mut document, "runs").extend(again);
        }
        if found == 0 {
            break;
        }
    }
    document["specimens"] = json!([]);
    if pairs == 0 {
        document["tools"] = json!(tools);
    }
    let results = read(&document);
    assert_eq!(table(&results, json!({"job": JOB})).of as usize, pairs);
    results
}

fn at_first(rows: &[WordedRow]) -> Vec<usize> {
    let rows = rows.iter().enumerate();
    rows.filter_map(|(place, row)| row.at_first.then_some(place))
        .collect()
}

#[test]
fn a_field_of_none_or_one_has_no_table() {
    for pairs in [0, 1] {
        let words = worded(&field_of(pairs), json!({"job": JOB}));
        assert!(!words.stands && words.filters.is_none() && words.open_all.is_none());
        assert_eq!(words.rows.len(), pairs);
        assert!(words.empty.is_none());
    }
}

#[test]
fn among_few_a_place_comes_with_its_range_and_how_many_there_are() {
    for pairs in [2, 5] {
        let words = worded(&field_of(pairs), json!({"job": "300 N·m"}));
        assert!(words.stands && words.filters.is_none() && words.open_all.is_none());
        for row in &words.rows {
            let place = &row.cells[0];
            assert!(place.contains(&format!(" of {pairs} (")), "{place}");
            let mark = row.mark.as_ref().unwrap();
            assert!(
                mark.text.contains(&format!(" of {pairs}, could be ")),
                "{}",
                mark.text
            );
        }
    }
    let words = worded(&field_of(6), json!({"job": JOB}));
    assert!(words.filters.is_some());
    assert!(!words.rows[0].cells[0].contains("of"));
}

#[test]
fn up_to_forty_rows_stand_open() {
    for pairs in [6, 40] {
        let words = worded(&field_of(pairs), json!({"job": JOB}));
        assert_eq!(at_first(&words.rows).len(), pairs);
        assert!(words.open_all.is_none());
    }
}

#[test]
fn up_to_149_rows_the_first_five_the_chosen_and_the_last_that_reaches_stand_there() {
    for pairs in [41, 149] {
        let results = field_of(pairs);
        let rows = table(&results, json!({"job": JOB})).rows;
        let last = rows
            .iter()
            .rposition(|row| row.reaches == Some(true))
            .unwrap();
        assert!(last > 20 && last < pairs - 1);
        let alone = worded(&results, json!({"job": JOB}));
        assert_eq!(alone.open_all, Some(format!("Show all {pairs} pairs")));
        let mut wanted: Vec<usize> = (0..5).chain([last]).collect();
        assert_eq!(at_first(&alone.rows), wanted);
        let chosen = &rows[16];
        let asked = json!({"job": JOB, "chosen": {"tool": chosen.tool, "pack": chosen.pack}});
        wanted.extend(13..=19);
        wanted.sort_unstable();
        assert_eq!(at_first(&worded(&results, asked).rows), wanted);
    }
}

#[test]
fn from_150_rows_on_each_tool_has_a_line_that_opens_to_its_packs() {
    for pairs in [150, 400] {
        let results = field_of(pairs);
        let whole = table(&results, json!({"job": JOB})).rows;
        let words = worded(&results, json!({"job": JOB}));
        assert_eq!(words.rows.len(), pairs);
        for (place, (row, words_row)) in whole.iter().zip(&words.rows).enumerate() {
            let first = whole
                .iter()
                .position(|other| other.tool == row.tool)
                .unwrap();
            assert_eq!(words_row.under, (first != place).then_some(first as u32));
            assert_eq!(words_row.at_first, first == place);
            let more = whole.iter().filter(|other| other.tool == row.tool).count() - 1;
            let opens = (first == place && more > 0).then(|| match more {
                1 => "1 more pack".to_owned(),
                more => format!("{more} more packs"),
            });
            assert_eq!(words_row.opens, opens);
        }
        let chosen = &whole[pairs / 2];
        let asked = json!({"job": JOB, "chosen": {"tool": chosen.tool, "pack": chosen.pack}});
        for row in worded(&results, asked).rows {
            assert_eq!(row.at_first, row.under.is_none() || row.tool == chosen.tool);
        }
        // What is left after narrowing decides how much is folded.
        let few = worded(
            &results,
            json!({"job": JOB, "narrow": {"find": "sorrel slim"}}),
        );
        assert!(
            few.rows.len() > 5
                && few
                    .rows
                    .iter()
                    .all(|row| row.at_first == row.under.is_none())
        );
    }
}
