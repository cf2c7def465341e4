//! The chart of an answer as SVG for a page that no script has drawn on yet. It fills the room that
//! it is given: curves are stretched with their axes, widths of lines, marks and words are not. Its
//! colours are those of the style sheet around it, by the classes that the live chart has too.
//!
//! Everything is placed by its share of the area between the axes, with a distance in sizes of the
//! text. Where words stand and how many ticks there are depends on the width: they are laid out for
//! three, and the style sheet shows those of one.

use super::layout::named;
use crate::chart::curves::Curves;
use crate::chart::draw::{
    self, BAND_OPACITY, CURVE, ESTIMATE, GRID, MARK_EDGE, MARK_RADIUS, NEEDED,
};
use crate::chart::label::{Anchor, Label};
use crate::chart::view::{DrawnCurve, Kind, LINE, View, Viewport};
use crate::export::html::{attribute, escaped};
use crate::text::catalogue::Catalogue;

/// Widths in CSS pixels that words are laid out for, and the classes of what is shown there alone:
/// a phone's, a column of prose, a whole page.
const ROOMS: [(f64, &str); 3] = [
    (302.0, "in-narrow"),
    (646.0, "in-middle"),
    (900.0, "in-wide"),
];

/// Height that words are laid out for, in CSS pixels: the largest of an embedded chart.
const HEIGHT_PX: f64 = 384.0;

/// Size of the text that words are laid out for, in CSS pixels.
const TEXT_PX: f64 = 13.0;

/// Side of the area between the axes in coordinates: less than a quarter of a pixel each.
const SIDE: f64 = 4000.0;

/// How far a line may be from its curve, in CSS pixels.
const OFF_PX: f64 = 0.06;

/// A chart that fills its room.
#[derive(Clone, Debug, PartialEq)]
pub struct Elastic {
    /// The SVG element, as large as the area between the axes.
    pub svg: String,
    /// What lies beyond that area, in sizes of the text: above, to the right, below, to the left.
    pub margins_em: [f64; 4],
    /// The names that find no room in the chart.
    pub key: Vec<Named>,
}

/// A name below the chart.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Named {
    /// Its words.
    pub text: String,
    /// The class of its curve; `none` where there is no curve.
    pub class: &'static str,
    /// The class of the width where it stands; empty for every width.
    pub room: &'static str,
}

