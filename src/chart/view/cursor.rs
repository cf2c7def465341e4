//! What the curves of a chart read from time to time, for one who points at it or steps through it.

use super::axes::Axes;
use super::{KINDS, Kind, Viewport};
use crate::chart::curves::{Curves, NamedCurve};
use crate::chart::words;
use crate::text::catalogue::Catalogue;
use serde::Serialize;

/// The readings of a chart.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub struct Readings {
    /// From the left end of the time axis to the right, equally far apart.
    pub steps: Vec<Reading>,
    /// The index in `steps` to begin at: where the first curve gets to the needed torque, or the end.
    pub first: usize,
}

/// What the curves read at one time.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub struct Reading {
    /// Where it is on the time axis, in CSS pixels.
    pub x_px: f64,
    /// The time.
    pub time: String,
    /// What each curve reads, in their order.
    pub curves: Vec<CurveReading>,
    /// All of it in sentences, for those who do not see it.
    pub sentence: String,
}

/// What a curve reads at one time.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub struct CurveReading {
    /// How the curve is drawn.
    pub kind: Kind,
    /// Where it is on the torque axis, in CSS pixels.
    pub y_px: f64,
    /// Its torque.
    pub torque: String,
}

/// Times from one reading to the next, in s: such that every time is a short number.
const STEPS_S: [f64; 12] = [
    0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0,
];

/// At most this many steps: none is closer to the next than a blow is long, or than a finger shows.
const MOST_STEPS: f64 = 100.0;

impl Readings {
    /// The readings of the chart of these curves in this frame.
    pub fn new(curves: &Curves, frame: Viewport, catalogue: &Catalogue) -> Self {
        let axes = Axes::of(curves, frame.drawable(), catalogue);
        let window_s = curves.window_s;
        let step_s = STEPS_S
            .into_iter()
            .find(|step_s| window_s / step_s <= MOST_STEPS)
            .unwrap_or(window_s / MOST_STEPS);
        let count = ((window_s / step_s) * (1.0 + 1e-9)).floor() as u32;
        let reading = |step: u32| {
            let time_s = f64::from(step) * step_s;
            let time = words::read_time(catalogue, time_s);
            let mut sentence = words::reading(catalogue, &time);
            let read = |(curve, kind): (&NamedCurve, Kind)| {
                let torque_nm = curve.combination.torque_at(time_s);
                let torque = words::read_torque(catalogue, &curves.needed, torque_nm);
                sentence.push(' ');
                sentence.push_str(&words::curve_reading(catalogue, &curve.label, &torque));
                CurveReading {
                    kind,
                    y_px: axes.y(torque_nm),
                    torque,
                }
            };
            let read = curves.curves.iter().zip(KINDS).map(read).collect();
            Reading {
                x_px: axes.x(time_s),
                time,
                curves: read,
                sentence,
            }
        };
        let reached_s = curves.curves.first().and_then(|curve| curve.time_to_job_s);
        let first = reached_s.map_or(count, |time_s| ((time_s / step_s).ceil() as u32).min(count));
        Self {
            steps: (0..=count).map(reading).collect(),
            first: first as usize,
        }
    }
}

#[cfg(all(test, not(target_arch = "wasm32")))]
mod tests {
    use super::super::super::tests::{demo, question, view};
    use super::*;
    use crate::query::question::PairIds;

    const PAIR: (&str, &str) = ("sorrel-18-medium", "two-row-5-0");

    fn readings(job: &str, width_px: f64) -> (Readings, super::super::View, Vec<Vec<f64>>) {
        let results = demo();
        let mut question = question(job, Some(PAIR));
        question.beside = vec![PairIds {
            tool: "burdock-18-medium".into(),
            pack: "two-row-8-0".into(),
        }];
        let curves = results.curves(&question).unwrap();
        let view = view(&results, &question, width_px);
        let readings = Readings::new(&curves, view.frame, results.catalogue());
        let torques = (0..=100).map(|step| f64::from(step) / 20.0).map(|time_s| {
            let torque = |curve: &NamedCurve| curve.combination.torque_at(time_s);
            curves.curves.iter().map(torque).collect()
        });
        let torques = torques.collect();
        (readings, view, torques)
    }

    #[test]
    fn every_reading_lies_on_its_curve_and_tells_its_torque() {
        for width_px in [300.0, 640.0] {
            let (readings, view, torques) = readings("650 N·m", width_px);
            assert_eq!(readings.steps.len(), 101);
            assert_eq!(readings.steps[0].x_px, view.left_px);
            assert!((readings.steps[100].x_px - view.right_px).abs() < 1e-9);
            for (reading, torques_nm) in readings.steps.iter().zip(torques) {
                assert_eq!(reading.curves.len(), 2);
                for (index, read) in reading.curves.iter().enumerate() {
                    assert_eq!(read.kind, view.curves[index].kind);
                    // The curve drawn, at the point before and the one after.
                    let points = &view.curves[index].points;
                    let after = points
                        .iter()
                        .position(|point| point.0 >= reading.x_px - 1e-9);
                    let after = after.unwrap_or(points.len() - 1);
                    let (high, low) = (points[after].1, points[after.saturating_sub(1)].1);
                    assert!(high - 1e-6 <= read.y_px && read.y_px <= low + 1e-6);
                    // By the house rules: 1 below 100, 5 below 500, else 10, unless the needed
                    // torque is so near that a further digit tells them apart.
                    let told: f64 = read
                        .torque
                        .replace(" N·m", "")
                        .replace(',', "")
                        .parse()
                        .unwrap();
                    let torque_nm = torques_nm[index];
                    assert!((told - torque_nm).abs() <= 5.0 + 1e-9, "{told} {torque_nm}");
                    assert_eq!(told < 650.0, torque_nm < 650.0, "{told} {torque_nm}");
                    assert!(reading.sentence.contains(&read.torque));
                    assert!(reading.sentence.contains(&view.curves[index].pair.name));
                }
            }
            let text = |step: usize| readings.steps[step].time.as_str();
            assert_eq!(
                (text(0), text(20), text(27), text(100)),
                ("0 s", "1 s", "1.35 s", "5 s")
            );
        }
    }

    #[test]
    fn reading_begins_where_the_job_is_reached() {
        let results = demo();
        let time_s = results
            .ask(&question("650 N·m", Some(PAIR)))
            .unwrap()
            .time_to_job_s
            .unwrap();
        let (readings, view, _) = readings("650 N·m", 640.0);
        let crossing = view.curves[0].crossing.clone().unwrap();
        let first = &readings.steps[readings.first];
        assert!(crossing.x_px <= first.x_px && time_s <= readings.first as f64 / 20.0);
        assert!(readings.steps[readings.first - 1].x_px < crossing.x_px);
        assert_eq!(self::readings("9000 N·m", 640.0).0.first, 100);
    }
}
