//! A chart put together: its axes and lines, then its words in the order in which they take room.

use super::super::label::{Anchor, Label};
use super::super::label_placement::{Area, LabelPlacement};
use super::axes::Axes;
use super::band::Edges;
use super::label_positions::{crossing_label, end_labels, label, needed_label};
use super::{
    CLOSE, CROWD, Crossing, DrawnCurve, KINDS, LETTER, LINE, NamedPair, ShownJob, Tick, View,
    Viewport, WithoutRuns,
};
use crate::chart::curves::{Curves, JobTorque};
use crate::chart::words;
use crate::sort;
use crate::text::catalogue::Catalogue;
use crate::units::Torque;

/// How many spots above the time axis its title may stand in, above and below it in turn.
const TITLE_TRIES: usize = 4;

impl View {
    /// The chart of these curves in this frame.
    pub fn new(curves: &Curves, frame: Viewport, catalogue: &Catalogue) -> Self {
        let frame = frame.drawable();
        let axes = Axes::of(curves, frame, catalogue);
        let of = Building {
            curves,
            frame,
            catalogue,
            plot: axes.plot,
            needed_px: axes.y(curves.required_torque_nm),
            axes,
        };
        let (axes, plot) = (&of.axes, of.plot);
        let needed_line = [(plot.left, of.needed_px), (plot.right, of.needed_px)];
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
        let runs = frame.behind(curves).map(|run| axes.run(run)).collect();
        let edges = curves.curves.first().and_then(|one| Edges::of(one, axes));
        let mut room = of.room(lines);
        let time_unit = of.time_unit(&mut room);
        let words_of_needed = words::needed(catalogue, &curves.needed);
        let needed = needed_label(&mut room, words_of_needed, of.needed_px);
        let drawn = of.curves(&points, &mut room);
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
            time_ticks: of.time_ticks(),
            torque_ticks: of.torque_ticks(),
            time_unit,
            torque_unit: of.torque_unit(),
            top_nm: of.axes.top_nm,
            job: of.job(),
            crowded: is_crowded(curves),
            upright: false,
            needed_px: of.needed_px,
            needed,
            curves: drawn,
            without_runs: of.without_runs(),
            runs,
            band,
        }
    }
}

/// What a chart is put together of.
struct Building<'a> {
    curves: &'a Curves,
    frame: Viewport,
    catalogue: &'a Catalogue,
    axes: Axes,
    plot: Area,
    /// Height of the needed line.
    needed_px: f64,
}

