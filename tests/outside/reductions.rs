//! Reduced runs, before thinning, against `reduction.py`.

use super::close::{
    Line, assert_near, assert_near_or_none, assert_series, assert_time, assert_within, counted,
    fixture,
};
use jobtorque::dataset::types::{BuildUp, Run};
use jobtorque::joint::JointLine;
use jobtorque::run::measures::Measures;
use jobtorque::run::onset::find;
use jobtorque::run::reduce::{Reduction, Settings, reduce};
use jobtorque::run::running_median::running_median;
use jobtorque::run::samples::{Samples, microseconds};
use jobtorque::run::simplify::bound_dnm;
use jobtorque::run::zero::ZeroKept;
use serde::Deserialize;
use std::cell::Cell;
use std::collections::BTreeMap;

#[derive(Deserialize)]
struct Fixture {
    joints: BTreeMap<String, Line>,
    cases: Vec<Case>,
}

#[derive(Deserialize)]
struct Case {
    name: String,
    rig: Rig,
    keep_zero: bool,
    joint: String,
    run: Series,
    expected: Expected,
}

#[derive(Deserialize)]
struct Rig {
    smooth_s: f64,
    onset_nm: Option<f64>,
    window_s: f64,
}

#[derive(Deserialize)]
struct Series {
    time_us: Vec<i64>,
    torque_dnm: Vec<i32>,
    angle_ddeg: Option<Vec<i32>>,
    voltage_mv: Option<Vec<i32>>,
    current_ma: Option<Vec<i32>>,
}

#[derive(Deserialize)]
#[serde(untagged)]
enum Expected {
    Reduced(Box<Reduced>),
    Problem { problem: String },
}

#[derive(Deserialize)]
struct Reduced {
    repeated_stamps: usize,
    samples_merged: usize,
    median_gap_s: f64,
    smoothed_nm: Vec<f64>,
    quiet_nm: f64,
    onset_level_nm: f64,
    onset_s: f64,
    zero_nm: f64,
    zero_kept: Option<String>,
    end_index: usize,
    end_us: i64,
    first_index: usize,
    h0_nm: f64,
    h_nm: Vec<f64>,
    peak_nm: f64,
    largest_sample_nm: f64,
    short: bool,
    no_quiet: bool,
    mean_torque_nm: f64,
    early_torque_nm: f64,
    at: Vec<At>,
    pack: Pack,
}

#[derive(Deserialize)]
struct At {
    torque_nm: f64,
    time_s: Option<f64>,
    joint_work_j: f64,
    beyond_last_point: bool,
    joint_average_power_w: f64,
    rise_rate_nm_per_s: f64,
    own_work_j: Option<f64>,
    own_average_power_w: Option<f64>,
}

#[derive(Deserialize)]
struct Pack {
    open_v: Option<f64>,
    resistance_ohm: Option<f64>,
    lowest_v: Option<f64>,
    energy_j: Option<f64>,
}

impl Case {
    fn settings(&self) -> Settings {
        Settings {
            smooth_us: microseconds(self.rig.smooth_s),
            onset_nm: self.rig.onset_nm,
            window_s: self.rig.window_s,
            keep_zero: self.keep_zero,
        }
    }

    fn samples(&self) -> Samples {
        let run = Run {
            time_us: Some(self.run.time_us.clone()),
            torque_dnm: Some(self.run.torque_dnm.clone()),
            angle_ddeg: self.run.angle_ddeg.clone(),
            voltage_mv: self.run.voltage_mv.clone(),
            current_ma: self.run.current_ma.clone(),
            ..Run::default()
        };
        Samples::of_run(&run).unwrap().merged()
    }
}

/// Every case that rises: its samples, its reduction and what is expected of it.
fn each(check: impl Fn(&Case, &Samples, &Reduction, &Reduced)) {
    let fixture: Fixture = fixture("reductions.json");
    let mut checked = 0;
    for case in &fixture.cases {
        if let Expected::Reduced(expected) = &case.expected {
            let samples = case.samples();
            let run = reduce(&samples, &case.settings()).expect(&case.name);
            check(case, &samples, &run, expected);
            checked += 1;
        }
    }
    assert!(checked >= 46, "{checked} cases");
}

