//! The SVG document of a picture. plotters' SVG backend writes the elements of the drawing; the
//! document around it, its scale, dashes and words are written here.

use super::GROUND;
use super::layout::{self, Block, Word};
use super::plot::Plot;
use crate::chart::draw::shapes::{RATIO, draw_shapes, surface};
use crate::chart::draw::{COORDINATES, Colour, DashingBackend, Drawn, Theme, draw};
use crate::chart::label::Anchor;
use crate::chart::view::{LINE, View};
use crate::escape::visible;
use plotters_backend::{BackendColor, BackendCoord, BackendStyle, DrawingBackend};
use plotters_svg::SVGBackend;
use std::fmt::Write;

/// Fonts by their names, the first that is there; no file of a font is asked for.
const FONTS: &str = "system-ui, 'Segoe UI', Roboto, 'Noto Sans', 'DejaVu Sans', sans-serif";

/// Where the baseline of letters is below the middle of their line, over the size of the text.
const BASELINE: f64 = 0.35;

/// Width of the ground around a word of the chart, which keeps lines out of its letters, in CSS pixels.
const CLEAR_PX: f64 = 3.0;

/// What a picture is written from.
#[derive(Debug)]
pub struct Document<'a> {
    /// The language of its words.
    pub lang: &'a str,
    /// Its title.
    pub title: &'a str,
    /// What it shows, for those who do not see it.
    pub description: &'a str,
    /// Width and height in CSS pixels.
    pub size_px: (f64, f64),
    /// Empty edge on all sides in CSS pixels.
    pub edge_px: f64,
    /// The words above the chart.
    pub above: &'a Block,
    /// The drawing.
    pub drawing: &'a Drawing,
    /// The words below the chart.
    pub below: &'a Block,
    /// A second drawing below these, with the words below it.
    pub second: Option<(&'a Drawing, &'a Block)>,
}

/// A drawing with its words.
#[derive(Clone, Debug)]
pub struct Drawing {
    /// Height in CSS pixels.
    pub(super) height_px: f64,
    /// Size of its words in CSS pixels.
    text_px: f64,
    /// CSS pixels for each coordinate of its elements.
    scale: f64,
    /// The elements of its lines and marks.
    elements: String,
    words: Vec<Word>,
}

impl Drawing {
    /// The drawing of an answer's chart.
    pub fn of_view(view: &View, look: &Theme) -> Self {
        let (width, height) = look.surface(view);
        let size = (width * COORDINATES, height * COORDINATES);
        Self {
            height_px: view.frame.height_px,
            text_px: view.frame.text_px,
            scale: 1.0 / (look.drawn_ratio() * f64::from(COORDINATES)),
            elements: elements(size, |backend| {
                // Its errors are those of files, and it writes to a text.
                let _ = draw(view, look, backend);
            }),
            words: layout::words(view),
        }
    }

    /// The drawing of a plot.
    pub fn of_plot(plot: &Plot) -> Self {
        let size = surface((plot.width_px, plot.height_px));
        Self {
            height_px: plot.height_px,
            text_px: plot.text_px,
            scale: 1.0 / (RATIO * f64::from(COORDINATES)),
            elements: elements(size, |backend| {
                let _ = draw_shapes(&plot.shapes, backend);
            }),
            words: plot.words.clone(),
        }
    }
}

impl Document<'_> {
    /// The document as text.
    pub fn written(&self) -> String {
        let (width, height) = (number(self.size_px.0), number(self.size_px.1));
        let edge = self.edge_px;
        let chart_top = edge + self.above.height_px;
        let mut svg = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}\" height=\"{height}\" viewBox=\"0 0 {width} {height}\" \
             role=\"img\" xml:lang=\"{}\" font-family=\"{FONTS}\">\n\
             <title>{}</title>\n<desc>{}</desc>\n\
             <rect width=\"{width}\" height=\"{height}\" fill=\"{}\"/>\n",
            escaped(self.lang),
            escaped(self.title),
            escaped(self.description),
            colour(GROUND),
        );
        block(&mut svg, self.above, edge, edge);
        self.drawing.write(&mut svg, (edge, chart_top));
        let foot = chart_top + self.drawing.height_px;
        block(&mut svg, self.below, edge, foot);
        if let Some((drawing, below)) = self.second {
            let top = foot + self.below.height_px;
            drawing.write(&mut svg, (edge, top));
            block(&mut svg, below, edge, top + drawing.height_px);
        }
        svg.push_str("</svg>\n");
        svg
    }
}