impl Building<'_> {
    fn line_px(&self) -> f64 {
        self.frame.text_px * LINE
    }

    /// Distance of words from what they stand beside.
    fn gap(&self) -> f64 {
        self.frame.text_px / 2.0
    }

    /// Top of the words below the time axis.
    fn below(&self) -> f64 {
        self.plot.bottom + 0.2 * self.line_px()
    }

    fn job(&self) -> ShownJob {
        let JobTorque {
            shown, torque_nm, ..
        } = self.curves.job;
        ShownJob {
            text: shown.words(self.catalogue),
            number: Torque::from_newton_metres(torque_nm).in_unit(shown.unit.into()),
        }
    }

    fn torque_ticks(&self) -> Vec<Tick> {
        let ticks = self.axes.torques.iter().map(|(torque_nm, text)| {
            let (x_px, at_px) = (self.plot.left - self.gap(), self.axes.y(*torque_nm));
            let y_px = at_px - self.line_px() / 2.0;
            Tick {
                at_px,
                label: label(x_px, y_px, Anchor::End, text.clone()),
            }
        });
        ticks.collect()
    }

    fn time_ticks(&self) -> Vec<Tick> {
        let times = self.axes.tick_times(self.frame.text_px);
        let ticks = times.iter().map(|&time_s| {
            let at_px = self.axes.x(time_s);
            let text = words::tick(self.catalogue, time_s);
            Tick {
                at_px,
                label: label(at_px, self.below(), Anchor::Middle, text),
            }
        });
        ticks.collect()
    }

    /// The title of the time axis, above its right end where no line runs; else its unit alone, below.
    fn time_unit(&self, room: &mut LabelPlacement) -> Label {
        let right = room.within.right - 2.0;
        let tops = room.outwards(self.plot.bottom).take(TITLE_TRIES);
        let spots: Vec<_> = tops.map(|top| (right, top, Anchor::End)).collect();
        let taken = room.take(&words::time_axis(self.catalogue), 0, &spots);
        taken.unwrap_or_else(|| {
            let text = self.catalogue.units.second.clone();
            label(self.frame.width_px, self.below(), Anchor::End, text)
        })
    }

    fn torque_unit(&self) -> Label {
        let text = words::torque_axis(self.catalogue, self.curves.needed.unit);
        label(0.0, 0.0, Anchor::Start, text)
    }

    /// The room for words between these lines, crossings left out.
    fn room<'l>(&self, lines: Vec<&'l [(f64, f64)]>) -> LabelPlacement<'l> {
        let within = Area {
            top: 0.0,
            left: self.plot.left + 2.0,
            ..self.plot
        };
        let (line_px, gap) = (self.line_px(), self.gap());
        let letter_px = self.frame.text_px * LETTER;
        let mut room = LabelPlacement::new(within, lines, line_px, letter_px);
        let title = self.torque_unit().text.chars().count();
        room.block(Area {
            left: 0.0,
            top: 0.0,
            right: title as f64 * letter_px + gap,
            bottom: line_px,
        });
        let curves = self.curves.curves.iter();
        // What stands at a crossing belongs to it: no other words come over or under it.
        for time_s in curves.filter_map(|curve| curve.time_to_job_s) {
            let x_px = self.axes.x(time_s);
            room.block(Area {
                left: x_px - gap,
                top: self.needed_px - gap - line_px,
                right: x_px + gap,
                bottom: self.needed_px + gap + line_px,
            });
        }
        room
    }

    /// The curves through these points, with the names at their ends and then the times at their
    /// crossings as far as there is room.
    fn curves(&self, points: &[Vec<(f64, f64)>], room: &mut LabelPlacement) -> Vec<DrawnCurve> {
        let (curves, catalogue) = (self.curves, self.catalogue);
        let laid_over = curves.curves.iter().any(|curve| curve.beside);
        let named = curves.curves.iter().filter(|_| !laid_over);
        let named = named.map(|curve| (curve.label.as_str(), self.axes.y(curve.end_nm(curves))));
        let mut labels = end_labels(room, named).into_iter();
        let drawn = curves.curves.iter().zip(points).zip(KINDS);
        let mut drawn: Vec<DrawnCurve> = drawn
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
            let crossing = curve
                .time_to_job_s
                .map(|time_s| self.crossing(time_s, room));
            drawn.crossing = crossing;
        }
        drawn
    }

    fn crossing(&self, time_s: f64, room: &mut LabelPlacement) -> Crossing {
        let (x_px, y_px) = (self.axes.x(time_s), self.needed_px);
        let text = words::crossing(self.catalogue, time_s);
        Crossing {
            x_px,
            y_px,
            label: crossing_label(room, &text, (x_px, y_px), self.gap()),
        }
    }

    fn without_runs(&self) -> Vec<WithoutRuns> {
        let pairs = self.curves.without_runs.iter();
        pairs
            .map(|(ids, name)| WithoutRuns {
                pair: NamedPair {
                    ids: ids.clone(),
                    name: name.clone(),
                },
                text: words::without_runs(self.catalogue, name),
                take_off: words::take_off(self.catalogue, name),
            })
            .collect()
    }
}

/// Whether some [`CROWD`] of the curves are within [`CLOSE`] of each other at the middle of the window
/// and some at its end.
fn is_crowded(curves: &Curves) -> bool {
    [curves.window_s / 2.0, curves.window_s]
        .iter()
        .all(|&time_s| {
            let curves = curves.curves.iter();
            let mut torques: Vec<f64> = curves
                .map(|curve| curve.combination.torque_at(time_s))
                .collect();
            sort::numbers(&mut torques);
            let crowd = |few: &[f64]| matches!(few, [low, .., high] if *high <= low * CLOSE);
            torques.windows(CROWD).any(crowd)
        })
}
