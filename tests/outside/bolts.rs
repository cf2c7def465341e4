//! Bolts against standards and handbooks.
//!
//! How a source was read stands beside its rows: "page read", "reprint" (a public reprint or a text that
//! quotes it), or "from memory", which is asserted only because an independent calculation agrees.

use super::close::{assert_part, assert_within};
use jobtorque::bolt::{Bolt, FINISHES, Friction, SIZES, Thread, nut_factor, tightening_factor};
use jobtorque::units::constants::{POUND_FORCE_FOOT_NM, POUND_FORCE_INCH_NM, POUND_FORCE_N};

const SQUARE_INCH_MM2: f64 = 25.4 * 25.4;
const KSI_MPA: f64 = 1000.0 * POUND_FORCE_N / SQUARE_INCH_MM2;
const KIP_N: f64 = 1000.0 * POUND_FORCE_N;

fn bolt(text: &str) -> Bolt {
    Bolt::parse(text).unwrap_or_else(|error| panic!("{text}: {error:?}"))
}

/// A thread by its name, whatever the class.
fn thread(name: &str) -> Thread {
    let class = if name.starts_with('M') {
        "8.8"
    } else {
        "grade 5"
    };
    bolt(&format!("{name} {class}")).thread
}

fn coefficient(value: f64) -> Friction {
    Friction::Coefficients {
        thread: value,
        head: value,
    }
}

#[test]
fn b_01_to_b_13_stress_areas_of_metric_threads() {
    // ISO 898-1 Table 5 (2009, 2013), two reprints. B-13: Table 7, from memory.
    for (row, name, printed_mm2, within) in [
        ("B-01", "M6x1", 20.1, 0.05),
        ("B-02", "M8x1.25", 36.6, 0.05),
        ("B-03", "M10x1.5", 58.0, 0.05),
        ("B-04", "M12x1.75", 84.3, 0.05),
        ("B-05", "M14x2", 115.0, 0.5),
        ("B-06", "M16x2", 157.0, 0.5),
        ("B-07", "M18x2.5", 192.0, 0.5),
        ("B-08", "M20x2.5", 245.0, 0.5),
        ("B-09", "M22x2.5", 303.0, 0.5),
        ("B-10", "M24x3", 353.0, 0.51),
        ("B-11", "M27x3", 459.0, 0.5),
        ("B-12", "M30x3.5", 561.0, 0.5),
        ("B-13", "M12x1.25", 92.1, 0.05),
        ("B-13", "M12x1.5", 88.1, 0.05),
        ("B-13", "M14x1.5", 125.0, 0.5),
        ("B-13", "M20x1.5", 272.0, 0.5),
        ("B-13", "M22x1.5", 333.0, 0.5),
        // The same standard's formula on a thread of ISO 261, from memory of a maker's table.
        ("ISO 261", "M24x1.5", 401.0, 0.5),
    ] {
        assert_within(thread(name).stress_area_mm2(), printed_mm2, within, row);
    }
}

#[test]
fn b_20_to_b_30_stress_areas_of_inch_threads() {
    // ASME B1.1 as reprinted in a public torque table; B-28, B-29 from memory; B-30 the page of B-60.
    for (row, name, printed_in2, within) in [
        ("B-20", "1/4-20", 0.0318, 0.000_05),
        ("B-21", "5/16-18", 0.0524, 0.000_05),
        ("B-22", "3/8-16", 0.0775, 0.000_05),
        ("B-23", "7/16-14", 0.1063, 0.000_05),
        ("B-24", "1/2-13", 0.1419, 0.000_05),
        ("B-25", "9/16-12", 0.182, 0.000_5),
        ("B-26", "5/8-11", 0.226, 0.000_5),
        ("B-27", "3/4-10", 0.334, 0.000_5),
        ("B-28", "7/8-9", 0.462, 0.000_5),
        ("B-29", "1-8", 0.606, 0.000_5),
        ("B-30", "3/4-16 UNF", 0.373, 0.000_5),
        // The same standard, from memory; its tables cut digits off: one unit of the last.
        ("UNF", "1/4-28", 0.0364, 0.000_1),
        ("UNF", "5/16-24", 0.0580, 0.000_1),
        ("UNF", "3/8-24", 0.0878, 0.000_1),
        ("UNF", "7/16-20", 0.1187, 0.000_1),
        ("UNF", "1/2-20", 0.1599, 0.000_1),
        ("UNF", "9/16-18", 0.203, 0.001),
        ("UNF", "5/8-18", 0.256, 0.001),
        ("UNF", "7/8-14", 0.509, 0.001),
        ("UNF", "1-12", 0.663, 0.001),
        ("UNS", "1-14 UNS", 0.6799, 0.000_1),
    ] {
        let area_in2 = thread(name).stress_area_mm2() / SQUARE_INCH_MM2;
        assert_within(area_in2, printed_in2, within, row);
    }
}