impl Drawing {
    /// The drawing with its words, whose left top corner is at (`left`, `top`).
    fn write(&self, svg: &mut String, (left, top): (f64, f64)) {
        push(
            svg,
            format_args!(
                "<g transform=\"translate({} {}) scale({})\" stroke-linejoin=\"round\">\n{}</g>\n",
                number(left),
                number(top),
                number(self.scale),
                self.elements
            ),
        );
        let size_px = self.text_px;
        push(
            svg,
            format_args!(
                "<g font-size=\"{}\" stroke=\"{}\" stroke-width=\"{}\" stroke-linejoin=\"round\" paint-order=\"stroke\">\n",
                number(size_px),
                colour(GROUND),
                number(CLEAR_PX)
            ),
        );
        for word in &self.words {
            let anchor = match word.label.anchor {
                Anchor::Start => "start",
                Anchor::Middle => "middle",
                Anchor::End => "end",
            };
            let middle = word.label.y_px + size_px * LINE / 2.0;
            push(
                svg,
                format_args!(
                    "<text x=\"{}\" y=\"{}\" text-anchor=\"{anchor}\" fill=\"{}\">{}</text>\n",
                    number(left + word.label.x_px),
                    number(top + middle + BASELINE * size_px),
                    colour(word.colour),
                    escaped(&word.label.text)
                ),
            );
        }
        svg.push_str("</g>\n");
    }
}

/// The lines of a block, whose left top corner is at (`left`, `top`).
fn block(svg: &mut String, block: &Block, left: f64, top: f64) {
    for line in &block.lines {
        let paragraph = &line.paragraph;
        let weight = match paragraph.bold {
            true => " font-weight=\"bold\"",
            false => "",
        };
        push(
            svg,
            format_args!(
                "<text x=\"{}\" y=\"{}\" font-size=\"{}\"{weight} fill=\"{}\">{}</text>\n",
                number(left),
                number(top + line.middle_px + BASELINE * paragraph.size_px),
                number(paragraph.size_px),
                colour(paragraph.colour),
                escaped(&paragraph.text)
            ),
        );
    }
}

/// Writing to a text does not fail.
fn push(svg: &mut String, text: std::fmt::Arguments) {
    let _ = svg.write_fmt(text);
}

/// The elements that `draw` draws on a surface of this size in coordinates.
fn elements(size: (u32, u32), draw: impl FnOnce(&mut Svg)) -> String {
    let mut written = String::new();
    let mut backend = Svg {
        backend: SVGBackend::with_string(&mut written, size),
        dashes: Vec::new(),
        of_paths: Vec::new(),
    };
    draw(&mut backend);
    let of_paths = std::mem::take(&mut backend.of_paths);
    drop(backend);
    dashed(&written, &of_paths)
}

/// What a path begins with as the backend writes it.
const PATH: &str = "<polyline ";

/// The elements within the document that the backend has written, each path with its dashes.
fn dashed(written: &str, of_paths: &[Vec<u32>]) -> String {
    let mut of_paths = of_paths.iter();
    let mut elements = String::with_capacity(written.len());
    for line in written.lines() {
        if line.starts_with("<svg") || line.starts_with("</svg") {
            continue;
        }
        match line.strip_prefix(PATH) {
            Some(rest) => {
                elements.push_str(PATH);
                let dashes = of_paths.next().filter(|dashes| !dashes.is_empty());
                if let Some(dashes) = dashes {
                    let lengths: Vec<String> = dashes.iter().map(u32::to_string).collect();
                    push(
                        &mut elements,
                        format_args!("stroke-dasharray=\"{}\" ", lengths.join(" ")),
                    );
                }
                elements.push_str(rest);
            }
            None => elements.push_str(line),
        }
        elements.push('\n');
    }
    elements
}

