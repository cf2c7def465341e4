//! What stands where on the chart, as plain data in CSS pixels.

use super::curves::{Curves, MOST_CURVES};
use super::label::{Anchor, Label};
use super::label_placement::{Area, LabelPlacement};
use super::words;
use crate::query::question::PairIds;
use crate::run::curve::Curve;
use crate::text::catalogue::Catalogue;
use crate::units::EntryUnit;
use axes::Axes;
use band::{Band, Edges};
use serde::{Deserialize, Serialize};

mod axes;
pub mod band;
pub mod cursor;

/// The room a chart has.
#[derive(Clone, Copy, Debug, Default, PartialEq, Deserialize, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub struct Viewport {
    /// Width in CSS pixels.
    pub width_px: f64,
    /// Height in CSS pixels.
    pub height_px: f64,
    /// Size of its text in CSS pixels. Lines of text are taken as [`LINE`] times as high.
    pub text_px: f64,
    /// Whether the runs behind the first curve are drawn too; not if absent.
    pub runs: Option<bool>,
}

/// Height of a line of text over the size of the text.
pub const LINE: f64 = 1.25;

/// A chart ready to be drawn and lettered.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct View {
    /// The room it was made for.
    pub frame: Viewport,
    /// Left end of the time axis.
    pub left_px: f64,
    /// Right end of the time axis, the end of the window.
    pub right_px: f64,
    /// Top of the torque axis.
    pub top_px: f64,
    /// Bottom of the torque axis, 0.
    pub bottom_px: f64,
    /// Ticks of the time axis.
    pub time_ticks: Vec<Tick>,
    /// Ticks of the torque axis.
    pub torque_ticks: Vec<Tick>,
    /// The unit of time, at its axis.
    pub time_unit: Label,
    /// The unit of torque, at its axis.
    pub torque_unit: Label,
    /// Height of the needed line.
    pub needed_px: f64,
    /// Its words.
    pub needed: Label,
    /// The curves, in the order of the answer.
    pub curves: Vec<DrawnCurve>,
    /// Pairs laid over the chart that have no runs here.
    pub without_runs: Vec<WithoutRuns>,
    /// The build-up curves of the runs behind the first curve, if the frame asks for them.
    #[serde(skip_serializing)]
    pub runs: Vec<Vec<(f64, f64)>>,
    /// The band about the first curve, where a single pair is asked for and enough is known.
    pub band: Option<Band>,
}

/// A tick of an axis.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub struct Tick {
    /// Where it is on its axis.
    pub at_px: f64,
    /// Its number.
    pub label: Label,
}

/// A pair with its name.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub struct NamedPair {
    /// Identifiers of tool and pack.
    pub ids: PairIds,
    /// Name of tool and pack.
    pub name: String,
}

/// A pair laid over the chart that has no runs here.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub struct WithoutRuns {
    /// Tool and pack.
    pub pair: NamedPair,
    /// That there is no curve.
    pub text: String,
    /// The words of the control that takes it away.
    pub take_off: String,
}

/// A typical curve.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct DrawnCurve {
    /// How it is drawn, so that colour is not the only difference.
    pub kind: Kind,
    /// Whether nobody ran the pair: then it is dashed in a way of its own and its marks are hollow.
    pub estimate: bool,
    /// Tool and pack.
    pub pair: NamedPair,
    /// The words of the control that takes it away, if it is laid over the answer's own.
    pub take_off: Option<String>,
    /// What it does, in a sentence for those who do not see it.
    pub name: String,
    /// Its name near its end. All curves have one, or none: for want of room, or because some are
    /// laid over and can be taken away, beside their names below the drawing.
    pub label: Option<Label>,
    /// Where it crosses the needed line.
    pub crossing: Option<Crossing>,
    /// Its points from left to right. Script does not need them, and they would cost time to hand over.
    #[serde(skip_serializing)]
    pub points: Vec<(f64, f64)>,
}

/// Where a curve crosses the needed line.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct Crossing {
    /// Across.
    pub x_px: f64,
    /// Down.
    pub y_px: f64,
    /// The time to the job, where there is room for it.
    pub label: Option<Label>,
}

/// Dash and mark of a curve: by its place among the curves.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "lowercase")]
pub enum Kind {
    /// A full line with round marks.
    Full,
    /// Long dashes with square marks.
    Dashed,
    /// Short dashes with three-cornered marks.
    Dotted,
    /// Long dashes and dots in turn, with marks that stand on a corner.
    Dashdot,
    /// A long dash and two dots in turn, with three-cornered marks that stand on a corner.
    Dashdots,
}

