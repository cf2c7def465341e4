use super::*;

fn kind(text: &str) -> ParseTorqueError {
    WrittenTorque::parse(text).unwrap_err()
}

/// The forms of one torque in each unit, with its number.
const SPELLED: [(EntryUnit, &str, &[&str]); 4] = [
    (
        EntryUnit::NewtonMetre,
        "650",
        &[
            "650 N·m",
            "650Nm",
            "650 N m",
            "650 N.m",
            "650 N⋅m",
            "650 N•m",
            "650 N∙m",
            "650 N-m",
            "650 N*m",
            "650 nm",
            "650 NM",
            "650\u{a0}N·m",
            "650\u{202f}N·m",
            "650-Nm",
            "650 Newton metre",
            "650 newton metres",
            "650 newton meter",
            "650 Newton meters",
            "650 newton-metres",
            "650 Newtonmeter",
            "650 newtons-mètres",
            "650 newton-mètre",
            "650 newtons metros",
            "  +650 N·m  ",
            "650 N·m.",
        ],
    ),
    (
        EntryUnit::PoundForceFoot,
        "480",
        &[
            "480 lbf·ft",
            "480 ft-lb",
            "480 lb-ft",
            "480 ft·lbf",
            "480 ft lbs",
            "480 lb.ft",
            "480 foot-pounds",
            "480 foot pound",
            "480 pound-feet",
            "480 pounds-feet",
            "480ftlb",
            "480 FT-LBS",
            "480 LbFt",
            "480 ft.lb.",
            "480 foot-pounds-force",
            "480 pound-force feet",
        ],
    ),
    (
        EntryUnit::PoundForceInch,
        "5800",
        &[
            "5800 lbf·in",
            "5800 in-lb",
            "5800 lb-in",
            "5800 in lbs",
            "5800 inch-pounds",
            "5 800 in·lbf",
        ],
    ),
    (
        EntryUnit::KilogramForceMetre,
        "66",
        &[
            "66 kgf·m",
            "66 kgf-m",
            "66 kgfm",
            "66 kgf m",
            "66 kg·m",
            "66 kgm",
            "66 kg-m",
            "66 m-kg",
            "66 mkgf",
            "66 kp·m",
            "66 kilogram-force metres",
        ],
    ),
];

#[test]
fn spelled_forms_are_the_same_torque() {
    for (unit, number, texts) in SPELLED {
        for text in texts {
            let written = WrittenTorque::parse(text).unwrap();
            assert_eq!((written.unit(), written.number()), (unit, number), "{text}");
            assert_eq!(
                written.torque(),
                unit.torque(number.parse().unwrap()),
                "{text}"
            );
        }
    }
}

#[test]
fn a_foot_pound_is_a_torque_of_known_size() {
    // U-05: 1 lbf·ft = 1.355 817 948 331 4 N·m; "lb·ft", "ft·lb" and "lbf·ft" are the same.
    for text in ["1 lb·ft", "1 ft·lb", "1 lbf·ft"] {
        let torque_nm = WrittenTorque::parse(text).unwrap().torque().newton_metres();
        assert!((torque_nm / 1.355_817_948_331_4 - 1.0).abs() <= 1e-12);
    }
}

#[test]
fn numbers_may_be_grouped_but_not_doubtful() {
    for text in [
        "1 234,5 N·m",
        "1,234.5 Nm",
        "1.234,5 Nm",
        "1'234.5 Nm",
        "1234.5 Nm",
    ] {
        assert_eq!(
            WrittenTorque::parse(text).unwrap().number(),
            "1234.5",
            "{text}"
        );
    }
    for text in ["1,234 N·m", "1.234 N·m", "1,234", "650.000 ft-lb"] {
        assert!(
            matches!(kind(text), ParseTorqueError::Ambiguous { .. }),
            "{text}"
        );
    }
}

#[test]
fn a_bare_number_has_no_unit() {
    for text in ["650", " 650 ", "1234.5", "0", "650 ·"] {
        assert_eq!(kind(text), ParseTorqueError::NoUnit, "{text}");
    }
}

