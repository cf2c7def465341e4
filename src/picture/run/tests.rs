use super::*;
use crate::picture::read_back::{
    ReadLine, ReadPicture, ReadWord, assert_within_edges, assert_words_apart,
};
use crate::run::reduce::reduce;

const SETTINGS: Settings = Settings {
    smooth_us: 40_000,
    onset_nm: None,
    window_s: 5.0,
    keep_zero: false,
};

const ONSET_DASHES: &[f64] = &[1.5, 3.0];
const END_DASHES: &[f64] = &[10.0, 3.0, 1.5, 3.0];
const ZERO_DASHES: &[f64] = &[3.0, 2.0];
const MEDIAN_DASHES: &[f64] = &[6.0, 3.0];

/// A run at `rate_hz` that begins after 0.4 s at an offset of 12 N·m, rises to about 500 N·m within
/// 3 s, dips at every blow and is let go after 4 s; its clock begins at `start_s`.
fn samples(rate_hz: u32, start_s: f64) -> Samples {
    let torque_at = |i: u32| {
        let time_s = f64::from(i) / f64::from(rate_hz);
        let noise = f64::from(i * 7919 % 13) / 6.0 - 1.0;
        let rise = match time_s {
            before if before < 0.4 => 0.0,
            after if after > 4.0 => 0.0,
            time_s => 500.0 * (1.0 - libm::exp((0.4 - time_s) / 0.8)),
        };
        let dip = if i % (rate_hz / 25) == 3 && rise > 50.0 {
            45.0
        } else {
            0.0
        };
        12.0 + rise - dip + noise
    };
    let count = 5 * rate_hz;
    let start_us = (start_s * 1e6) as i64;
    Samples {
        time_us: (0..count)
            .map(|i| start_us + i64::from(i) * 1_000_000 / i64::from(rate_hz))
            .collect(),
        torque_nm: (0..count).map(torque_at).collect(),
        ..Samples::default()
    }
}

fn told() -> Told {
    Told {
        lang: "en".into(),
        notice: "Draft, not published.".into(),
        headline: "Rook 18 with Thin 3.0".into(),
        subline: "specimen A".into(),
        lines: vec!["The record may be clipped.".into()],
        credit: "Orchard bench. Licence: CC0-1.0.".into(),
    }
}

struct Drawing {
    run: Reduction,
    svg: String,
    read: ReadPicture,
}

fn drawn(samples: &Samples, settings: &Settings, unit: TorqueUnit, size: &Size) -> Drawing {
    let run = reduce(samples, settings).unwrap();
    let drawn = DrawnRun {
        samples,
        run: &run,
        settings,
        unit,
    };
    let svg = picture(&drawn, &told(), size);
    let read = ReadPicture::of(&svg);
    Drawing { run, svg, read }
}

fn plain() -> Drawing {
    let samples = samples(200, 0.0);
    drawn(&samples, &SETTINGS, TorqueUnit::NewtonMetre, &Size::WHOLE)
}

const ACROSS: fn(&ReadWord) -> f64 = |word| word.x;
const DOWN: fn(&ReadWord) -> f64 = |word| word.y;

impl Drawing {
    /// The time at a position across, read off the numbers of the axis.
    fn time_s(&self, x: f64) -> f64 {
        self.read.value(["1.0", "4.0"], ACROSS, x)
    }

    /// The torque at a position down. A number's baseline is below the middle of its line.
    fn torque(&self, y: f64) -> f64 {
        let baseline = 0.35 * Size::WHOLE.text_px;
        self.read.value(["100", "400"], DOWN, y + baseline)
    }

    fn line(&self, dashes_px: &[f64]) -> &ReadLine {
        self.read.dashed(dashes_px)[0]
    }
}

/// What an axis reads is within this of the number: three tenths of a pixel.
const TIME_READ_S: f64 = 0.002;
const TORQUE_READ_NM: f64 = 0.8;

#[test]
fn marks_stand_at_the_figures_of_the_reduction() {
    let drawing = plain();
    let (run, peak_nm) = (&drawing.run, drawing.run.curve().peak_nm());
    let onset_s = drawing.time_s(drawing.line(ONSET_DASHES).points[0].0);
    assert!(
        (onset_s - run.onset_us / 1e6).abs() < TIME_READ_S,
        "{onset_s}"
    );
    let end_s = drawing.time_s(drawing.line(END_DASHES).points[0].0);
    assert!(
        (end_s - run.end_us as f64 / 1e6).abs() < TIME_READ_S,
        "{end_s}"
    );
    assert!((end_s - onset_s).abs() > 1.0);
    // The disc of the onset, and inside of it one of the ground.
    let (x, y) = drawing.read.discs[0];
    assert!((drawing.time_s(x) - onset_s).abs() < TIME_READ_S);
    let start_nm = drawing.torque(y);
    assert!(
        (start_nm - run.start_nm).abs() < TORQUE_READ_NM,
        "{start_nm}"
    );
    // The three-cornered mark of the peak: its tip is 1.3 radii above its centre, its foot 1 below.
    let corners = &drawing.read.polygons[0];
    assert_eq!(corners.len(), 3);
    let (tip, foot) = (corners[0], corners[1]);
    let centre = tip.1 + (foot.1 - tip.1) * 1.3 / 2.3;
    assert!((drawing.time_s(tip.0) - end_s).abs() < TIME_READ_S);
    assert!((drawing.torque(centre) - peak_nm).abs() < TORQUE_READ_NM);
}

