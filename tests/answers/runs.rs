//! The runs behind a pair, its days, its places, and what stands around the results.

use super::demo::{ask, demo, edited, list, measured, pairs, question, read};
use jobtorque::results::Results;
use jobtorque::runs::data::{RunsBehind, WordedRuns};
use serde_json::{Value, json};

fn runs(results: &Results, asked: Value) -> RunsBehind {
    results.runs(&question(asked)).unwrap()
}

fn worded(results: &Results, asked: Value) -> WordedRuns {
    results.worded_runs(&question(asked)).unwrap()
}

/// Lines of the passage with this heading; none if it is not there.
fn lines(worded: &WordedRuns, heading: &str) -> Vec<String> {
    let passage = worded.passages.iter().find(|told| told.heading == heading);
    passage.map(|told| told.lines.clone()).unwrap_or_default()
}

/// Everything said of a pair.
fn everything(worded: &WordedRuns) -> String {
    let groups = worded.counted.iter().chain(&worded.set_aside);
    let groups = groups.flat_map(|group| {
        let cells = group.rows.iter().flatten();
        std::iter::once(&group.title)
            .chain(cells)
            .chain(&group.lines)
    });
    let passages = worded.passages.iter().chain(&worded.stated);
    let passages = passages.flat_map(|told| std::iter::once(&told.heading).chain(&told.lines));
    let all: Vec<&str> = groups.chain(passages).map(String::as_str).collect();
    all.join("\n")
}

#[test]
fn every_run_of_a_pair_stands_behind_it_and_no_other() {
    let document = demo();
    let results = read(&document);
    let of_pair = |run: &&Value| {
        run["tool"] == "sorrel-18-medium"
            && run["pack"] == "slim-4-0"
            && run["setup"] == "standard"
            && run["edition"].is_u64()
    };
    let own: Vec<&Value> = document["runs"]
        .as_array()
        .unwrap()
        .iter()
        .filter(of_pair)
        .collect();
    let behind = runs(
        &results,
        json!({"tool": "sorrel-18-medium", "pack": "slim-4-0", "job": "650 N·m"}),
    );
    assert_eq!(behind.runs.len(), own.len());
    let answer = ask(
        &results,
        json!({"tool": "sorrel-18-medium", "pack": "slim-4-0", "job": "650 N·m"}),
    );
    let counted = behind.runs.iter().filter(|run| run.set_aside.is_none());
    assert_eq!(answer.runs_used, Some(counted.count() as u32));
    let largest = behind.runs.iter().map(|run| run.largest_sample_nm);
    assert_eq!(answer.largest_sample_nm, largest.reduce(f64::max));
    // What is set aside stands last, with its reason and since when.
    let last = behind.runs.last().unwrap().set_aside.clone().unwrap();
    assert_eq!(
        (last.reason.as_str(), last.edition),
        ("socket slipped after half a second", 2)
    );
    let days: Vec<&str> = behind.days.iter().map(|day| day.date.as_str()).collect();
    assert_eq!(days, ["2026-03-02", "2026-06-29"]);
    let calibrated: Vec<_> = behind
        .days
        .iter()
        .map(|day| day.calibrated.as_deref())
        .collect();
    assert_eq!(calibrated, [Some("2026-02-20"), Some("2026-06-15")]);
}

#[test]
fn an_earlier_edition_still_counts_what_a_later_one_set_aside() {
    let results = read(&demo());
    let pair = json!({"tool": "sorrel-18-medium", "pack": "slim-4-0", "edition": 1});
    let behind = runs(&results, pair.clone());
    assert_eq!(behind.runs.len(), 4);
    assert!(
        behind
            .runs
            .iter()
            .all(|run| run.set_aside.is_none() && run.edition == 1)
    );
    let worded = worded(&results, pair);
    assert!(worded.set_aside.is_empty());
    // Without a job there is no time to it, and no place.
    assert_eq!(worded.headings.len(), 4);
    assert!(behind.places.is_empty());
}