/// plotters' SVG backend, and the dashes of each path that it has written, which it cannot write.
struct Svg<'a> {
    backend: SVGBackend<'a>,
    /// Dashes of the next path.
    dashes: Vec<u32>,
    of_paths: Vec<Vec<u32>>,
}

impl DashingBackend for Svg<'_> {
    fn set_dashes(&mut self, lengths: &[u32]) {
        self.dashes = lengths.to_vec();
    }
}

impl<'a> DrawingBackend for Svg<'a> {
    type ErrorType = <SVGBackend<'a> as DrawingBackend>::ErrorType;

    fn get_size(&self) -> (u32, u32) {
        self.backend.get_size()
    }

    fn ensure_prepared(&mut self) -> Drawn<Self> {
        self.backend.ensure_prepared()
    }

    fn present(&mut self) -> Drawn<Self> {
        self.backend.present()
    }

    fn draw_pixel(&mut self, point: BackendCoord, color: BackendColor) -> Drawn<Self> {
        self.backend.draw_pixel(point, color)
    }

    fn draw_path<S: BackendStyle, I: IntoIterator<Item = BackendCoord>>(
        &mut self,
        path: I,
        style: &S,
    ) -> Drawn<Self> {
        self.of_paths.push(self.dashes.clone());
        self.backend.draw_path(path, style)
    }

    fn fill_polygon<S: BackendStyle, I: IntoIterator<Item = BackendCoord>>(
        &mut self,
        vertices: I,
        style: &S,
    ) -> Drawn<Self> {
        self.backend.fill_polygon(vertices, style)
    }

    fn draw_circle<S: BackendStyle>(
        &mut self,
        center: BackendCoord,
        radius: u32,
        style: &S,
        fill: bool,
    ) -> Drawn<Self> {
        self.backend.draw_circle(center, radius, style, fill)
    }
}

/// A length with at most four decimals.
fn number(length: f64) -> String {
    let text = format!("{length:.4}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// A colour as `#rrggbb`.
fn colour((red, green, blue): Colour) -> String {
    format!("#{red:02x}{green:02x}{blue:02x}")
}

/// A text as XML. Signs that cannot be seen, change the direction of others or stand in no document
/// are shown by their numbers; line breaks become spaces.
fn escaped(text: &str) -> String {
    let mut xml = String::with_capacity(text.len());
    for sign in text.chars() {
        match sign {
            '&' => xml.push_str("&amp;"),
            '<' => xml.push_str("&lt;"),
            '>' => xml.push_str("&gt;"),
            '"' => xml.push_str("&quot;"),
            '\n' | '\r' | '\t' => xml.push(' '),
            '\\' | '\u{a0}' | '\u{202f}' => xml.push(sign),
            '\u{fffe}' | '\u{ffff}' => xml.push(char::REPLACEMENT_CHARACTER),
            _ => xml.push_str(&visible(sign.encode_utf8(&mut [0; 4]))),
        }
    }
    xml
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_is_never_markup_and_hides_nothing() {
        assert_eq!(
            escaped("<b a=\"1\">&\n5\u{a0}N·m\\ Größe ½"),
            "&lt;b a=&quot;1&quot;&gt;&amp; 5\u{a0}N·m\\ Größe ½"
        );
        assert_eq!(
            escaped("a\u{202e}b\u{200b}\u{1b}[0m\0\u{ffff}"),
            "a\\u{202e}b\\u{200b}\\u{1b}[0m\\u{0}\u{fffd}"
        );
    }

    #[test]
    fn each_path_has_its_own_dashes() {
        let written =
            "<svg width=\"1\">\n<polyline a/>\n<circle b/>\n<polyline c/>\n<polygon d/>\n</svg>\n";
        assert_eq!(
            dashed(written, &[vec![], vec![4, 2]]),
            "<polyline a/>\n<circle b/>\n<polyline stroke-dasharray=\"4 2\" c/>\n<polygon d/>\n"
        );
    }

    #[test]
    fn a_length_has_no_needless_digits() {
        assert_eq!(number(960.0), "960");
        assert_eq!(number(0.0625), "0.0625");
        assert_eq!(number(10.123_456), "10.1235");
    }
}
