//! The lines and marks of a chart, drawn on any of plotters' backends. No text: words are set by the
//! shell.

use super::view::{DrawnCurve, Kind, View};
use plotters_backend::{
    BackendColor, BackendCoord, BackendStyle, DrawingBackend, DrawingErrorKind,
};
use serde::{Deserialize, Serialize};

/// Red, green and blue.
#[cfg_attr(target_arch = "wasm32", tsify::declare)]
pub type Colour = (u8, u8, u8);

/// What a chart looks like.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub struct Theme {
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

/// Coordinates for each drawn pixel. A backend's coordinates and widths are whole numbers: of whole
/// pixels curves would be staircases.
pub const COORDINATES: u32 = 8;

/// A backend that draws dashed lines too. Its coordinates are parts of a drawn pixel,
/// [`COORDINATES`] of them each, from the left top corner.
pub trait DashingBackend: DrawingBackend {
    /// The lengths of dashes and gaps in turn, in coordinates, of the lines drawn from now on; without
    /// any they are full.
    fn set_dashes(&mut self, lengths: &[u32]);
}

/// What a drawing ends with.
pub type Drawn<B> = Result<(), DrawingErrorKind<<B as DrawingBackend>::ErrorType>>;

/// Fewer pixels for each CSS pixel blur what lies between them.
pub const LEAST_RATIO: f64 = 2.0;
/// More than any screen or printer shows.
const MOST_RATIO: f64 = 4.0;

/// Width of the lines of the grid in CSS pixels.
pub const GRID: f64 = 0.5;
/// Width of the needed line in CSS pixels.
pub const NEEDED: f64 = 1.5;
/// Width of a curve in CSS pixels.
pub const CURVE: f64 = 2.5;
/// Width of the first curve in a crowd in CSS pixels, and of the others.
pub const IN_CROWD: (f64, f64) = (4.0, 1.5);
/// Width of the curve of a run in CSS pixels.
const RUN: f64 = 1.0;
/// Half the width of a mark in CSS pixels.
pub const MARK_RADIUS: f64 = 4.5;
/// Width of the edge of a hollow mark in CSS pixels.
pub const MARK_EDGE: f64 = 2.0;

/// How much of its curve's colour a band has.
pub const BAND_OPACITY: f64 = 0.16;

impl Theme {
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

    fn curve(&self, index: usize) -> Colour {
        let colour = self.curves.get(index).or(self.curves.last());
        colour.copied().unwrap_or(self.needed)
    }
}

/// Draws `view` on a backend as large as [`Theme::surface`] says.
///
/// # Errors
///
/// As the backend.
pub fn draw<B: DashingBackend>(view: &View, look: &Theme, backend: &mut B) -> Drawn<B> {
    backend.ensure_prepared()?;
    let mut pen = Pen {
        backend,
        ratio: look.drawn_ratio(),
        pixel: look.pixel(),
    };
    let (left, right) = (view.left_px, view.right_px);
    let (top, bottom) = (view.top_px, view.bottom_px);
    for tick in &view.torque_ticks {
        pen.straight((left, tick.at_px), (right, tick.at_px), look.grid, GRID)?;
    }
    for tick in &view.time_ticks {
        pen.straight((tick.at_px, top), (tick.at_px, bottom), look.grid, GRID)?;
    }
    if let Some(band) = &view.band {
        pen.area(&band.outline, look.curve(0), BAND_OPACITY)?;
    }
    for run in &view.runs {
        pen.line(run, look.curve(0), RUN, &[])?;
    }
    let at = view.needed_px;
    let (from, to) = match view.upright {
        true => ((at, top), (at, bottom)),
        false => ((left, at), (right, at)),
    };
    pen.straight(from, to, look.needed, NEEDED)?;
    // The first curve is the one asked for: it lies above the others.
    for (index, curve) in view.curves.iter().enumerate().rev() {
        let dashes = match curve.estimate {
            true => ESTIMATE,
            false => dashes(curve.kind),
        };
        let width = width(view, index);
        pen.line(&curve.points, look.curve(index), width, dashes)?;
        pen.marks(curve, look.curve(index), look.ground)?;
    }
    pen.backend.present()
}

/// Width of the curve at an index in CSS pixels.
pub fn width(view: &View, index: usize) -> f64 {
    match (view.crowded, index) {
        (false, _) => CURVE,
        (true, 0) => IN_CROWD.0,
        (true, _) => IN_CROWD.1,
    }
}

/// Dashes of an estimate, whatever its kind, in CSS pixels.
pub const ESTIMATE: &[f64] = &[2.5, 7.0];

/// Dashes and gaps in CSS pixels.
pub fn dashes(kind: Kind) -> &'static [f64] {
    match kind {
        Kind::Full => &[],
        Kind::Dashed => &[9.0, 5.0],
        Kind::Dotted => &[2.5, 3.5],
        Kind::Dashdot => &[14.0, 4.0, 2.5, 4.0],
        Kind::Dashdots => &[14.0, 4.0, 2.5, 4.0, 2.5, 4.0],
    }
}