#[test]
fn torque_that_never_rises_is_no_run() {
    let fixture: Fixture = fixture("reductions.json");
    let mut checked = 0;
    for case in &fixture.cases {
        if let Expected::Problem { problem } = &case.expected {
            assert_eq!(problem, "torque never rises");
            let run = reduce(&case.samples(), &case.settings());
            assert!(run.is_none(), "{}", case.name);
            checked += 1;
        }
    }
    assert_eq!(checked, 2);
}

#[test]
fn repeated_stamps_are_merged_and_counted() {
    each(|case, samples, run, expected| {
        assert_eq!(samples.repeated, expected.repeated_stamps, "{}", case.name);
        assert_eq!(run.samples, expected.samples_merged, "{}", case.name);
        let gap_s = run.gap_us / 1e6;
        assert_within(gap_s, expected.median_gap_s, 1e-9, &case.name);
    });
}

#[test]
fn smoothed_torque_is_the_running_median() {
    each(|case, samples, _, expected| {
        let width_us = case.settings().smooth_us;
        let m = running_median(&samples.time_us, &samples.torque_nm, width_us);
        assert_series(&m, &expected.smoothed_nm, &case.name);
    });
}

#[test]
fn the_end_is_the_first_largest_smoothed_torque() {
    each(|case, samples, run, expected| {
        assert_eq!(run.end_us, expected.end_us, "{}", case.name);
        assert_eq!(run.end_us, samples.time_us[expected.end_index]);
    });
}

#[test]
fn the_onset_is_found_going_back() {
    each(|case, samples, run, expected| {
        let name = &case.name;
        assert_within(run.onset_us / 1e6, expected.onset_s, 1e-9, name);
        let first = samples.time_us[expected.first_index];
        assert_eq!(run.time_us.first(), Some(&first), "{name}");
        assert_eq!(run.no_quiet, expected.no_quiet, "{name}");
    });
}

#[test]
fn the_onset_level_is_above_the_quiet_level() {
    each(|case, samples, run, expected| {
        let settings = case.settings();
        let mut m = running_median(&samples.time_us, &samples.torque_nm, settings.smooth_us);
        m.truncate(expected.end_index + 1);
        let quiet_nm = m.iter().copied().fold(f64::INFINITY, f64::min);
        assert_within(quiet_nm, expected.quiet_nm, 1e-9, &case.name);
        let at = |quiet_nm, m: &[f64]| find(&samples.time_us, m, quiet_nm, settings.onset_nm);
        let mut onset = at(quiet_nm, &m).unwrap();
        if run.zero_kept.is_none() {
            for m in &mut m {
                *m -= run.zero_nm;
            }
            onset = at(0.0, &m).unwrap();
        }
        assert_near(onset.level_nm, expected.onset_level_nm, &case.name);
    });
}

#[test]
fn the_zero_is_the_median_before_the_onset() {
    each(|case, _, run, expected| {
        assert_within(run.zero_nm, expected.zero_nm, 1e-9, &case.name);
        let largest_nm = expected.largest_sample_nm;
        assert_near(run.largest_nm, largest_nm, &case.name);
    });
}

#[test]
fn the_zero_is_kept_where_the_lead_in_is_not_flat() {
    let not_flat = Cell::new(0);
    each(|case, _, run, expected| {
        let kept = run.zero_kept.map(|kept| match kept {
            ZeroKept::Asked => "asked",
            ZeroKept::FewSamples => "few samples",
            ZeroKept::NotFlat(_) => "not flat",
        });
        assert_eq!(kept, expected.zero_kept.as_deref(), "{}", case.name);
        not_flat.set(not_flat.get() + usize::from(kept == Some("not flat")));
    });
    assert!(not_flat.get() >= 5, "{}", not_flat.get());
}

#[test]
fn the_build_up_curve_is_the_isotonic_fit() {
    each(|case, _, run, expected| {
        assert_series(&run.torque_nm, &expected.h_nm, &case.name);
        assert_near(run.start_nm, expected.h0_nm, &case.name);
    });
}

