//! What lies in the area between the axes, as SVG.

use super::super::layout::named;
use super::thinned::thinned;
use super::{Laid, SIDE};
use crate::chart::draw::{self, BAND_OPACITY, ESTIMATE, MARK_EDGE, MARK_RADIUS, NEEDED};
use crate::chart::label::{Anchor, Label};
use crate::chart::view::{DrawnCurve, Kind, LINE, View};
use crate::export::html::escaped;

/// What the needed line is taken hold of by, as the live chart has it beside the line's right end.
const KNOB: &str = "overflow=\"visible\" fill=\"currentColor\" stroke=\"none\">\
    <path d=\"M7 -6a4 4 0 0 1 4-4h8a4 4 0 0 1 4 4v12a4 4 0 0 1-4 4h-8a4 4 0 0 1-4-4z\"/>\
    <path class=\"hole\" d=\"M11.5 -4h7v2h-7zM11.5 2h7v2h-7z\"/>";

/// The area between the axes of a view.
pub(super) struct Area<'a>(pub &'a View);

impl Area<'_> {
    /// Across and down as shares of the area, of a position in CSS pixels.
    pub(super) fn share(&self, (x, y): (f64, f64)) -> (f64, f64) {
        let view = self.0;
        let across = (x - view.left_px) / (view.right_px - view.left_px);
        let down = (y - view.top_px) / (view.bottom_px - view.top_px);
        (across, down)
    }

    pub(super) fn margins_em(&self) -> [f64; 4] {
        let view = self.0;
        let (right, below) = (
            view.frame.width_px - view.right_px,
            view.frame.height_px - view.bottom_px,
        );
        [view.top_px, right, below, view.left_px].map(|px| px / view.frame.text_px)
    }

    pub(super) fn laid(&self) -> Laid {
        let view = self.0;
        let down = view.time_ticks.iter().map(|tick| {
            let (across, _) = self.share((tick.at_px, view.top_px));
            format!("<path d=\"M{} 0V{SIDE}\"/>", (across * SIDE).round())
        });
        let across = view.torque_ticks.iter().map(|tick| {
            let (_, down) = self.share((view.left_px, tick.at_px));
            format!("<path d=\"M0 {}H{SIDE}\"/>", (down * SIDE).round())
        });
        let unnamed = view.curves.iter().filter(|curve| curve.label.is_none());
        let mut key: Vec<_> = unnamed
            .map(|curve| (named(curve), class(curve.kind)))
            .collect();
        let band = view.band.iter().filter(|band| band.label.is_none());
        key.extend(band.map(|band| (band.text.clone(), class(Kind::Full))));
        key.extend(
            view.without_runs
                .iter()
                .map(|pair| (pair.text.clone(), "none")),
        );
        Laid {
            lines: across.chain(down).collect(),
            words: self.words(),
            key,
        }
    }

    /// The words in the chart, each held to the position that it belongs to.
    pub(super) fn words(&self) -> Vec<String> {
        let view = self.0;
        let (left, right) = (view.left_px, view.right_px);
        let (top, bottom) = (view.top_px, view.bottom_px);
        let mut words = vec![
            self.word(&view.time_unit, (right, bottom), ""),
            self.word(&view.torque_unit, (left, top), ""),
        ];
        for tick in &view.time_ticks {
            words.push(self.word(&tick.label, (tick.at_px, bottom), ""));
        }
        for tick in &view.torque_ticks {
            words.push(self.word(&tick.label, (left, tick.at_px), ""));
        }
        let held = match view.needed.anchor {
            Anchor::Start => left,
            Anchor::Middle => f64::midpoint(left, right),
            Anchor::End => right,
        };
        words.push(self.word(&view.needed, (held, view.needed_px), "needed"));
        for curve in &view.curves {
            let class = class(curve.kind);
            if let Some(label) = &curve.label {
                let label = Label {
                    text: named(curve),
                    ..label.clone()
                };
                words.push(self.word(&label, (right, self.middle(&label)), class));
            }
            if let Some((crossing, label)) = curve
                .crossing
                .as_ref()
                .and_then(|at| Some((at, at.label.as_ref()?)))
            {
                words.push(self.word(label, (crossing.x_px, crossing.y_px), class));
            }
        }
        if let Some(label) = view.band.as_ref().and_then(|band| band.label.as_ref()) {
            words.push(self.word(label, (label.x_px, self.middle(label)), class(Kind::Full)));
        }
        words
    }

    /// The middle of a line of text, down.
    pub(super) fn middle(&self, label: &Label) -> f64 {
        label.y_px + self.0.frame.text_px * LINE / 2.0
    }

    /// A word that keeps its distance from the position it is held to.
    pub(super) fn word(&self, label: &Label, held: (f64, f64), class: &str) -> String {
        let text_px = self.0.frame.text_px;
        let (across, down) = self.share(held);
        let dx = (label.x_px - held.0) / text_px;
        let dy = (self.middle(label) - held.1) / text_px;
        let mut attributes = String::new();
        for (name, value, unit) in [
            ("x", 100.0 * across, "%"),
            ("y", 100.0 * down, "%"),
            ("dx", dx, "em"),
            ("dy", dy, "em"),
        ] {
            let value = short(value);
            if value != "0" {
                attributes.push_str(&format!(" {name}=\"{value}{unit}\""));
            }
        }
        let anchor = match label.anchor {
            Anchor::Start => "",
            Anchor::Middle => " text-anchor=\"middle\"",
            Anchor::End => " text-anchor=\"end\"",
        };
        let class = match class {
            "" => String::new(),
            class => format!(" class=\"{class}\""),
        };
        let text = escaped(&label.text);
        format!("<text{class}{anchor}{attributes}>{text}</text>")
    }

    /// Band, needed line and curves: the first curve, which is the one asked for, above the others.
    pub(super) fn curves(&self) -> String {
        let view = self.0;
        let mut all = String::new();
        if let Some(band) = &view.band {
            let outline = self.path(&band.outline);
            all.push_str(&stretched(&format!(
                "<path class=\"full\" fill=\"currentColor\" fill-opacity=\"{BAND_OPACITY}\" stroke=\"none\" d=\"{outline}z\"/>"
            )));
        }
        let (_, needed) = self.share((view.left_px, view.needed_px));
        all.push_str(&stretched(&format!(
            "<path class=\"needed\" stroke-width=\"{NEEDED}\" d=\"M0 {}H{SIDE}\"/>",
            (needed * SIDE).round()
        )));
        all.push_str(&format!(
            "<svg class=\"needed\" x=\"100%\" y=\"{}%\" {KNOB}</svg>",
            short(100.0 * needed)
        ));
        for (index, curve) in view.curves.iter().enumerate().rev() {
            let dashes = match curve.estimate {
                true => ESTIMATE,
                false => draw::dashes(curve.kind),
            };
            let dashes = match dashes {
                [] => String::new(),
                lengths => {
                    let lengths: Vec<String> = lengths.iter().map(f64::to_string).collect();
                    format!(" stroke-dasharray=\"{}\"", lengths.join(" "))
                }
            };
            let line = format!(
                "<path stroke-width=\"{}\"{dashes} d=\"{}\"/>",
                draw::width(view, index),
                self.path(&curve.points)
            );
            all.push_str(&format!(
                "<g class=\"{}\">{}{}</g>",
                class(curve.kind),
                stretched(&line),
                self.marks(curve)
            ));
        }
        all
    }

    /// The marks of a curve, as the live chart has them.
    pub(super) fn marks(&self, curve: &DrawnCurve) -> String {
        let end = curve.points.last().map(|&end| (end, curve.estimate));
        let crossing = curve.crossing.as_ref().map(|at| ((at.x_px, at.y_px), true));
        let marks = end.into_iter().chain(crossing);
        marks
            .map(|(at, hollow)| {
                let (across, down) = self.share(at);
                let mut shapes = shape(curve.kind, MARK_RADIUS, "");
                if hollow {
                    shapes.push_str(&shape(curve.kind, MARK_RADIUS - MARK_EDGE, " class=\"hole\""));
                }
                format!(
                    "<svg x=\"{}%\" y=\"{}%\" overflow=\"visible\" fill=\"currentColor\" stroke=\"none\">{shapes}</svg>",
                    short(100.0 * across),
                    short(100.0 * down)
                )
            })
            .collect()
    }

    /// A path through points in coordinates of the area, each told from the one before. Points that
    /// a line through their neighbours shows too are left out.
    pub(super) fn path(&self, points: &[(f64, f64)]) -> String {
        let mut path = String::new();
        let mut last = (0, 0);
        for (index, point) in thinned(points).into_iter().enumerate() {
            let (across, down) = self.share(point);
            let at = ((across * SIDE).round() as i64, (down * SIDE).round() as i64);
            let (dx, dy) = (at.0 - last.0, at.1 - last.1);
            let sign = match index {
                0 => "M",
                1 => "l",
                _ if dx < 0 => "",
                _ => " ",
            };
            let between = if dy < 0 { "" } else { " " };
            path.push_str(&format!("{sign}{dx}{between}{dy}"));
            last = at;
        }
        path
    }
}