/// Corners of a mark, from its centre, over its radius; none for a disc.
pub fn corners(kind: Kind) -> &'static [(f64, f64)] {
    match kind {
        Kind::Full => &[],
        Kind::Dashed => &[(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)],
        Kind::Dotted => &[(0.0, -1.3), (1.3, 1.0), (-1.3, 1.0)],
        Kind::Dashdot => &[(0.0, -1.4), (1.4, 0.0), (0.0, 1.4), (-1.4, 0.0)],
        Kind::Dashdots => &[(0.0, 1.3), (1.3, -1.0), (-1.3, -1.0)],
    }
}

/// What a line or an area is drawn with.
struct Ink {
    colour: Colour,
    /// 1 hides what lies below, 0 is not to be seen.
    opacity: f64,
    /// In coordinates.
    width: u32,
}

impl BackendStyle for Ink {
    fn color(&self) -> BackendColor {
        BackendColor {
            alpha: self.opacity,
            rgb: self.colour,
        }
    }

    fn stroke_width(&self) -> u32 {
        self.width
    }
}

/// A backend with its scale.
struct Pen<'a, B> {
    backend: &'a mut B,
    /// Drawn pixels for each CSS pixel.
    ratio: f64,
    /// Drawn pixels for each of the device.
    pixel: f64,
}

/// A length in drawn pixels, in the nearest whole number of coordinates.
fn coordinates(length: f64) -> i32 {
    (length * f64::from(COORDINATES)).round() as i32
}

/// The same of a length that is not negative.
fn extent(length: f64) -> u32 {
    (length * f64::from(COORDINATES)).round() as u32
}

impl<B: DashingBackend> Pen<'_, B> {
    /// A position in CSS pixels.
    fn at(&self, (x, y): (f64, f64)) -> BackendCoord {
        (coordinates(x * self.ratio), coordinates(y * self.ratio))
    }

    fn line(
        &mut self,
        points: &[(f64, f64)],
        colour: Colour,
        width_px: f64,
        dashes_px: &[f64],
    ) -> Drawn<B> {
        let dashes: Vec<u32> = dashes_px.iter().map(|px| extent(px * self.ratio)).collect();
        self.backend.set_dashes(&dashes);
        let points: Vec<BackendCoord> = points.iter().map(|&point| self.at(point)).collect();
        let ink = Ink {
            colour,
            opacity: 1.0,
            width: extent(width_px * self.ratio),
        };
        self.backend.draw_path(points, &ink)
    }

    /// A line straight down or across whose edges lie between pixels of the device.
    fn straight(
        &mut self,
        from: (f64, f64),
        to: (f64, f64),
        colour: Colour,
        width_px: f64,
    ) -> Drawn<B> {
        let whole = |length: f64| (length / self.pixel).round() * self.pixel;
        let width = whole(width_px * self.ratio).max(self.pixel);
        let edge = |px: f64| whole(px * self.ratio - width / 2.0) + width / 2.0;
        let points = [from, to].map(|(x, y)| (coordinates(edge(x)), coordinates(edge(y))));
        let ink = Ink {
            colour,
            opacity: 1.0,
            width: extent(width),
        };
        self.backend.set_dashes(&[]);
        self.backend.draw_path(points, &ink)
    }

    fn area(&mut self, outline: &[(f64, f64)], colour: Colour, opacity: f64) -> Drawn<B> {
        let outline: Vec<BackendCoord> = outline.iter().map(|&point| self.at(point)).collect();
        let ink = Ink {
            colour,
            opacity,
            width: 0,
        };
        self.backend.fill_polygon(outline, &ink)
    }

    /// The marks of a curve: hollow where it crosses the needed line, full at its end, hollow too if it is
    /// an estimate.
    fn marks(&mut self, curve: &DrawnCurve, colour: Colour, ground: Colour) -> Drawn<B> {
        if let Some(&end) = curve.points.last() {
            self.mark(curve.kind, end, 1.0, colour)?;
            if curve.estimate {
                self.mark(curve.kind, end, 1.0 - MARK_EDGE / MARK_RADIUS, ground)?;
            }
        }
        if let Some(crossing) = &curve.crossing {
            let centre = (crossing.x_px, crossing.y_px);
            self.mark(curve.kind, centre, 1.0, colour)?;
            self.mark(curve.kind, centre, 1.0 - MARK_EDGE / MARK_RADIUS, ground)?;
        }
        Ok(())
    }

    /// A full mark, as large as marks are times `size`.
    fn mark(&mut self, kind: Kind, (x, y): (f64, f64), size: f64, colour: Colour) -> Drawn<B> {
        let radius_px = MARK_RADIUS * size;
        let corners = corners(kind);
        if corners.is_empty() {
            let ink = Ink {
                colour,
                opacity: 1.0,
                width: 0,
            };
            let radius = extent(radius_px * self.ratio);
            return self
                .backend
                .draw_circle(self.at((x, y)), radius, &ink, true);
        }
        let corner = |&(across, down): &(f64, f64)| (x + radius_px * across, y + radius_px * down);
        let outline: Vec<_> = corners.iter().map(corner).collect();
        self.area(&outline, colour, 1.0)
    }
}

#[cfg(not(target_arch = "wasm32"))]
pub mod shapes;
#[cfg(all(test, not(target_arch = "wasm32")))]
mod tests;
