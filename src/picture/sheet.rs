//! A plot with what must be read with it: above it what it shows, below it notes and the source.

use super::layout::{Block, Paragraph};
use super::plot::Plot;
use super::{INK, QUIET, Size, svg};

/// The words around a plot.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Told {
    /// The language of the words.
    pub lang: String,
    /// That the data are a draft or made up; empty if they are neither.
    pub notice: String,
    /// What the picture shows.
    pub headline: String,
    /// What belongs to the headline; empty if nothing does.
    pub subline: String,
    /// What else is to be known of it, in sentences.
    pub lines: Vec<String>,
    /// Title of the results, edition and licence.
    pub credit: String,
}

/// The SVG document of a plot with its words; `description` is for those who do not see it.
pub(super) fn sheet(plot: &Plot, told: &Told, description: &str, size: &Size) -> String {
    let paragraph = |text: &str, size_px, bold, colour| Paragraph {
        text: text.to_owned(),
        size_px,
        bold,
        colour,
    };
    let block = |paragraphs: &[Paragraph]| Block::new(paragraphs, size.inner_px(), usize::MAX);
    let above = block(&[
        paragraph(&told.notice, size.text_px, false, INK),
        paragraph(&told.headline, size.headline_px, true, INK),
        paragraph(&told.subline, size.text_px, false, INK),
    ]);
    let below = told.lines.iter().chain([&told.credit]);
    let below = below.map(|text| paragraph(text, size.text_px, false, QUIET));
    let below = block(&below.collect::<Vec<_>>());
    let height_px = 2.0 * size.edge_px + above.height_px + plot.height_px + below.height_px;
    let document = svg::Document {
        lang: &told.lang,
        title: &told.headline,
        description,
        size_px: (size.width_px, height_px.ceil()),
        edge_px: size.edge_px,
        above: &above,
        drawing: &svg::Drawing::of_plot(plot),
        below: &below,
        second: None,
    };
    document.written()
}