#[test]
fn b_31_to_b_34_strengths_of_property_classes() {
    // ISO 898-1 Tables 3 to 5, three reprints. The trap: 580 for 8.8 above 16 mm too.
    for (row, text, proof_mpa, yield_mpa) in [
        ("B-31", "M16 8.8", 580.0, 640.0),
        ("B-32", "M18 8.8", 600.0, 660.0),
        ("B-33", "M16 10.9", 830.0, 940.0),
        ("B-33", "M20 10.9", 830.0, 940.0),
        ("B-34", "M6 12.9", 970.0, 1100.0),
        ("B-34", "M30 12.9", 970.0, 1100.0),
    ] {
        let class = bolt(text).class;
        let got = (class.proof_stress_mpa(), class.yield_stress_mpa());
        assert_eq!(got, (proof_mpa, yield_mpa), "{row}");
    }
}

#[test]
fn b_35_to_b_46_proof_loads() {
    // ISO 898-1 Table 5, reprints; B-46 10.9 and 12.9 from memory. The standard rounds: ±0.7 %.
    for (row, size, loads_n) in [
        ("B-35", "M6", [11_600.0, 16_700.0, 19_500.0]),
        ("B-36", "M8", [21_200.0, 30_400.0, 35_500.0]),
        ("B-37", "M10", [33_700.0, 48_100.0, 56_300.0]),
        ("B-38", "M12", [48_900.0, 70_000.0, 81_800.0]),
        ("B-39", "M14", [66_700.0, 95_500.0, 112_000.0]),
        ("B-40", "M16", [91_000.0, 130_000.0, 152_000.0]),
        ("B-41", "M18", [115_000.0, 159_000.0, 186_000.0]),
        ("B-42", "M20", [147_000.0, 203_000.0, 238_000.0]),
        ("B-43", "M22", [182_000.0, 252_000.0, 294_000.0]),
        ("B-44", "M24", [212_000.0, 293_000.0, 342_000.0]),
        ("B-45", "M27", [275_000.0, 381_000.0, 445_000.0]),
        ("B-46", "M30", [337_000.0, 466_000.0, 544_000.0]),
    ] {
        for (class, load_n) in ["8.8", "10.9", "12.9"].into_iter().zip(loads_n) {
            let whole = bolt(&format!("{size} {class} 100 %"));
            assert_part(whole.preload_n(), load_n, 0.007, row);
        }
    }
}

#[test]
fn strengths_of_the_weaker_property_classes() {
    // ISO 898-1 (2013) Table 3, two public reprints read: proof stress; least R_eL of 4.6 and 5.6, least
    // R_pf of 4.8, 5.8 and 6.8.
    for (class, proof_mpa, yield_mpa) in [
        ("4.6", 225.0, 240.0),
        ("4.8", 310.0, 340.0),
        ("5.6", 280.0, 300.0),
        ("5.8", 380.0, 420.0),
        ("6.8", 440.0, 480.0),
    ] {
        for size in ["M6", "M20", "M30"] {
            let class = bolt(&format!("{size} {class}")).class;
            let got = (class.proof_stress_mpa(), class.yield_stress_mpa());
            assert_eq!(got, (proof_mpa, yield_mpa), "{size} {}", class.name);
        }
    }
}

#[test]
fn proof_loads_of_the_weaker_property_classes() {
    // ISO 898-1 Table 5, from memory; the standard rounds: ±0.7 % of the reprinted stresses.
    for (class, loads_n) in [
        (
            "4.6",
            [4_520.0, 13_000.0, 35_300.0, 55_100.0, 79_400.0, 126_000.0],
        ),
        (
            "4.8",
            [6_230.0, 18_000.0, 48_700.0, 76_000.0, 109_000.0, 174_000.0],
        ),
        (
            "5.6",
            [5_630.0, 16_200.0, 44_000.0, 68_600.0, 98_800.0, 157_000.0],
        ),
        (
            "5.8",
            [7_640.0, 22_000.0, 59_700.0, 93_100.0, 134_000.0, 213_000.0],
        ),
        (
            "6.8",
            [8_840.0, 25_500.0, 69_100.0, 108_000.0, 155_000.0, 247_000.0],
        ),
    ] {
        let sizes = ["M6", "M10", "M16", "M20", "M24", "M30"];
        for (size, load_n) in sizes.into_iter().zip(loads_n) {
            let text = format!("{size} {class} 100 %");
            assert_part(bolt(&text).preload_n(), load_n, 0.007, &text);
        }
    }
}

