//! Measured screw-driving runs, which nobody here made, against what their station recorded and
//! against `measured.py`, run at the time of the test.

use super::close::{
    NEAR, assert_near, assert_near_or_none, assert_part, assert_series, assert_time, assert_within,
    counted,
};
use jobtorque::dataset::types::BuildUp;
use jobtorque::run::measures::Measures;
use jobtorque::run::reduce::{Reduction, Settings, reduce};
use jobtorque::run::samples::{Samples, microseconds};
use jobtorque::run::simplify::bound_dnm;
use jobtorque::run::zero::ZeroKept;
use serde::Deserialize;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::process::Command;

const WINDOW_S: f64 = 5.0;

/// Torque as it stands, a median of five.
const SETTINGS: Settings = Settings {
    smooth_us: 0,
    onset_nm: None,
    window_s: WINDOW_S,
    keep_zero: true,
};

/// What the station recorded of a run's final step.
#[derive(Deserialize)]
struct Recorded {
    run: String,
    samples: usize,
    final_step_peak_torque_nm: f64,
}

/// What `measured.py` makes of a run.
#[derive(Deserialize)]
struct ByDefinition {
    file: String,
    samples: usize,
    repeated_stamps: usize,
    onset_s: f64,
    end_s: f64,
    duration_s: f64,
    peak_torque_nm: f64,
    largest_sample_nm: f64,
    mean_torque_nm: f64,
    early_torque_nm: f64,
    median_gap_s: f64,
    short: bool,
    no_quiet: bool,
    at: Vec<At>,
    time_us: Vec<i64>,
    h0_nm: f64,
    h_nm: Vec<f64>,
}

#[derive(Deserialize)]
struct At {
    torque_nm: f64,
    time_to_s: Option<f64>,
    work_j: Option<f64>,
    average_power_w: f64,
    rise_rate_nm_per_s: f64,
}

#[derive(Deserialize)]
struct AllByDefinition {
    runs: Vec<ByDefinition>,
}

/// The folder of the runs, if it is there: outsiders do not have it.
fn folder() -> Option<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../shared/real/screwdriving");
    if folder.is_dir() {
        return Some(folder);
    }
    println!("the measured screw-driving runs are not on this machine: nothing was compared");
    None
}

/// The samples of a run, merged, and how many rows its file has.
fn samples(path: &Path) -> (Samples, usize) {
    let text = std::fs::read_to_string(path).unwrap();
    let mut lines = text.lines();
    assert_eq!(lines.next(), Some("time [s],torque [N·m],angle [deg],step"));
    let mut samples = Samples::default();
    let mut angle_deg = Vec::new();
    for line in lines {
        let fields: Vec<f64> = line.split(',').map(|text| text.parse().unwrap()).collect();
        samples.time_us.push(microseconds(fields[0]));
        samples.torque_nm.push(fields[1]);
        angle_deg.push(fields[2]);
    }
    samples.angle_deg = Some(angle_deg);
    let rows = samples.time_us.len();
    (samples.merged(), rows)
}

/// Every recorded run with its samples, the rows of its file and its reduction.
fn each(check: impl Fn(&Recorded, &Samples, usize, &Reduction)) {
    let Some(folder) = folder() else { return };
    let text = std::fs::read_to_string(folder.join("recorded-results.json")).unwrap();
    let recorded: Vec<Recorded> = serde_json::from_str(&text).unwrap();
    assert_eq!(recorded.len(), 9);
    for recorded in recorded {
        let (samples, rows) = samples(&folder.join(format!("run-{}.csv", recorded.run)));
        let run = reduce(&samples, &SETTINGS).expect(&recorded.run);
        check(&recorded, &samples, rows, &run);
    }
}

/// What `measured.py` makes of the folder.
fn by_definition(folder: &Path) -> Vec<ByDefinition> {
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/outside/measured.py");
    let output = Command::new("python3")
        .arg("-B")
        .arg(script)
        .arg(folder)
        .output()
        .unwrap_or_else(|error| panic!("this test needs python3 with numpy and scipy: {error}"));
    let complaint = String::from_utf8_lossy(&output.stderr);
    assert!(
        output.status.success(),
        "this test needs python3 with what tests/outside/requirements.txt names:\n{complaint}"
    );
    let all: AllByDefinition = serde_json::from_slice(&output.stdout).unwrap();
    all.runs
}

#[test]
fn peaks_are_those_the_station_recorded() {
    each(|recorded, _, _, run| {
        let peak_nm = recorded.final_step_peak_torque_nm;
        assert_eq!(run.largest_nm, peak_nm, "{}", recorded.run);
        // The smoothed peak is below the largest sample: noise of one sample does not lift it.
        assert_part(
            *run.torque_nm.last().unwrap(),
            peak_nm,
            0.015,
            &recorded.run,
        );
        assert!(*run.torque_nm.last().unwrap() <= peak_nm);
    });
}

