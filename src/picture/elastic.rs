//! The chart of an answer as SVG for a page that no script has drawn on yet. It fills the room that
//! it is given: curves are stretched with their axes, widths of lines, marks and words are not. Its
//! colours are those of the style sheet around it, by the classes that the live chart has too.
//!
//! Everything is placed by its share of the area between the axes, with a distance in sizes of the
//! text. Where words stand and how many ticks there are depends on the width: they are laid out for
//! three, and the style sheet shows those of one.

mod area;
mod thinned;

use crate::chart::curves::Curves;
use crate::chart::draw::GRID;
use crate::chart::view::{View, Viewport};
use crate::export::html::attribute;
use crate::text::catalogue::Catalogue;
use area::{Area, stretched};

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
                top_nm: None,
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
    for (index, (laid, room)) in laid.iter().enumerate() {
        for entry in &laid.key {
            let room = match (everywhere(entry), index) {
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

#[cfg(test)]
mod tests;
