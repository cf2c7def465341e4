//! The axes of a chart: seconds and newton metres to pixels, and where their ticks are.

use super::super::label_placement::Area;
use super::thinned::thinned;
use super::{DIGIT, LINE, Viewport};
use crate::chart::curves::{Curves, NamedCurve};
use crate::chart::words;
use crate::run::curve::Curve;
use crate::text::catalogue::Catalogue;
use crate::units::{EntryUnit, Torque};

/// Steps of an axis, in its unit.
const STEPS: [f64; 23] = [
    0.05, 0.1, 0.2, 0.25, 0.5, 1.0, 2.0, 2.5, 5.0, 10.0, 20.0, 25.0, 50.0, 100.0, 200.0, 250.0,
    500.0, 1000.0, 2000.0, 2500.0, 5000.0, 10_000.0, 20_000.0,
];

/// More intervals than this are clutter, however much room there is.
const MOST_INTERVALS: f64 = 6.0;

/// Least distance of ticks over the size of the text, across and down.
const TICKS_ACROSS: f64 = 3.6;
const TICKS_DOWN: f64 = 2.0;

/// Empty part above the highest curve, as a share of its torque.
const HEADROOM: f64 = 0.1;

/// Distance of the points of a curve in CSS pixels: below what an eye tells apart in a slope.
const POINTS_APART_PX: f64 = 2.0;

/// The axes: seconds and newton metres to pixels.
pub(super) struct Axes {
    pub plot: Area,
    pub window_s: f64,
    pub top_nm: f64,
    /// Torques of the ticks in N·m, and their numbers in the unit shown.
    pub torques: Vec<(f64, String)>,
}

impl Axes {
    /// The axes that hold these curves, the needed torque, the band and the runs that are drawn, in
    /// a frame that can be drawn.
    pub fn of(curves: &Curves, frame: Viewport, catalogue: &Catalogue) -> Self {
        let unit = EntryUnit::from(curves.needed.unit);
        let ends = curves.curves.iter().map(|curve| curve.end_nm(curves));
        let needed_nm = match frame.top_nm {
            Some(_) => 0.0,
            None => curves.required_torque_nm,
        };
        let highest_nm = ends.fold(needed_nm, f64::max);
        let band_nm = curves.curves.iter().map(band_top_nm);
        let runs_nm = frame
            .behind(curves)
            .map(|run| run.torque_at(curves.window_s));
        let top_nm = band_nm
            .chain(runs_nm)
            .chain(frame.top_nm)
            .fold(highest_nm * (1.0 + HEADROOM), f64::max);

        let line_px = frame.text_px * LINE;
        let (top, bottom) = (1.55 * line_px, frame.height_px - 1.3 * line_px);
        let most = (bottom - top) / (TICKS_DOWN * frame.text_px);
        let torques = ticks(Torque::from_newton_metres(top_nm).in_unit(unit), most);
        let torques: Vec<(f64, String)> = torques
            .into_iter()
            .map(|value| {
                (
                    unit.torque(value).newton_metres(),
                    words::tick(catalogue, value),
                )
            })
            .collect();
        let letters = torques.iter().map(|(_, text)| text.chars().count());
        let widest = letters.max().unwrap_or(0) as f64;
        Self {
            plot: Area {
                left: ((widest * DIGIT + 0.5) * frame.text_px).min(frame.width_px / 3.0),
                top,
                right: frame.width_px - 2.0 * frame.text_px,
                bottom: bottom.max(top + 1.0),
            },
            window_s: curves.window_s,
            top_nm,
            torques,
        }
    }

    /// The times of the ticks.
    pub fn tick_times(&self, text_px: f64) -> Vec<f64> {
        let most = (self.plot.right - self.plot.left) / (TICKS_ACROSS * text_px);
        ticks(self.window_s, most)
    }

    pub fn x(&self, time_s: f64) -> f64 {
        let share = (time_s / self.window_s).clamp(0.0, 1.0);
        self.plot.left + share * (self.plot.right - self.plot.left)
    }

    pub fn y(&self, torque_nm: f64) -> f64 {
        let share = (torque_nm / self.top_nm).clamp(0.0, 1.0);
        self.plot.bottom - share * (self.plot.bottom - self.plot.top)
    }

    /// The torque at a height, within the axis, in N·m.
    pub fn torque_nm(&self, y_px: f64) -> f64 {
        let share = (self.plot.bottom - y_px) / (self.plot.bottom - self.plot.top);
        share.clamp(0.0, 1.0) * self.top_nm
    }

    /// The times at every few pixels.
    pub fn times(&self) -> impl Iterator<Item = f64> + use<> {
        let width = self.plot.right - self.plot.left;
        let steps = (width / POINTS_APART_PX).ceil().max(1.0) as u32;
        let window_s = self.window_s;
        (0..=steps).map(move |step| window_s * f64::from(step) / f64::from(steps))
    }

    /// A run's curve at every few pixels, as far as it is not straight.
    pub fn run(&self, curve: &Curve) -> Vec<(f64, f64)> {
        let point = |time_s| (self.x(time_s), self.y(curve.torque_at(time_s)));
        let points: Vec<_> = self.times().map(point).collect();
        thinned(&points, |_| false)
    }

    /// The curve at every few pixels, as far as it is not straight, and where it crosses the needed line.
    pub fn points(&self, curve: &NamedCurve, required_nm: f64) -> Vec<(f64, f64)> {
        let crossing = curve.time_to_job_s;
        let mut points = Vec::new();
        let mut crossed = crossing.is_none();
        for time_s in self.times() {
            if !crossed && crossing.is_some_and(|crossing_s| crossing_s <= time_s) {
                points.extend(crossing.map(|crossing_s| (self.x(crossing_s), self.y(required_nm))));
                crossed = true;
            }
            points.push((self.x(time_s), self.y(curve.combination.torque_at(time_s))));
        }
        let crossing = crossing.map(|crossing_s| self.x(crossing_s));
        thinned(&points, |(x, _)| Some(x) == crossing)
    }
}

/// The values of the ticks from 0 to `end` in the finest step that keeps to `most` intervals.
pub(super) fn ticks(end: f64, most: f64) -> Vec<f64> {
    let step = STEPS
        .into_iter()
        .find(|step| end / step <= most.clamp(1.0, MOST_INTERVALS));
    let step = step.unwrap_or(end);
    let count = ((end / step) * (1.0 + 1e-9)).floor().clamp(0.0, 64.0) as u32;
    (0..=count).map(|i| f64::from(i) * step).collect()
}

/// The highest torque of a curve's band in N·m; 0 without one.
fn band_top_nm(curve: &NamedCurve) -> f64 {
    let upper = curve.band.iter().map(|&(_, _, upper_nm)| upper_nm);
    upper.fold(0.0, f64::max)
}