/// What stands in the chart at one width, and below it.
struct Laid {
    lines: Vec<String>,
    words: Vec<String>,
    key: Vec<(String, &'static str)>,
}

impl Elastic {
    /// The chart of these curves; `None` where there is none.
    pub fn of(curves: &Curves, catalogue: &Catalogue) -> Option<Self> {
        let views = ROOMS.map(|(width_px, room)| {
            let frame = Viewport {
                width_px,
                height_px: HEIGHT_PX,
                text_px: TEXT_PX,
                runs: None,
            };
            (View::new(curves, frame, catalogue), room)
        });
        let [.., (widest, _)] = &views;
        if widest.curves.is_empty() {
            return None;
        }
        let area = Area(widest);
        let laid: Vec<(Laid, &'static str)> = views
            .iter()
            .map(|(view, room)| (Area(view).laid(), *room))
            .collect();
        let names: Vec<&str> = widest
            .curves
            .iter()
            .map(|curve| curve.name.as_str())
            .collect();
        let label = attribute(&names.join(". "));
        let grid = stretched(&shared(&laid, |laid| &laid.lines));
        let words = shared(&laid, |laid| &laid.words);
        let svg = format!(
            "<svg class=\"drawn\" role=\"img\" aria-label=\"{label}.\" fill=\"none\" stroke=\"currentColor\" \
             stroke-linejoin=\"round\" overflow=\"visible\">\
             <g class=\"grid\" stroke-width=\"{GRID}\">{grid}</g>{}\
             <g class=\"letters\" fill=\"currentColor\" stroke=\"none\" dominant-baseline=\"central\">{words}</g></svg>",
            area.curves()
        );
        Some(Self {
            svg,
            margins_em: area.margins_em(),
            key: key(&laid),
        })
    }
}

/// What is alike at all widths, then what stands at one alone, in groups.
fn shared(laid: &[(Laid, &'static str)], pieces: impl Fn(&Laid) -> &Vec<String>) -> String {
    let everywhere = |piece: &String| laid.iter().all(|(laid, _)| pieces(laid).contains(piece));
    let mut all: String = laid
        .first()
        .map(|(first, _)| {
            pieces(first)
                .iter()
                .filter(|piece| everywhere(piece))
                .map(String::as_str)
                .collect()
        })
        .unwrap_or_default();
    for (laid, room) in laid {
        let own: String = pieces(laid)
            .iter()
            .filter(|piece| !everywhere(piece))
            .map(String::as_str)
            .collect();
        if !own.is_empty() {
            all.push_str(&format!("<g class=\"{room}\">{own}</g>"));
        }
    }
    all
}

/// The names below the chart, those that stand there at every width once.
fn key(laid: &[(Laid, &'static str)]) -> Vec<Named> {
    let everywhere = |entry| laid.iter().all(|(laid, _)| laid.key.contains(entry));
    let mut key: Vec<Named> = Vec::new();
    for (place, (laid, room)) in laid.iter().enumerate() {
        for entry in &laid.key {
            let room = match (everywhere(entry), place) {
                (true, 0) => "",
                (true, _) => continue,
                (false, _) => room,
            };
            key.push(Named {
                text: entry.0.clone(),
                class: entry.1,
                room,
            });
        }
    }
    key
}

/// The area between the axes of a view.
struct Area<'a>(&'a View);

impl Area<'_> {
    /// Across and down as shares of the area, of a place in CSS pixels.
    fn share(&self, (x, y): (f64, f64)) -> (f64, f64) {
        let view = self.0;
        let across = (x - view.left_px) / (view.right_px - view.left_px);
        let down = (y - view.top_px) / (view.bottom_px - view.top_px);
        (across, down)
    }

    fn margins_em(&self) -> [f64; 4] {
        let view = self.0;
        let (right, below) = (
            view.frame.width_px - view.right_px,
            view.frame.height_px - view.bottom_px,
        );
        [view.top_px, right, below, view.left_px].map(|px| px / view.frame.text_px)
    }

    fn laid(&self) -> Laid {
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

    /// The words in the chart, each held to the place that it belongs to.
    fn words(&self) -> Vec<String> {
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
    fn middle(&self, label: &Label) -> f64 {
        label.y_px + self.0.frame.text_px * LINE / 2.0
    }

    /// A word that keeps its distance from the place it is held to.
    fn word(&self, label: &Label, held: (f64, f64), class: &str) -> String {
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
    fn curves(&self) -> String {
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
        for curve in view.curves.iter().rev() {
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
                "<path stroke-width=\"{CURVE}\"{dashes} d=\"{}\"/>",
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
    fn marks(&self, curve: &DrawnCurve) -> String {
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
    fn path(&self, points: &[(f64, f64)]) -> String {
        let mut path = String::new();
        let mut last = (0, 0);
        for (place, point) in thinned(points).into_iter().enumerate() {
            let (across, down) = self.share(point);
            let at = ((across * SIDE).round() as i64, (down * SIDE).round() as i64);
            let (dx, dy) = (at.0 - last.0, at.1 - last.1);
            let sign = match place {
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
fn stretched(inside: &str) -> String {
    format!(
        "<svg viewBox=\"0 0 {SIDE} {SIDE}\" preserveAspectRatio=\"none\" overflow=\"visible\">{inside}</svg>"
    )
}

/// A mark of this half width in CSS pixels about (0, 0).
fn shape(kind: Kind, radius_px: f64, class: &str) -> String {
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
fn class(kind: Kind) -> &'static str {
    match kind {
        Kind::Full => "full",
        Kind::Dashed => "dashed",
        Kind::Dotted => "dotted",
        Kind::Dashdot => "dashdot",
        Kind::Dashdots => "dashdots",
    }
}

/// A number with at most two decimals.
fn short(value: f64) -> String {
    let text = format!("{value:.2}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" {
        "0".into()
    } else {
        text.into()
    }
}

/// The fewest points found whose lines are at most [`OFF_PX`] from all points: the point farthest from the
/// line between two is kept, and each side looked at again (Ramer 1972, Douglas and Peucker 1973).
fn thinned(points: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let (Some(first), Some(last)) = (points.first(), points.last()) else {
        return Vec::new();
    };
    let mut kept = vec![*first];
    // Ranges still to be looked at, the leftmost on top.
    let mut open = vec![(0, points.len().saturating_sub(1))];
    while let Some((from, to)) = open.pop() {
        match farthest(points, from, to) {
            Some(at) => open.extend([(at, to), (from, at)]),
            None => kept.extend(points.get(to).filter(|_| to > from)),
        }
    }
    if kept.len() == 1 {
        kept.push(*last);
    }
    kept
}

/// Which point between two is farthest from the line through them, if it is too far.
fn farthest(points: &[(f64, f64)], from: usize, to: usize) -> Option<usize> {
    let (&(ax, ay), &(bx, by)) = (points.get(from)?, points.get(to)?);
    let (dx, dy) = (bx - ax, by - ay);
    let length = (dx * dx + dy * dy).sqrt().max(f64::MIN_POSITIVE);
    let mut most = (OFF_PX, None);
    for at in from + 1..to {
        let &(x, y) = points.get(at)?;
        let off = ((x - ax) * dy - (y - ay) * dx).abs() / length;
        if off > most.0 {
            most = (off, Some(at));
        }
    }
    most.1
}

#[cfg(test)]
mod tests;
