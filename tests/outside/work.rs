//! Work, power and time to a torque against physics texts and calculus.

use super::close::{assert_near, assert_part, assert_within, counted};
use jobtorque::dataset::types::BuildUp;
use jobtorque::joint::JointLine;
use jobtorque::run::curve::Curve;
use jobtorque::units::{Angle, Power};
use std::f64::consts::{LN_2, LN_10, PI};

/// Work of a steady torque over an angle, J.
fn steady_work_j(torque_nm: f64, angle: Angle) -> f64 {
    let turn = vec![angle.radians()];
    let curve = Curve::new(torque_nm, vec![1.0], vec![torque_nm], Some(turn));
    curve.turned_work_j(1.0).unwrap()
}

/// Power of a steady torque at a speed, W: its work in one second.
fn steady_power_w(torque_nm: f64, turns_per_minute: f64) -> f64 {
    steady_work_j(
        torque_nm,
        Angle::from_degrees(360.0 * turns_per_minute / 60.0),
    )
}

/// Work to a torque that is reached in a straight line from nothing over an angle, J.
fn rising_work_j(torque_nm: f64, angle_deg: f64) -> f64 {
    let line = JointLine::new(&[0.0, angle_deg], &[0.0, torque_nm]).unwrap();
    line.work_to(torque_nm).joules
}

/// A run that rises in a straight line from nothing to a torque: average power, W, on a joint that
/// takes it over an angle, and rise rate, N·m/s.
fn power_and_rise_rate(torque_nm: f64, angle_deg: f64, time_s: f64) -> (f64, f64) {
    let curve = Curve::new(0.0, vec![time_s], vec![torque_nm], None);
    let joint = JointLine::new(&[0.0, angle_deg], &[0.0, torque_nm]).unwrap();
    let buildup = no_knots();
    let run = counted(&curve, &buildup, time_s);
    let power_w = run.power_to_w(torque_nm, Some(&joint), time_s).unwrap();
    (power_w, run.rise_rate_to(torque_nm, time_s))
}

/// A published form that says nothing: these curves are given as such.
fn no_knots() -> BuildUp {
    BuildUp {
        onset_dnm: 0,
        tick_us: 1,
        first_us: 0,
        step: vec![0],
        rise_dnm: vec![0],
        largest_dnm: 0,
        samples: 1,
        zero_dnm: 0,
        gap_us: 1,
        flags: vec![],
        turn_ddeg: None,
        open_mv: None,
        resistance_uohm: None,
        lowest_mv: None,
        energy_mj: None,
    }
}

#[test]
fn power_of_a_shaft() {
    // U-16: 60000/(2π), kW from N·m and turns a minute.
    assert_part(steady_power_w(1.0, 9_549.296_6), 1_000.0, 1e-7, "U-16");
    // U-17: 33000/(2π), hp from lbf·ft and turns a minute; 1 lbf·ft is 1.355 817 948 331 4 N·m.
    let power = Power::from_watts(steady_power_w(1.355_817_948_331_4, 5_252.113_1));
    assert_part(power.mechanical_horsepower(), 1.0, 1e-7, "U-17");
    // W-01: OpenStax University Physics vol. 1, sect. 10.8: 9.0e4 W at 300 turns a minute.
    let torque_nm = 9.0e4 / steady_power_w(1.0, 300.0);
    assert_within(torque_nm, 2_864.8, 0.1, "W-01");
    // W-02: same section: 500 kN·m at 6 rad/s.
    let six_rad = Angle::from_degrees(6.0 * 180.0 / PI);
    assert_near(steady_work_j(500e3, six_rad), 3e6, "W-02");
    // W-03: same section, from memory, recomputed: 12.0 N·m over 8 turns; half a unit of the last digit.
    let eight_turns = Angle::from_degrees(8.0 * 360.0);
    assert_within(steady_work_j(12.0, eight_turns), 603.0, 0.5, "W-03");
    // W-04: Physics: Principles with Applications, 7th ed., ch. 8 problem 49, published solution
    // (it counts 746 W to the hp).
    let power = Power::from_watts(steady_power_w(265.0, 3350.0));
    assert_within(power.mechanical_horsepower(), 125.0, 0.5, "W-04");
}