#[test]
fn strengths_of_stainless_classes() {
    // ISO 3506-1: R_p0.2 of 70 and 80 in a public reprint; of 50, and that 70 and 80 end at 24 mm, from
    // memory. The standard has no proof load.
    for steel in ["A2", "A4"] {
        for (class, yield_mpa) in [("50", 210.0), ("70", 450.0), ("80", 600.0)] {
            for size in ["M6", "M24"] {
                let class = bolt(&format!("{size} {steel}-{class}")).class;
                let got = (class.proof_stress_mpa(), class.yield_stress_mpa());
                assert_eq!(got, (yield_mpa, yield_mpa), "{size} {}", class.name);
            }
            let large = Bolt::parse(&format!("M27 {steel}-{class}"));
            assert_eq!(large.is_ok(), class == "50", "M27 {steel}-{class}");
        }
    }
    // A maker's table, a reprint: the pull at the 0.2 % limit of A2-70 and A4-70.
    for (text, pull_n) in [("M6 A2-70 100 %", 9_040.0), ("M8 A4-70 100 %", 16_470.0)] {
        assert_part(bolt(text).preload_n(), pull_n, 0.002, text);
    }
}

#[test]
fn b_47_to_b_51_strengths_of_grades() {
    // SAE J429, three reprints. B-50 is over 1 in and not offered. The trap: 65 ksi for grade 5.
    for (row, text, proof_ksi, yield_ksi) in [
        ("B-47", "1/4 grade 2", 55.0, 57.0),
        ("B-47", "3/4 grade 2", 55.0, 57.0),
        ("B-48", "7/8 grade 2", 33.0, 36.0),
        ("B-48", "1-8 grade 2", 33.0, 36.0),
        ("B-49", "1/4 grade 5", 85.0, 92.0),
        ("B-49", "1-8 grade 5", 85.0, 92.0),
        ("B-51", "1/4 grade 8", 120.0, 130.0),
        ("B-51", "1-8 grade 8", 120.0, 130.0),
    ] {
        let class = bolt(text).class;
        assert_part(class.proof_stress_mpa(), proof_ksi * KSI_MPA, 1e-12, row);
        assert_part(class.yield_stress_mpa(), yield_ksi * KSI_MPA, 1e-12, row);
    }
    // U-11: 1 ksi is 6.894 757 293 MPa; U-10 is a thousandth of it.
    let proof_mpa = bolt("1/2-13 grade 8").class.proof_stress_mpa();
    assert_part(proof_mpa, 120.0 * 6.894_757_293, 1e-9, "U-10, U-11");
    // Below the table: 120 ksi × 0.1419 in² is 17,028 lbf, 75.74 kN.
    let load_n = bolt("1/2-13 grade 8 100 %").preload_n();
    assert_part(load_n, 17_028.0 * POUND_FORCE_N, 1e-3, "B-51");
    assert_part(load_n, 75_740.0, 1e-3, "B-51");
}

#[test]
fn b_60_and_b_62_a_textbook_s_bolt() {
    // Shigley's Mechanical Engineering Design, 9th ed., Example 8-3, p. 439: page read, answer of (b) from
    // memory. 3/4 in-16 UNF, 25 kip.
    let thread = thread("3/4-16 UNF");
    let torque_nm = Friction::NutFactor(0.2).tightening_torque_nm(&thread, 25.0 * KIP_N);
    assert_part(torque_nm / POUND_FORCE_INCH_NM, 3_750.0, 1e-12, "B-60");
    assert_within(torque_nm, 423.69, 0.01, "B-60");
    // The book takes the printed area, 0.373 in², which is 0.03 % from the formula's.
    let stress_ksi = 25.0 / (thread.stress_area_mm2() / SQUARE_INCH_MM2);
    assert_part(stress_ksi, 67.02, 5e-4, "B-62");
}

