use super::*;
use crate::answer::data::Answer;
use crate::query::filter::{Narrowing, Order};
use crate::query::question::Question;
use crate::query::verdict::Basis;
use crate::results::Results;
use crate::text::catalogue::Catalogue;

fn demo() -> Results {
    let texts = include_str!("../../../www/texts/en.json");
    let catalogue: Catalogue = serde_json::from_str(texts).unwrap();
    Results::read(include_bytes!("../../../data/demo.json"), catalogue).unwrap()
}

const CHOSEN: (&str, &str) = ("sorrel-18-medium", "two-row-5-0");

fn question(chosen: Option<(&str, &str)>, beside: &[(&str, &str)]) -> Question {
    let pair = |&(tool, pack): &(&str, &str)| PairIds {
        tool: tool.into(),
        pack: pack.into(),
    };
    Question {
        job: Some("150 N·m".into()),
        tool: chosen.map(|(tool, _)| tool.into()),
        pack: chosen.map(|(_, pack)| pack.into()),
        beside: beside.iter().map(pair).collect(),
        ..Question::default()
    }
}

fn drawn(results: &Results, question: &Question) -> Vec<(String, String, bool)> {
    let curves = results.curves(question).unwrap().curves;
    let parts = |curve: NamedCurve| (curve.pair.tool, curve.pair.pack, curve.beside);
    curves.into_iter().map(parts).collect()
}

/// Measured pairs of the demo data in the order of their times.
fn measured(results: &Results) -> Vec<(String, String)> {
    let list = results.ask(&question(None, &[])).unwrap().list.unwrap();
    let measured = |answer: &Answer| answer.basis == Basis::Measured;
    let pair = |answer: Answer| Some((answer.tool?, answer.pack?));
    list.into_iter().filter(measured).filter_map(pair).collect()
}

/// The pairs of the list beside the chart, in its order.
fn listed(results: &Results, question: &Question) -> Vec<(String, String)> {
    let choices = results.choices(question).unwrap();
    let reaching = choices
        .rows
        .into_iter()
        .map(|one| (one.row.tool, one.row.pack));
    let misses = choices
        .misses
        .into_iter()
        .map(|miss| (miss.tool, miss.pack));
    reaching.chain(misses).collect()
}

#[test]
fn without_a_pair_the_chart_shows_the_first_of_the_list_beside_it() {
    let results = demo();
    let mut first = Vec::new();
    for order in [
        Order::Lightest,
        Order::Shortest,
        Order::LeastCostly,
        Order::Quickest,
    ] {
        for (job, heaviest_kg, tool) in [
            ("650 N·m", None, None),
            ("150 N·m", Some(2.5), None),
            ("650 N·m", None, Some("sorrel-18-medium")),
            ("19000 N·m", None, None),
        ] {
            let asked = Question {
                job: Some(job.into()),
                tool: tool.map(str::to_owned),
                order: Some(order),
                narrow: Some(Narrowing {
                    heaviest_kg,
                    ..Narrowing::default()
                }),
                ..Question::default()
            };
            let list = listed(&results, &asked);
            let chart = drawn(&results, &asked);
            let chart: Vec<_> = chart
                .into_iter()
                .map(|(tool, pack, _)| (tool, pack))
                .collect();
            assert_eq!(chart, list[..list.len().min(3)], "{order:?} {job}");
            assert!(!chart.is_empty());
            if job == "650 N·m" && tool.is_none() {
                first.push(chart);
            }
        }
    }
    // Each order shows others.
    first.dedup();
    assert!(first.len() >= 3, "{first:?}");
}

