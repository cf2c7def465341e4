//! The frame of a drawn plot: an axis each way with its ticks, and a legend below.

use super::layout::{Word, width_px};
use super::{GRID, INK, QUIET};
use crate::chart::draw::Colour;
use crate::chart::draw::shapes::{Shape, Stroke};
use crate::chart::label::{Anchor, Label};
use crate::chart::label_placement::Area;
use crate::chart::view::{Kind, LINE};

/// Least distance of ticks over the size of the text.
const TICKS_APART: f64 = 3.0;
/// More intervals than this are clutter.
const MOST_INTERVALS: f64 = 10.0;
/// Length of the sample of a line in the legend, over the size of the text.
const SAMPLE: f64 = 2.2;
/// Distance of entries of the legend, over the size of the text.
const ENTRIES_APART: f64 = 1.6;

/// A drawing with its words, in CSS pixels from its left top corner.
#[derive(Clone, Debug)]
pub struct Plot {
    /// Width.
    pub width_px: f64,
    /// Height.
    pub height_px: f64,
    /// Size of its words.
    pub text_px: f64,
    /// Lines, areas and marks, each above those before it.
    pub shapes: Vec<Shape>,
    /// Its words.
    pub words: Vec<Word>,
}

/// A straight scale from values to CSS pixels.
#[derive(Clone, Copy, Debug)]
pub struct Scale {
    /// The value at `from_px`.
    pub from: f64,
    /// The value at `to_px`.
    pub to: f64,
    /// Where the first value is.
    pub from_px: f64,
    /// Where the last value is.
    pub to_px: f64,
}

impl Scale {
    /// Where a value is, in CSS pixels.
    pub fn px(&self, value: f64) -> f64 {
        let share = (value - self.from) / (self.to - self.from).max(f64::MIN_POSITIVE);
        self.from_px + share * (self.to_px - self.from_px)
    }

    /// Round values with their numbers, at least `apart_px` apart.
    pub fn ticks(&self, apart_px: f64) -> Vec<(f64, String)> {
        let span = self.to - self.from;
        let most = ((self.to_px - self.from_px).abs() / apart_px).clamp(1.0, MOST_INTERVALS);
        let (step, decimals) = step(span / most);
        let first = (self.from / step - 1e-9).ceil();
        let count = ((self.to / step + 1e-9).floor() - first).clamp(0.0, 64.0) as u32;
        let value = |i: u32| (first + f64::from(i)) * step;
        let text = |value: f64| {
            let text = format!("{value:.decimals$}");
            match text.strip_prefix('-') {
                Some(zero) if value.abs() < step / 2.0 => zero.to_owned(),
                Some(number) => format!("−{number}"),
                None => text,
            }
        };
        (0..=count)
            .map(|i| (value(i), text(value(i))))
            .filter(|_| span > 0.0)
            .collect()
    }
}

/// The smallest of 1, 2 and 5 times a power of ten that is at least `least`, and the decimals that
/// its multiples need.
fn step(least: f64) -> (f64, usize) {
    let mut decade = 1e-6;
    let mut decimals: usize = 6;
    for _ in 0..24 {
        for factor in [1.0, 2.0, 5.0] {
            if decade * factor >= least * (1.0 - 1e-9) {
                return (decade * factor, decimals);
            }
        }
        decade *= 10.0;
        decimals = decimals.saturating_sub(1);
    }
    (least, 0)
}

/// What stands before an entry of the legend.
#[derive(Clone, Debug)]
pub enum Sample {
    /// A line, and a mark on it if it has one.
    Line(Stroke, Option<Mark>),
    /// A mark.
    Mark(Mark),
    /// An area.
    Area(Colour),
}

/// The form and colour of a mark.
#[derive(Clone, Copy, Debug)]
pub struct Mark {
    /// Its form.
    pub kind: Kind,
    /// Its colour.
    pub colour: Colour,
    /// The colour inside of a hollow mark; a full mark has none.
    pub inside: Option<Colour>,
}

impl Mark {
    /// This mark at a position.
    pub fn at(self, centre: (f64, f64)) -> Shape {
        Shape::Mark {
            kind: self.kind,
            centre,
            colour: self.colour,
            inside: self.inside,
        }
    }
}

