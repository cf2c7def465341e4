//! Two pairs side by side against `compare.py`, through the one door.

use super::close::{assert_near, assert_within, fixture};
use jobtorque::compare::data::{Comparison, Ratio};
use jobtorque::query::question::{PairIds, Question};
use jobtorque::results::Results;
use serde::Deserialize;
use serde_json::{Value, json};

#[derive(Deserialize)]
struct Fixture {
    margin_percent: f64,
    cases: Vec<Case>,
}

#[derive(Deserialize)]
struct Case {
    /// Name of the field in `uncertainty.json`.
    field: String,
    question: Question,
    expected: Vec<Expected>,
}

#[derive(Deserialize)]
struct Expected {
    /// Places of the two among the field's pairs.
    pairs: [usize; 2],
    /// Ratio, lower end, upper end; as tested unless of kinds.
    mean: [f64; 3],
    mean_of_kinds: [f64; 3],
    peak: [f64; 3],
    time: Option<[Option<f64>; 3]>,
    chance: f64,
    verdict: String,
    /// When each lead begins in s, and whose it is.
    leads: Vec<(f64, u8)>,
}

#[derive(Deserialize)]
struct Fields {
    cases: Vec<Field>,
}

#[derive(Deserialize)]
struct Field {
    name: String,
    dataset: Value,
    pairs: Vec<(String, String)>,
}

/// Leads are looked for every 10 ms.
const LEAD_STEP_S: f64 = 0.01;

/// A time is a whole microsecond, found on either side alike.
#[track_caller]
fn assert_times(got: Option<Ratio>, wanted: Option<[Option<f64>; 3]>, what: &str) {
    let (Some(got), Some([ratio, low, high])) = (got, wanted) else {
        assert_eq!(got.is_some(), wanted.is_some(), "{what}");
        return;
    };
    assert_near(got.ratio, ratio.unwrap(), what);
    for (got, wanted) in [(got.low, low), (got.high, high)] {
        assert_eq!(got.is_some(), wanted.is_some(), "{what}");
        if let (Some(got), Some(wanted)) = (got, wanted) {
            // A shifted torque may differ in its last bits, and so a time by a microsecond.
            assert_within(got, wanted, 1e-5 * wanted, what);
        }
    }
}

#[track_caller]
fn assert_ratio(got: Option<Ratio>, [ratio, low, high]: [f64; 3], what: &str) {
    let got = got.unwrap();
    assert_near(got.ratio, ratio, what);
    assert_near(got.low.unwrap(), low, what);
    assert_near(got.high.unwrap(), high, what);
}

/// Every comparison of the fixture, with what is expected of it.
fn each(mut hold: impl FnMut(&Comparison, &Expected, &str)) {
    let Fixture {
        margin_percent,
        cases,
    } = fixture("compare.json");
    let fields: Fields = fixture("uncertainty.json");
    let catalogue = include_str!("../../www/texts/en.json");
    let mut seen = 0;
    for case in cases {
        let mut fields = fields.cases.iter();
        let field = fields.find(|field| field.name == case.field).unwrap();
        let mut dataset = field.dataset.clone();
        dataset["match_margin_percent"] = json!(margin_percent);
        let text = dataset.to_string();
        let results =
            Results::read(text.as_bytes(), serde_json::from_str(catalogue).unwrap()).unwrap();
        for expected in case.expected {
            let [first, second] = expected.pairs.map(|place| field.pairs[place].clone());
            let question = Question {
                tool: Some(first.0),
                pack: Some(first.1),
                beside: vec![PairIds {
                    tool: second.0,
                    pack: second.1,
                }],
                ..case.question.clone()
            };
            let got = results.compare(&question).unwrap();
            let what = format!("{}: {:?}", case.field, expected.pairs);
            hold(&got[0], &expected, &what);
            seen += 1;
        }
    }
    assert!(seen > 60, "{seen}");
}

#[test]
fn ratios_and_their_intervals() {
    each(|got, expected, what| {
        assert_ratio(got.mean_torque_ratio, expected.mean, what);
        assert_ratio(got.mean_torque_ratio_of_kinds, expected.mean_of_kinds, what);
        assert_ratio(got.peak_torque_ratio, expected.peak, what);
        let verdict = serde_json::to_value(got.verdict.unwrap()).unwrap();
        assert_eq!(verdict, expected.verdict, "{what}");
    });
}

#[test]
fn ratios_of_times() {
    each(|got, expected, what| assert_times(got.time_to_job_ratio, expected.time, what));
}

#[test]
fn chances_to_be_ahead() {
    each(|got, expected, what| {
        assert_within(got.chance_ahead.unwrap(), expected.chance, 1e-9, what);
    });
}

#[test]
fn leads_and_crossings() {
    let mut crossings = 0;
    each(|got, expected, what| {
        let pairs = |leads: &mut dyn Iterator<Item = u8>| leads.collect::<Vec<u8>>();
        assert_eq!(
            pairs(&mut got.leads.iter().map(|lead| lead.pair)),
            pairs(&mut expected.leads.iter().map(|(_, pair)| *pair)),
            "{what}"
        );
        for (got, (from_s, _)) in got.leads.iter().zip(&expected.leads) {
            // The step in which a lead begins is known; where in it, is bisected.
            let before = from_s - got.from_s;
            assert!((0.0..=LEAD_STEP_S).contains(&before), "{what}: {before}");
        }
        crossings += expected.leads.len().saturating_sub(1);
    });
    assert!(crossings >= 10, "{crossings}");
}
