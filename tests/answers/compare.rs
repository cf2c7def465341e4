//! Two pairs side by side, and the packs on one tool.

use super::demo::{ask, demo, edited, list, question, read};
use jobtorque::compare::data::{CompareVerdict, Comparison, Ratio};
use jobtorque::packs::data::Packs;
use jobtorque::results::Results;
use serde_json::{Value, json};
use std::collections::BTreeSet;

const JOB: &str = "480 N·m";

/// The measured pairs of the first field.
fn measured(results: &Results) -> Vec<[String; 2]> {
    let rows = results.table(&question(json!({}))).unwrap().rows;
    rows.into_iter().map(|row| [row.tool, row.pack]).collect()
}

fn compare(results: &Results, first: &[String; 2], beside: &[[String; 2]]) -> Vec<Comparison> {
    let beside: Vec<Value> = beside
        .iter()
        .map(|[tool, pack]| json!({"tool": tool, "pack": pack}))
        .collect();
    let asked = json!({"tool": first[0], "pack": first[1], "job": JOB, "beside": beside});
    results.compare(&question(asked)).unwrap()
}

/// Every comparison of two measured pairs, each way round once.
fn all(results: &Results) -> Vec<Comparison> {
    let pairs = measured(results);
    let mut all = Vec::new();
    for first in &pairs {
        let others: Vec<[String; 2]> = pairs
            .iter()
            .filter(|pair| *pair != first)
            .cloned()
            .collect();
        for beside in others.chunks(4) {
            all.extend(compare(results, first, beside));
        }
    }
    all
}

fn packs(results: &Results, tool: &str, pack: Option<&str>) -> Packs {
    let asked = json!({"tool": tool, "pack": pack});
    results.packs(&question(asked)).unwrap()
}

#[track_caller]
fn assert_close(got: f64, wanted: f64) {
    assert!(
        (got - wanted).abs() <= 1e-12 * wanted.abs(),
        "{got} {wanted}"
    );
}

#[test]
fn a_comparison_says_the_same_from_either_side() {
    let results = read(&demo());
    let all = all(&results);
    let pairs = measured(&results).len();
    assert_eq!(all.len(), pairs * (pairs - 1));
    for one in &all {
        let [a, b] = &one.pairs;
        let is_turned = |other: &&Comparison| {
            let [c, d] = &other.pairs;
            (&a.tool, &a.pack, &b.tool, &b.pack) == (&d.tool, &d.pack, &c.tool, &c.pack)
        };
        let other = all.iter().find(is_turned).unwrap();
        assert_eq!(one.verdict, other.verdict);
        for (own, turned) in [
            (one.mean_torque_ratio, other.mean_torque_ratio),
            (one.peak_torque_ratio, other.peak_torque_ratio),
            (one.time_to_job_ratio, other.time_to_job_ratio),
        ] {
            let Some((own, turned)) = own.zip(turned) else {
                assert_eq!((own, turned), (None, None));
                continue;
            };
            assert_close(own.ratio, 1.0 / turned.ratio);
            assert_eq!(own.low.is_some(), turned.high.is_some());
            if let Some((low, high)) = own.low.zip(turned.high) {
                assert_close(low, 1.0 / high);
                assert!(low < own.ratio);
            }
        }
        assert!((one.chance_ahead.unwrap() + other.chance_ahead.unwrap() - 1.0).abs() < 1e-12);
        assert_eq!(one.leads.len(), other.leads.len());
    }
}

#[test]
fn ratios_are_those_of_the_answers() {
    let results = read(&demo());
    let answers = ask(&results, json!({"job": JOB})).list.unwrap();
    let answer = |pair: &jobtorque::compare::data::ComparedPair| {
        let mut answers = answers.iter();
        let of = |pair: &str| Some(pair.to_owned());
        answers
            .find(|answer| answer.tool == of(&pair.tool) && answer.pack == of(&pair.pack))
            .unwrap()
    };
    let mut times = 0;
    for one in all(&results) {
        let [a, b] = one.pairs.each_ref().map(answer);
        let mean = one.mean_torque_ratio.unwrap();
        assert_close(
            mean.ratio,
            a.mean_torque_nm.unwrap() / b.mean_torque_nm.unwrap(),
        );
        let peak = one.peak_torque_ratio.unwrap();
        assert_close(
            peak.ratio,
            a.peak_torque_nm.unwrap() / b.peak_torque_nm.unwrap(),
        );
        let both = a.time_to_job_s.zip(b.time_to_job_s);
        assert_eq!(one.time_to_job_ratio.is_some(), both.is_some());
        if let Some((a, b)) = both {
            assert_close(one.time_to_job_ratio.unwrap().ratio, a / b);
            times += 1;
        }
        // Whoever is clearly quicker, or stronger where neither gets there, mostly leads.
        let ahead = match (a.time_to_job_s, b.time_to_job_s) {
            (Some(a), Some(b)) => a < 0.8 * b,
            (Some(_), None) => true,
            (None, Some(_)) => continue,
            (None, None) => a.typical_end_nm.unwrap() > b.typical_end_nm.unwrap(),
        };
        assert!(!ahead || one.chance_ahead.unwrap() > 0.5);
    }
    assert!(times > 200, "{times}");
}