#[test]
fn b_63_nut_factors_of_finishes() {
    // The same book, Table 8-15, p. 439, page read; "if unknown use 0.20".
    for (name, factor) in [
        ("unknown", 0.20),
        ("black", 0.30),
        ("zinc", 0.20),
        ("lubricated", 0.18),
        ("cadmium", 0.16),
        ("anti_seize", 0.12),
        // B-68 and B-69: public tables, reprints.
        ("dry", 0.20),
        ("oiled", 0.15),
        ("waxed", 0.10),
    ] {
        let finish = FINISHES.iter().find(|finish| finish.name == name).unwrap();
        assert_eq!(finish.nut_factor, factor, "B-63 {name}");
        let given = Friction::Finish(finish).nut_factor(&thread("M20"));
        assert_part(given, factor, 1e-12, name);
    }
    assert_eq!(FINISHES.len(), 9);
}

/// B-64: the same book, Table 8-14, p. 439, page read: ten lubricated bolts M12×1.25 at 90 N·m, in kN.
const LUBRICATED_KN: [f64; 10] = [30.3, 32.5, 32.5, 32.9, 32.9, 33.8, 34.3, 34.7, 37.4, 40.5];

/// B-65: Table 8-13, p. 438, from memory: twenty bolts without lubricant, the same torque.
const UNLUBRICATED_KN: [f64; 20] = [
    23.6, 27.6, 28.0, 29.4, 30.3, 30.7, 32.9, 33.8, 33.8, 33.8, 34.7, 35.6, 35.6, 37.4, 37.8, 37.8,
    39.2, 40.0, 40.5, 42.7,
];

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}

#[test]
fn b_64_and_b_65_measured_preloads_stay_within_the_scatter() {
    let factor = nut_factor(90.0, 1000.0 * mean(&LUBRICATED_KN), 12.0);
    assert_within(factor, 0.219, 0.000_5, "B-64");
    for (text, preloads_kn) in [
        ("M12x1.25 8.8 lubricated", &LUBRICATED_KN[..]),
        ("M12x1.25 8.8 dry", &UNLUBRICATED_KN),
    ] {
        let part = bolt(text).friction.preload_scatter_percent() / 100.0;
        let mean = mean(preloads_kn);
        for preload_kn in preloads_kn {
            assert_part(*preload_kn, mean, part, text);
        }
    }
}

#[test]
fn b_66_preloaded_structural_sets() {
    // EN 1090-2 and EN 14399, torque method, class 10.9, as reprinted by a bolt maker: F = 0.7·f_ub·A_s,
    // torque 1.1·K_m·d·F. M36 is not offered.
    for (size, preload_kn, factor, torque_nm) in [
        ("M12", 59.0, 0.129, 100.0),
        ("M16", 110.0, 0.129, 250.0),
        ("M20", 172.0, 0.119, 450.0),
        ("M22", 212.0, 0.127, 650.0),
        ("M24", 247.0, 0.123, 800.0),
        ("M27", 321.0, 0.131, 1250.0),
        ("M30", 393.0, 0.127, 1650.0),
    ] {
        let thread = thread(size);
        let preload_n = 0.7 * 1000.0 * thread.stress_area_mm2();
        assert_part(preload_n, 1000.0 * preload_kn, 0.006, size);
        let friction = Friction::NutFactor(1.1 * factor);
        let got_nm = friction.tightening_torque_nm(&thread, 1000.0 * preload_kn);
        assert_part(got_nm, torque_nm, 0.006, size);
    }
}

#[test]
fn b_67_structural_bolts_at_a_part_of_their_strength() {
    // RCSC Specification (2020) Table 8.1, a secondary table: 70 % of 120 ksi, which is also the proof
    // stress of grade 8; torque at K = 0.20 from the printed preload.
    for (size, preload_kip, torque_lbf_ft) in [
        ("1/2", 12.0, 100.0),
        ("5/8", 19.0, 198.0),
        ("3/4", 28.0, 350.0),
    ] {
        let bolt = bolt(&format!("{size} grade 8 K 0.2 70 %"));
        assert_within(bolt.preload_n() / KIP_N, preload_kip, 0.5, "B-67");
        let torque_nm = bolt
            .friction
            .tightening_torque_nm(&bolt.thread, preload_kip * KIP_N);
        assert_within(torque_nm / POUND_FORCE_FOOT_NM, torque_lbf_ft, 0.5, "B-67");
    }
}

