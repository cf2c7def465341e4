//! The plot of places: the place of each curve's pair for a job of every torque. Its lines run straight
//! between the torques at which places are worked out.

use super::curves::{Curves, NamedCurve};
use super::label::{Anchor, Label};
use super::view::band::Band;
use super::view::{
    Crossing, DrawnCurve, KINDS, NamedPair, ShownJob, Tick, View, Viewport, axis_ticks, frame_of,
};
use super::words;
use crate::problem::Problem;
use crate::study::Study;
use crate::study::by_torque::PlaceAt;
use crate::text::catalogue::Catalogue;
use crate::units::{EntryUnit, Torque};

/// Steps of the axis of places.
const STEPS: [u32; 12] = [1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000];

/// The axis of places goes down to this one at least.
const LEAST_LOWEST: u32 = 3;

/// Distance of ticks of places over the size of the text, and of those of torques.
const PLACES_APART: f64 = 1.25;
const TORQUES_APART: f64 = 3.6;

/// The plot of places with what it is, in words.
#[derive(Clone, Debug, PartialEq)]
pub struct PlacePlot {
    /// What stands where: the needed line is upright, the place axis goes down.
    pub view: View,
    /// What it shows, in a sentence or two.
    pub text: String,
}

/// A pair's places, and how its curve is drawn.
struct Line<'s> {
    curve: &'s NamedCurve,
    at: usize,
    places: &'s [PlaceAt],
    /// The place for the job itself, if its typical curve gets there.
    here: Option<u32>,
}

/// From torques and places to CSS pixels.
struct Scale {
    left: f64,
    right: f64,
    top: f64,
    bottom: f64,
    top_nm: f64,
    lowest: u32,
}

impl Scale {
    fn x(&self, torque_nm: f64) -> f64 {
        let share = (torque_nm / self.top_nm).clamp(0.0, 1.0);
        self.left + share * (self.right - self.left)
    }

    fn y(&self, place: u32) -> f64 {
        let share = f64::from(place - 1) / f64::from(self.lowest - 1);
        self.top + share * (self.bottom - self.top)
    }
}

/// The places by torque of the pairs of a chart; `None` where none of them has places by torque.
///
/// # Errors
///
/// As [`Study::chart`].
pub fn place_plot(
    study: &Study,
    curves: &Curves,
    frame: Viewport,
) -> Result<Option<PlacePlot>, Problem> {
    let (answering, frame) = (study.answering()?, frame_of(frame));
    let Some(top_nm) = study.top_of_places_nm() else {
        return Ok(None);
    };
    let lines: Vec<Line> = lines(study, curves)
        .map(|(at, curve, index)| Line {
            curve,
            at,
            places: study.places_by_torque(index, !curve.band.is_empty()),
            here: answering.places().ranks.get(index).copied().flatten(),
        })
        .collect();
    if lines.is_empty() {
        return Ok(None);
    }
    let needed_nm = frame.top_nm.unwrap_or(curves.required_torque_nm);
    let scale = scale(frame, &lines, top_nm.max(needed_nm));
    let catalogue = study.results().catalogue();
    let band = band(&lines, &scale);
    let text = words::places(catalogue, curves.needed.unit, band.is_some());
    let view = view(curves, &lines, &scale, frame, catalogue);
    Ok(Some(PlacePlot {
        view: View { band, ..view },
        text,
    }))
}

/// The job, as people write it, for which the upright line lies at this position of the plot in `frame`,
/// in CSS pixels from its left end; `None` where there is no plot.
pub fn job_across(study: &Study, curves: &Curves, frame: Viewport, x_px: f64) -> Option<String> {
    let frame = frame_of(frame);
    let needed_nm = frame.top_nm.unwrap_or(curves.required_torque_nm);
    let top_nm = study.top_of_places_nm()?.max(needed_nm);
    let scale = scale(frame, &[], top_nm);
    let share = (x_px - scale.left) / (scale.right - scale.left);
    Some(curves.job_of(share.clamp(0.0, 1.0) * top_nm))
}

/// The curves of measured pairs, each with its index among the curves and in the field.
fn lines<'s>(
    study: &'s Study,
    curves: &'s Curves,
) -> impl Iterator<Item = (usize, &'s NamedCurve, usize)> {
    let all = curves.curves.iter().enumerate();
    all.filter(|(_, curve)| !curve.estimate)
        .filter_map(|(at, curve)| {
            let dataset = &study.results().dataset;
            let tool = (dataset.tools.iter()).position(|tool| tool.id == curve.pair.tool)?;
            let pack = (dataset.packs.iter()).position(|pack| pack.id == curve.pair.pack)?;
            Some((at, curve, study.member((tool, pack))?.0))
        })
}

fn scale(frame: Viewport, lines: &[Line], top_nm: f64) -> Scale {
    let text_px = frame.text_px;
    let places = lines.iter().flat_map(|line| line.places);
    let lowest = places.map(|place| place.interval.map_or(place.rank, |(_, high)| high));
    let heres = lines.iter().filter_map(|line| line.here);
    Scale {
        // As far in as three digits and a gap are wide.
        left: (2.5 * text_px).min(frame.width_px / 3.0),
        right: frame.width_px - 2.0 * text_px,
        top: 0.625 * text_px,
        bottom: (frame.height_px - 1.625 * text_px).max(0.625 * text_px + 1.0),
        top_nm,
        lowest: lowest.chain(heres).fold(LEAST_LOWEST, u32::max),
    }
}