#[test]
fn the_curve_as_written_is_within_the_bound_at_every_sample() {
    each(|case, _, run, _| {
        let knots = BuildUp::of(run);
        let written = knots.curve();
        let bound_nm = bound_dnm(run.curve().peak_nm()) / 10.0;
        for (&time_us, &torque_nm) in run.time_us.iter().zip(&run.torque_nm) {
            // The first sample's distance from the onset is written in whole microseconds.
            let after_us = i64::from(knots.first_us) + time_us - run.time_us[0];
            let written_nm = written.torque_at(after_us as f64 / 1e6);
            assert_within(written_nm, torque_nm, bound_nm + 1e-9, &case.name);
        }
    });
}

#[test]
fn short_runs_are_marked() {
    each(|case, _, run, expected| {
        assert_eq!(run.short, expected.short, "{}", case.name);
    });
}

#[test]
fn measures_are_those_of_the_curve() {
    each(|case, _, run, expected| {
        let measures = Measures::of(&run.curve(), case.rig.window_s);
        assert_near(measures.peak_nm, expected.peak_nm, &case.name);
        assert_near(measures.mean_nm, expected.mean_torque_nm, &case.name);
        assert_near(measures.early_nm, expected.early_torque_nm, &case.name);
    });
}

#[test]
fn the_time_to_a_torque_is_on_the_line() {
    each(|case, _, run, expected| {
        let curve = run.curve();
        for at in &expected.at {
            let time_s = curve.time_to(at.torque_nm, case.rig.window_s);
            assert_time(
                time_s,
                at.time_s,
                &format!("{}, {}", case.name, at.torque_nm),
            );
        }
    });
}

#[test]
fn work_on_the_joint_line_and_what_follows_from_it() {
    let joints: Fixture = fixture("reductions.json");
    each(|case, _, run, expected| {
        let line = &joints.joints[&case.joint];
        let joint = JointLine::new(&line.angle_deg, &line.torque_nm).unwrap();
        let mut curve = run.curve();
        if curve.has_turn() {
            // The line is for runs without an angle of their own.
            let bare = Reduction {
                turn_deg: None,
                ..run.clone()
            };
            curve = bare.curve();
        }
        let (buildup, window_s) = (BuildUp::of(run), case.rig.window_s);
        let counted = counted(&curve, &buildup, window_s);
        for at in &expected.at {
            let what = format!("{}, {}", case.name, at.torque_nm);
            let work = joint.work_to(at.torque_nm);
            assert_near(work.joules, at.joint_work_j, &what);
            assert_eq!(work.beyond_line, at.beyond_last_point, "{what}");
            let power_w = counted.power_to_w(at.torque_nm, Some(&joint), window_s);
            assert_near_or_none(power_w, Some(at.joint_average_power_w), &what);
            let rise_rate = counted.rise_rate_to(at.torque_nm, window_s);
            assert_near(rise_rate, at.rise_rate_nm_per_s, &what);
        }
    });
}

#[test]
fn work_on_the_runs_own_angle() {
    each(|case, _, run, expected| {
        let curve = run.curve();
        assert_eq!(curve.has_turn(), case.run.angle_ddeg.is_some());
        let (buildup, window_s) = (BuildUp::of(run), case.rig.window_s);
        let counted = counted(&curve, &buildup, window_s);
        for at in expected.at.iter().filter(|_| curve.has_turn()) {
            let what = format!("{}, {}", case.name, at.torque_nm);
            let time_s = curve.time_to(at.torque_nm, window_s);
            let work_j = time_s.and_then(|time_s| curve.turned_work_j(time_s));
            assert_near_or_none(work_j, at.own_work_j, &what);
            let power_w = counted.power_to_w(at.torque_nm, None, window_s);
            assert_near_or_none(power_w, at.own_average_power_w, &what);
        }
    });
}

#[test]
fn voltage_and_current_describe_the_pack() {
    each(|case, _, run, expected| {
        let (got, wanted) = (run.electrical, &expected.pack);
        assert_near_or_none(got.open_v, wanted.open_v, &case.name);
        assert_near_or_none(got.resistance_ohm, wanted.resistance_ohm, &case.name);
        assert_near_or_none(got.lowest_v, wanted.lowest_v, &case.name);
        assert_near_or_none(got.energy_j, wanted.energy_j, &case.name);
    });
}