#[test]
fn b_68_three_quarters_of_the_proof_load() {
    // A public torque table that quotes ISO 898-1, class 8.8, in lbf·ft.
    for (text, torque_lbf_ft) in [
        ("M10 8.8 dry", 37.0),
        ("M10 8.8 oiled", 28.0),
        ("M12 8.8 dry", 65.0),
        ("M12 8.8 oiled", 49.0),
        ("M16 8.8 dry", 161.0),
        ("M16 8.8 oiled", 121.0),
    ] {
        let got = bolt(text).tightening_torque_nm() / POUND_FORCE_FOOT_NM;
        assert_within(got, torque_lbf_ft, 0.6, text);
    }
    // The trap: charts with 580 N/mm² above 16 mm give 314 and 543; 600 N/mm² gives 325 and 563.
    for (text, right, trap) in [("M20 8.8 dry", 325.0, 314.0), ("M24 8.8 dry", 563.0, 543.0)] {
        let got = bolt(text).tightening_torque_nm() / POUND_FORCE_FOOT_NM;
        assert_within(got, right, 1.5, text);
        assert!((got - trap).abs() > 8.0, "{text}: {got}");
    }
}

#[test]
fn b_69_three_quarters_of_the_yield_strength() {
    // A public engineering table: 1/2-13 grade 5, 75 % of 92 ksi, K = 0.20: 82 lbf·ft. Pull alone, no twist.
    let bolt = bolt("1/2-13 grade 5 K 0.20");
    let preload_n = 0.75 * bolt.class.yield_stress_mpa() * bolt.thread.stress_area_mm2();
    let torque_nm = bolt.friction.tightening_torque_nm(&bolt.thread, preload_n);
    assert_within(torque_nm / POUND_FORCE_FOOT_NM, 82.0, 0.5, "B-69");
}

#[test]
fn b_70_and_b_73_tightening_and_loosening_by_the_long_form() {
    // ISO 16047's form, a hand example: M10×1.5, 25 kN, μ = 0.12.
    let (thread, friction) = (thread("M10x1.5"), coefficient(0.12));
    assert_within(thread.bearing_diameter_mm(), 12.815, 1e-9, "B-70");
    assert_within(thread.pitch_diameter_mm(), 9.0257, 5e-5, "B-70");
    let tight_nm = friction.tightening_torque_nm(&thread, 25_000.0);
    let loose_nm = friction.loosening_torque_nm(&thread, 25_000.0);
    assert_within(tight_nm, 40.82, 0.01, "B-70");
    assert_within(friction.nut_factor(&thread), 0.1633, 0.000_05, "B-70");
    assert_within(loose_nm, 28.89, 0.01, "B-73");
    assert_within(loose_nm / tight_nm, 0.708, 0.001, "B-73");
    // The trap: a formula that adds the pitch term to the friction that loosens it.
    assert!(loose_nm < tight_nm);
}

#[test]
fn b_61_b_71_b_72_and_b_74_other_roundings_of_the_long_form_are_near() {
    // Rounded constants (VDI 2230) and the exact helix (Shigley) are other formulas; they may not differ
    // from ours by more than half a per cent.
    let (metric, friction) = (thread("M10x1.5"), coefficient(0.12));
    let tight_nm = friction.tightening_torque_nm(&metric, 25_000.0);
    assert_part(tight_nm, 40.93, 0.005, "B-71");
    assert_part(tight_nm, 40.98, 0.005, "B-72");
    assert_part(
        friction.loosening_torque_nm(&metric, 25_000.0),
        28.82,
        0.005,
        "B-74",
    );
    let inch = coefficient(0.15).tightening_torque_nm(&thread("3/4-16 UNF"), 25.0 * KIP_N);
    assert_part(inch / POUND_FORCE_INCH_NM, 3_551.0, 0.005, "B-61");
}

#[test]
fn b_75_where_the_torque_goes() {
    let thread = thread("M10x1.5");
    let torque_nm = |flank, head| {
        let friction = Friction::Coefficients {
            thread: flank,
            head,
        };
        friction.tightening_torque_nm(&thread, 25_000.0)
    };
    let (pitch, whole) = (torque_nm(0.0, 0.0), torque_nm(0.12, 0.12));
    let percent = |part: f64| 100.0 * part / whole;
    assert_within(percent(pitch), 14.6, 0.1, "B-75");
    assert_within(percent(torque_nm(0.12, 0.0) - pitch), 38.3, 0.1, "B-75");
    assert_within(percent(torque_nm(0.0, 0.12) - pitch), 47.1, 0.1, "B-75");
}