#[test]
fn the_chosen_pair_comes_first_with_its_band_and_those_beside_it_in_their_order() {
    let results = demo();
    let others = measured(&results);
    let beside: Vec<(&str, &str)> = others
        .iter()
        .map(|(tool, pack)| (tool.as_str(), pack.as_str()))
        .filter(|pair| *pair != CHOSEN)
        .step_by(2)
        .take(MOST_BESIDE)
        .collect();
    assert_eq!(beside.len(), MOST_BESIDE);
    let asked = question(Some(CHOSEN), &beside);
    let mut expected = vec![(CHOSEN.0.to_owned(), CHOSEN.1.to_owned(), false)];
    expected.extend(
        beside
            .iter()
            .map(|&(tool, pack)| (tool.into(), pack.into(), true)),
    );
    assert_eq!(drawn(&results, &asked), expected);
    let curves = results.curves(&asked).unwrap().curves;
    let bands: Vec<bool> = curves.iter().map(|curve| !curve.band.is_empty()).collect();
    assert_eq!(bands, [true, false, false, false, false]);
    // The answer itself is the same with and without them.
    let alone = results.ask(&question(Some(CHOSEN), &[])).unwrap();
    assert_eq!(results.ask(&asked).unwrap(), alone);
}

#[test]
fn a_pair_is_drawn_once_however_it_is_asked_for() {
    let results = demo();
    let own = drawn(&results, &question(Some(CHOSEN), &[CHOSEN]));
    assert_eq!(own, [(CHOSEN.0.into(), CHOSEN.1.into(), false)]);
    let others = listed(&results, &question(None, &[]));
    let (first, last) = (&others[0], &others[others.len() - 1]);
    let beside = [first, last].map(|(tool, pack)| (tool.as_str(), pack.as_str()));
    let list = drawn(&results, &question(None, &beside));
    let expected: Vec<_> = others[..3].iter().chain([last]).collect();
    let pairs: Vec<(String, String)> = list
        .iter()
        .map(|(tool, pack, _)| (tool.clone(), pack.clone()))
        .collect();
    assert_eq!(pairs.iter().collect::<Vec<_>>(), expected);
    assert_eq!(
        list.iter().map(|curve| curve.2).collect::<Vec<_>>(),
        [false, false, false, true]
    );
}

#[test]
fn of_a_few_pairs_all_are_drawn() {
    let mut document: serde_json::Value =
        serde_json::from_slice(include_bytes!("../../../data/demo.json")).unwrap();
    let mut pairs = Vec::new();
    document["runs"].as_array_mut().unwrap().retain(|run| {
        let pair = (run["tool"].clone(), run["pack"].clone());
        if !pairs.contains(&pair) && pairs.len() < MOST_CURVES {
            pairs.push(pair.clone());
        }
        pairs.contains(&pair)
    });
    let texts = include_str!("../../../www/texts/en.json");
    let catalogue: Catalogue = serde_json::from_str(texts).unwrap();
    let few = Results::read(document.to_string().as_bytes(), catalogue).unwrap();
    let all = measured(&few);
    assert_eq!(all.len(), MOST_CURVES);
    let last = all.last().unwrap();
    let last = (last.0.as_str(), last.1.as_str());
    assert_eq!(drawn(&few, &question(None, &[])).len(), MOST_CURVES);
    let of_one = drawn(&few, &question(Some(last), &[]));
    assert_eq!(of_one.len(), MOST_CURVES);
    assert_eq!((of_one[0].0.as_str(), of_one[0].1.as_str()), last);
    assert!(of_one.iter().all(|curve| !curve.2));
    // None is there to be taken off: it would be drawn all the same.
    let first = (all[0].0.as_str(), all[0].1.as_str());
    let beside = drawn(&few, &question(Some(last), &[first]));
    assert_eq!(beside.len(), MOST_CURVES);
    assert!(beside.iter().all(|curve| !curve.2));
}

#[test]
fn a_list_leaves_room_for_those_beside_it() {
    let results = demo();
    let others = listed(&results, &question(None, &[]));
    let last: Vec<(&str, &str)> = others
        .iter()
        .rev()
        .map(|(tool, pack)| (tool.as_str(), pack.as_str()))
        .take(MOST_BESIDE)
        .collect();
    for (beside, of_the_list) in [(0, 3), (1, 3), (2, 3), (3, 2), (4, 1)] {
        let list = drawn(&results, &question(None, &last[..beside]));
        assert_eq!(list.iter().filter(|curve| !curve.2).count(), of_the_list);
        assert_eq!(list.len(), of_the_list + beside);
    }
}