impl Plot {
    /// An empty plot without height.
    pub fn new(width_px: f64, text_px: f64) -> Self {
        Self {
            width_px,
            height_px: 0.0,
            text_px,
            shapes: Vec::new(),
            words: Vec::new(),
        }
    }

    /// Height of a line of text.
    pub fn line_px(&self) -> f64 {
        self.text_px * LINE
    }

    /// Adds a line.
    pub fn line(&mut self, points: Vec<(f64, f64)>, stroke: Stroke) {
        self.shapes.push(Shape::Line { points, stroke });
    }

    /// Adds a word whose top is at `top_px`.
    pub fn word(&mut self, (x_px, y_px): (f64, f64), anchor: Anchor, text: &str, colour: Colour) {
        let label = Label {
            x_px,
            y_px,
            anchor,
            text: text.to_owned(),
        };
        self.words.push(Word { label, colour });
    }

    /// How far the numbers of these ticks reach to the left of their axis.
    pub fn numbers_px(&self, ticks: &[(f64, String)]) -> f64 {
        let widths = ticks.iter().map(|(_, text)| width_px(text, self.text_px));
        widths.fold(0.0, f64::max) + self.text_px / 2.0
    }

    /// Lines across at the ticks of an upright axis, with their numbers.
    pub(super) fn rows(&mut self, area: Area, scale: &Scale, ticks: &[(f64, String)]) {
        let half_line = self.line_px() / 2.0;
        for (value, text) in ticks {
            let y_px = scale.px(*value);
            self.line(vec![(area.left, y_px), (area.right, y_px)], grid(*value));
            let at = (area.left - self.text_px / 2.0, y_px - half_line);
            self.word(at, Anchor::End, text, QUIET);
        }
    }

    /// Lines down at the ticks of a level axis, with their numbers below the area.
    pub(super) fn columns(&mut self, area: Area, scale: &Scale, ticks: &[(f64, String)]) {
        let below = area.bottom + self.line_px() / 5.0;
        for (value, text) in ticks {
            let x_px = scale.px(*value);
            self.line(vec![(x_px, area.top), (x_px, area.bottom)], grid(1.0));
            self.word((x_px, below), Anchor::Middle, text, QUIET);
        }
    }

    /// Least distance of the ticks of an upright axis.
    pub fn rows_apart_px(&self) -> f64 {
        TICKS_APART * self.text_px
    }

    /// Puts a legend below what is there, in as many rows as it needs. The plot is as high as with it.
    pub fn legend(&mut self, entries: &[(Sample, String)]) {
        let (sample_px, line_px) = (SAMPLE * self.text_px, self.line_px());
        let (mut left, mut top) = (0.0, self.height_px + line_px / 4.0);
        for (sample, text) in entries {
            let gap = self.text_px / 2.0;
            let wide = sample_px + gap + width_px(text, self.text_px);
            if left > 0.0 && left + wide > self.width_px {
                (left, top) = (0.0, top + line_px);
            }
            let middle = top + line_px / 2.0;
            let ends = vec![(left, middle), (left + sample_px, middle)];
            let centre = (left + sample_px / 2.0, middle);
            match sample {
                Sample::Line(stroke, mark) => {
                    self.line(ends, *stroke);
                    self.shapes.extend(mark.map(|mark| mark.at(centre)));
                }
                Sample::Mark(mark) => self.shapes.push(mark.at(centre)),
                Sample::Area(colour) => {
                    let (up, down) = (middle - line_px / 3.0, middle + line_px / 3.0);
                    let right = left + sample_px;
                    self.shapes.push(Shape::Area {
                        outline: vec![(left, up), (right, up), (right, down), (left, down)],
                        colour: *colour,
                    });
                }
            }
            self.word((left + sample_px + gap, top), Anchor::Start, text, INK);
            left += wide + ENTRIES_APART * self.text_px;
        }
        if !entries.is_empty() {
            self.height_px = top + line_px * 1.5;
        }
    }
}

/// A line of the grid; that of zero is darker.
fn grid(value: f64) -> Stroke {
    Stroke {
        colour: if value == 0.0 { QUIET } else { GRID },
        width_px: 0.75,
        dashes_px: &[],
    }
}

