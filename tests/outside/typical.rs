//! Typical curves, their measures and best-of-three scores against `typical.py`: the functions
//! behind them, and the same figures through the one door.

use super::close::{
    Line, assert_near, assert_near_or_none, assert_time, assert_within, counted, fixture,
};
use jobtorque::answer::data::Answer;
use jobtorque::dataset::types::BuildUp;
use jobtorque::joint::JointLine;
use jobtorque::query::question::Question;
use jobtorque::results::Results;
use jobtorque::run::LEAST_TORQUE_NM;
use jobtorque::run::curve::Curve;
use jobtorque::run::instants;
use jobtorque::scatter::by_time::{ByTime, times};
use jobtorque::scatter::cells::{Cells, Run};
use jobtorque::text::catalogue::Catalogue;
use jobtorque::typical::told::Told;
use jobtorque::typical::{Combination, Counted};
use serde::{Deserialize, Serialize};
use serde_json::json;
use std::collections::BTreeMap;

#[derive(Deserialize)]
struct Fixture {
    window_s: f64,
    joint: Line,
    cases: Vec<Case>,
}

#[derive(Deserialize)]
struct Case {
    name: String,
    specimens: Vec<String>,
    buildup: Vec<Knots>,
    expected: Expected,
}

#[derive(Clone, Deserialize, Serialize)]
struct Knots {
    onset_dnm: i32,
    tick_us: u32,
    first_us: u32,
    step: Vec<u32>,
    rise_dnm: Vec<i32>,
    #[serde(skip_serializing_if = "Option::is_none")]
    turn_ddeg: Option<Vec<i32>>,
}

#[derive(Deserialize)]
struct Expected {
    dnm: Vec<i32>,
    roots: Vec<u32>,
    curve: Vec<Point>,
    peak_nm: f64,
    mean_nm: f64,
    early_nm: f64,
    field_mean_nm: f64,
    field_early_nm: f64,
    run_peak_nm: Vec<f64>,
    run_mean_nm: Vec<f64>,
    run_early_nm: Vec<f64>,
    at: Vec<At>,
}

#[derive(Deserialize)]
struct Point {
    t_us: u32,
    torque_nm: f64,
}

#[derive(Deserialize)]
struct At {
    torque_nm: f64,
    typical_time_us: Option<u32>,
    run_time_s: Vec<Option<f64>>,
    work_j: Option<f64>,
    average_power_w: Option<f64>,
    rise_rate_nm_per_s: f64,
    run_average_power_w: Vec<f64>,
    best_of_three_power_w: Option<f64>,
    best_of_three_rise_rate_nm_per_s: Option<f64>,
}

impl Knots {
    fn buildup(&self) -> BuildUp {
        let peak_dnm = self.rise_dnm.iter().sum();
        BuildUp {
            onset_dnm: self.onset_dnm,
            tick_us: self.tick_us,
            first_us: self.first_us,
            step: self.step.clone(),
            rise_dnm: self.rise_dnm.clone(),
            largest_dnm: peak_dnm,
            samples: 100,
            zero_dnm: 0,
            gap_us: 5000,
            flags: vec![],
            turn_ddeg: self.turn_ddeg.clone(),
            open_mv: None,
            resistance_uohm: None,
            lowest_mv: None,
            energy_mj: None,
        }
    }
}

impl Case {
    fn buildups(&self) -> Vec<BuildUp> {
        self.buildup.iter().map(Knots::buildup).collect()
    }

    /// The case as a dataset of one pair.
    fn dataset(&self, fixture: &Fixture) -> String {
        let runs: Vec<_> = self
            .specimens
            .iter()
            .zip(self.buildups())
            .map(|(specimen, buildup)| {
                json!({"tool": "t", "pack": "p", "specimen": specimen, "day": "d", "edition": 1,
                    "buildup": buildup})
            })
            .collect();
        let joint = json!({"id": "j", "name": "j", "angle_deg": fixture.joint.angle_deg,
            "torque_nm": fixture.joint.torque_nm});
        json!({
            "format": "jobtorque/1", "title": "invented", "license": "CC0-1.0", "disclosure": "nobody",
            "invented": true,
            "editions": [{"edition": 1, "date": "2026-01-01"}],
            "rigs": [{"id": "r", "torque_from": "torque sensor", "window_s": fixture.window_s,
                "joints": [joint]}],
            "tools": [{"id": "t", "name": "t", "pack_mount": "m"}],
            "packs": [{"id": "p", "name": "p", "pack_mount": "m"}],
            "days": [{"id": "d", "date": "2026-01-01"}],
            "runs": runs,
        })
        .to_string()
    }
}