#[test]
fn work_of_a_straight_rise() {
    // W-05: T·θ/2, calculus.
    for (torque_nm, angle_deg) in [(1.0, 1.0), (270.0, 18.0), (1995.0, 94.0)] {
        let wanted_j = torque_nm * angle_deg * PI / 360.0;
        assert_near(rising_work_j(torque_nm, angle_deg), wanted_j, "W-05");
    }
    // W-06, W-07: W-05.
    assert_part(rising_work_j(100.0, 30.0), 26.179_94, 1e-6, "W-06");
    assert_part(rising_work_j(100.0, 360.0), 314.159_27, 1e-6, "W-07");
}

#[test]
fn power_tells_joints_apart_and_rise_rate_does_not() {
    // W-08: both in one second.
    let (stiff_w, stiff_rate) = power_and_rise_rate(100.0, 30.0, 1.0);
    let (soft_w, soft_rate) = power_and_rise_rate(100.0, 360.0, 1.0);
    assert_part(stiff_w, 26.179_94, 1e-6, "W-08");
    assert_part(soft_w, 314.159_27, 1e-6, "W-08");
    // Exact, but for the last bits of two products.
    assert_part(soft_w / stiff_w, 12.0, 1e-15, "W-08");
    assert_eq!((stiff_rate, soft_rate), (100.0, 100.0));
}

#[test]
fn six_hundred_newton_metres_after_five_seconds() {
    // W-09: W-05.
    assert_part(rising_work_j(600.0, 90.0), 471.238_9, 1e-5, "W-09");
    let (power_w, rise_rate) = power_and_rise_rate(600.0, 90.0, 5.0);
    assert_part(power_w, 94.247_8, 1e-5, "W-09");
    assert_eq!(rise_rate, 120.0);
}

#[test]
fn times_on_a_first_order_rise() {
    // W-10: textbook step response, τ = 0.8 s, sampled every millisecond: the lines between samples
    // are off by less than the tolerance of the row, 1e-4.
    let (tau_s, most_nm) = (0.8, 500.0);
    let time_s: Vec<f64> = (1..=10_000).map(|k| f64::from(k) / 1000.0).collect();
    let rise = |&time_s: &f64| most_nm * (1.0 - libm::exp(-time_s / tau_s));
    let torque_nm = time_s.iter().map(rise).collect();
    let curve = Curve::new(0.0, time_s, torque_nm, None);
    for (share, times) in [(0.5, LN_2), (0.9, LN_10), (0.95, 2.9957), (0.99, 4.6052)] {
        let time_s = curve.time_to(share * most_nm, 10.0).unwrap();
        assert_part(time_s, times * tau_s, 1e-4, &format!("W-10, {share}"));
    }
}

#[test]
fn trapezoids_are_exact_for_a_line() {
    // W-11: T(θ) = θ over 0 to π is π²/2, whatever the knots.
    for knots in [vec![PI], vec![1.0, PI], vec![0.1, 0.2, 3.0, PI]] {
        let curve = Curve::new(0.0, knots.clone(), knots.clone(), Some(knots));
        let work_j = curve.turned_work_j(PI).unwrap();
        assert_part(work_j, PI * PI / 2.0, 1e-12, "W-11");
    }
}

#[test]
fn a_crossing_is_on_the_line_between_two_samples() {
    // Sentence below the table of work and power: by definition.
    let curve = Curve::new(90.0, vec![1.0, 2.0], vec![90.0, 110.0], None);
    assert_eq!(curve.time_to(100.0, 5.0), Some(1.5));
    assert_eq!(curve.time_to(111.0, 5.0), None, "never reached");
    assert_eq!(curve.time_to(89.0, 5.0), Some(0.0), "not above the start");
}