/// Loosening over tightening torque of a fresh joint.
fn ratio(thread: &Thread, friction: Friction) -> f64 {
    friction.loosening_torque_nm(thread, 1.0) / friction.tightening_torque_nm(thread, 1.0)
}

const COEFFICIENTS: [f64; 6] = [0.08, 0.10, 0.12, 0.15, 0.20, 0.30];

#[test]
fn b_76_to_b_80_loosening_over_tightening() {
    for (row, name, bearing_mm, ratios) in [
        (
            "B-76",
            "M10x1.5",
            12.815,
            [0.591, 0.659, 0.708, 0.759, 0.814, 0.872],
        ),
        (
            "B-77",
            "M12x1.5",
            15.065,
            [0.646, 0.707, 0.750, 0.795, 0.842, 0.892],
        ),
        (
            "B-78",
            "M14x1.5",
            17.57,
            [0.691, 0.745, 0.783, 0.822, 0.864, 0.907],
        ),
        (
            "B-79",
            "M20x2.5",
            25.095,
            [0.646, 0.707, 0.749, 0.794, 0.842, 0.892],
        ),
        (
            "B-80",
            "M22x1.5",
            27.855,
            [0.795, 0.832, 0.858, 0.885, 0.912, 0.941],
        ),
    ] {
        let thread = thread(name);
        assert_within(thread.bearing_diameter_mm(), bearing_mm, 1e-9, row);
        for (value, printed) in COEFFICIENTS.into_iter().zip(ratios) {
            assert_within(ratio(&thread, coefficient(value)), printed, 0.001, row);
        }
    }
}

#[test]
fn a_fresh_joint_asks_for_less_and_for_more_of_it_the_rougher_and_the_finer() {
    // Properties below the table.
    for size in &SIZES {
        for thread in size.threads() {
            let mut before = 0.0;
            for value in COEFFICIENTS {
                let now = ratio(&thread, coefficient(value));
                assert!(before < now && now < 1.0, "{}: {now}", thread.name());
                before = now;
            }
        }
        let threads: Vec<Thread> = size.threads().collect();
        for pair in threads.windows(2) {
            for friction in [coefficient(0.12), Friction::NutFactor(0.2)] {
                assert!(ratio(&pair[0], friction) < ratio(&pair[1], friction));
            }
        }
    }
}

const CLASSES: [&str; 3] = ["8.8", "10.9", "12.9"];

#[test]
fn b_90_to_b_100_assembly_preload_and_torque_of_fine_threads() {
    // VDI 2230 Part 1 (2001) as reprinted in a wholesaler's catalogue; preload in kN, torque in N·m.
    for (row, name, coefficient, preloads_kn, torques_nm) in [
        ("B-90", "M8x1", 0.12, [20.2, 29.7, 34.7], [26.1, 38.3, 44.9]),
        (
            "B-91",
            "M10x1.25",
            0.12,
            [31.6, 46.4, 54.3],
            [51.0, 75.0, 87.0],
        ),
        (
            "B-92",
            "M12x1.25",
            0.12,
            [48.0, 70.5, 82.5],
            [90.0, 133.0, 155.0],
        ),
        (
            "B-93",
            "M14x1.5",
            0.12,
            [64.8, 95.2, 111.4],
            [142.0, 209.0, 244.0],
        ),
        (
            "B-94",
            "M16x1.5",
            0.12,
            [87.6, 128.7, 150.6],
            [218.0, 320.0, 374.0],
        ),
        (
            "B-95",
            "M18x1.5",
            0.12,
            [117.0, 167.0, 196.0],
            [327.0, 465.0, 544.0],
        ),
        (
            "B-96",
            "M20x1.5",
            0.12,
            [148.0, 211.0, 246.0],
            [454.0, 646.0, 756.0],
        ),
        (
            "B-97",
            "M22x1.5",
            0.12,
            [182.0, 259.0, 303.0],
            [613.0, 873.0, 1022.0],
        ),
        (
            "B-98",
            "M24x2",
            0.12,
            [209.0, 297.0, 348.0],
            [769.0, 1095.0, 1282.0],
        ),
        (
            "B-99",
            "M12x1.25",
            0.10,
            [49.1, 72.1, 84.4],
            [79.0, 116.0, 135.0],
        ),
        (
            "B-100",
            "M12x1.25",
            0.14,
            [46.8, 68.7, 80.4],
            [101.0, 149.0, 174.0],
        ),
    ] {
        for ((class, preload_kn), torque_nm) in CLASSES.into_iter().zip(preloads_kn).zip(torques_nm)
        {
            let bolt = bolt(&format!("{name} {class} μ {coefficient}"));
            assert_part(bolt.preload_n(), 1000.0 * preload_kn, 0.007, row);
            assert_part(bolt.tightening_torque_nm(), torque_nm, 0.007, row);
        }
    }
}