/// The demo with runs made in turn with two units of each pack, which are alike.
fn with_second_units(document: &mut Value) {
    for (place, run) in list(document, "runs").iter_mut().enumerate() {
        run["pack_specimen"] = json!(format!("unit {}", place % 2));
    }
}

#[test]
fn a_verdict_follows_from_intervals_and_margin() {
    let mut seen = BTreeSet::new();
    for (margin_percent, units) in [(3.0, false), (12.0, false), (20.0, true)] {
        let results = edited(|document| {
            document["match_margin_percent"] = json!(margin_percent);
            if units {
                with_second_units(document);
            }
        });
        for one in all(&results) {
            let ends = |ratio: Option<Ratio>| {
                let ratio = ratio.unwrap();
                (ratio.low.unwrap(), ratio.high.unwrap())
            };
            let factor = 1.0 + margin_percent / 100.0;
            let within = |(low, high): (f64, f64)| low >= 1.0 / factor && high <= factor;
            let apart = |(low, high): (f64, f64)| low > 1.0 || high < 1.0;
            let tested = ends(one.mean_torque_ratio);
            let kinds = ends(one.mean_torque_ratio_of_kinds);
            // Other tools and packs of these kinds may lie further off than those tested.
            assert!(kinds.0 <= tested.0 + 1e-12 && kinds.1 >= tested.1 - 1e-12);
            // One unit of most packs was run: no two kinds are called a match without more.
            let one_pack = one.pairs[0].pack == one.pairs[1].pack;
            let is_match = one.verdict == Some(CompareVerdict::Match);
            let wanted = if within(kinds) && (units || one_pack && is_match) {
                CompareVerdict::Match
            } else if apart(kinds) && !within(kinds) {
                CompareVerdict::Differ
            } else if within(tested) {
                CompareVerdict::AlikeAsTested
            } else {
                CompareVerdict::Undecided
            };
            assert_eq!(one.verdict, Some(wanted), "{one:?}");
            seen.insert(format!("{wanted:?} {}", apart(tested)));
        }
    }
    // What is alike may differ, by less than the margin.
    let all = [
        "AlikeAsTested false",
        "AlikeAsTested true",
        "Differ true",
        "Match false",
        "Match true",
        "Undecided false",
        "Undecided true",
    ];
    assert!(seen.iter().eq(all), "{seen:?}");
}

/// Worked out from the verdict and the published ratio alone: the larger mean torque over the smaller.
#[test]
fn a_difference_is_called_small_only_where_it_is() {
    let mut seen = BTreeSet::new();
    for margin_percent in [3, 6, 12] {
        let results = edited(|document| document["match_margin_percent"] = json!(margin_percent));
        let less = format!(
            "That is less than the {margin_percent} % we allow for a match, which we cannot yet call it."
        );
        let smaller = "There is a difference, but it is smaller than that.";
        for one in all(&results) {
            let mean = one.mean_torque_ratio.unwrap();
            let larger = mean.ratio.max(mean.ratio.recip());
            let within = larger < 1.0 + f64::from(margin_percent) / 100.0;
            let apart = mean.low.unwrap() > 1.0 || mean.high.unwrap() < 1.0;
            let differ = one.verdict == Some(CompareVerdict::Differ);
            let alike = one.verdict.is_some_and(CompareVerdict::is_alike);
            let says = |text: &str| one.words.lines.iter().any(|line| line == text);
            assert_eq!(says(&less), differ && within, "{:?}", one.words);
            assert_eq!(says(smaller), alike && apart, "{:?}", one.words);
            seen.insert((differ, alike, within, mean.ratio > 1.0));
        }
    }
    // Whoever is the stronger, a difference within the margin and one beyond it; a match; neither.
    for stronger in [true, false] {
        for (differ, alike) in [(true, false), (false, true), (false, false)] {
            let case = (differ, alike, true, stronger);
            assert!(seen.contains(&case), "{case:?}");
        }
        assert!(seen.contains(&(true, false, false, stronger)));
    }
}

