//! Pictures that can stand alone: the answer to a question with its chart, a [`run`] raw and fitted,
//! the check runs by day ([`drift`]). Each is an SVG document, its lines drawn on plotters' SVG
//! backend and every word as text.
//!
//! [`elastic`] is the chart of a page that no script has drawn yet: as wide and as high as its room.
//! [`layout`] says which words stand where, [`plot`] lays out axes and legends, [`svg`] writes the
//! document, [`png`] paints it.

pub mod drift;
pub mod elastic;
pub mod layout;
pub mod plot;
pub mod png;
pub mod run;
pub mod sheet;
pub mod svg;

use crate::answer::data::Answer;
use crate::chart::draw::{Colour, Theme};
use crate::chart::places::place_plot;
use crate::chart::view::{View, Viewport};
use crate::export::take;
use crate::problem::Problem;
use crate::query::question::Question;
use crate::results::Results;
use crate::study::Study;
use layout::{Block, Paragraph};

/// Sizes in CSS pixels.
#[derive(Clone, Copy, Debug)]
pub struct Size {
    /// Width of the picture.
    pub width_px: f64,
    /// Height of the picture; without one it is as high as its words and a chart of
    /// [`Size::chart_px`] are.
    pub height_px: Option<f64>,
    /// Height of the chart, where the height of the picture leaves it free.
    pub chart_px: f64,
    /// Empty edge on all sides.
    pub edge_px: f64,
    /// Size of the text.
    pub text_px: f64,
    /// Size of the headline.
    pub headline_px: f64,
}

impl Size {
    /// A picture of its own, with all its words.
    pub const WHOLE: Self = Self {
        width_px: 960.0,
        height_px: None,
        chart_px: 420.0,
        edge_px: 28.0,
        text_px: 15.0,
        headline_px: 24.0,
    };

    /// A picture to share the page by, which is shown small: 1200 by 630, long paragraphs shortened.
    pub const SHARED: Self = Self {
        width_px: SHARED_WIDTH_PX as f64,
        height_px: Some(SHARED_HEIGHT_PX as f64),
        chart_px: 0.0,
        edge_px: 36.0,
        text_px: 20.0,
        headline_px: 28.0,
    };

    fn inner_px(&self) -> f64 {
        self.width_px - 2.0 * self.edge_px
    }

    /// The room of a drawing of this height, with the runs behind it or without.
    fn frame(&self, height_px: f64, runs: bool) -> Viewport {
        Viewport {
            width_px: self.inner_px(),
            height_px,
            text_px: self.text_px,
            runs: Some(runs),
            top_nm: None,
        }
    }
}

/// Width of the picture to share a page by.
pub const SHARED_WIDTH_PX: u32 = 1200;
/// Its height.
pub const SHARED_HEIGHT_PX: u32 = 630;

/// Height of the plot of places in CSS pixels.
const PLACES_PX: f64 = 120.0;

/// Lines that a paragraph may have in a picture of a fixed height.
const MOST_LINES: usize = 3;

/// The colours of the style sheet in the light.
pub const GROUND: Colour = (0xf8, 0xf7, 0xf2);
/// Of text.
pub const INK: Colour = (0x1d, 0x1d, 0x1b);
/// Of text that matters less.
pub const QUIET: Colour = (0x57, 0x56, 0x4f);
/// Of the grid.
pub const GRID: Colour = (0xd6, 0xd3, 0xc8);
/// Of the needed line.
pub const NEEDED: Colour = (0x71, 0x28, 0x4f);
/// Of the curves, in their order.
pub const CURVES: [Colour; 5] = [
    (0x00, 0x60, 0x9a),
    (0xa0, 0x43, 0x00),
    (0x00, 0x6b, 0x52),
    (0x6a, 0x4b, 0xb0),
    (0x8f, 0x5f, 0x00),
];

/// A picture of an answer.
#[derive(Clone, Debug, PartialEq)]
pub struct Picture {
    /// The SVG document.
    pub svg: String,
    /// What it says, in a sentence for those who do not see it.
    pub headline: String,
    /// How many curves it shows.
    pub curves: usize,
}