/// The kinds in the order of the curves.
pub const KINDS: [Kind; MOST_CURVES] = [
    Kind::Full,
    Kind::Dashed,
    Kind::Dotted,
    Kind::Dashdot,
    Kind::Dashdots,
];

/// Width of a letter, on average, and of a digit over the size of the text, on the generous side:
/// what fits here fits in the usual fonts.
const LETTER: f64 = 0.59;
const DIGIT: f64 = 0.66;

/// Letters that a mark before a name takes.
const MARK_LETTERS: usize = 2;

/// Limits of what a frame may ask for, in CSS pixels.
const SMALLEST_PX: f64 = 40.0;
const LARGEST_PX: f64 = 8192.0;
const SMALLEST_TEXT_PX: f64 = 6.0;
const LARGEST_TEXT_PX: f64 = 128.0;

impl Viewport {
    /// The same frame with sizes that can be drawn: a number that is none, or out of bounds,
    /// becomes the nearest that is.
    fn drawable(self) -> Self {
        let within = |px: f64, low: f64, high: f64| if px > low { px.min(high) } else { low };
        Self {
            width_px: within(self.width_px, SMALLEST_PX, LARGEST_PX),
            height_px: within(self.height_px, SMALLEST_PX, LARGEST_PX),
            text_px: within(self.text_px, SMALLEST_TEXT_PX, LARGEST_TEXT_PX),
            runs: self.runs,
        }
    }

    /// The curves that are drawn in this frame: with the runs behind a pair, that of the pair alone.
    pub fn shown(&self, mut curves: Curves) -> Curves {
        if self.runs == Some(true) {
            curves.curves.truncate(1);
            curves.without_runs.clear();
        }
        curves
    }

    /// The runs behind the first curve, if they are to be drawn.
    fn behind<'a>(&self, curves: &'a Curves) -> impl Iterator<Item = &'a Curve> {
        let first = curves
            .curves
            .first()
            .filter(|curve| self.runs == Some(true) && !curve.estimate);
        let runs = first.into_iter().flat_map(|curve| curve.combination.runs());
        runs.map(|run| run.curve.as_ref())
    }
}

impl View {
    /// The chart of these curves in this frame.
    pub fn new(curves: &Curves, frame: Viewport, catalogue: &Catalogue) -> Self {
        let frame = frame.drawable();
        let unit = EntryUnit::from(curves.needed.unit);
        let (line_px, letter_px) = (frame.text_px * LINE, frame.text_px * LETTER);
        let gap = frame.text_px / 2.0;
        let axes = Axes::of(curves, frame, catalogue);
        let plot = axes.plot;

        let torque_ticks = axes.torques.iter().map(|(torque_nm, text)| {
            let (x_px, at_px) = (plot.left - gap, axes.y(*torque_nm));
            Tick {
                at_px,
                label: label(x_px, at_px - line_px / 2.0, Anchor::End, text.clone()),
            }
        });
        let below = plot.bottom + 0.2 * line_px;
        let times = axes.tick_times(frame.text_px);
        let time_ticks = times.iter().map(|&time_s| {
            let at_px = axes.x(time_s);
            let text = words::tick(catalogue, time_s);
            Tick {
                at_px,
                label: label(at_px, below, Anchor::Middle, text),
            }
        });

        let needed_px = axes.y(curves.required_torque_nm);
        let needed_line = [(plot.left, needed_px), (plot.right, needed_px)];
        let points: Vec<Vec<(f64, f64)>> = curves
            .curves
            .iter()
            .map(|curve| axes.points(curve, curves.required_torque_nm))
            .collect();
        let lines = points
            .iter()
            .map(Vec::as_slice)
            .chain([needed_line.as_slice()])
            .collect();
        let within = Area {
            top: 0.0,
            left: plot.left + 2.0,
            ..plot
        };
        let runs = frame.behind(curves).map(|run| axes.run(run)).collect();
        let edges = curves.curves.first().and_then(|one| Edges::of(one, &axes));
        let mut room = LabelPlacement::new(within, lines, line_px, letter_px);
        // What stands at a crossing belongs to it: no other words come over or under it.
        for time_s in curves.curves.iter().filter_map(|curve| curve.time_to_job_s) {
            let x_px = axes.x(time_s);
            room.block(Area {
                left: x_px - gap,
                top: needed_px - gap - line_px,
                right: x_px + gap,
                bottom: needed_px + gap + line_px,
            });
        }
        let needed = needed_label(
            &mut room,
            words::needed(catalogue, &curves.needed),
            needed_px,
        );
        let laid_over = curves.curves.iter().any(|curve| curve.beside);
        let named = curves.curves.iter().filter(|_| !laid_over);
        let named = named.map(|curve| (curve.label.as_str(), axes.y(curve.end_nm(curves))));
        let mut labels = end_labels(&mut room, named).into_iter();
        let mut drawn: Vec<DrawnCurve> = curves
            .curves
            .iter()
            .zip(&points)
            .zip(KINDS)
            .map(|((curve, points), kind)| DrawnCurve {
                kind,
                estimate: curve.estimate,
                pair: NamedPair {
                    ids: curve.pair.clone(),
                    name: curve.label.clone(),
                },
                take_off: curve
                    .beside
                    .then(|| words::take_off(catalogue, &curve.label)),
                name: words::curve(
                    catalogue,
                    &curves.needed,
                    &curve.label,
                    curve.time_to_job_s,
                    curve.end_nm(curves),
                ),
                label: labels.next(),
                crossing: None,
                points: points.clone(),
            })
            .collect();
        for (drawn, curve) in drawn.iter_mut().zip(&curves.curves) {
            drawn.crossing = curve.time_to_job_s.map(|time_s| {
                let (x_px, y_px) = (axes.x(time_s), needed_px);
                let text = words::crossing(catalogue, time_s);
                Crossing {
                    x_px,
                    y_px,
                    label: crossing_label(&mut room, &text, (x_px, y_px), gap),
                }
            });
        }
        room.lines.extend(edges.iter().flat_map(Edges::both));
        let band = edges
            .as_ref()
            .map(|edges| edges.band(&mut room, words::band(catalogue)));
        Self {
            frame,
            left_px: plot.left,
            right_px: plot.right,
            top_px: plot.top,
            bottom_px: plot.bottom,
            time_ticks: time_ticks.collect(),
            torque_ticks: torque_ticks.collect(),
            time_unit: label(
                frame.width_px,
                below,
                Anchor::End,
                catalogue.units.second.clone(),
            ),
            torque_unit: label(0.0, 0.0, Anchor::Start, catalogue.units.torque(unit).into()),
            needed_px,
            needed,
            curves: drawn,
            without_runs: curves
                .without_runs
                .iter()
                .map(|(ids, name)| WithoutRuns {
                    pair: NamedPair {
                        ids: ids.clone(),
                        name: name.clone(),
                    },
                    text: words::without_runs(catalogue, name),
                    take_off: words::take_off(catalogue, name),
                })
                .collect(),
            runs,
            band,
        }
    }
}