#[test]
fn every_sentence_of_a_comparison_is_said_somewhere() {
    let mut said: BTreeSet<String> = BTreeSet::new();
    let few = |document: &mut Value| {
        let mut seen = BTreeSet::new();
        list(document, "runs").retain(|run| {
            let of_pair = format!("{} {}", run["tool"], run["pack"]);
            run.get("excluded").is_none() && run["edition"] == 1 && seen.insert(of_pair)
        });
    };
    let margin = |percent: f64| {
        move |document: &mut Value| document["match_margin_percent"] = json!(percent)
    };
    let units = |document: &mut Value| {
        with_second_units(document);
        margin(20.0)(document);
    };
    for results in [
        edited(margin(6.0)),
        edited(margin(12.0)),
        edited(few),
        edited(units),
    ] {
        for one in all(&results) {
            said.insert(one.words.headline.clone());
            said.extend(one.words.lines);
        }
    }
    let pairs = [
        ["sorrel-18-medium", "slim-4-0"],
        ["vetch-18-small", "three-row-12"],
    ];
    let [run, not_run] = pairs.map(|pair| pair.map(str::to_owned));
    let one = compare(&read(&demo()), &run, &[not_run]);
    said.insert(one[0].words.headline.clone());
    assert_eq!((one[0].verdict, one[0].chance_ahead), (None, None));
    // One base for the sentence and the row below it: the second against the first.
    let mut based = 0;
    for one in all(&read(&demo())) {
        let headline = &one.words.headline;
        let number = |text: &str| text.trim_start_matches(['+', '−']).to_owned();
        let row = &one.words.rows[0].cells;
        if one.verdict == Some(CompareVerdict::Differ) {
            let word = if row[3].starts_with('−') {
                "weaker"
            } else {
                "stronger"
            };
            let told = format!("it is {} {word}, give or take", number(&row[3]));
            let other = format!(" is {} {word}, give or take", number(&row[3]));
            assert!(
                headline.contains(&told) || headline.contains(&other),
                "{headline}: {row:?}"
            );
            let named = &one.words.headings[2];
            assert!(headline.contains(named.as_str()), "{headline}: {named}");
            based += 1;
        }
    }
    assert!(based > 20, "{based}");
    let says = |text: &str| said.iter().any(|sentence| sentence.contains(text));
    for text in [
        "We call these a match. They are within 20 % of each other.",
        "As tested, these two are alike within 6 %. Others of their kinds may not be.",
        "With others that you may buy: ",
        "With others that you may buy, each kind assumed to vary by 2 %: ",
        " That is partly assumed.",
        "There is a difference, but it is smaller than that.",
        " stronger, give or take ",
        " weaker, give or take ",
        "With ",
        "That is less than the 12 % we allow",
        "We cannot tell these two apart yet, nor call them equal.",
        "There are too few runs to say.",
        "We have not run Vetch 18 small with three-row 12.",
        "leads. After that,",
        "The lead changes more than once.",
        "Try against try, we expect ",
        " to lead in over 99 of 100.",
    ] {
        assert!(says(text), "{text}");
    }
}

/// The runs of one pack with a tool, once more as those of a pack of its own.
fn twin(document: &mut Value, tool: &str, pack: &str, id: &str, factor: f64) {
    let same = |item: &&Value| item["id"] == pack;
    let mut copy = list(document, "packs").iter().find(same).unwrap().clone();
    copy["id"] = json!(id);
    copy["name"] = json!(id);
    list(document, "packs").push(copy);
    let of_pair = |run: &&Value| run["tool"] == tool && run["pack"] == pack;
    let runs: Vec<Value> = list(document, "runs")
        .iter()
        .filter(of_pair)
        .cloned()
        .collect();
    for mut run in runs {
        run["pack"] = json!(id);
        for torque in run["torque_dnm"].as_array_mut().unwrap() {
            *torque = json!((torque.as_f64().unwrap() * factor).round() as i64);
        }
        list(document, "runs").push(run);
    }
}

#[test]
fn the_chance_told_is_that_of_whoever_leads_more_often_rounded_down() {
    let mut turned = 0;
    for one in all(&read(&demo())) {
        let first = one.chance_ahead.unwrap();
        let (name, chance) = match first >= 0.5 {
            true => (&one.words.headings[1], first),
            false => (&one.words.headings[2], 1.0 - first),
        };
        let tries = match chance > 0.99 {
            true => "over 99".to_owned(),
            false => ((100.0 * chance).floor() as u32).to_string(),
        };
        let said = format!("Try against try, we expect {name} to lead in {tries} of 100.");
        assert!(
            one.words.lines.contains(&said),
            "{said} {:?}",
            one.words.lines
        );
        turned += u32::from(first < 0.5 && chance <= 0.99);
    }
    assert!(turned > 20, "{turned}");
}

