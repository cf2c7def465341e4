//! Days by their check runs, against `days.py`: offsets by the mixed-model equations in full, limits
//! word by word.

use super::close::{assert_near, assert_within, fixture};
use jobtorque::history::check_days::{CheckDay, limits, smallest_shift};
use jobtorque::history::day_offsets::day_offsets;
use jobtorque::scatter::effects::Assumed;
use serde::Deserialize;

#[derive(Deserialize)]
struct Fixture {
    cases: Vec<Case>,
}

#[derive(Deserialize)]
struct Case {
    name: String,
    mean: Vec<f64>,
    runs: Vec<u32>,
    day_variance: f64,
    run_variance: f64,
    offset: Vec<f64>,
    shown: Vec<f64>,
    left: Vec<f64>,
    factor: Vec<f64>,
    proposed: Vec<bool>,
    low: Vec<f64>,
    high: Vec<f64>,
    shift_percent: f64,
}

impl Case {
    fn days(&self) -> Vec<CheckDay> {
        let days = self.mean.iter().zip(&self.runs);
        days.map(|(&log, &runs)| CheckDay { log, runs }).collect()
    }
}

#[test]
fn offsets_are_what_the_equations_foretell_of_each_day() {
    let fixture: Fixture = fixture("days.json");
    assert!(fixture.cases.len() >= 5);
    for case in &fixture.cases {
        let offsets = day_offsets(&case.days(), case.day_variance, case.run_variance);
        for (day, offset) in offsets.iter().enumerate() {
            let what = format!("{}, {day}", case.name);
            // What is left of two logarithms near 5.4 with twelve digits.
            assert_within(offset.log, case.offset[day], 1e-11, &what);
            assert_near(offset.factor(), case.factor[day], &what);
            assert_near(offset.shown, case.shown[day], &what);
            assert_near(offset.variance_left, case.left[day], &what);
            assert_eq!(offset.is_worth_correcting(), case.proposed[day], "{what}");
        }
    }
}

#[test]
fn limits_leave_the_day_itself_out() {
    let fixture: Fixture = fixture("days.json");
    for case in &fixture.cases {
        let chart = limits(&case.days(), case.run_variance, Assumed::days(None)).unwrap();
        for (day, own) in chart.iter().enumerate() {
            assert_near(own.ends().0, case.low[day], &case.name);
            assert_near(own.ends().1, case.high[day], &case.name);
        }
        let percent = 100.0 * libm::expm1(smallest_shift(&chart));
        assert_near(percent, case.shift_percent, &case.name);
    }
}