#[test]
fn the_words_at_the_marks_say_what_they_are() {
    let drawing = plain();
    let (run, read) = (&drawing.run, &drawing.read);
    let peak_nm = run.curve().peak_nm();
    let gap = Size::WHOLE.text_px / 2.0;
    let onset = read.word(&format!("onset {:.4} s", run.onset_us / 1e6));
    let end = read.word(&format!("end {:.4} s", run.end_us as f64 / 1e6));
    let peak = read.word(&format!("peak {} N·m", figure(peak_nm)));
    for (word, dashes_px) in [(onset, ONSET_DASHES), (end, END_DASHES), (peak, END_DASHES)] {
        let x = drawing.line(dashes_px).points[0].0;
        assert!((word.x - x - gap).abs() < 0.1, "{word:?} {x}");
    }
    read.word("torque, N·m");
    read.word("time on the log's clock, s");
}

#[test]
fn the_legend_names_each_line_by_its_own_look() {
    let drawing = plain();
    let read = &drawing.read;
    for (dashes_px, text) in [
        (ONSET_DASHES, "onset"),
        (END_DASHES, "end"),
        (MEDIAN_DASHES, "running median over 40 ms"),
        (ZERO_DASHES, "zero, 12.00 N·m taken away"),
    ] {
        let sample = *read.dashed(dashes_px).last().unwrap();
        assert_eq!(read.legend_at(*sample.points.last().unwrap()), text);
    }
    for (width_px, text) in [
        (RAW.width_px, "raw samples"),
        (FITTED.width_px, "fitted curve, which cannot fall"),
    ] {
        let lines = read.dashed(&[]).into_iter();
        let mut of_width = lines.filter(|line| (line.width_px - width_px).abs() < 0.01);
        let sample = of_width.next_back().unwrap();
        assert_eq!(read.legend_at(*sample.points.last().unwrap()), text);
    }
    let peak = read.polygons.last().unwrap();
    assert_eq!(read.legend_at(peak[2]), "peak");
}

#[test]
fn lines_are_those_of_the_log_and_of_the_reduction_less_the_zero() {
    let drawing = plain();
    let samples = samples(200, 0.0);
    let zero_nm = drawing.run.zero_nm;
    assert!((zero_nm - 12.0).abs() < 0.5, "{zero_nm}");
    let zero = drawing.line(ZERO_DASHES);
    assert!(drawing.torque(zero.points[0].1).abs() < TORQUE_READ_NM);
    let end_of_zero = drawing.time_s(zero.points[1].0);
    assert!((end_of_zero - drawing.run.onset_us / 1e6).abs() < TIME_READ_S);
    let full = drawing
        .read
        .dashed(&[])
        .into_iter()
        .filter(|line| line.points.len() > 100);
    let [raw, fitted] = full.collect::<Vec<_>>()[..] else {
        panic!("two long full lines");
    };
    let extreme = |line: &ReadLine, largest: bool| {
        let values = line.points.iter().map(|(_, y)| drawing.torque(*y));
        values
            .reduce(|a, b| if largest { a.max(b) } else { a.min(b) })
            .unwrap()
    };
    let of_samples = samples.torque_nm.iter().map(|torque| torque - zero_nm);
    let (least, most) = of_samples.fold((0f64, 0f64), |(least, most), torque| {
        (least.min(torque), most.max(torque))
    });
    assert!((extreme(raw, true) - most).abs() < TORQUE_READ_NM);
    assert!((extreme(raw, false) - least).abs() < TORQUE_READ_NM);
    let peak_nm = drawing.run.curve().peak_nm();
    assert!((extreme(fitted, true) - peak_nm).abs() < TORQUE_READ_NM);
    // It never falls, so y never grows.
    assert!(fitted.points.windows(2).all(|pair| pair[1].1 <= pair[0].1));
    let median = drawing.line(MEDIAN_DASHES);
    assert!((extreme(median, true) - peak_nm).abs() < TORQUE_READ_NM);
}

