use super::*;
use crate::drift::data::DayWithout;
use crate::picture::read_back::{ReadPicture, ReadWord, assert_within_edges, assert_words_apart};

const LIMIT_DASHES: &[f64] = &[8.0, 4.0];
const CALIBRATION_DASHES: &[f64] = &[1.5, 3.0];

fn day(date: &str, mean_torque_nm: f64, outside: bool) -> CheckedDay {
    CheckedDay {
        day: date.into(),
        date: date.into(),
        runs: 2,
        mean_torque_nm,
        low_nm: Some(590.0),
        high_nm: Some(710.0),
        mean_of_others_nm: Some(650.0),
        off_percent: Some(100.0 * (mean_torque_nm / 650.0 - 1.0)),
        outside: Some(outside),
        torque_factor: None,
        proposal: None,
    }
}

/// Four days with check runs, the third outside its limits, and one without between the first two.
fn drift() -> Drift {
    let days = vec![
        day("2026-03-02", 655.0, false),
        day("2026-03-16", 648.0, false),
        day("2026-03-23", 530.0, true),
        day("2026-03-30", 660.0, false),
    ];
    Drift {
        edition: 1,
        series: vec![CheckSeries {
            rig: "bench".into(),
            setup: "standard".into(),
            tool: "rook".into(),
            pack: "thin".into(),
            label: "Rook 18 with Thin 3.0".into(),
            run_scatter_percent: Some(2.0),
            reference: false,
            smallest_shift_percent: Some(10.0),
            days,
            calibrations: vec!["2026-03-20".into()],
        }],
        days_without: vec![
            DayWithout {
                day: "2026-03-09".into(),
                date: "2026-03-09".into(),
                rig: "bench".into(),
                runs: 3,
            },
            DayWithout {
                day: "2026-03-10".into(),
                date: "2026-03-10".into(),
                rig: "another rig".into(),
                runs: 3,
            },
        ],
    }
}

fn told() -> Told {
    Told {
        lang: "en".into(),
        headline: "Check runs by day".into(),
        credit: "Orchard bench. Licence: CC0-1.0.".into(),
        ..Told::default()
    }
}

fn read(drift: &Drift, unit: TorqueUnit, size: &Size) -> (ReadPicture, String) {
    let svg = picture(drift, unit, &told(), size).unwrap();
    (ReadPicture::of(&svg), svg)
}

const DOWN: fn(&ReadWord) -> f64 = |word| word.y;

fn torque(read: &ReadPicture, y: f64) -> f64 {
    read.value(["550", "700"], DOWN, y + 0.35 * Size::WHOLE.text_px)
}

/// What the axis reads is within this of the number: three tenths of a pixel.
const READ_NM: f64 = 0.25;

#[test]
fn each_day_stands_at_its_mean_above_its_date() {
    let (read, _) = read(&drift(), TorqueUnit::NewtonMetre, &Size::WHOLE);
    let (drift, mut discs) = (drift(), read.discs.iter());
    // A mark of four corners that stands on one, and its hollow; then the legend's two.
    let mut diamonds = read.polygons.iter().filter(|corners| {
        let [(_, top), (right, _), (_, bottom), (left, _)] = corners[..] else {
            return false;
        };
        (right - left - (bottom - top)).abs() < 0.5
    });
    for day in &drift.series[0].days {
        let (x, y) = if day.outside == Some(true) {
            let corners = diamonds.next().unwrap();
            diamonds.next().unwrap();
            (corners[0].0, (corners[0].1 + corners[2].1) / 2.0)
        } else {
            *discs.next().unwrap()
        };
        let read_nm = torque(&read, y);
        assert!(
            (read_nm - day.mean_torque_nm).abs() < READ_NM,
            "{day:?}: {read_nm}"
        );
        assert!((read.word(&day.date).x - x).abs() < 0.2, "{day:?}: {x}");
    }
    // The legend has one of each.
    assert_eq!((discs.count(), diamonds.count()), (1, 2));
    let name = read.word("2026-03-23 (−18.5 %)");
    assert!((name.x - read.word("2026-03-23").x).abs() < 150.0);
    for text in [
        "mean torque of the day's check runs, N·m",
        "Rook 18 with Thin 3.0, rig bench, setup standard",
    ] {
        read.word(text);
    }
}

