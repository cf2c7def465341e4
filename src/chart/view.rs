//! What stands where on the chart, as plain data in CSS pixels.

use super::curves::{Curves, MOST_CURVES};
use super::label::Label;
use crate::IS_WHOLE;
use crate::query::question::PairIds;
use crate::run::curve::Curve;
use crate::text::catalogue::Catalogue;
use band::Band;
use serde::{Deserialize, Serialize};

mod axes;
pub mod band;
mod building;
pub mod cursor;
mod label_positions;
mod thinned;

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
    /// Torque in N·m up to which the axis goes at least, whatever is needed: so that the axis rests while
    /// the needed line is dragged. If absent the axis holds the needed torque with room above.
    pub top_nm: Option<f64>,
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
    /// The title of the time axis with its unit; the unit alone where there is no room for it.
    pub time_unit: Label,
    /// The title of the torque axis with its unit.
    pub torque_unit: Label,
    /// Torque at the top of the torque axis in N·m.
    pub top_nm: f64,
    /// The job torque, which moves with the needed line.
    pub job: ShownJob,
    /// Whether so many curves run so close together that the first has to stand out: some
    /// [`CROWD`] within [`CLOSE`] of each other at the middle of the window and at its end.
    pub crowded: bool,
    /// Whether the needed line is upright: the needed torque lies on the axis across, as in the plot of
    /// places.
    pub upright: bool,
    /// Height of the needed line; where it is upright, how far across it is.
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

/// The torque of the job, for a control that moves it.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub struct ShownJob {
    /// As it is told, with its unit.
    pub text: String,
    /// In that unit.
    pub number: f64,
}

/// How many curves make a crowd.
pub const CROWD: usize = 4;

/// The largest torque of a crowd over its least.
pub const CLOSE: f64 = 1.03;

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

/// Dash and mark of a curve: by its index among the curves.
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

/// Limits of what a frame may ask for, in CSS pixels.
const SMALLEST_PX: f64 = 40.0;
const LARGEST_PX: f64 = 8192.0;
const SMALLEST_TEXT_PX: f64 = 6.0;
const LARGEST_TEXT_PX: f64 = 128.0;

/// The torque at a height of the chart of these curves in a frame, in CSS pixels from its top, in N·m;
/// beyond the axis that at its end.
pub(super) fn torque_at(curves: &Curves, frame: Viewport, catalogue: &Catalogue, y_px: f64) -> f64 {
    axes::Axes::of(curves, frame.drawable(), catalogue).torque_nm(y_px)
}

/// The same frame with sizes that can be drawn.
pub(super) fn frame_of(frame: Viewport) -> Viewport {
    frame.drawable()
}

/// The values of the ticks of an axis from 0 to `end`, at most so many intervals.
pub(super) fn axis_ticks(end: f64, most: f64) -> Vec<f64> {
    axes::ticks(end, most)
}

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
            top_nm: self.top_nm.filter(|nm| *nm > 0.0 && nm.is_finite()),
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
            .filter(|curve| IS_WHOLE && self.runs == Some(true) && !curve.estimate);
        let runs = first.into_iter().flat_map(|curve| curve.combination.runs());
        runs.map(|run| run.curve.as_ref())
    }
}

#[cfg(all(test, not(target_arch = "wasm32")))]
mod tests;
