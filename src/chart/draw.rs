//! The lines and marks of a chart on anything that takes lines and areas. No text: words are set by
//! the shell.

use super::view::{DrawnCurve, Kind, View};
use serde::{Deserialize, Serialize};

/// Red, green and blue.
#[cfg_attr(target_arch = "wasm32", tsify::declare)]
pub type Colour = (u8, u8, u8);

/// What a chart looks like.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub struct Look {
    /// Pixels of the device for each CSS pixel. At least [`LEAST_RATIO`] are drawn.
    pub ratio: f64,
    /// The ground, inside of the marks.
    pub ground: Colour,
    /// Lines of the grid.
    pub grid: Colour,
    /// The needed line.
    pub needed: Colour,
    /// The curves in their order; the last serves for all that follow.
    pub curves: Vec<Colour>,
}

/// What a chart is drawn on. Places and lengths are in drawn pixels from the left top corner.
pub trait Surface {
    /// Lines from point to point, with dashes and gaps of these lengths in turn; without any, whole.
    fn line(&mut self, points: &[(f64, f64)], colour: Colour, width: f64, dashes: &[f64]);

    /// The area within an outline, which lets through what lies below as far as `opacity` is below 1.
    fn area(&mut self, outline: &[(f64, f64)], colour: Colour, opacity: f64);

    /// A disc.
    fn disc(&mut self, centre: (f64, f64), radius: f64, colour: Colour);
}

/// Fewer pixels for each CSS pixel blur what lies between them.
pub const LEAST_RATIO: f64 = 2.0;
/// More than any screen or printer shows.
const MOST_RATIO: f64 = 4.0;

/// Sizes in CSS pixels.
const GRID: f64 = 0.5;
const NEEDED: f64 = 1.5;
const CURVE: f64 = 2.5;
const RUN: f64 = 1.0;
const MARK_RADIUS: f64 = 4.5;
const MARK_EDGE: f64 = 2.0;

/// How much of its curve's colour a band has.
const BAND_OPACITY: f64 = 0.16;

impl Look {
    /// Pixels that are drawn for each CSS pixel.
    pub fn drawn_ratio(&self) -> f64 {
        if self.ratio > LEAST_RATIO {
            self.ratio.min(MOST_RATIO)
        } else {
            LEAST_RATIO
        }
    }

    /// Width and height in drawn pixels of the surface that `view` needs.
    pub fn surface(&self, view: &View) -> (u32, u32) {
        let side = |px: f64| (px * self.drawn_ratio()).round().max(1.0) as u32;
        (side(view.frame.width_px), side(view.frame.height_px))
    }

    /// How many drawn pixels make one of the device.
    fn pixel(&self) -> f64 {
        let pixel = self.drawn_ratio() / self.ratio;
        if (1.0..=LEAST_RATIO).contains(&pixel) {
            pixel.round()
        } else {
            1.0
        }
    }

    fn curve(&self, place: usize) -> Colour {
        let colour = self.curves.get(place).or(self.curves.last());
        colour.copied().unwrap_or(self.needed)
    }
}

/// Draws `view` on a surface as large as [`Look::surface`] says.
pub fn draw(view: &View, look: &Look, surface: &mut impl Surface) {
    let mut pen = Pen {
        surface,
        ratio: look.drawn_ratio(),
        pixel: look.pixel(),
    };
    let (left, right) = (view.left_px, view.right_px);
    let (top, bottom) = (view.top_px, view.bottom_px);
    for tick in &view.torque_ticks {
        pen.straight((left, tick.at_px), (right, tick.at_px), look.grid, GRID);
    }
    for tick in &view.time_ticks {
        pen.straight((tick.at_px, top), (tick.at_px, bottom), look.grid, GRID);
    }
    if let Some(band) = &view.band {
        pen.area(&band.outline, look.curve(0), BAND_OPACITY);
    }
    for run in &view.runs {
        pen.line(run, look.curve(0), RUN, &[]);
    }
    let needed_px = view.needed_px;
    pen.straight((left, needed_px), (right, needed_px), look.needed, NEEDED);
    // The first curve is the one asked for: it lies above the others.
    for (place, curve) in view.curves.iter().enumerate().rev() {
        let dashes = match curve.estimate {
            true => ESTIMATE,
            false => dashes(curve.kind),
        };
        pen.line(&curve.points, look.curve(place), CURVE, dashes);
        pen.marks(curve, look.curve(place), look.ground);
    }
}

/// Dashes of an estimate, whatever its kind, in CSS pixels.
const ESTIMATE: &[f64] = &[2.5, 7.0];

/// Dashes and gaps in CSS pixels.
fn dashes(kind: Kind) -> &'static [f64] {
    match kind {
        Kind::Full => &[],
        Kind::Dashed => &[9.0, 5.0],
        Kind::Dotted => &[2.5, 3.5],
        Kind::Dashdot => &[14.0, 4.0, 2.5, 4.0],
        Kind::Dashdots => &[14.0, 4.0, 2.5, 4.0, 2.5, 4.0],
    }
}

