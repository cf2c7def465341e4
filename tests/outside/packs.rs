//! Packs: a source's voltage and resistance from what a log says, its power, cells and energy.

use super::close::{assert_near, assert_part, assert_within};
use jobtorque::pack::{energy_wh, most_power_w, per_cell, runs_per_charge};
use jobtorque::run::electrical::Electrical;
use jobtorque::run::samples::Samples;

/// A log of one second at each of these loads, as (current in A, voltage in V), and the figures of the
/// run from the first to the last sample.
fn logged(loads: &[(f64, f64)]) -> Electrical {
    let steady = |of: fn(&(f64, f64)) -> f64| -> Vec<f64> {
        let values = loads.iter().map(of);
        values.flat_map(|value| [value; 101]).collect()
    };
    let count = 101 * loads.len();
    let samples = Samples {
        time_us: (0..count as i64).map(|sample| 10_000 * sample).collect(),
        torque_nm: vec![0.0; count],
        voltage_v: Some(steady(|load| load.1)),
        current_a: Some(steady(|load| load.0)),
        ..Default::default()
    };
    Electrical::of(&samples, 0.0, count - 1)
}

/// Open-circuit voltage, resistance, and the most power.
fn source(loads: &[(f64, f64)]) -> (f64, f64, f64) {
    let figures = logged(loads);
    let (open_v, ohm) = (figures.open_v.unwrap(), figures.resistance_ohm.unwrap());
    (open_v, ohm, most_power_w(open_v, ohm).unwrap())
}

#[test]
fn e_01_and_e_02_two_loads_give_the_source_back() {
    // E-01, E-02: OpenStax College Physics, section 21.2, worked example: a source of 12.0 V with
    // 0.100 Ω at loads of 10.0 Ω (1.188 A, 11.88 V, 14.1 W) and 0.500 Ω (20.0 A, 10.0 V, 200 W).
    let (open_v, ohm, _) = source(&[(1.188, 11.8812), (20.0, 10.0)]);
    assert_within(open_v, 12.0, 5e-4, "open circuit");
    assert_within(ohm, 0.100, 5e-5, "resistance");
    let second_j = |load| logged(&[load]).energy_j.unwrap();
    assert_within(second_j((1.18812, 11.8812)), 14.1, 0.05, "E-01, power");
    assert_near(second_j((20.0, 10.0)), 200.0, "E-02, power");
    assert_near(
        logged(&[(0.0, 12.0), (20.0, 10.0)]).lowest_v.unwrap(),
        10.0,
        "lowest",
    );
}

#[test]
fn e_03_and_e_04_the_most_power_is_at_half_the_voltage() {
    // E-03: the same source grown to 0.500 Ω gives 12.0 A at 6.00 V, 72.0 W, to a load of its own
    // resistance, which is V²/4R (E-04, maximum power theorem).
    let (open_v, ohm, most_w) = source(&[(0.0, 12.0), (12.0, 6.0)]);
    assert_near(open_v, 12.0, "open circuit");
    assert_near(ohm, 0.5, "resistance");
    assert_near(most_w, 72.0, "most power");
    assert_near(
        logged(&[(12.0, 6.0)]).energy_j.unwrap(),
        72.0,
        "power there",
    );
}

#[test]
fn e_06_and_e_07_more_cells_give_more_power_however_joined() {
    // E-06, E-07: cells of 3.6 V and 20 mΩ, five in series and one to three rows, and ten in series,
    // at 30 A: by circuit arithmetic (E-05).
    let cells = [
        ("5s1p", 5, 18.0, 15.0, 0.100, 810.0),
        ("5s2p", 5, 18.0, 16.5, 0.050, 1620.0),
        ("5s3p", 5, 18.0, 17.0, 0.1 / 3.0, 2430.0),
        ("10s1p", 10, 36.0, 30.0, 0.200, 1620.0),
    ];
    for (id, series, rest_v, loaded_v, ohm, most_w) in cells {
        let got = source(&[(0.0, rest_v), (30.0, loaded_v)]);
        assert_near(got.0, rest_v, id);
        assert_near(got.1, ohm, id);
        assert_near(got.2, most_w, id);
        assert_near(per_cell(got.0, series).unwrap(), 3.6, id);
    }
}

#[test]
fn e_08_a_steady_power() {
    // E-08: 500 W from 18 V with 50 mΩ: 30.334 A at 16.483 V, by the quadratic.
    let load = (30.3337, 16.4833);
    assert_part(logged(&[load]).energy_j.unwrap(), 500.0, 1e-4, "power");
    let (open_v, ohm, _) = source(&[(0.0, 18.0), load]);
    assert_part(open_v, 18.0, 1e-4, "open circuit");
    assert_part(ohm, 0.050, 1e-4, "resistance");
}

#[test]
fn e_09_and_e_10_one_pack_by_its_names() {
    // E-09: 18.0 V nominal, "20 V" at most, 21.0 V full, 15 V empty: five cells each time.
    for (volts, of_cell) in [(18.0, 3.6), (20.0, 4.0), (21.0, 4.2), (15.0, 3.0)] {
        assert_near(per_cell(volts, 5).unwrap(), of_cell, "a cell");
    }
    assert_eq!(per_cell(18.0, 0), None);
    // E-10: 18 V × 5.0 A·h = 90 W·h by definition, 324 kJ: 648 runs of 500 J.
    assert_eq!(energy_wh(18.0, 5.0), 90.0);
    assert_eq!(runs_per_charge(90.0, Some(500.0)), Some(648));
}