/// The picture of the answer to `question`; with `runs`, those behind its first curve too.
///
/// # Errors
///
/// As [`Results::ask`].
pub fn picture(
    results: &Results,
    question: &Question,
    runs: bool,
    size: &Size,
) -> Result<Picture, Problem> {
    let answer = results.ask(question)?;
    let taken = take(results, question, None)?;
    let most = size.height_px.map_or(usize::MAX, |_| MOST_LINES);
    let block = |paragraphs: &[Paragraph]| Block::new(paragraphs, size.inner_px(), most);
    let above = block(&above(&answer, size));

    let study = results.study(question)?;
    let curves = study.chart()?;
    let frame = |height_px| size.frame(height_px, runs);
    let curves = frame(size.chart_px).shown(curves);
    let view = |height_px| View::new(&curves, frame(height_px), results.catalogue());
    // A picture of a fixed height has no room for a second plot, one of runs is about them alone.
    let places = match size.height_px {
        None if !runs => place_plot(&study, &curves, frame(PLACES_PX))?,
        _ => None,
    };
    let key = |view: &View| layout::key(view, size.text_px);
    let last = last_words(&study, &answer, runs, size)?;
    let below = |view: &View| {
        let mut below = match &places {
            Some(places) => vec![plain(&places.text, QUIET, size)],
            None => key(view),
        };
        below.extend(last.iter().cloned());
        below.push(plain(&taken.credit, QUIET, size));
        block(&below)
    };
    let outside = 2.0 * size.edge_px + above.height_px;
    let view = fitted(size, outside, view, |view| below(view).height_px);
    let below = below(&view);
    let second = places.as_ref().map(|places| {
        let drawing = svg::Drawing::of_view(&places.view, &theme());
        (drawing, block(&key(&view)))
    });
    let second_px = (second.as_ref()).map_or(0.0, |(_, key)| PLACES_PX + key.height_px);
    let own_px = outside + view.frame.height_px + second_px + below.height_px;
    let names = view.curves.iter().map(|curve| format!(" {}.", curve.name));
    let document = svg::Document {
        lang: &results.catalogue().lang,
        title: &taken.title,
        description: &format!("{}{}", answer.headline, names.collect::<String>()),
        size_px: (size.width_px, size.height_px.unwrap_or(own_px).ceil()),
        edge_px: size.edge_px,
        above: &above,
        drawing: &svg::Drawing::of_view(&view, &theme()),
        below: second.as_ref().map_or(&below, |(_, key)| key),
        second: second.as_ref().map(|(drawing, _)| (drawing, &below)),
    };
    Ok(Picture {
        svg: document.written(),
        headline: answer.headline.clone(),
        curves: view.curves.len(),
    })
}

/// What stands below the chart: pairs laid over the one asked for compared with it, and cautions.
fn last_words(
    study: &Study,
    answer: &Answer,
    runs: bool,
    size: &Size,
) -> Result<Vec<Paragraph>, Problem> {
    let question = study.question();
    let compared = match (&question.tool, &question.pack) {
        (Some(_), Some(_)) if !runs => study.results().compare(question)?,
        _ => Vec::new(),
    };
    let compared = compared.iter().map(|compared| &compared.words.headline);
    let mut words: Vec<Paragraph> = compared
        .map(|headline| plain(headline, INK, size))
        .collect();
    let cautions = answer.cautions.iter();
    words.extend(cautions.map(|caution| plain(caution, QUIET, size)));
    Ok(words)
}

/// How a chart is drawn here.
fn theme() -> Theme {
    Theme {
        ratio: 2.0,
        ground: GROUND,
        grid: GRID,
        needed: NEEDED,
        curves: CURVES.to_vec(),
    }
}

/// A paragraph in the usual size.
fn plain(text: &str, colour: Colour, size: &Size) -> Paragraph {
    Paragraph {
        text: text.into(),
        size_px: size.text_px,
        bold: false,
        colour,
    }
}

/// What stands above the chart.
fn above(answer: &Answer, size: &Size) -> Vec<Paragraph> {
    let text = |text: &String, colour| plain(text, colour, size);
    let mut above: Vec<Paragraph> = Vec::new();
    above.extend(answer.notice.iter().map(|notice| text(notice, INK)));
    above.push(text(&answer.asked, INK));
    above.extend(answer.before.iter().map(|before| text(before, INK)));
    above.push(Paragraph {
        text: answer.headline.clone(),
        size_px: size.headline_px,
        bold: true,
        colour: INK,
    });
    above
}

/// The view of the chart that fits: `view` is one of a height, `below_px` how high what stands below
/// it is, `outside_px` how high all else is.
fn fitted(
    size: &Size,
    outside_px: f64,
    view: impl Fn(f64) -> View,
    below_px: impl Fn(&View) -> f64,
) -> View {
    let Some(height_px) = size.height_px else {
        return view(size.chart_px);
    };
    // What stands below depends on which names find room in the chart, and the room on what stands
    // below: it is worked out once for a chart whose names all stand below it.
    let lowest = view(height_px - outside_px - below_px(&view(0.0)));
    view(height_px - outside_px - below_px(&lowest))
}

#[cfg(test)]
mod read_back;
#[cfg(test)]
mod tests;
