use super::*;
use crate::units::EntryUnit;

pub(super) fn english() -> NumberStyle {
    NumberStyle {
        decimal: ".".to_owned(),
        group: ",".to_owned(),
        minus: "−".to_owned(),
    }
}

fn assert_prints(print: impl Fn(f64) -> String, rows: &[(f64, &str)]) {
    for (value, text) in rows {
        assert_eq!(&print(*value), text, "{value}");
    }
}

/// Torques in a unit, rounded one way, and how they are printed.
type Printed = (
    TorqueUnit,
    RoundingDirection,
    &'static [(f64, &'static str)],
);

const PRINTED: [Printed; 4] = [
    (
        TorqueUnit::NewtonMetre,
        RoundingDirection::Nearest,
        &[
            (0.0, "0"),
            (0.4, "0"),
            (54.5, "55"),
            (99.4, "99"),
            (99.6, "100"),
            (102.4, "100"),
            (102.5, "105"),
            (496.0, "495"),
            (497.6, "500"),
            (504.9, "500"),
            (505.0, "510"),
            (843.0, "840"),
            (1_244.0, "1,240"),
        ],
    ),
    (
        TorqueUnit::NewtonMetre,
        RoundingDirection::Down,
        &[
            (99.9, "99"),
            (104.9, "100"),
            (499.9, "495"),
            (509.9, "500"),
            (819.0, "810"),
        ],
    ),
    (
        TorqueUnit::NewtonMetre,
        RoundingDirection::Up,
        &[
            (0.1, "1"),
            (99.1, "100"),
            (100.1, "105"),
            (495.1, "500"),
            (500.1, "510"),
            (110.0, "110"),
        ],
    ),
    (
        TorqueUnit::PoundForceFoot,
        RoundingDirection::Nearest,
        &[
            (99.6, "100"),
            (397.0, "395"),
            (398.0, "400"),
            (404.0, "400"),
            (478.0, "480"),
            (1_006.0, "1,010"),
        ],
    ),
];

fn small(figure: SmallFigure) -> String {
    match figure {
        SmallFigure::UnderTenth => "under".to_owned(),
        SmallFigure::Number(text) => text,
    }
}

#[test]
fn torque_steps_widen_with_the_torque() {
    let style = english();
    for (unit, direction, rows) in PRINTED {
        let entry = EntryUnit::from(unit);
        let print = |number| torque(entry.torque(number), unit, direction, &style);
        assert_prints(print, rows);
    }
    // U-05: 650 N·m are 479.4 lbf·ft; converted from the unrounded value, then rounded once.
    let converted = Torque::from_newton_metres(650.0);
    assert_eq!(
        torque(
            converted,
            TorqueUnit::PoundForceFoot,
            RoundingDirection::Nearest,
            &style
        ),
        "480"
    );
}

#[test]
fn torque_is_printed_in_rising_order() {
    let style = english();
    for unit in [TorqueUnit::NewtonMetre, TorqueUnit::PoundForceFoot] {
        for direction in [
            RoundingDirection::Nearest,
            RoundingDirection::Up,
            RoundingDirection::Down,
        ] {
            let mut last = 0;
            for tenths in 0..15_000 {
                let value = Torque::from_newton_metres(f64::from(tenths) / 10.0);
                let text = torque(value, unit, direction, &style).replace(',', "");
                let number: i32 = text.parse().unwrap();
                assert!(number >= last, "{tenths} {unit:?} {direction:?}");
                let distance = f64::from(number) - value.in_unit(unit.into());
                match direction {
                    RoundingDirection::Nearest => assert!(distance.abs() <= 5.0 + 1e-9),
                    RoundingDirection::Up => assert!((-1e-9..10.0).contains(&distance)),
                    RoundingDirection::Down => assert!((-10.0 + 1e-9..=1e-9).contains(&distance)),
                }
                last = number;
            }
        }
    }
}

#[test]
fn needed_torque_is_whole_and_rounded_up() {
    let style = english();
    let print = |torque_nm| {
        needed_torque(
            Torque::from_newton_metres(torque_nm),
            TorqueUnit::NewtonMetre,
            &style,
        )
    };
    assert_prints(
        print,
        &[
            (975.0, "975"),
            (650.01, "651"),
            (650.0 * 1.1, "715"),
            (1_200.5, "1,201"),
        ],
    );
    let sample = |torque_nm| {
        largest_sample(
            Torque::from_newton_metres(torque_nm),
            TorqueUnit::NewtonMetre,
            &style,
        )
    };
    assert_prints(sample, &[(903.4, "903"), (1_403.5, "1,404")]);
}

#[test]
fn the_visitors_own_number_is_never_changed() {
    for (text, printed) in [
        ("480 lbf·ft", "480"),
        ("66,0 kgf·m", "66.0"),
        ("12345 N·m", "12,345"),
        ("1234.56789 N·m", "1,234.56789"),
        ("−5 N·m", "−5"),
        ("007 N·m", "7"),
    ] {
        let written = WrittenTorque::parse(text).unwrap();
        assert_eq!(Figure::written(&written).print(&english()), printed);
    }
}

#[test]
fn given_numbers_have_the_decimals_they_need() {
    assert_prints(
        |value| given(value, &english()),
        &[
            (5.0, "5"),
            (1.5, "1.5"),
            (0.75, "0.75"),
            (0.125, "0.125"),
            (0.1 + 0.2, "0.3"),
            (1.0 / 3.0, "0.333"),
            (20_000.0, "20,000"),
            (0.0, "0"),
            // Never nothing where there is something.
            (0.0004, "0.0004"),
            (0.000_999_5, "0.0009995"),
            (1.0 / 3000.0, "0.000333334"),
            (1e-12, "0.000000001"),
            (f64::MIN_POSITIVE, "0.000000001"),
            (-0.0004, "−0.0004"),
            (f64::NAN, "–"),
        ],
    );
}