/// Every case with its combination, its runs in the fixture's order, and the joint.
fn each(check: impl Fn(&Fixture, &Case, &Combination, &[Counted], &JointLine)) {
    let fixture: Fixture = fixture("typical.json");
    assert!(fixture.cases.len() >= 9);
    let joint = JointLine::new(&fixture.joint.angle_deg, &fixture.joint.torque_nm).unwrap();
    for case in &fixture.cases {
        let buildups = case.buildups();
        let curves: Vec<Curve> = buildups.iter().map(BuildUp::curve).collect();
        let runs: Vec<Counted> = curves
            .iter()
            .zip(&buildups)
            .map(|(curve, buildup)| counted(curve, buildup, fixture.window_s))
            .collect();
        let mut specimens: BTreeMap<&str, Vec<Counted>> = BTreeMap::new();
        for (specimen, run) in case.specimens.iter().zip(&runs) {
            specimens.entry(specimen).or_default().push(run.clone());
        }
        let combination = Combination::new(
            specimens.into_values().collect(),
            &instants::times(fixture.window_s),
        )
        .unwrap();
        check(&fixture, case, &combination, &runs, &joint);
    }
}

/// Every case with its answers to the torques that may be asked for.
fn each_answer(check: impl Fn(&str, &Answer, &At, &Expected)) {
    let fixture: Fixture = fixture("typical.json");
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/www/texts/en.json");
    let text = std::fs::read_to_string(path).unwrap();
    let mut asked = 0;
    for case in &fixture.cases {
        let catalogue: Catalogue = serde_json::from_str(&text).unwrap();
        let results = Results::read(case.dataset(&fixture).as_bytes(), catalogue)
            .unwrap_or_else(|problems| panic!("{}: {problems:?}", case.name));
        for at in case.expected.at.iter().filter(|at| at.torque_nm >= 1.0) {
            let question = Question {
                tool: Some("t".into()),
                pack: Some("p".into()),
                job: Some(format!("{} N·m", at.torque_nm)),
                ..Question::default()
            };
            let answer = results.ask(&question).unwrap();
            let what = format!("{}, {} N·m", case.name, at.torque_nm);
            check(&what, &answer, at, &case.expected);
            asked += 1;
        }
    }
    assert!(asked >= 60, "{asked} questions");
}

#[test]
fn the_measures_of_each_run() {
    each(|_, case, _, runs, _| {
        for (k, run) in runs.iter().enumerate() {
            let (measures, expected) = (run.measures, &case.expected);
            assert_near(measures.peak_nm, expected.run_peak_nm[k], &case.name);
            assert_near(measures.mean_nm, expected.run_mean_nm[k], &case.name);
            assert_near(measures.early_nm, expected.run_early_nm[k], &case.name);
        }
    });
}

#[test]
fn times_and_powers_of_each_run() {
    each(|fixture, case, _, runs, joint| {
        for at in &case.expected.at {
            for (k, run) in runs.iter().enumerate() {
                let what = format!("{}, {} N·m, run {k}", case.name, at.torque_nm);
                let time_s = run.curve.time_to(at.torque_nm, fixture.window_s);
                assert_time(time_s, at.run_time_s[k], &what);
                let power_w = run.power_to_w(at.torque_nm, Some(joint), fixture.window_s);
                assert_near_or_none(power_w, Some(at.run_average_power_w[k]), &what);
            }
        }
    });
}

#[test]
fn the_typical_curve_is_the_mean_over_specimens_of_the_mean_logarithm() {
    each(|_, case, combination, _, _| {
        for point in &case.expected.curve {
            let torque_nm = combination.torque_at(f64::from(point.t_us) / 1e6);
            let what = format!("{} at {} µs", case.name, point.t_us);
            assert_near(torque_nm, point.torque_nm, &what);
        }
    });
}

