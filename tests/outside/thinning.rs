//! Knots against `thinning.py`, which tries everything in whole numbers.

use super::close::{assert_within, fixture};
use jobtorque::dataset::types::BuildUp;
use jobtorque::run::electrical::Electrical;
use jobtorque::run::reduce::Reduction;
use jobtorque::run::simplify::{bound_dnm, thin};
use rand_pcg::{Pcg32, rand_core::Rng};
use serde::Deserialize;

#[derive(Deserialize)]
struct Fixture {
    cases: Vec<Case>,
}

#[derive(Deserialize)]
struct Case {
    name: String,
    tick_us: u32,
    first_us: u32,
    h0_nm: f64,
    sample_ticks: Vec<u32>,
    h_nm: Vec<f64>,
    expected: Expected,
}

#[derive(Deserialize)]
struct Expected {
    bound_nm: f64,
    onset_dnm: i32,
    knot_samples: Vec<usize>,
    step: Vec<u32>,
    rise_dnm: Vec<i32>,
    largest_difference_nm: f64,
}

impl Case {
    /// The run with this curve, its onset a second after the log's start.
    fn reduction(&self) -> Reduction {
        let onset_us = 1_000_000;
        let at = |&ticks: &u32| {
            onset_us + i64::from(self.first_us) + i64::from(ticks) * i64::from(self.tick_us)
        };
        let time_us: Vec<i64> = self.sample_ticks.iter().map(at).collect();
        let last_us = *time_us.last().unwrap();
        Reduction {
            onset_us: onset_us as f64,
            zero_nm: 0.0,
            zero_kept: None,
            end_us: last_us,
            last_us,
            largest_nm: *self.h_nm.last().unwrap(),
            samples: time_us.len(),
            gap_us: f64::from(self.tick_us),
            tick_us: (self.tick_us > 1).then_some(self.tick_us),
            short: false,
            no_quiet: false,
            time_us,
            start_nm: self.h0_nm,
            torque_nm: self.h_nm.clone(),
            turn_deg: None,
            electrical: Electrical::default(),
        }
    }
}

fn cases() -> Vec<Case> {
    let fixture: Fixture = fixture("thinning.json");
    assert!(fixture.cases.len() >= 11);
    fixture.cases
}

#[test]
fn the_bound_is_a_thousandth_of_the_peak_or_a_tenth() {
    for case in cases() {
        let bound_nm = bound_dnm(*case.h_nm.last().unwrap()) / 10.0;
        // The fixture keeps the bound to 1e-7 N·m, so that its comparisons are whole numbers.
        assert_within(bound_nm, case.expected.bound_nm, 0.5e-7, &case.name);
    }
}

#[test]
fn each_segment_is_the_longest_within_the_bound() {
    for case in cases() {
        let height: Vec<f64> = case.h_nm.iter().map(|torque| torque * 10.0).collect();
        let knots = thin(
            &case.sample_ticks,
            &height,
            bound_dnm(*case.h_nm.last().unwrap()),
        );
        let samples: Vec<usize> = knots.iter().map(|knot| knot.index).collect();
        assert_eq!(samples, case.expected.knot_samples, "{}", case.name);
    }
}

#[test]
fn the_published_form_holds_the_knots() {
    for case in cases() {
        let (buildup, expected, name) =
            (BuildUp::of(&case.reduction()), &case.expected, &case.name);
        assert_eq!(buildup.tick_us, case.tick_us, "{name}");
        assert_eq!(buildup.first_us, case.first_us, "{name}");
        assert_eq!(buildup.onset_dnm, expected.onset_dnm, "{name}");
        assert_eq!(buildup.step, expected.step, "{name}");
        assert_eq!(buildup.rise_dnm, expected.rise_dnm, "{name}");
    }
}

#[test]
fn the_curve_as_written_is_within_the_bound_at_every_sample() {
    for case in cases() {
        let curve = BuildUp::of(&case.reduction()).curve();
        let off = |(&ticks, &torque_nm): (&u32, &f64)| {
            let time_us = f64::from(case.first_us) + f64::from(ticks) * f64::from(case.tick_us);
            (curve.torque_at(time_us / 1e6) - torque_nm).abs()
        };
        let largest = case
            .sample_ticks
            .iter()
            .zip(&case.h_nm)
            .map(off)
            .fold(0.0, f64::max);
        assert_within(
            largest,
            case.expected.largest_difference_nm,
            1e-9,
            &case.name,
        );
        assert!(
            largest <= case.expected.bound_nm + 1e-9,
            "{}: {largest}",
            case.name
        );
    }
}

#[test]
fn no_knot_is_below_the_one_before() {
    // Curves that rise in small random steps and stand still between them: where a knot was written
    // above the curve, the next must not come back down to it.
    let mut rng = Pcg32::new(7, 11);
    for _ in 0..200 {
        let mut height = f64::from(rng.next_u32() % 100) / 10.0;
        let heights: Vec<f64> = (0..60)
            .map(|_| {
                if rng.next_u32().is_multiple_of(3) {
                    height += f64::from(rng.next_u32() % 300) / 100.0;
                }
                height
            })
            .collect();
        let ticks: Vec<u32> = (0..60).collect();
        let knots = thin(&ticks, &heights, 1.0);
        assert!(knots.is_sorted_by_key(|knot| knot.dnm), "{heights:?}");
        assert_eq!((knots[0].index, knots[knots.len() - 1].index), (0, 59));
    }
}