#[test]
fn a_lead_in_that_is_not_quiet_moves_nothing() {
    // The station logs the torque of driving the screw in before the final step: 0.05 to 0.13 N·m.
    let settings = Settings {
        smooth_us: 40_000,
        keep_zero: false,
        ..SETTINGS
    };
    each(|recorded, samples, _, _| {
        let run = reduce(samples, &settings).expect(&recorded.run);
        let name = &recorded.run;
        match name.as_str() {
            // It begins at once.
            "1596334" => assert_eq!(run.zero_kept, Some(ZeroKept::FewSamples), "{name}"),
            // 28 samples as noisy as level.
            "1623126" => assert_eq!((run.zero_kept, run.zero_nm), (None, 0.054), "{name}"),
            _ => assert!(
                matches!(run.zero_kept, Some(ZeroKept::NotFlat(_))),
                "{name}: {:?}",
                run.zero_kept
            ),
        }
        if run.zero_kept.is_some() {
            assert_eq!(run.zero_nm, 0.0, "{name}");
            assert_eq!(run.largest_nm, recorded.final_step_peak_torque_nm, "{name}");
        }
    });
}

#[test]
fn repeated_stamps_are_counted() {
    each(|recorded, samples, rows, run| {
        assert_eq!(rows, recorded.samples, "{}", recorded.run);
        let stamps: BTreeSet<i64> = samples.time_us.iter().copied().collect();
        assert_eq!(samples.repeated, rows - stamps.len(), "{}", recorded.run);
        assert!(samples.repeated > 0, "{}", recorded.run);
        assert_eq!(run.samples, stamps.len(), "{}", recorded.run);
    });
}

#[test]
fn knots_are_within_their_bound_at_every_sample() {
    each(|recorded, _, _, run| {
        let knots = BuildUp::of(run);
        let (whole, thinned) = (run.curve(), knots.curve());
        // First sample's distance from the onset is written in whole microseconds.
        let shift_us = f64::from(knots.first_us) - (run.time_us[0] as f64 - run.onset_us);
        assert!(shift_us.abs() <= 0.5, "{}", recorded.run);
        let bound_nm = bound_dnm(whole.peak_nm()) / 10.0;
        for (&time_us, &torque_nm) in run.time_us.iter().zip(&run.torque_nm) {
            let time_s = (time_us - run.time_us[0]) as f64 / 1e6 + f64::from(knots.first_us) / 1e6;
            let written_nm = thinned.torque_at(time_s);
            assert_within(written_nm, torque_nm, bound_nm + NEAR, &recorded.run);
        }
    });
}

#[test]
fn reductions_are_those_of_the_definition() {
    let Some(folder) = folder() else { return };
    let all = by_definition(&folder);
    assert_eq!(all.len(), 9);
    for expected in all {
        let (samples, rows) = samples(&folder.join(&expected.file));
        let run = reduce(&samples, &SETTINGS).unwrap();
        let (curve, name) = (run.curve(), &expected.file);
        assert_eq!(
            (rows, samples.repeated),
            (expected.samples, expected.repeated_stamps)
        );
        assert_within(run.onset_us / 1e6, expected.onset_s, NEAR, name);
        assert_within(run.end_us as f64 / 1e6, expected.end_s, NEAR, name);
        let duration_s = (run.last_us as f64 - run.onset_us) / 1e6;
        assert_within(duration_s, expected.duration_s, NEAR, name);
        assert_within(run.gap_us / 1e6, expected.median_gap_s, NEAR, name);
        assert_eq!(
            (run.short, run.no_quiet),
            (expected.short, expected.no_quiet)
        );
        assert_eq!(run.time_us, expected.time_us, "{name}");
        assert_series(&run.torque_nm, &expected.h_nm, name);
        assert_near(run.start_nm, expected.h0_nm, name);
        assert_near(run.largest_nm, expected.largest_sample_nm, name);
        let measures = Measures::of(&curve, WINDOW_S);
        assert_near(measures.peak_nm, expected.peak_torque_nm, name);
        assert_near(measures.mean_nm, expected.mean_torque_nm, name);
        assert_near(measures.early_nm, expected.early_torque_nm, name);
        let buildup = BuildUp::of(&run);
        let counted = counted(&curve, &buildup, WINDOW_S);
        for at in &expected.at {
            let what = format!("{name}, {} N·m", at.torque_nm);
            let time_s = curve.time_to(at.torque_nm, WINDOW_S);
            assert_time(time_s, at.time_to_s, &what);
            let work_j = time_s.and_then(|time_s| curve.turned_work_j(time_s));
            assert_near_or_none(work_j, at.work_j, &what);
            let power_w = counted.power_to_w(at.torque_nm, None, WINDOW_S);
            assert_near_or_none(power_w, Some(at.average_power_w), &what);
            let rise_rate = counted.rise_rate_to(at.torque_nm, WINDOW_S);
            assert_near(rise_rate, at.rise_rate_nm_per_s, &what);
        }
    }
}