fn label(x_px: f64, y_px: f64, anchor: Anchor, text: String) -> Label {
    Label {
        x_px,
        y_px,
        anchor,
        text,
    }
}

/// The words of the needed line: above or below it, at its right end, its left end or its middle;
/// if no such place is free, the nearest that is; above its right end if none is.
fn needed_label(room: &mut LabelPlacement, text: String, y: f64) -> Label {
    let Area { left, right, .. } = room.within;
    let (above, below) = (y - room.line_px - 1.0, y + 2.0);
    let across = [
        (right - 2.0, Anchor::End),
        ((left + right) / 2.0, Anchor::Middle),
        (left + 2.0, Anchor::Start),
    ];
    let mut spots = Vec::new();
    for (x, anchor) in across {
        spots.extend([(x, above, anchor), (x, below, anchor)]);
    }
    for top in room.outwards(y) {
        spots.extend(across.map(|(x, anchor)| (x, top, anchor)));
    }
    room.take(&text, 0, &spots)
        .unwrap_or_else(|| label(right - 2.0, above.max(0.0), Anchor::End, text))
}

/// The names of the curves, right-aligned, each as near to the end of its curve as there is room;
/// none if there is not room for all.
fn end_labels<'a>(
    room: &mut LabelPlacement,
    ends: impl Iterator<Item = (&'a str, f64)>,
) -> Vec<Label> {
    let right = room.within.right - 2.0;
    let before = room.clone();
    let labels: Option<Vec<Label>> = ends
        .map(|(text, end_y)| {
            let tops = room.outwards(end_y);
            let spots: Vec<_> = tops.map(|top| (right, top, Anchor::End)).collect();
            room.take(text, MARK_LETTERS, &spots)
        })
        .collect();
    labels.unwrap_or_else(|| {
        *room = before;
        Vec::new()
    })
}

/// The time at a crossing: below it to the right, where a rising curve leaves room, or above it.
fn crossing_label(
    room: &mut LabelPlacement,
    text: &str,
    (x, y): (f64, f64),
    gap: f64,
) -> Option<Label> {
    let (above, below) = (y - room.line_px - gap, y + gap);
    let spots = [
        (x + 1.5 * gap, below, Anchor::Start),
        (x - 1.5 * gap, above, Anchor::End),
        (x + 1.5 * gap, above, Anchor::Start),
    ];
    room.take(text, 0, &spots)
}

#[cfg(all(test, not(target_arch = "wasm32")))]
mod tests;