#[test]
fn an_energy_is_no_torque() {
    for text in [
        "650 J", "650J", "0.65 kJ", "90 Wh", "90 W·h", "1 kWh", "5 cal", "5 kcal", "5 joules",
    ] {
        assert_eq!(kind(text), ParseTorqueError::IsEnergy, "{text}");
    }
}

#[test]
fn other_units_are_refused_as_written() {
    for (text, unit) in [
        ("650 N", "N"),
        ("650 kN·m", "kN·m"),
        ("650 mN", "mN"),
        ("650 mN·m", "mN·m"),
        ("650 N/m", "N/m"),
        ("650 Nm/s", "Nm/s"),
        ("650 W", "W"),
        ("650 ft", "ft"),
        ("650 lbs", "lbs"),
        ("650 kg", "kg"),
        ("5 kg·m2", "kg·m2"),
        ("650 N·m·m", "N·m·m"),
        ("650 oranges", "oranges"),
        ("650 N·m🔧", "N·m🔧"),
    ] {
        assert_eq!(
            kind(text),
            ParseTorqueError::UnknownUnit(unit.to_owned()),
            "{text}"
        );
    }
}

#[test]
fn hostile_texts_are_refused_and_never_panic() {
    for text in [
        "NaN N·m",
        "inf N·m",
        "-inf Nm",
        "1e400 N·m",
        "1e3 N·m",
        "1E+3 Nm",
        "1e-3 Nm",
        "0x10 Nm",
        "N·m",
        "+ N·m",
        "--5 N·m",
        "6 50 N·m",
        "65 68 N·m",
        "610-680 N·m",
        "650. N·m",
        "٦٥٠ N·m",
        "６５０ N·m",
        "½ N·m",
        "M20 10.9",
        "\u{feff}650 N·m",
        "\0",
        "’",
        "5 − 6 Nm",
    ] {
        let kind = kind(text);
        let fits = matches!(
            kind,
            ParseTorqueError::NotANumber | ParseTorqueError::UnknownUnit(_)
        );
        assert!(fits, "{text}: {kind:?}");
    }
    for text in ["", " ", "\u{a0}\t\n"] {
        assert_eq!(kind(text), ParseTorqueError::Empty);
    }
    let digits = "9".repeat(16);
    for text in [
        digits + " N·m",
        "9".repeat(100_000),
        "N·m".repeat(50_000),
        "é".repeat(65),
    ] {
        assert_eq!(kind(&text), ParseTorqueError::TooLong);
    }
}

#[test]
fn random_texts_never_panic_and_never_change_size() {
    let pieces = [
        "1", "23", "650", ".", ",", " ", "'", "\u{202f}", "-", "−", "+", "e", "N", "·", "m", "ft",
        "lb", "f", "in", "kg", "J", "W", "h", "é", "\u{301}", "/", "0", "000",
    ];
    let mut state: u64 = 1;
    for _ in 0..200_000 {
        let mut text = String::new();
        let mut count = 0;
        while count < 1 + state as usize % 9 {
            state = state
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            text.push_str(pieces[(state >> 33) as usize % pieces.len()]);
            count += 1;
        }
        if let Ok(written) = WrittenTorque::parse(&text) {
            assert!(written.torque().newton_metres().is_finite(), "{text}");
            assert_eq!(
                WrittenTorque::parse(&written.to_string()),
                Ok(written),
                "{text}"
            );
        }
    }
}

#[test]
fn negative_and_zero_are_left_to_the_caller() {
    for (text, torque_nm) in [("−5 N·m", -5.0), ("-5 N·m", -5.0), ("0 N·m", 0.0)] {
        assert_eq!(
            WrittenTorque::parse(text).unwrap().torque(),
            Torque::from_newton_metres(torque_nm)
        );
    }
}

#[test]
fn every_error_says_what_to_write() {
    for text in ["", "x", "1,234 Nm", "650", "650 J", "650 apples"] {
        assert!(kind(text).to_string().contains(": "), "{text}");
    }
    let doubt = kind("1,234 N·m").to_string();
    assert!(doubt.contains("1234") && doubt.contains("1.234"));
}