#[test]
fn times_have_a_tenth_in_sentences_and_a_hundredth_in_tables() {
    let style = english();
    assert_prints(
        |time_s| small(time_sentence(Duration::from_seconds(time_s), &style)),
        &[
            (0.0, "under"),
            (0.0999, "under"),
            (0.1, "0.1"),
            (0.35, "0.4"),
            (1.31, "1.3"),
            (4.96, "5.0"),
            (f64::NAN, "–"),
        ],
    );
    assert_prints(
        |time_s| time_table(Duration::from_seconds(time_s), &style),
        &[
            (0.0, "0.00"),
            (0.62, "0.62"),
            (1.305, "1.31"),
            (4.999, "5.00"),
        ],
    );
}

#[test]
fn powers_and_rates_have_two_or_three_figures() {
    let style = english();
    assert_prints(
        |power_w| power_sentence(Power::from_watts(power_w), &style),
        &[
            (0.0, "0"),
            (412.4, "410"),
            (415.0, "420"),
            (99.6, "100"),
            (99.4, "99"),
            (9.96, "10"),
            (9.94, "9.9"),
            (1.04, "1.0"),
            (0.996, "1.0"),
            (0.0123, "0.012"),
            (1e-9, "0.000"),
            (1_284.0, "1,300"),
            (f64::INFINITY, "–"),
            (1e12, "1,000,000,000,000"),
            (1e13, "–"),
        ],
    );
    assert_prints(
        |power_w| power_table(Power::from_watts(power_w), &style),
        &[
            (412.4, "412"),
            (99.96, "100"),
            (99.94, "99.9"),
            (1_284.0, "1,280"),
            (9.0, "9.00"),
        ],
    );
    let rate = RiseRate::from_newton_metres_per_second(496.2);
    assert_eq!(
        rise_rate_sentence(rate, TorqueUnit::NewtonMetre, &style),
        "500"
    );
    assert_eq!(
        rise_rate_table(rate, TorqueUnit::NewtonMetre, &style),
        "496"
    );
    assert_eq!(
        rise_rate_table(rate, TorqueUnit::PoundForceFoot, &style),
        "366"
    );
}

#[test]
fn percentages_are_never_nought_point_nought() {
    assert_prints(
        |value| small(percent(value, &english())),
        &[
            (0.0, "0"),
            (-0.0, "0"),
            (0.04, "under"),
            (-0.09, "under"),
            (0.1, "0.1"),
            (3.46, "3.5"),
            (9.94, "9.9"),
            (9.96, "10"),
            (-9.96, "−10"),
            (-3.5, "−3.5"),
            (12.5, "13"),
            (1_234.0, "1,234"),
            (f64::NAN, "–"),
        ],
    );
}

#[test]
fn chances_are_rounded_down_and_never_certain() {
    for (probability, wanted) in [
        (0.9499, Chance::OfHundred(94)),
        (0.948, Chance::OfHundred(94)),
        (
            f64::from_bits(0.95_f64.to_bits() - 1),
            Chance::OfHundred(94),
        ),
        (0.95, Chance::OfHundred(95)),
        (0.4999, Chance::OfHundred(49)),
        (0.5, Chance::OfHundred(50)),
        (0.29, Chance::OfHundred(29)),
        (0.57, Chance::OfHundred(57)),
        (0.99, Chance::OfHundred(99)),
        (0.9951, Chance::MoreThan99),
        (1.0, Chance::MoreThan99),
        (f64::INFINITY, Chance::MoreThan99),
        (0.01, Chance::OfHundred(1)),
        (0.0099, Chance::FewerThan1),
        (0.0, Chance::FewerThan1),
        (-1.0, Chance::FewerThan1),
    ] {
        assert_eq!(chance(probability), Some(wanted), "{probability}");
    }
    assert_eq!(chance(f64::NAN), None);
}

#[test]
fn the_rest_follow_their_steps() {
    let style = english();
    assert_eq!([count(0, &style), count(1_038, &style)], ["0", "1,038"]);
    assert_eq!(count(u64::MAX, &style), "18,446,744,073,709,551,615");
    assert_prints(
        |value| mass(value, &style),
        &[(2.05, "2.1"), (2.9, "2.9"), (2.0, "2.0")],
    );
    assert_prints(
        |value| length(value, &style),
        &[(158.4, "158"), (1_000.0, "1,000")],
    );
    assert_prints(
        |value| price(value, &style),
        &[(189.5, "190"), (1_299.0, "1,299"), (-0.4, "0")],
    );
    for (jobs, told) in [
        (0, "0"),
        (19, "19"),
        (24, "20"),
        (99, "95"),
        (109, "100"),
        (999, "990"),
        (1_000, "1,000"),
    ] {
        let about = Jobs::About(told.into());
        assert_eq!(jobs_per_charge(jobs, &style), about, "{jobs}");
    }
    for jobs in [1_001, 368_390, u32::MAX] {
        let more = Jobs::MoreThan("1,000".into());
        assert_eq!(jobs_per_charge(jobs, &style), more, "{jobs}");
    }
    // Of the masses as printed: 3.0 less 2.9.
    assert_eq!(mass_difference(2.95, 2.94), Some(0.1));
    assert_eq!(mass_difference(2.94, 2.86), None);
    assert_eq!(price_difference(189.4, 210.6), Some(-22.0));
    assert_eq!(price_difference(189.4, 189.0), None);
    assert_prints(|value| cell_voltage(value, &style), &[(3.594, "3.59")]);
}
