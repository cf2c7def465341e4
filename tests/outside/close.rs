//! Fixtures, and how near is near enough.

use jobtorque::dataset::types::BuildUp;
use jobtorque::run::curve::Curve;
use jobtorque::run::measures::Measures;
use jobtorque::typical::Counted;
use serde::Deserialize;
use serde::de::DeserializeOwned;
use std::path::Path;
use std::sync::Arc;

/// How far times may be off, in seconds, and other figures, as a part of themselves.
pub const NEAR: f64 = 1e-9;

/// A fixture beside this file.
pub fn fixture<T: DeserializeOwned>(name: &str) -> T {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/outside")
        .join(name);
    let text = std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{name}: {error}"));
    serde_json::from_str(&text).unwrap_or_else(|error| panic!("{name}: {error}"))
}

/// A joint as a fixture gives it.
#[derive(Deserialize)]
pub struct Line {
    pub angle_deg: Vec<f64>,
    pub torque_nm: Vec<f64>,
}

/// Holds two figures together within a part of the wanted one.
#[track_caller]
pub fn assert_part(got: f64, wanted: f64, part: f64, what: &str) {
    let near = (got - wanted).abs() <= part * wanted.abs();
    assert!(near, "{what}: {got} is not {wanted} within {part} of it");
}

/// Holds two figures together within a number of their unit.
#[track_caller]
pub fn assert_within(got: f64, wanted: f64, within: f64, what: &str) {
    let near = (got - wanted).abs() <= within;
    assert!(near, "{what}: {got} is not {wanted} within {within}");
}

/// Holds a figure that is no time.
#[track_caller]
pub fn assert_near(got: f64, wanted: f64, what: &str) {
    assert_part(got, wanted, NEAR, what);
}

/// Holds a figure that may be absent; it must then be absent on both sides.
#[track_caller]
pub fn assert_near_or_none(got: Option<f64>, wanted: Option<f64>, what: &str) {
    match (got, wanted) {
        (Some(got), Some(wanted)) => assert_near(got, wanted, what),
        _ => assert_eq!(got, wanted, "{what}"),
    }
}

/// Holds a time in seconds that may be absent; it must then be absent on both sides.
#[track_caller]
pub fn assert_time(got: Option<f64>, wanted: Option<f64>, what: &str) {
    match (got, wanted) {
        (Some(got), Some(wanted)) => assert_within(got, wanted, NEAR, what),
        _ => assert_eq!(got, wanted, "{what}"),
    }
}

/// Holds two series of torques together: near zero, where a part of nothing is nothing, within
/// `NEAR` of the largest.
#[track_caller]
pub fn assert_series(got: &[f64], wanted: &[f64], what: &str) {
    assert_eq!(got.len(), wanted.len(), "{what}: lengths");
    let largest = wanted.iter().fold(0.0_f64, |most, x| most.max(x.abs()));
    for (k, (&got, &wanted)) in got.iter().zip(wanted).enumerate() {
        assert_within(got, wanted, NEAR * largest, &format!("{what}, sample {k}"));
    }
}

/// A run that counts, of a curve as it stands.
pub fn counted(curve: &Curve, buildup: &BuildUp, window_s: f64) -> Counted {
    Counted {
        curve: Arc::new(curve.clone()),
        measures: Measures::of(curve, window_s),
        largest_nm: curve.peak_nm(),
        buildup: Arc::new(buildup.clone()),
    }
}