#[test]
fn a_correction_lowers_the_runs_of_its_day_from_its_edition_on() {
    let results = read(&demo());
    let pair =
        |edition| json!({"tool": "sorrel-18-medium", "pack": "pouch-5-0", "edition": edition});
    let (before, after) = (runs(&results, pair(2)), runs(&results, pair(3)));
    assert_eq!(before.runs.len(), after.runs.len());
    for (before, after) in before.runs.iter().zip(&after.runs) {
        assert_eq!((before.torque_factor, after.torque_factor), (1.0, 0.9756));
        for (before, after) in [
            (before.peak_torque_nm, after.peak_torque_nm),
            (before.mean_torque_nm, after.mean_torque_nm),
            (before.largest_sample_nm, after.largest_sample_nm),
        ] {
            assert!((after / before - 0.9756).abs() < 1e-9, "{before} {after}");
        }
    }
    let said = lines(&worded(&results, pair(3)), "The days").join(" ");
    assert!(
        said.contains("Edition 3 lowered its torque by 2.4 %."),
        "{said}"
    );
    let said = lines(&worded(&results, pair(2)), "The days").join(" ");
    assert!(!said.contains("lowered"), "{said}");
}

#[test]
fn places_are_those_that_each_edition_answers() {
    // A day on which one of the two pairs was measured turns out to have read far too much.
    let results = edited(|document| {
        let correction =
            json!([{"text": "read too much", "days": ["2026-04-20"], "torque_factor": 0.5}]);
        let edition = json!({"edition": 4, "date": "2026-09-01", "corrections": correction});
        list(document, "editions").push(edition);
    });
    let (mut changed, mut fewer) = (Vec::new(), 0);
    for (tool, pack) in [
        ("sorrel-18-medium", "slim-4-0"),
        ("bracken-18-medium", "slim-2-5"),
    ] {
        let asked = |edition: Option<u32>| json!({"tool": tool, "pack": pack, "job": "200 N·m", "edition": edition});
        let behind = runs(&results, asked(None));
        let now = ask(&results, asked(None));
        assert_eq!(behind.places.len(), 4);
        for place in &behind.places {
            let then = ask(&results, asked(Some(place.edition)));
            assert_eq!(
                (place.rank, place.rank_low, place.rank_high, place.rank_of),
                (then.rank, then.rank_low, then.rank_high, then.rank_of)
            );
            let Some(both) = place.among_both else {
                let none = place.edition == 4 || place.rank.is_none();
                assert!(none && place.changed.is_none(), "{place:?}");
                continue;
            };
            // Each place counted again from the times that each edition answers.
            let (before, after) = (times(&results, place.edition), times(&results, 4));
            let common = |pair: &&Listed| {
                let is_it = |other: &Listed| other.0 == pair.0;
                before.iter().any(is_it) && after.iter().any(is_it)
            };
            let rank = |list: &[Listed]| {
                let is_it = |one: &&Listed| one.0 == (tool.to_owned(), pack.to_owned());
                let own = list.iter().find(is_it).unwrap().1;
                let better = list.iter().filter(common).filter(|other| other.1 < own);
                1 + better.count() as u32
            };
            assert_eq!(both.of as usize, before.iter().filter(common).count());
            assert_eq!((both.rank, both.rank_shown), (rank(&before), rank(&after)));
            if both.of == now.rank_of.unwrap() && both.of == then.rank_of.unwrap() {
                assert_eq!(both.interval, then.rank_low.zip(then.rank_high));
                assert_eq!(both.interval_shown, now.rank_low.zip(now.rank_high));
            } else {
                fewer += 1;
            }
            // A real change only where the two intervals have no place in common.
            let apart = both.interval.zip(both.interval_shown).map(|(then, now)| {
                assert!((then.0..=then.1).contains(&both.rank));
                assert!((now.0..=now.1).contains(&both.rank_shown));
                assert!(then.1 <= both.of && now.1 <= both.of);
                (1..=50).all(|place| {
                    !((now.0..=now.1).contains(&place) && (then.0..=then.1).contains(&place))
                })
            });
            assert_eq!(place.changed, apart, "{place:?}");
            changed.extend(place.changed.map(|changed| (pack, changed)));
        }
    }
    assert!(changed.contains(&("slim-2-5", true)), "{changed:?}");
    assert!(changed.contains(&("slim-4-0", false)), "{changed:?}");
    assert!(fewer > 0);
}

