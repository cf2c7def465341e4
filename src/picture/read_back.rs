//! Reads pictures back in tests: words, lines and marks with their positions in CSS pixels.

use super::Size;
use resvg::usvg::roxmltree::{Document, Node};

/// A word of a picture.
#[derive(Clone, Debug)]
pub struct ReadWord {
    pub text: String,
    pub x: f64,
    pub y: f64,
    pub anchor: String,
}

/// A line of a picture.
#[derive(Clone, Debug)]
pub struct ReadLine {
    pub points: Vec<(f64, f64)>,
    pub width_px: f64,
    /// Lengths of dashes and gaps in CSS pixels.
    pub dashes_px: Vec<f64>,
}

/// A picture that was read.
#[derive(Debug)]
pub struct ReadPicture {
    /// All words, in their order.
    pub words: Vec<ReadWord>,
    pub lines: Vec<ReadLine>,
    /// Corners of the polygons.
    pub polygons: Vec<Vec<(f64, f64)>>,
    /// Centres of the discs.
    pub discs: Vec<(f64, f64)>,
    pub height: f64,
}

/// CSS pixels in a coordinate of a drawing.
const SCALE: f64 = 0.0625;

fn number(node: Node, name: &str) -> f64 {
    node.attribute(name).unwrap().parse().unwrap()
}

impl ReadPicture {
    pub fn of(svg: &str) -> Self {
        let document = Document::parse(svg).unwrap();
        let named = |name| {
            let all = document.descendants();
            all.filter(move |node: &Node| node.has_tag_name(name))
        };
        let drawing = document
            .descendants()
            .find(|node| node.attribute("transform").is_some())
            .unwrap();
        let transform = drawing.attribute("transform").unwrap();
        assert!(transform.ends_with("scale(0.0625)"), "{transform}");
        let (left, top) = transform
            .trim_start_matches("translate(")
            .split_once(')')
            .unwrap()
            .0
            .split_once(' ')
            .unwrap();
        let (left, top): (f64, f64) = (left.parse().unwrap(), top.parse().unwrap());
        let point = |x: f64, y: f64| (left + x * SCALE, top + y * SCALE);
        let points = |node: Node| -> Vec<(f64, f64)> {
            let points = node.attribute("points").unwrap().split_whitespace();
            let pair = |pair: &str| {
                let (x, y) = pair.split_once(',').unwrap();
                point(x.parse().unwrap(), y.parse().unwrap())
            };
            points.map(pair).collect()
        };
        Self {
            words: named("text")
                .map(|node| ReadWord {
                    text: node.text().unwrap_or_default().to_owned(),
                    x: number(node, "x"),
                    y: number(node, "y"),
                    anchor: node.attribute("text-anchor").unwrap_or("start").to_owned(),
                })
                .collect(),
            lines: named("polyline")
                .map(|node| ReadLine {
                    points: points(node),
                    width_px: number(node, "stroke-width") * SCALE,
                    dashes_px: node
                        .attribute("stroke-dasharray")
                        .map(|dashes| {
                            let lengths = dashes.split_whitespace();
                            lengths
                                .map(|length| length.parse::<f64>().unwrap() * SCALE)
                                .collect()
                        })
                        .unwrap_or_default(),
                })
                .collect(),
            polygons: named("polygon").map(points).collect(),
            discs: named("circle")
                .map(|node| point(number(node, "cx"), number(node, "cy")))
                .collect(),
            height: number(document.root_element(), "height"),
        }
    }

    /// The one word with this text.
    pub fn word(&self, text: &str) -> &ReadWord {
        let found: Vec<_> = self.words.iter().filter(|word| word.text == text).collect();
        assert_eq!(found.len(), 1, "{text}: {:?}", self.all());
        found[0]
    }

    /// The texts of all words.
    pub fn all(&self) -> Vec<&str> {
        self.words.iter().map(|word| word.text.as_str()).collect()
    }

    /// The lines with these dashes, in their order: first those of the plot, then that of the legend.
    pub fn dashed(&self, dashes_px: &[f64]) -> Vec<&ReadLine> {
        let lines = self.lines.iter();
        lines.filter(|line| line.dashes_px == dashes_px).collect()
    }

    /// The text of the legend whose sample is at this height.
    pub fn legend_at(&self, sample: (f64, f64)) -> &str {
        let right = |word: &&ReadWord| word.x > sample.0 && (word.y - sample.1).abs() < 8.0;
        let words = self.words.iter().filter(right);
        let nearest = words.min_by(|a, b| a.x.total_cmp(&b.x));
        &nearest.unwrap().text
    }

    /// The value at a position of an axis, from where the numbers of two of its ticks stand.
    pub fn value(&self, [a, b]: [&str; 2], at: impl Fn(&ReadWord) -> f64, at_px: f64) -> f64 {
        let number = |text: &str| text.replace('−', "-").parse::<f64>().unwrap();
        let (from, to) = (at(self.word(a)), at(self.word(b)));
        number(a) + (at_px - from) / (to - from) * (number(b) - number(a))
    }
}

/// Fails if anything but ground is painted in the outer half of the edge.
pub fn assert_within_edges(svg: &str, size: &Size) {
    let painted = super::png::png(svg, 1).unwrap();
    let painted = resvg::tiny_skia::Pixmap::decode_png(&painted).unwrap();
    let ground = painted.pixel(0, 0).unwrap();
    let (width, edge) = (painted.width(), size.edge_px as u32 / 2);
    for (at, pixel) in painted.pixels().iter().enumerate() {
        let across = at as u32 % width;
        let is_edge = across < edge || across >= width - edge;
        assert!(!is_edge || *pixel == ground, "{across}");
    }
}

/// Fails if two words overlap, as wide as their texts are estimated.
pub fn assert_words_apart(picture: &ReadPicture, size_px: f64) {
    let span = |word: &ReadWord| {
        // On the narrow side: words that overlap here do in every font.
        let width = 0.8 * super::layout::width_px(&word.text, size_px);
        match word.anchor.as_str() {
            "end" => (word.x - width, word.x),
            "middle" => (word.x - width / 2.0, word.x + width / 2.0),
            _ => (word.x, word.x + width),
        }
    };
    for (at, word) in picture.words.iter().enumerate() {
        for other in &picture.words[at + 1..] {
            let ((left, right), (from, to)) = (span(word), span(other));
            let beside = right <= from || to <= left;
            let apart = (word.y - other.y).abs() >= 0.8 * size_px;
            assert!(beside || apart, "{word:?} {other:?}");
        }
    }
}
