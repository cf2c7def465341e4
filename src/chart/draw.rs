//! The lines and marks of a chart on any plotters backend. No text: words are set by the shell.

use super::view::{DrawnCurve, Kind, View};
use plotters::coord::Shift;
use plotters::drawing::{DrawingArea, DrawingAreaErrorKind, IntoDrawingArea};
use plotters::element::{Circle, DashedPathElement, PathElement, Polygon};
use plotters::style::{RGBColor, ShapeStyle};
use plotters::backend::DrawingBackend;
use serde::{Deserialize, Serialize};

/// Red, green and blue.
pub type Colour = (u8, u8, u8);

/// What a chart looks like.
#[derive(Clone, Debug, PartialEq, Deserialize, Serialize)]
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

/// Coordinates are whole pixels: with fewer for each CSS pixel, slopes become stairs.
pub const LEAST_RATIO: f64 = 2.0;
/// More than any screen or printer shows.
const MOST_RATIO: f64 = 4.0;

/// Sizes in CSS pixels.
const GRID: f64 = 0.5;
const NEEDED: f64 = 1.5;
const CURVE: f64 = 2.5;
const MARK_RADIUS: f64 = 4.5;
const MARK_EDGE: f64 = 2.0;

impl Look {
    /// Pixels that are drawn for each CSS pixel.
    pub fn drawn_ratio(&self) -> f64 {
        self.ratio.max(LEAST_RATIO).min(MOST_RATIO)
    }

    /// Width and height in drawn pixels of the surface that `view` needs.
    pub fn surface(&self, view: &View) -> (u32, u32) {
        let side = |px: f64| (px * self.drawn_ratio()).round().max(1.0) as u32;
        (side(view.frame.width_px), side(view.frame.height_px))
    }

    fn curve(&self, place: usize) -> Colour {
        let colour = self.curves.get(place).or(self.curves.last());
        colour.copied().unwrap_or(self.needed)
    }
}

/// Draws `view` on `backend`, whose surface is as large as [`Look::surface`] says.
///
/// # Errors
///
/// Those of the backend.
pub fn draw<B: DrawingBackend>(
    view: &View,
    look: &Look,
    backend: B,
) -> Result<(), DrawingAreaErrorKind<B::ErrorType>> {
    let pen = Pen {
        area: backend.into_drawing_area(),
        ratio: look.drawn_ratio(),
    };
    let (left, right) = (view.left_px, view.right_px);
    for tick in &view.torque_ticks {
        let line = [(left, tick.at_px), (right, tick.at_px)];
        pen.line(&line, Dash::None, look.grid, GRID)?;
    }
    for tick in &view.time_ticks {
        let line = [(tick.at_px, view.top_px), (tick.at_px, view.bottom_px)];
        pen.line(&line, Dash::None, look.grid, GRID)?;
    }
    let needed = [(left, view.needed_px), (right, view.needed_px)];
    pen.line(&needed, Dash::None, look.needed, NEEDED)?;
    // The first curve is the one asked for: it lies above the others.
    for (place, curve) in view.curves.iter().enumerate().rev() {
        pen.line(
            &curve.points,
            Dash::of(curve.kind),
            look.curve(place),
            CURVE,
        )?;
        pen.marks(curve, look.curve(place), look.ground)?;
    }
    pen.area.present()
}

/// Dash and gap in CSS pixels.
enum Dash {
    None,
    Of(f64, f64),
}

impl Dash {
    fn of(kind: Kind) -> Self {
        match kind {
            Kind::Full => Self::None,
            Kind::Dashed => Self::Of(9.0, 5.0),
            Kind::Dotted => Self::Of(3.0, 4.0),
        }
    }
}

/// A drawing area with its scale.
struct Pen<B: DrawingBackend> {
    area: DrawingArea<B, Shift>,
    ratio: f64,
}

type Drawn<B> = Result<(), DrawingAreaErrorKind<<B as DrawingBackend>::ErrorType>>;

impl<B: DrawingBackend> Pen<B> {
    fn scaled(&self, px: f64) -> i32 {
        (px * self.ratio).round() as i32
    }

    fn pixels(&self, points: &[(f64, f64)]) -> Vec<(i32, i32)> {
        let pixel = |&(x, y): &(f64, f64)| (self.scaled(x), self.scaled(y));
        points.iter().map(pixel).collect()
    }

    fn stroke(&self, colour: Colour, width_px: f64) -> ShapeStyle {
        let width = self.scaled(width_px).max(1).unsigned_abs();
        ShapeStyle::from(rgb(colour)).stroke_width(width)
    }

    fn line(
        &self,
        points: &[(f64, f64)],
        dash: Dash,
        colour: Colour,
        width_px: f64,
    ) -> Drawn<B> {
        let (pixels, style) = (self.pixels(points), self.stroke(colour, width_px));
        match dash {
            Dash::None => self.area.draw(&PathElement::new(pixels, style)),
            Dash::Of(dash, gap) => self.area.draw(&DashedPathElement::new(
                pixels,
                self.scaled(dash).max(1),
                self.scaled(gap).max(1),
                style,
            )),
        }
    }

    /// The marks of a curve: hollow where it crosses the needed line, full at its end.
    fn marks(&self, curve: &DrawnCurve, colour: Colour, ground: Colour) -> Drawn<B> {
        if let Some(&end) = curve.points.last() {
            self.mark(curve.kind, end, colour, colour)?;
        }
        match &curve.crossing {
            Some(crossing) => {
                self.mark(curve.kind, (crossing.x_px, crossing.y_px), colour, ground)
            }
            None => Ok(()),
        }
    }

    fn mark(&self, kind: Kind, (x, y): (f64, f64), edge: Colour, inside: Colour) -> Drawn<B> {
        let (edge, inside) = (
            self.stroke(edge, MARK_EDGE),
            ShapeStyle::from(rgb(inside)).filled(),
        );
        let r = MARK_RADIUS;
        let corners: &[(f64, f64)] = match kind {
            Kind::Full => {
                let (centre, radius) = ((self.scaled(x), self.scaled(y)), self.scaled(r));
                self.area.draw(&Circle::new(centre, radius, inside))?;
                return self.area.draw(&Circle::new(centre, radius, edge));
            }
            Kind::Dashed => &[(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)],
            Kind::Dotted => &[(0.0, -1.2), (1.15, 0.9), (-1.15, 0.9)],
        };
        let mut outline: Vec<(f64, f64)> = corners
            .iter()
            .map(|(dx, dy)| (x + r * dx, y + r * dy))
            .collect();
        outline.extend(outline.first().copied());
        // The first edge once more, so that the corner where the outline closes is a corner too.
        outline.extend(outline.get(1).copied());
        self.area
            .draw(&Polygon::new(self.pixels(&outline), inside))?;
        self.area
            .draw(&PathElement::new(self.pixels(&outline), edge))
    }
}

fn rgb((red, green, blue): Colour) -> RGBColor {
    RGBColor(red, green, blue)
}