/// A pair by id, and what its place is by: seconds to the job, or if it falls short, a number above
/// them all that falls with its torque.
type Listed = ((String, String), f64);

/// The pairs measured in an edition.
fn times(results: &Results, edition: u32) -> Vec<Listed> {
    let list = measured(ask(results, json!({"job": "200 N·m", "edition": edition})));
    let key = |one: &jobtorque::answer::data::Answer| {
        let short = || 1e6 - one.typical_end_nm.unwrap();
        one.time_to_job_s.unwrap_or_else(short)
    };
    let keys: Vec<f64> = list.iter().map(key).collect();
    pairs(&list).into_iter().zip(keys).collect()
}

#[test]
fn a_pair_that_came_later_moves_no_place() {
    // In edition 4 ten quicker pairs join, and nothing else happens.
    let results = edited(|document| {
        list(document, "editions").push(json!({"edition": 4, "date": "2026-09-01"}));
        let quickest: Vec<Value> = list(document, "runs")
            .iter()
            .filter(|run| run["tool"] == "yarrow-18-large" && run["edition"].is_u64())
            .cloned()
            .collect();
        let tool = list(document, "tools")
            .iter()
            .find(|tool| tool["id"] == "yarrow-18-large")
            .unwrap()
            .clone();
        for n in 0..10 {
            let id = json!(format!("later-{n}"));
            let mut later = tool.clone();
            later["id"] = id.clone();
            list(document, "tools").push(later);
            for run in &quickest {
                let mut run = run.clone();
                run["tool"] = id.clone();
                run["edition"] = json!(4);
                run["excluded"] = json!(null);
                list(document, "runs").push(run);
            }
        }
    });
    let asked = json!({"tool": "sorrel-18-medium", "pack": "slim-4-0", "job": "300 N·m"});
    let behind = runs(&results, asked.clone());
    let place = |edition: u32| {
        let mut places = behind.places.iter();
        places.find(|place| place.edition == edition).unwrap()
    };
    assert!(place(4).rank.unwrap() >= place(3).rank.unwrap() + 10);
    let both = place(3).among_both.unwrap();
    assert_eq!(
        (both.rank, both.rank_shown),
        (place(3).rank.unwrap(), both.rank)
    );
    assert_eq!(both.of, place(3).rank_of.unwrap());
    assert_eq!(place(3).changed, Some(false));
    let said = lines(&worded(&results, asked), "Its place in each edition").join(" ");
    let same = format!(
        "Among the {} pairs in both, its place is the same.",
        both.of
    );
    assert!(said.contains(&same) && !said.contains("real"), "{said}");
}

#[test]
fn a_day_whose_check_run_was_off_is_named_beside_its_results() {
    // The last day's check run a fifth lower: with five days beside it, that is outside its limits.
    let off = |edition: u32| {
        edited(|document| {
            let run = list(document, "runs")
                .iter_mut()
                .find(|run| run["control"] == true && run["day"] == "2026-07-06");
            let run = run.unwrap();
            run["edition"] = json!(edition);
            for sample in run["torque_dnm"].as_array_mut().unwrap() {
                *sample = json!((sample.as_f64().unwrap() * 0.8) as i64);
            }
        })
    };
    let told = "Our check run of 6 July 2026 was off. Runs of that day may read wrong.";
    let pair = json!({"tool": "tansy-18-small", "pack": "slim-4-0", "job": "135 N·m"});
    let named = |results: &Results, asked: &Value| {
        ask(results, asked.clone())
            .warnings
            .iter()
            .any(|text| text == told)
    };
    assert!(named(&off(3), &pair));
    assert!(!named(&read(&demo()), &pair));
    // Of another day, nothing is said; nor in an edition before that run.
    let other = json!({"tool": "vetch-18-small", "pack": "slim-4-0", "job": "135 N·m"});
    assert!(!named(&off(3), &other));
    let mut early = pair.clone();
    early["edition"] = json!(2);
    assert!(!named(&off(3), &early));
    let behind = runs(&off(3), pair.clone());
    let states: Vec<_> = behind
        .days
        .iter()
        .map(|day| (day.date.as_str(), day.suspect))
        .collect();
    assert_eq!(
        states,
        [("2026-03-02", Some(false)), ("2026-07-06", Some(true))]
    );
    assert_eq!(runs(&off(3), early.clone()).days[0].suspect, Some(false));
    // Two days with check runs are too few for limits.
    early["edition"] = json!(1);
    assert_eq!(runs(&off(3), early).days[0].suspect, None);
    assert!(
        lines(&worded(&off(3), pair), "The days")
            .join(" ")
            .contains(told)
    );
}