/// Assembly torques of VDI 2230 Part 1 at μ = 0.12, in N·m, of classes 8.8, 10.9, 12.9: 8.8 to M20 from
/// reprints, the rest from memory; ±1.1 %. The column of preloads beside them was computed, not read, and
/// is not asserted.
const COARSE_NM: [(&str, &str, &[f64]); 10] = [
    ("B-101", "M6", &[10.1]),
    ("B-102", "M8", &[24.6, 36.1, 42.2]),
    ("B-103", "M10", &[48.0, 71.0, 83.0]),
    ("B-104", "M12", &[84.0, 123.0, 144.0]),
    ("B-105", "M14", &[133.0, 195.0, 229.0]),
    ("B-106", "M16", &[206.0, 302.0, 354.0]),
    ("B-107", "M18", &[295.0, 421.0, 492.0]),
    ("B-108", "M20", &[415.0, 592.0, 692.0]),
    ("B-109", "M22", &[567.0, 807.0, 945.0]),
    ("B-110", "M24", &[714.0, 1017.0, 1190.0]),
];

#[test]
fn b_101_to_b_111_assembly_torque_of_coarse_threads() {
    for (row, size, torques_nm) in COARSE_NM {
        for (class, &torque_nm) in CLASSES.into_iter().zip(torques_nm) {
            let bolt = bolt(&format!("{size} {class} μ 0.12"));
            assert_part(bolt.tightening_torque_nm(), torque_nm, 0.011, row);
        }
    }
    // 2015 edition, reprint: 41.9 kN; the formula gives 41.98.
    assert_part(bolt("M12 8.8 μ 0.14").preload_n(), 41_900.0, 0.007, "B-111");
}

#[test]
fn the_usual_way_asks_for_a_little_more_than_vdi_2230() {
    // The claim where the default is explained, 1 to 7 %, against the printed torques of 8.8 and 10.9.
    for (row, size, torques_nm) in COARSE_NM {
        for (class, printed_nm) in CLASSES.into_iter().zip(torques_nm).take(2) {
            let more = bolt(&format!("{size} {class}")).tightening_torque_nm() / printed_nm;
            assert!((1.005..1.075).contains(&more), "{row}, {class}: {more}");
        }
    }
}

#[test]
fn b_120_tightening_factors() {
    // VDI 2230, α_A = F_max/F_min, reprint: half a unit of the last digit.
    for (percent, factor) in [
        (9.0, 1.20),
        (17.0, 1.41),
        (23.0, 1.60),
        (43.0, 2.51),
        (60.0, 4.00),
    ] {
        assert_within(tightening_factor(percent), factor, 0.005, "B-120");
    }
    assert_part(tightening_factor(60.0), 4.0, 1e-12, "B-120");
}

#[test]
fn b_124_scatter_of_preload_under_torque_control() {
    // Journal of Failure Analysis and Prevention 2019, doi 10.1007/s11668-019-00693-z, page read. The trap:
    // this is not how far a torque wrench is off, which is 4 or 6 %.
    for (text, percent) in [
        ("M20 10.9", 35.0),
        ("M20 10.9 dry", 35.0),
        ("M20 10.9 black", 35.0),
        ("M20 10.9 K 0.15", 35.0),
        ("M20 10.9 μ 0.1", 35.0),
        ("M20 10.9 oiled", 25.0),
        ("M20 10.9 lubricated", 25.0),
        ("M20 10.9 anti-seize", 25.0),
        ("M20 10.9 waxed", 25.0),
    ] {
        assert_eq!(
            bolt(text).friction.preload_scatter_percent(),
            percent,
            "{text}"
        );
    }
}
