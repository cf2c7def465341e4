//! What another setup costs against `setups.py`, through the one door; and one worked out by hand.

use super::close::{assert_near, assert_within, fixture};
use super::known::{nothing_but_runs, run};
use jobtorque::query::question::Question;
use jobtorque::results::Results;
use jobtorque::scatter::Scatter;
use jobtorque::scatter::cells::Run;
use jobtorque::scatter::over_pairs::{Paired, over_pairs};
use jobtorque::scatter::shares::{Scatters, Shares};
use jobtorque::setups::data::SetupCost;
use serde::Deserialize;
use serde_json::Value;

#[derive(Deserialize)]
struct Fixture {
    cases: Vec<Case>,
}

#[derive(Deserialize)]
struct Case {
    name: String,
    edition: u32,
    dataset: Value,
    expected: Expected,
}

#[derive(Deserialize)]
struct Expected {
    pairs: u32,
    lost_percent: f64,
    /// Ends of the 90 % interval, in per cent.
    ends: Option<[f64; 2]>,
}

fn cost(case: &Case) -> SetupCost {
    let catalogue = include_str!("../../www/texts/en.json");
    let text = case.dataset.to_string();
    let results = Results::read(text.as_bytes(), serde_json::from_str(catalogue).unwrap()).unwrap();
    let question = Question {
        job: Some("200 N·m".into()),
        edition: Some(case.edition),
        ..Question::default()
    };
    let answer = results.ask(&question).unwrap();
    assert_eq!(answer.setup_costs.len(), 1, "{}", case.name);
    answer.setup_costs[0].clone()
}

#[test]
fn losses_and_their_intervals() {
    let Fixture { cases } = fixture("setups.json");
    for case in &cases {
        let (got, expected, what) = (cost(case), &case.expected, case.name.as_str());
        assert_eq!(got.pairs, expected.pairs, "{what}");
        assert_within(got.lost_percent, expected.lost_percent, 1e-8, what);
        let ends = got.low_percent.zip(got.high_percent);
        assert_eq!(ends.is_some(), expected.ends.is_some(), "{what}");
        if let Some(((low, high), [wanted_low, wanted_high])) = ends.zip(expected.ends) {
            assert_within(low, wanted_low, 1e-7, what);
            assert_within(high, wanted_high, 1e-7, what);
        }
    }
}

#[test]
fn two_pairs_of_one_tool_by_hand() {
    let scatter = |percent: f64, nu| Scatter {
        variance: percent * percent / 1e4,
        nu,
    };
    let scatters = Scatters {
        specimen: scatter(3.0, 4.0),
        ..nothing_but_runs()
    };
    let of = |specimen| Run { specimen, ..run(0) };
    // Three runs on specimen 1, or on each of 1 and 2.
    let one = Shares::of_mean(&[of(1); 3]);
    let both = Shares::of_mean(&[of(1), of(1), of(1), of(2), of(2), of(2)]);
    // Both pairs on both specimens as they are, on one alone through the extension: −0.10 and −0.06.
    let pair = |log: f64| Paired {
        log,
        shares: one.less(&both),
    };
    let of_pairs = |pairs: &[Paired]| over_pairs(pairs, &scatters, |_| scatter(2.0, 30.0), 0.0003);
    let got = of_pairs(&[pair(5.9 - 6.0), pair(5.84 - 5.9)]).unwrap();
    assert_near(got.log, -0.08, "mean of the two");
    // Specimen 1 counts 1 − 1/2 in either pair and 2 −1/2, so 1/4 + 1/4 of 0.03² stays, however many pairs;
    // of 0.02² stays (1/3 + 1/6 + 1/3 + 1/6)/2² = 1/4.
    let (specimens, runs): (f64, f64) = (0.0009 / 2.0, 0.0004 / 4.0);
    // Squares of differences 2 · 0.02², of which each pair's error, 0.0009/2 + 0.0004/2, explains what both
    // have less what their mean has twice: (2 · 0.0003 + 0.0008 − 0.0002)/3 from pair to pair.
    let pairs = 0.0004 / 2.0;
    let variance = specimens + runs + pairs;
    assert_near(got.sd, variance.sqrt(), "its standard deviation");
    let doubt = specimens * specimens / 4.0 + runs * runs / 30.0 + pairs * pairs / 3.0;
    assert_near(got.nu, variance * variance / doubt, "its freedom");
    assert!(of_pairs(&[]).is_none());
}