#[test]
fn the_typical_curve_is_told_in_tenths_at_the_instants() {
    each(|fixture, case, combination, runs, _| {
        let exact = |time_s: f64| {
            libm::exp(combination.log_of(&|run| run.curve.torque_at(time_s))).max(LEAST_TORQUE_NM)
        };
        let exact: Vec<f64> = instants::times(fixture.window_s)
            .iter()
            .copied()
            .map(exact)
            .collect();
        let told = Told::of(&exact).curve(&instants::times(fixture.window_s));
        let dnm = told.points().map(|(_, nm)| (10.0 * nm).round() as i32);
        assert_eq!(
            dnm.collect::<Vec<i32>>(),
            case.expected.dnm,
            "{}",
            case.name
        );
        let cell = |specimen: &String| Run {
            tool: 0,
            pair: 0,
            specimen: usize::from(specimen.as_bytes()[0]),
            pack: 0,
            day: 0,
        };
        let cells: Vec<Run> = case.specimens.iter().map(cell).collect();
        let cells = Cells::of(&cells, &[]);
        let squares = times(fixture.window_s).map(|time_s| {
            let log = |run: &Counted| run.curve.log_torque_at(time_s);
            let logs: Vec<f64> = runs.iter().map(log).collect();
            cells.squares_of_pairs(1, &logs)[0].0
        });
        let roots = ByTime::of(squares);
        assert_eq!(roots.roots(), case.expected.roots, "{}", case.name);
    });
}

#[test]
fn typical_measures() {
    each(|_, case, combination, _, _| {
        let expected = &case.expected;
        assert_near(combination.peak_nm(), expected.peak_nm, &case.name);
        assert_near(combination.mean_nm(), expected.mean_nm, &case.name);
        assert_near(combination.early_nm(), expected.early_nm, &case.name);
    });
}

#[test]
fn the_typical_time_is_the_first_whole_microsecond() {
    each(|fixture, case, combination, _, _| {
        for at in &case.expected.at {
            let time_s = combination.time_to(at.torque_nm, fixture.window_s);
            let expected = at.typical_time_us.map(|time_us| f64::from(time_us) / 1e6);
            assert_eq!(time_s, expected, "{}, {} N·m", case.name, at.torque_nm);
        }
    });
}

#[test]
fn typical_work() {
    each(|fixture, case, combination, _, joint| {
        for at in &case.expected.at {
            let work_j = combination.work_to_j(at.torque_nm, Some(joint), fixture.window_s);
            let what = format!("{}, {} N·m", case.name, at.torque_nm);
            assert_near_or_none(work_j, at.work_j, &what);
        }
    });
}

#[test]
fn the_best_of_three_is_the_mean_best_over_all_threes() {
    each(|fixture, case, combination, _, _| {
        for at in &case.expected.at {
            let rise_rate = |run: &Counted| run.rise_rate_to(at.torque_nm, fixture.window_s);
            let what = format!("{}, {} N·m", case.name, at.torque_nm);
            let expected = at.best_of_three_rise_rate_nm_per_s;
            assert_near_or_none(combination.best_of_three(&rise_rate), expected, &what);
        }
    });
}

#[test]
fn answers_give_the_typical_figures() {
    each_answer(|what, answer, at, expected| {
        assert_near_or_none(answer.peak_torque_nm, Some(expected.peak_nm), what);
        assert_near_or_none(answer.mean_torque_nm, Some(expected.field_mean_nm), what);
        assert_near_or_none(answer.early_torque_nm, Some(expected.field_early_nm), what);
        let time_s = at.typical_time_us.map(|time_us| f64::from(time_us) / 1e6);
        assert_eq!(answer.time_to_job_s, time_s, "{what}");
        assert_within(answer.required_torque_nm, at.torque_nm, 0.0, what);
        // Work to a torque that the typical curve does not reach is not given.
        let work_j = at.work_j.filter(|_| time_s.is_some());
        assert_near_or_none(answer.work_j, work_j, what);
        assert_near_or_none(answer.average_power_w, at.average_power_w, what);
        let rise_rate = Some(at.rise_rate_nm_per_s);
        assert_near_or_none(answer.rise_rate_nm_per_s, rise_rate, what);
    });
}

#[test]
fn answers_give_the_best_of_three() {
    each_answer(|what, answer, at, _| {
        let (power_w, rise_rate) = (
            at.best_of_three_power_w,
            at.best_of_three_rise_rate_nm_per_s,
        );
        assert_near_or_none(answer.best_of_three_power_w, power_w, what);
        assert_near_or_none(answer.best_of_three_rise_rate_nm_per_s, rise_rate, what);
    });
}