#[test]
fn a_real_nut_stands_beside_what_the_runs_say_of_it() {
    let results = read(&demo());
    let pair = json!({"tool": "sorrel-18-medium", "pack": "two-row-8-0", "job": "100 N·m"});
    let behind = runs(&results, pair.clone());
    let mut same = pair.clone();
    same["job"] = json!("640 N·m");
    assert_eq!(behind.field_checks.len(), 1);
    assert_eq!(
        behind.field_checks[0].typical_time_s,
        ask(&results, same).time_to_job_s
    );
    assert_eq!(behind.field_checks[0].came_loose, Some(false));
    let said = lines(&worded(&results, pair), "Real-nut checks");
    assert!(
        said[0].contains("It did not come loose in 5 s."),
        "{said:?}"
    );
}

#[test]
fn the_makers_figures_stand_apart_and_never_look_equal_to_ours_where_they_are_not() {
    let results = read(&demo());
    let pair = json!({"tool": "sorrel-18-medium", "pack": "slim-4-0", "job": "650 N·m"});
    let behind = runs(&results, pair.clone());
    assert_eq!(
        behind.peak_torque_nm,
        ask(&results, pair.clone()).peak_torque_nm
    );
    assert_eq!(behind.stated_tightening_nm, Some(850.0));
    let worded = worded(&results, pair);
    let stated = worded.stated.clone().unwrap().lines;
    assert!(
        stated[0].starts_with("For tightening the maker states 850 N·m."),
        "{stated:?}"
    );
    assert!(!stated[0].contains("peak is 850 N·m"), "{stated:?}");
    assert!(stated[2].starts_with("Makers test in their own way."));
    assert!(
        !worded
            .passages
            .iter()
            .any(|told| told.lines.contains(&stated[0]))
    );
}

#[test]
fn a_pair_must_be_named_whole() {
    let results = read(&demo());
    for (asked, pointer) in [
        (json!({"pack": "slim-4-0"}), "/tool"),
        (json!({"tool": "sorrel-18-medium"}), "/pack"),
    ] {
        let problem = results.runs(&question(asked)).unwrap_err();
        assert_eq!(problem.pointer, pointer);
        assert!(!problem.message.is_empty());
    }
    // A pair that nobody ran has nothing behind it, and says so.
    let none = worded(
        &results,
        json!({"tool": "vetch-18-small", "pack": "three-row-12", "job": "650 N·m"}),
    );
    assert!(none.none.is_some() && none.counted.is_empty());
}

#[test]
fn logs_and_flags_are_said_run_by_run() {
    let results = edited(|document| {
        let run = list(document, "runs")
            .iter_mut()
            .find(|run| run["tool"] == "vetch-18-small");
        run.unwrap()["log"] = json!({"file": "vetch-01.csv", "sha256": "ab".repeat(32)});
    });
    let said = everything(&worded(
        &results,
        json!({"tool": "vetch-18-small", "pack": "slim-2-5"}),
    ));
    let log = format!("Log of run 1: vetch-01.csv, {}.", "ab".repeat(32));
    assert!(said.contains(&log), "{said}");
    let said = everything(&worded(
        &results,
        json!({"tool": "yarrow-18-large", "pack": "two-row-5-0"}),
    ));
    assert!(
        said.contains("was cut short and counts as it stands."),
        "{said}"
    );
}