/// What is stretched to the area between the axes.
pub(super) fn stretched(inside: &str) -> String {
    format!(
        "<svg viewBox=\"0 0 {SIDE} {SIDE}\" preserveAspectRatio=\"none\" overflow=\"visible\">{inside}</svg>"
    )
}

/// A mark of this half width in CSS pixels about (0, 0).
pub(super) fn shape(kind: Kind, radius_px: f64, class: &str) -> String {
    let corners = draw::corners(kind);
    if corners.is_empty() {
        return format!("<circle{class} r=\"{radius_px}\"/>");
    }
    let corner =
        |&(x, y): &(f64, f64)| format!("{} {}", short(x * radius_px), short(y * radius_px));
    let corners: Vec<String> = corners.iter().map(corner).collect();
    format!("<path{class} d=\"M{}z\"/>", corners.join(" "))
}

/// The class of what is drawn like this, as in the live chart.
pub(super) fn class(kind: Kind) -> &'static str {
    match kind {
        Kind::Full => "full",
        Kind::Dashed => "dashed",
        Kind::Dotted => "dotted",
        Kind::Dashdot => "dashdot",
        Kind::Dashdots => "dashdots",
    }
}

/// A number with at most two decimals.
pub(super) fn short(value: f64) -> String {
    let text = format!("{value:.2}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" {
        "0".into()
    } else {
        text.into()
    }
}