/// The band about the first curve's places; `None` without intervals.
fn band(lines: &[Line], scale: &Scale) -> Option<Band> {
    let first = lines.first().filter(|line| line.at == 0)?;
    let told = first.places.iter();
    let told = told.filter_map(|place| Some((scale.x(place.required_nm), place.interval?)));
    let told: Vec<(f64, (u32, u32))> = told.collect();
    let upper = told.iter().map(|&(x, (low, _))| (x, scale.y(low)));
    let lower = told.iter().rev().map(|&(x, (_, high))| (x, scale.y(high)));
    let outline: Vec<(f64, f64)> = upper.chain(lower).collect();
    (!outline.is_empty()).then_some(Band {
        text: String::new(),
        label: None,
        outline,
    })
}

fn view(
    curves: &Curves,
    lines: &[Line],
    scale: &Scale,
    frame: Viewport,
    catalogue: &Catalogue,
) -> View {
    let nothing = || label((0.0, 0.0), Anchor::Start, String::new());
    let needed_px = scale.x(curves.required_torque_nm);
    View {
        frame,
        left_px: scale.left,
        right_px: scale.right,
        top_px: scale.top,
        bottom_px: scale.bottom,
        time_ticks: torque_ticks(curves, scale, frame, catalogue),
        torque_ticks: place_ticks(scale, frame, catalogue),
        time_unit: nothing(),
        torque_unit: nothing(),
        top_nm: scale.top_nm,
        job: ShownJob {
            text: curves.job.shown.words(catalogue),
            number: 0.0,
        },
        crowded: false,
        upright: true,
        needed_px,
        needed: nothing(),
        curves: drawn(curves, lines, scale, catalogue),
        without_runs: Vec::new(),
        runs: Vec::new(),
        band: None,
    }
}

fn drawn(curves: &Curves, lines: &[Line], scale: &Scale, catalogue: &Catalogue) -> Vec<DrawnCurve> {
    let needed_px = scale.x(curves.required_torque_nm);
    let drawn = lines.iter().filter_map(|line| {
        let curve = line.curve;
        let here = line.here.filter(|_| curve.time_to_job_s.is_some());
        let point = |place: &PlaceAt| (scale.x(place.required_nm), scale.y(place.rank));
        let name = match here {
            Some(place) => words::place(catalogue, &curve.label, place, &curves.needed),
            None => {
                let end_nm = curve.end_nm(curves);
                words::curve(catalogue, &curves.needed, &curve.label, None, end_nm)
            }
        };
        Some(DrawnCurve {
            kind: *KINDS.get(line.at)?,
            estimate: false,
            pair: NamedPair {
                ids: curve.pair.clone(),
                name: curve.label.clone(),
            },
            take_off: None,
            name,
            label: None,
            crossing: here.map(|place| Crossing {
                x_px: needed_px,
                y_px: scale.y(place),
                label: None,
            }),
            points: line.places.iter().map(point).collect(),
        })
    });
    drawn.collect()
}

/// The first place and those at every whole step that have room below it.
fn place_ticks(scale: &Scale, frame: Viewport, catalogue: &Catalogue) -> Vec<Tick> {
    let apart = PLACES_APART * frame.text_px;
    let step = STEPS
        .into_iter()
        .find(|step| scale.lowest < *step || scale.y(1 + step) - scale.y(1) >= apart);
    let step = step.unwrap_or(scale.lowest).max(1);
    let steps = (1..=scale.lowest / step).map(|count| count * step);
    let far = |place: &u32| *place > 1 && scale.y(*place) - scale.y(1) >= apart;
    let tick = |place: u32| Tick {
        at_px: scale.y(place),
        label: label(
            (
                scale.left - frame.text_px / 2.0,
                scale.y(place) - frame.text_px * 0.625,
            ),
            Anchor::End,
            words::tick(catalogue, f64::from(place)),
        ),
    };
    [1].into_iter().chain(steps.filter(far)).map(tick).collect()
}

fn torque_ticks(
    curves: &Curves,
    scale: &Scale,
    frame: Viewport,
    catalogue: &Catalogue,
) -> Vec<Tick> {
    let unit = EntryUnit::from(curves.needed.unit);
    let most = (scale.right - scale.left) / (TORQUES_APART * frame.text_px);
    let top = Torque::from_newton_metres(scale.top_nm).in_unit(unit);
    let tick = |value: f64| {
        let at_px = scale.x(unit.torque(value).newton_metres());
        Tick {
            at_px,
            label: label(
                (at_px, scale.bottom + 0.25 * frame.text_px),
                Anchor::Middle,
                words::tick(catalogue, value),
            ),
        }
    };
    axis_ticks(top, most).into_iter().map(tick).collect()
}

fn label((x_px, y_px): (f64, f64), anchor: Anchor, text: String) -> Label {
    Label {
        x_px,
        y_px,
        anchor,
        text,
    }
}

#[cfg(all(test, not(target_arch = "wasm32")))]
mod tests;