/// Corners of a mark, from its centre, over its radius; none for a disc.
fn corners(kind: Kind) -> &'static [(f64, f64)] {
    match kind {
        Kind::Full => &[],
        Kind::Dashed => &[(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)],
        Kind::Dotted => &[(0.0, -1.3), (1.3, 1.0), (-1.3, 1.0)],
        Kind::Dashdot => &[(0.0, -1.4), (1.4, 0.0), (0.0, 1.4), (-1.4, 0.0)],
        Kind::Dashdots => &[(0.0, 1.3), (1.3, -1.0), (-1.3, -1.0)],
    }
}

/// A surface with its scale.
struct Pen<'a, S> {
    surface: &'a mut S,
    ratio: f64,
    pixel: f64,
}

impl<S: Surface> Pen<'_, S> {
    fn scaled(&self, points: &[(f64, f64)]) -> Vec<(f64, f64)> {
        let scaled = |&(x, y): &(f64, f64)| (x * self.ratio, y * self.ratio);
        points.iter().map(scaled).collect()
    }

    fn line(&mut self, points: &[(f64, f64)], colour: Colour, width_px: f64, dashes_px: &[f64]) {
        let points = self.scaled(points);
        let dashes: Vec<f64> = dashes_px.iter().map(|px| px * self.ratio).collect();
        self.surface
            .line(&points, colour, width_px * self.ratio, &dashes);
    }

    /// A line straight down or across whose edges lie between pixels of the device.
    fn straight(&mut self, from: (f64, f64), to: (f64, f64), colour: Colour, width_px: f64) {
        let whole = |length: f64| (length / self.pixel).round() * self.pixel;
        let width = whole(width_px * self.ratio).max(self.pixel);
        let edge = |px: f64| whole(px * self.ratio - width / 2.0) + width / 2.0;
        let points = [from, to].map(|(x, y)| (edge(x), edge(y)));
        self.surface.line(&points, colour, width, &[]);
    }

    fn area(&mut self, outline: &[(f64, f64)], colour: Colour, opacity: f64) {
        let outline = self.scaled(outline);
        self.surface.area(&outline, colour, opacity);
    }

    /// The marks of a curve: hollow where it crosses the needed line, full at its end, hollow too if it is
    /// an estimate.
    fn marks(&mut self, curve: &DrawnCurve, colour: Colour, ground: Colour) {
        if let Some(&end) = curve.points.last() {
            self.mark(curve.kind, end, 1.0, colour);
            if curve.estimate {
                self.mark(curve.kind, end, 1.0 - MARK_EDGE / MARK_RADIUS, ground);
            }
        }
        if let Some(crossing) = &curve.crossing {
            let centre = (crossing.x_px, crossing.y_px);
            self.mark(curve.kind, centre, 1.0, colour);
            self.mark(curve.kind, centre, 1.0 - MARK_EDGE / MARK_RADIUS, ground);
        }
    }

    /// A full mark, as large as marks are times `size`.
    fn mark(&mut self, kind: Kind, (x, y): (f64, f64), size: f64, colour: Colour) {
        let radius_px = MARK_RADIUS * size;
        let corners = corners(kind);
        if corners.is_empty() {
            let centre = (x * self.ratio, y * self.ratio);
            self.surface.disc(centre, radius_px * self.ratio, colour);
            return;
        }
        let corner = |&(across, down): &(f64, f64)| (x + radius_px * across, y + radius_px * down);
        let outline: Vec<_> = corners.iter().map(corner).collect();
        self.area(&outline, colour, 1.0);
    }
}

#[cfg(all(test, not(target_arch = "wasm32")))]
mod tests {
    use super::super::tests::{demo, question, view};
    use super::super::view::KINDS;
    use super::*;

    /// What was drawn.
    #[derive(Clone, Debug, PartialEq)]
    enum Ink {
        Line {
            points: Vec<(f64, f64)>,
            width: f64,
            dashes: Vec<f64>,
        },
        Area(Vec<(f64, f64)>),
        Disc((f64, f64), f64),
    }

    impl Ink {
        /// Left, top, right and bottom.
        fn bounds(&self) -> (f64, f64, f64, f64) {
            let (points, half) = match self {
                Self::Line { points, width, .. } => (points.clone(), width / 2.0),
                Self::Area(points) => (points.clone(), 0.0),
                Self::Disc(centre, radius) => (vec![*centre], *radius),
            };
            let beyond = (f64::INFINITY, f64::INFINITY, -f64::INFINITY, -f64::INFINITY);
            points
                .iter()
                .fold(beyond, |(left, top, right, bottom), &(x, y)| {
                    (
                        left.min(x - half),
                        top.min(y - half),
                        right.max(x + half),
                        bottom.max(y + half),
                    )
                })
        }
    }

    #[derive(Default)]
    struct Recorder(Vec<Ink>);

    impl Surface for Recorder {
        fn line(&mut self, points: &[(f64, f64)], _: Colour, width: f64, dashes: &[f64]) {
            self.0.push(Ink::Line {
                points: points.to_vec(),
                width,
                dashes: dashes.to_vec(),
            });
        }