/// Points of a line, in rising order of x, with at most four in each column one pixel wide: the
/// first, the lowest, the highest and the last of the column. The line covers the same pixels as
/// the line through all points, and a log of 61,000 samples does not become a file of megabytes.
pub fn by_columns(points: impl Iterator<Item = (f64, f64)>) -> Vec<(f64, f64)> {
    let mut kept = Vec::new();
    let mut column: Vec<(f64, f64)> = Vec::new();
    for point in points {
        if column
            .first()
            .is_some_and(|first| first.0.floor() != point.0.floor())
        {
            keep(&mut kept, &column);
            column.clear();
        }
        column.push(point);
    }
    keep(&mut kept, &column);
    kept
}

/// Adds the first, lowest, highest and last point of a column in their order.
fn keep(kept: &mut Vec<(f64, f64)>, column: &[(f64, f64)]) {
    let by_height = |a: &(usize, &(f64, f64)), b: &(usize, &(f64, f64))| a.1.1.total_cmp(&b.1.1);
    let least = column.iter().enumerate().min_by(by_height);
    let most = column.iter().enumerate().max_by(by_height);
    let last = column.len().checked_sub(1);
    let ends = [
        last.map(|_| 0),
        least.map(|(at, _)| at),
        most.map(|(at, _)| at),
        last,
    ];
    let mut indices: Vec<usize> = ends.into_iter().flatten().collect();
    indices.sort_unstable();
    indices.dedup();
    kept.extend(indices.into_iter().filter_map(|at| column.get(at)));
}

#[cfg(test)]
mod tests {
    use super::*;

    fn scale(from: f64, to: f64) -> Scale {
        Scale {
            from,
            to,
            from_px: 0.0,
            to_px: 500.0,
        }
    }

    #[test]
    fn ticks_are_round_numbers_within_the_scale() {
        let texts = |from, to| -> Vec<String> {
            let ticks = scale(from, to).ticks(90.0);
            ticks.into_iter().map(|(_, text)| text).collect()
        };
        assert_eq!(texts(0.0, 5.0), ["0", "1", "2", "3", "4", "5"]);
        assert_eq!(
            texts(-0.3, 0.9),
            ["−0.0", "0.5"].map(|t| t.replace("−0.0", "0.0"))
        );
        assert_eq!(texts(-120.0, 310.0), ["−100", "0", "100", "200", "300"]);
        assert_eq!(texts(612.4, 690.0), ["620", "640", "660", "680"]);
        assert_eq!(texts(3.0, 3.0), [""; 0]);
    }

    #[test]
    fn a_scale_puts_its_ends_where_they_are_said_to_be() {
        let upright = Scale {
            from: 10.0,
            to: 20.0,
            from_px: 300.0,
            to_px: 100.0,
        };
        assert_eq!(
            [10.0, 15.0, 20.0].map(|value| upright.px(value)),
            [300.0, 200.0, 100.0]
        );
    }

    #[test]
    fn a_column_keeps_its_ends_and_its_extremes_in_their_order() {
        let column = [(3.0, 5.0), (3.2, 9.0), (3.4, 6.0), (3.6, 1.0), (3.9, 4.0)];
        let all = column.into_iter().chain([(4.1, 2.0)]);
        let kept = [(3.0, 5.0), (3.2, 9.0), (3.6, 1.0), (3.9, 4.0), (4.1, 2.0)];
        assert_eq!(by_columns(all), kept);
        let many = (0..61_000).map(|i| (f64::from(i) * 900.0 / 61_000.0, f64::from(i % 7)));
        assert!(by_columns(many).len() <= 3600);
        assert_eq!(
            by_columns([(1.0, 2.0), (1.5, 2.0)].into_iter()),
            [(1.0, 2.0), (1.5, 2.0)]
        );
    }

    #[test]
    fn a_legend_stays_within_its_width() {
        let entry = || (Sample::Area(GRID), "some words of a legend".to_owned());
        let mut plot = Plot::new(400.0, 15.0);
        plot.legend(&[entry(), entry(), entry()]);
        let tops: Vec<f64> = plot.words.iter().map(|word| word.label.y_px).collect();
        assert!(tops.windows(2).all(|pair| pair[1] > pair[0]), "{tops:?}");
        assert!(plot.height_px > tops[2] + plot.line_px());
    }
}
