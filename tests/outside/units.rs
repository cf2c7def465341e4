//! Units against their definitions and against what is printed of them.

use super::close::{assert_part, assert_within};
use jobtorque::units::constants::{
    FOOT_M, INCH_M, POUND_FORCE_N, POUND_KG, STANDARD_GRAVITY_M_PER_S2,
};
use jobtorque::units::{Angle, EntryUnit, ParseTorqueError, Power, Torque, WrittenTorque};

/// Torque as a visitor writes it, in N·m.
fn written_nm(text: &str) -> f64 {
    WrittenTorque::parse(text).unwrap().torque().newton_metres()
}

#[test]
fn defining_constants() {
    // U-01: international yard and pound agreement 1959; NIST SP 811 App. B.
    assert_eq!(POUND_KG, 0.453_592_37);
    // U-02: 3rd CGPM 1901; SI Brochure.
    assert_eq!(STANDARD_GRAVITY_M_PER_S2, 9.806_65);
    // U-03: as U-01.
    assert_eq!((INCH_M, FOOT_M), (0.0254, 0.3048));
    // U-04: U-01 × U-02; scipy.constants.lbf.
    assert_part(POUND_FORCE_N, 4.448_221_615_260_5, 1e-12, "U-04");
}

#[test]
fn torque_units() {
    // U-05: U-04 × U-03; pint; NIST SP 811 B.8 prints 1.355 818.
    assert_part(written_nm("1 lbf·ft"), 1.355_817_948_331_4, 1e-12, "U-05");
    // U-06: U-05 / 12; NIST SP 811 B.8 prints 0.112 984 8.
    assert_part(written_nm("1 lbf·in"), 0.112_984_829_027_617, 1e-12, "U-06");
    // U-07: U-02.
    assert_eq!(written_nm("1 kgf·m"), 9.806_65);
    // U-09: inverse of U-05 and U-06.
    let newton_metre = Torque::from_newton_metres(1.0);
    assert_part(
        newton_metre.pound_force_feet(),
        0.737_562_149_277,
        1e-11,
        "U-09",
    );
    let pound_force_inches = newton_metre.in_unit(EntryUnit::PoundForceInch);
    assert_part(pound_force_inches, 8.850_745_791_33, 1e-11, "U-09");
}

#[test]
fn mechanical_horsepower() {
    // U-12: 550 ft·lbf/s; scipy.constants.hp; NIST SP 811 B.8 prints 745.6999.
    let horsepower = Power::from_watts(745.699_871_582_270).mechanical_horsepower();
    assert_part(horsepower, 1.0, 1e-12, "U-12");
}

#[test]
fn one_turn_a_minute() {
    // U-15: 2π/60.
    let radians_per_s = Angle::from_degrees(360.0).radians() / 60.0;
    assert_part(radians_per_s, 0.104_719_755_1, 1e-9, "U-15");
}

#[test]
fn printed_wheel_nut_torques() {
    // U-18: a public passenger-car owner's manual, wheel nut table (it rounds to 135 N·m).
    assert_within(written_nm("100 lbf·ft"), 135.58, 0.01, "U-18");
    // U-19: a public heavy-truck maintenance manual, disc wheel fasteners: half a unit of the last digit.
    assert_within(written_nm("450 lbf·ft"), 610.0, 0.5, "U-19");
    assert_within(written_nm("500 lbf·ft"), 678.0, 0.5, "U-19");
}

#[test]
fn the_spellings_of_a_pound_foot_are_one_torque() {
    // Property below the table of units.
    assert_eq!(written_nm("480 lb·ft"), written_nm("480 lbf·ft"));
    assert_eq!(written_nm("480 ft·lb"), written_nm("480 lbf·ft"));
}

#[test]
fn an_energy_is_no_torque() {
    // Property below the table of units: 1 N·m of torque is not 1 J.
    assert_eq!(WrittenTorque::parse("1 J"), Err(ParseTorqueError::IsEnergy));
}

#[test]
fn conversions_round_trip() {
    // Property below the table of units: to 1e-12.
    for unit in [
        EntryUnit::NewtonMetre,
        EntryUnit::PoundForceFoot,
        EntryUnit::PoundForceInch,
        EntryUnit::KilogramForceMetre,
    ] {
        for number in [0.001, 0.1, 1.0, 99.9, 650.0, 1234.5, 20_000.0] {
            assert_part(
                unit.torque(number).in_unit(unit),
                number,
                1e-12,
                unit.symbol(),
            );
        }
    }
}