#[test]
fn nothing_is_called_a_specimen_and_nothing_is_left_unfilled() {
    let results = read(&demo());
    let contents = results.contents();
    for tool in &contents.tools {
        for pack in &contents.packs {
            for edition in 1..=3 {
                let asked =
                    json!({"tool": tool.id, "pack": pack.id, "job": "200 N·m", "edition": edition});
                let said = everything(&worded(&results, asked));
                assert!(
                    !said.contains("specimen") && !said.contains(['[', ']', '{', '}']),
                    "{said}"
                );
            }
        }
    }
}

#[test]
fn how_it_was_measured_tells_who_paid_the_rig_and_how_much_was_run() {
    let document = demo();
    let results = read(&document);
    let contents = results.contents();
    let told: Vec<&str> = contents
        .measured
        .iter()
        .flat_map(|told| told.lines.iter().map(String::as_str))
        .collect();
    let told = told.join("\n");
    let all = document["runs"].as_array().unwrap();
    let published = |run: &&Value| run["edition"].is_u64();
    let controls = all
        .iter()
        .filter(published)
        .filter(|run| run["control"] == true)
        .count();
    let aside = all.iter().filter(|run| run["excluded"].is_object()).count();
    let counted = all.iter().filter(published).count() - controls - aside;
    for wanted in [
        document["disclosure"].as_str().unwrap(),
        document["contact"].as_str().unwrap(),
        document["rigs"][0]["joints"][0]["lubricant"]
            .as_str()
            .unwrap(),
        "Torque is worked out from how hard the bolt pulls.",
        "Calibrated on 20 February 2026, within 2.0 % (expanded uncertainty, k = 2).",
        "Also run: full pack kept at −10 °C overnight.",
        "tool C, lent to us used, from: a member, made in August 2024",
        "from 2 March 2026 to 6 July 2026",
        "18 to 25 °C",
        &format!("{counted} runs count"),
        &format!("{aside} runs are set aside"),
        &format!("{controls} check runs"),
    ] {
        assert!(told.contains(wanted), "{wanted}: {told}");
    }
    assert!(!told.contains("bench team"), "{told}");
    let cited = contents.citation.join(" ");
    for part in ["publisher", "title", "license"] {
        assert!(
            cited.contains(document[part].as_str().unwrap()),
            "{part}: {cited}"
        );
    }
    assert!(cited.contains("Edition 3, 11 July 2026"), "{cited}");
}

#[test]
fn every_edition_is_told_and_an_older_one_says_that_it_is() {
    let contents = read(&demo()).contents();
    let names: Vec<&str> = contents
        .editions
        .iter()
        .map(|told| told.name.as_str())
        .collect();
    assert_eq!(
        names,
        [
            "Edition 3, 11 July 2026",
            "Edition 2, 16 May 2026",
            "Edition 1, 14 March 2026"
        ]
    );
    let outdated: Vec<_> = contents
        .editions
        .iter()
        .map(|told| told.outdated.as_deref())
        .collect();
    assert_eq!(
        outdated,
        [
            None,
            Some("This shows edition 2. Edition 3 is out."),
            Some("This shows edition 1. Edition 3 is out.")
        ]
    );
    let newest = contents.editions[0].lines.join(" ");
    assert!(
        newest.contains("Torque of 11 May 2026 is lowered by 2.4 %."),
        "{newest}"
    );
    assert!(
        newest.contains("Tools: Sedge 18 small, Vetch 18 small"),
        "{newest}"
    );
    // What an answer warns of leads to the edition by its very words.
    let answer = ask(
        &read(&demo()),
        json!({"tool": "sorrel-18-medium", "pack": "pouch-5-0", "job": "650 N·m"}),
    );
    assert!(answer.warnings.contains(&contents.editions[0].corrected));
}