        fn area(&mut self, outline: &[(f64, f64)], _: Colour, _: f64) {
            self.0.push(Ink::Area(outline.to_vec()));
        }

        fn disc(&mut self, centre: (f64, f64), radius: f64, _: Colour) {
            self.0.push(Ink::Disc(centre, radius));
        }
    }

    fn look(ratio: f64) -> Look {
        Look {
            ratio,
            ground: (255, 255, 255),
            grid: (200, 200, 200),
            needed: (90, 40, 100),
            curves: vec![(0, 0, 0), (0, 90, 160)],
        }
    }

    fn recorded(view: &View, look: &Look) -> Vec<Ink> {
        let mut recorder = Recorder::default();
        draw(view, look, &mut recorder);
        recorder.0
    }

    #[test]
    fn all_ink_stays_on_the_surface() {
        let results = demo();
        for job in ["20 N·m", "150 N·m", "9000 N·m"] {
            for ratio in [1.0, 2.0, 3.0] {
                let look = look(ratio);
                let view = view(&results, &question(job, None), 328.0);
                let (width, height) = look.surface(&view);
                let ink = recorded(&view, &look);
                assert!(ink.len() > 15);
                for ink in ink {
                    let (left, top, right, bottom) = ink.bounds();
                    assert!(left >= 0.0 && right <= f64::from(width), "{ink:?}");
                    assert!(top >= 0.0 && bottom <= f64::from(height), "{ink:?}");
                }
            }
        }
    }

    #[test]
    fn a_curve_is_one_line_through_its_crossing() {
        let results = demo();
        let pair = Some(("sorrel-18-medium", "two-row-5-0"));
        let view = view(&results, &question("150 N·m", pair), 640.0);
        let curve = &view.curves[0];
        let crossing = curve.crossing.clone().unwrap();
        let through = recorded(&view, &look(2.0))
            .into_iter()
            .any(|ink| match ink {
                Ink::Line { points, width, .. } => {
                    width == 2.0 * CURVE
                        && points.len() == curve.points.len()
                        && points.contains(&(2.0 * crossing.x_px, 2.0 * crossing.y_px))
                }
                _ => false,
            });
        assert!(through);
    }

    #[test]
    fn edges_of_straight_lines_lie_between_pixels_of_the_device() {
        let results = demo();
        let view = view(&results, &question("150 N·m", None), 333.0);
        // Pixels of the device for each CSS pixel, and drawn pixels for each of the device.
        for (ratio, pixel) in [(1.0, 2.0), (2.0, 1.0), (3.0, 1.0), (1.5, 1.0), (0.1, 1.0)] {
            let look = look(ratio);
            let mut straight = 0;
            for ink in recorded(&view, &look) {
                let Ink::Line { points, width, .. } = ink else {
                    continue;
                };
                if let &[(x0, y0), (x1, y1)] = points.as_slice() {
                    assert!(x0 == x1 || y0 == y1);
                    let at = if x0 == x1 { x0 } else { y0 };
                    for edge in [at - width / 2.0, at + width / 2.0] {
                        assert_eq!((edge / pixel).fract(), 0.0, "{ratio}: {at} {width}");
                    }
                    straight += 1;
                }
            }
            assert_eq!(
                straight,
                view.time_ticks.len() + view.torque_ticks.len() + 1
            );
        }
    }

    #[test]
    fn lines_and_surface_grow_with_the_ratio_and_never_below_two() {
        let results = demo();
        let view = view(&results, &question("150 N·m", None), 640.0);
        assert_eq!(look(1.0).surface(&view), (1280, 480));
        assert_eq!(look(3.0).surface(&view), (1920, 720));
        for odd in [f64::NAN, -1.0, 0.0] {
            assert_eq!(look(odd).drawn_ratio(), 2.0);
            assert_eq!(look(odd).pixel(), 1.0);
        }
        assert_eq!(look(1e9).drawn_ratio(), 4.0);
        let widest = |ratio| {
            let width = |ink: &Ink| match ink {
                Ink::Line { width, .. } => *width,
                _ => 0.0,
            };
            let ink = recorded(&view, &look(ratio));
            ink.iter().map(width).fold(0.0, f64::max)
        };
        assert_eq!((widest(2.0), widest(4.0)), (5.0, 10.0));
    }

    #[test]
    fn curves_differ_without_colour() {
        for (place, kind) in KINDS.into_iter().enumerate() {
            for other in KINDS.into_iter().skip(place + 1) {
                assert_ne!(dashes(kind), dashes(other));
                assert_ne!(dashes(kind), ESTIMATE);
                assert_ne!(corners(kind), corners(other));
            }
        }
        let results = demo();
        let view = view(&results, &question("150 N·m", None), 640.0);
        let drawn: Vec<Vec<f64>> = recorded(&view, &look(2.0))
            .into_iter()
            .filter_map(|ink| match ink {
                Ink::Line {
                    width: 5.0, dashes, ..
                } => Some(dashes),
                _ => None,
            })
            .collect();
        // From the last to the first, which lies above the others.
        assert_eq!(drawn, [vec![5.0, 7.0], vec![18.0, 10.0], vec![]]);
    }
}