#[test]
fn a_pair_nobody_ran_is_drawn_as_an_estimate() {
    let results = demo();
    let list = results.ask(&question(None, &[])).unwrap().list.unwrap();
    let listed = list.into_iter().find(|one| one.basis == Basis::Estimate);
    let listed = listed.unwrap();
    let pair = (listed.tool.unwrap(), listed.pack.unwrap());
    let pair = (pair.0.as_str(), pair.1.as_str());
    for asked in [
        question(Some(pair), &[pair, CHOSEN]),
        question(Some(CHOSEN), &[pair]),
    ] {
        let curves = results.curves(&asked).unwrap();
        assert!(curves.without_runs.is_empty());
        assert_eq!(curves.curves.len(), 2);
        for curve in &curves.curves {
            let is_it = (curve.pair.tool.as_str(), curve.pair.pack.as_str()) == pair;
            assert_eq!(curve.estimate, is_it);
            if is_it {
                let end_nm = curve.combination.torque_at(curves.window_s);
                assert_eq!(Some(end_nm), listed.typical_end_nm);
                assert_eq!(curve.time_to_job_s, listed.time_to_job_s);
                assert!(curve.label.contains("(estimate)"), "{}", curve.label);
            }
        }
        assert!(!curves.curves[0].band.is_empty() && curves.curves[1].band.is_empty());
    }
}

#[test]
fn a_pair_without_runs_or_estimate_is_named_and_not_drawn() {
    let results = demo();
    // Too few pairs were run like this to estimate others.
    let mut asked = question(None, &[]);
    asked.setup = Some("extension".into());
    let list = results.ask(&asked).unwrap().list.unwrap();
    let beside = CHOSEN;
    let chosen = list.into_iter().next().unwrap();
    assert_ne!(chosen.pack.as_deref(), Some(beside.1));
    asked = question(
        chosen.tool.as_deref().zip(chosen.pack.as_deref()),
        &[beside],
    );
    asked.setup = Some("extension".into());
    let curves = results.curves(&asked).unwrap();
    assert_eq!((curves.curves.len(), curves.without_runs.len()), (1, 1));
    let (tool, pack) = (beside.0.into(), beside.1.into());
    assert_eq!(curves.without_runs[0].0, PairIds { tool, pack });
}

#[test]
fn a_pair_that_cannot_be_laid_over_is_a_problem_of_that_part_alone() {
    let results = demo();
    let others = measured(&results);
    let five: Vec<(&str, &str)> = others
        .iter()
        .map(|(tool, pack)| (tool.as_str(), pack.as_str()))
        .take(MOST_BESIDE + 1)
        .collect();
    let unfit = results.dataset().packs.iter();
    let mount = &results
        .dataset()
        .tools
        .iter()
        .find(|tool| tool.id == CHOSEN.0)
        .unwrap();
    let unfit = unfit
        .map(|pack| (pack.id.as_str(), &pack.pack_mount))
        .find(|(_, pack)| **pack != mount.pack_mount);
    let cases: [(&[(&str, &str)], &str); 5] = [
        (&five, "at most four"),
        (&[("nobody's", CHOSEN.1)], "no tool \"nobody's\""),
        (&[(CHOSEN.0, "<b>")], "no pack \"<b>\""),
        (&[(CHOSEN.0, unfit.unwrap().0)], "does not fit"),
        (&[five[0], five[1], five[0]], "twice"),
    ];
    for (beside, words) in cases {
        let asked = question(Some(CHOSEN), beside);
        for problem in [
            results.ask(&asked).unwrap_err(),
            results.curves(&asked).unwrap_err(),
        ] {
            assert_eq!(problem.pointer, "/beside");
            assert!(problem.message.contains(words), "{}", problem.message);
        }
    }
}