#[test]
fn a_zero_that_is_kept_is_said_to_be_and_not_drawn() {
    let settings = Settings {
        keep_zero: true,
        ..SETTINGS
    };
    let drawing = drawn(
        &samples(200, 0.0),
        &settings,
        TorqueUnit::NewtonMetre,
        &Size::WHOLE,
    );
    assert!(drawing.read.dashed(ZERO_DASHES).is_empty());
    drawing.read.word("The zero is kept as logged.");
    assert!(!drawing.svg.contains("taken away"));
}

#[test]
fn a_clock_that_counts_from_1970_is_drawn_from_the_first_second_on() {
    let drawing = drawn(
        &samples(200, 1_778_000_123.25),
        &SETTINGS,
        TorqueUnit::NewtonMetre,
        &Size::WHOLE,
    );
    drawing
        .read
        .word("time after 1778000123 s of the log's clock, s");
    let onset_s = drawing.run.onset_us / 1e6 - 1_778_000_123.0;
    drawing.read.word(&format!("onset {onset_s:.4} s"));
    let read_s = drawing.time_s(drawing.line(ONSET_DASHES).points[0].0);
    assert!((read_s - onset_s).abs() < TIME_READ_S, "{read_s} {onset_s}");
}

#[test]
fn torque_is_in_the_unit_that_is_asked_for() {
    let drawing = drawn(
        &samples(200, 0.0),
        &SETTINGS,
        TorqueUnit::PoundForceFoot,
        &Size::WHOLE,
    );
    let peak = Torque::from_newton_metres(drawing.run.curve().peak_nm()).pound_force_feet();
    drawing.read.word("torque, lbf·ft");
    drawing.read.word(&format!("peak {} lbf·ft", figure(peak)));
    let corners = &drawing.read.polygons[0];
    let centre = corners[0].1 + (corners[1].1 - corners[0].1) * 1.3 / 2.3;
    let baseline = 0.35 * Size::WHOLE.text_px;
    let read = drawing.read.value(["100", "300"], DOWN, centre + baseline);
    assert!((read - peak).abs() < TORQUE_READ_NM, "{read} {peak}");
    assert!(!drawing.svg.contains("N·m"));
}

#[test]
fn the_words_around_a_run_come_in_their_order() {
    let drawing = plain();
    let all = drawing.read.all();
    assert_eq!(
        all[..3],
        [
            "Draft, not published.",
            "Rook 18 with Thin 3.0",
            "specimen A"
        ]
    );
    let index = |text| all.iter().position(|word| *word == text).unwrap();
    let (note, credit) = (
        "The record may be clipped.",
        "Orchard bench. Licence: CC0-1.0.",
    );
    assert!(index(note) < index(credit), "{all:?}");
}

#[test]
fn a_log_of_many_samples_stays_a_small_file_with_all_its_extremes() {
    let mut samples = samples(12_200, 0.0);
    assert_eq!(samples.time_us.len(), 61_000);
    // One sample alone, as a spark in the cable makes it.
    samples.torque_nm[40_001] = 560.0;
    let drawing = drawn(&samples, &SETTINGS, TorqueUnit::NewtonMetre, &Size::WHOLE);
    assert!(drawing.svg.len() < 200_000, "{}", drawing.svg.len());
    let raw = drawing.read.dashed(&[]).into_iter();
    let raw = raw.max_by_key(|line| line.points.len()).unwrap();
    let (x, y) = raw
        .points
        .iter()
        .copied()
        .min_by(|a, b| a.1.total_cmp(&b.1))
        .unwrap();
    let spark_nm = 560.0 - drawing.run.zero_nm;
    assert!((drawing.torque(y) - spark_nm).abs() < TORQUE_READ_NM);
    let spark_s = 40_001.0 / 12_200.0;
    assert!((drawing.time_s(x) - spark_s).abs() < TIME_READ_S);
}

#[test]
fn nothing_is_cut_off_or_overlaps_wide_or_narrow() {
    for width_px in [320.0, 480.0, 960.0, 1600.0] {
        let size = Size {
            width_px,
            ..Size::WHOLE
        };
        for unit in [TorqueUnit::NewtonMetre, TorqueUnit::PoundForceFoot] {
            for samples in [samples(200, 0.0), samples(25, 50_702.5)] {
                let drawing = drawn(&samples, &SETTINGS, unit, &size);
                assert_within_edges(&drawing.svg, &size);
                assert_words_apart(&drawing.read, size.text_px);
                let lowest = drawing.read.words.iter().map(|word| word.y);
                assert!(lowest.fold(0.0, f64::max) < drawing.read.height - size.edge_px / 2.0);
            }
        }
    }
}