#[test]
fn limits_and_the_mean_of_the_others_are_those_of_each_day() {
    let mut drift = drift();
    drift.series[0].days[3].high_nm = Some(720.0);
    let (read, _) = read(&drift, TorqueUnit::NewtonMetre, &Size::WHOLE);
    let heights = |dashes: &[f64], width_px: f64| -> Vec<Vec<f64>> {
        let lines = read.dashed(dashes).into_iter();
        let lines = lines.filter(|line| (line.width_px - width_px).abs() < 0.01);
        let heights = lines.map(|line| {
            let points = line.points.iter();
            points.map(|(_, y)| torque(&read, *y).round()).collect()
        });
        heights.collect()
    };
    // One day before the day without a check run, three after it; low, then high, then the legend.
    let limits = heights(LIMIT_DASHES, LIMIT.width_px);
    assert_eq!(
        limits[..4],
        [
            vec![590.0; 2],
            vec![590.0; 6],
            vec![710.0; 2],
            vec![710.0, 710.0, 710.0, 710.0, 720.0, 720.0]
        ]
    );
    let centre = heights(&[], CENTRE.width_px);
    assert_eq!(centre[..2], [vec![650.0; 2], vec![650.0; 6]]);
}

#[test]
fn a_new_calibration_stands_before_the_first_day_after_it() {
    let (read, _) = read(&drift(), TorqueUnit::NewtonMetre, &Size::WHOLE);
    let x = read.dashed(CALIBRATION_DASHES)[0].points[0].0;
    let (before, after) = (read.word("2026-03-16").x, read.word("2026-03-23").x);
    assert!(
        (x - (before + after) / 2.0).abs() < 0.2,
        "{before} {x} {after}"
    );
    let word = read.word("new calibration 2026-03-20");
    assert!((word.x - x - 5.0).abs() < 0.2, "{word:?}");
}

#[test]
fn a_day_without_a_check_run_of_its_own_rig_is_shown() {
    let (read, _) = read(&drift(), TorqueUnit::NewtonMetre, &Size::WHOLE);
    let area = &read.polygons[0];
    let middle = (area[0].0 + area[2].0) / 2.0;
    assert!((middle - read.word("2026-03-09").x).abs() < 0.2);
    assert!(!read.all().contains(&"2026-03-10"));
    let mut sound = drift();
    sound.days_without.clear();
    let (without, _) = self::read(&sound, TorqueUnit::NewtonMetre, &Size::WHOLE);
    let entry = "day without a check run";
    assert!(read.all().contains(&entry) && !without.all().contains(&entry));
}

#[test]
fn the_legend_names_each_line_by_its_own_look() {
    let (read, _) = read(&drift(), TorqueUnit::NewtonMetre, &Size::WHOLE);
    for (dashes_px, text) in [
        (LIMIT_DASHES, "limits of a day"),
        (CALIBRATION_DASHES, "new calibration of the rig"),
    ] {
        let sample = *read.dashed(dashes_px).last().unwrap();
        assert_eq!(read.legend_at(sample.points[1]), text);
    }
    assert_eq!(read.legend_at(*read.discs.last().unwrap()), "mean of a day");
    let diamond = read.polygons.iter().rev().nth(1).unwrap();
    assert_eq!(read.legend_at(diamond[1]), "day outside its limits");
}

#[test]
fn without_check_runs_there_is_no_picture_and_torque_is_in_the_unit_asked_for() {
    let none = Drift::default();
    assert_eq!(
        picture(&none, TorqueUnit::NewtonMetre, &told(), &Size::WHOLE),
        None
    );
    let (read, svg) = read(&drift(), TorqueUnit::PoundForceFoot, &Size::WHOLE);
    read.word("mean torque of the day's check runs, lbf·ft");
    read.word("500");
    assert!(!svg.contains("N·m"));
}

#[test]
fn nothing_is_cut_off_or_overlaps_wide_or_narrow() {
    // Forty days, some outside, some without, calibrations close by each other, and a single day.
    let date = |at: u32| format!("2026-{:02}-{:02}", 1 + at / 28, 1 + at % 28);
    let mut many = drift();
    many.series[0].days = (0..40)
        .map(|at| day(&date(at), 640.0 + f64::from(at % 5), false))
        .collect();
    for at in [0, 12, 13, 39] {
        let low = day(&date(at as u32), 540.0 + f64::from(at), true);
        many.series[0].days[at as usize] = low;
    }
    many.series[0].calibrations = vec![date(3), date(4), date(38)];
    let mut single = drift();
    single.series[0].days.truncate(1);
    let first = &mut single.series[0].days[0];
    (first.low_nm, first.high_nm, first.mean_of_others_nm) = (None, None, None);
    let mut two = drift();
    two.series.extend(many.series.clone());
    for width_px in [320.0, 480.0, 960.0] {
        let size = Size {
            width_px,
            ..Size::WHOLE
        };
        for drift in [&drift(), &many, &single, &two] {
            let (read, svg) = self::read(drift, TorqueUnit::NewtonMetre, &size);
            assert_within_edges(&svg, &size);
            assert_words_apart(&read, size.text_px);
            let lowest = read.words.iter().map(|word| word.y);
            assert!(lowest.fold(0.0, f64::max) < read.height - size.edge_px / 2.0);
        }
    }
}