#[test]
fn two_that_are_equal_differ_by_nothing_and_nothing_has_no_sign() {
    let pair = ["burdock-18-medium", "slim-4-0"].map(str::to_owned);
    let results = edited(|document| twin(document, &pair[0], &pair[1], "twin", 1.0));
    let other = [pair[0].clone(), "twin".to_owned()];
    let one = &compare(&results, &pair, &[other])[0];
    assert_eq!(one.mean_torque_ratio.map(|mean| mean.ratio), Some(1.0));
    let differences: Vec<&str> = one
        .words
        .rows
        .iter()
        .map(|row| row.cells[3].as_str())
        .collect();
    // Mean, peak, time, mass, price.
    assert_eq!(differences, ["0 %", "0 %", "0 %", "–", "–"]);
}

#[test]
fn packs_that_match_each_other_and_nothing_else_are_one_group() {
    let tool = "burdock-18-medium";
    let groups = |factors: &[f64]| {
        let results = edited(|document| {
            document["match_margin_percent"] = json!(6.0);
            list(document, "runs").retain(|run| run["tool"] != tool || run["pack"] == "slim-4-0");
            for (place, factor) in factors.iter().enumerate() {
                twin(
                    document,
                    tool,
                    "slim-4-0",
                    &format!("twin {place}"),
                    *factor,
                );
            }
        });
        let packs = packs(&results, tool, Some("slim-4-0"));
        let in_group = |pack: &&jobtorque::packs::data::PackOnTool| {
            pack.pack.starts_with("twin") || pack.pack == "slim-4-0"
        };
        let groups: Vec<Option<u32>> = packs
            .packs
            .iter()
            .filter(in_group)
            .map(|pack| pack.group)
            .collect();
        (groups, packs)
    };
    let (alike, told) = groups(&[1.0, 1.0]);
    let matches = |told: &Packs| -> Vec<Option<bool>> {
        told.packs.iter().map(|pack| pack.group_matches).collect()
    };
    assert!(!matches(&told).contains(&Some(true)), "{told:?}");
    assert!(
        alike
            .iter()
            .all(|group| group.is_some() && *group == alike[0]),
        "{alike:?}"
    );
    let words = told.words.unwrap();
    assert!(
        words.lines[0].starts_with("As tested, these are alike within 6 %: "),
        "{words:?}"
    );
    // Each matches its neighbour, the ends do not match: no place to cut.
    let (chain, told) = groups(&[0.97, 0.94]);
    assert!(chain.iter().all(Option::is_none), "{chain:?}");
    let verdicts = told
        .packs
        .iter()
        .filter(|pack| pack.pack.starts_with("twin"));
    let verdicts: Vec<_> = verdicts.map(|pack| pack.verdict.unwrap()).collect();
    assert!(
        verdicts.iter().any(|verdict| verdict.is_alike())
            && verdicts.iter().any(|verdict| !verdict.is_alike()),
        "{verdicts:?}"
    );
    let words = told.words.unwrap();
    assert!(
        words
            .lines
            .iter()
            .any(|line| line.starts_with("Some are like one pack"))
    );
}

#[test]
fn packs_on_a_tool_are_the_pairs_side_by_side() {
    let results = read(&demo());
    let tool = "sorrel-18-medium";
    let told = packs(&results, tool, Some("two-row-5-0"));
    assert_eq!(told.packs.len(), 6);
    let levels: Vec<f64> = told.packs.iter().map(|pack| pack.mean_torque_nm).collect();
    assert!(levels.is_sorted_by(|a, b| a >= b), "{levels:?}");
    let against = [tool.to_owned(), "two-row-5-0".to_owned()];
    for pack in &told.packs {
        if pack.pack == against[1] {
            assert_eq!((pack.verdict, pack.mean_torque_ratio), (None, None));
            continue;
        }
        let other = [tool.to_owned(), pack.pack.clone()];
        let one = &compare(&results, &other, std::slice::from_ref(&against))[0];
        assert_eq!(pack.verdict, one.verdict);
        assert_eq!(pack.mean_torque_ratio, one.mean_torque_ratio);
    }
    // Without a pack the lightest is what the others are held against.
    let none = packs(&results, tool, None);
    assert_eq!(none.against.as_deref(), Some("slim-2-5"));
    let row = none.words.unwrap().rows.into_iter().next().unwrap();
    // Of the masses as the table prints them.
    assert_eq!(row.cells[1], "+10 % torque, +0.9 kg");
    // One pack only: nothing to show.
    let one = edited(|document| {
        list(document, "runs").retain(|run| run["tool"] != tool || run["pack"] == "slim-4-0");
    });
    assert_eq!(packs(&one, tool, None).words, None);
}

#[test]
fn what_is_missing_is_asked_for() {
    let results = read(&demo());
    let problem = results.packs(&question(json!({}))).unwrap_err();
    assert_eq!(problem.pointer, "/tool");
    let asked = json!({"tool": "sorrel-18-medium", "job": JOB});
    let problem = results.compare(&question(asked)).unwrap_err();
    assert_eq!(problem.pointer, "/pack");
    assert!(problem.message.starts_with("Which pairs?"));
}
