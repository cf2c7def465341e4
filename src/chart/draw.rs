//! The lines and marks of a chart on any plotters backend. No text: words are set by the shell.

use super::view::{DrawnCurve, Kind, View};
use plotters::backend::DrawingBackend;
use plotters::coord::Shift;
use plotters::drawing::{DrawingArea, DrawingAreaErrorKind, IntoDrawingArea};
use plotters::element::{Circle, DashedPathElement, PathElement, Polygon};
use plotters::style::{Color, RGBColor, ShapeStyle};
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
const RUN: f64 = 1.0;

/// How much of its curve's colour a band has.
const BAND_ALPHA: f64 = 0.16;

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
    if let Some(band) = &view.band {
        pen.fill(&band.outline, look.curve(0))?;
    }
    for run in &view.runs {
        pen.line(run, Dash::None, look.curve(0), RUN)?;
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
            Kind::Dashdot => Self::Of(16.0, 4.0),
            Kind::Dashdots => Self::Of(5.0, 9.0),
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

    fn line(&self, points: &[(f64, f64)], dash: Dash, colour: Colour, width_px: f64) -> Drawn<B> {
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

    fn fill(&self, outline: &[(f64, f64)], colour: Colour) -> Drawn<B> {
        let style = rgb(colour).mix(BAND_ALPHA).filled();
        self.area.draw(&Polygon::new(self.pixels(outline), style))
    }

    /// The marks of a curve: hollow where it crosses the needed line, full at its end.
    fn marks(&self, curve: &DrawnCurve, colour: Colour, ground: Colour) -> Drawn<B> {
        if let Some(&end) = curve.points.last() {
            self.mark(curve.kind, end, colour, colour)?;
        }
        match &curve.crossing {
            Some(crossing) => self.mark(curve.kind, (crossing.x_px, crossing.y_px), colour, ground),
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
            Kind::Dashdot => &[(0.0, -1.35), (1.35, 0.0), (0.0, 1.35), (-1.35, 0.0)],
            Kind::Dashdots => &[(0.0, 1.2), (1.15, -0.9), (-1.15, -0.9)],
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

#[cfg(all(test, not(target_arch = "wasm32")))]
mod tests {
    use super::super::tests::{demo, question, view};
    use super::*;
    use plotters_backend::{BackendColor, BackendStyle, BackendTextStyle, DrawingErrorKind};
    use std::cell::RefCell;
    use std::convert::Infallible;
    use std::rc::Rc;

    type Strokes = Rc<RefCell<Vec<(u32, Vec<(i32, i32)>)>>>;

    /// A backend that keeps every path with its width, and must never be asked for a text.
    struct Recorder {
        size: (u32, u32),
        strokes: Strokes,
    }

    impl DrawingBackend for Recorder {
        type ErrorType = Infallible;

        fn get_size(&self) -> (u32, u32) {
            self.size
        }

        fn ensure_prepared(&mut self) -> Result<(), DrawingErrorKind<Infallible>> {
            Ok(())
        }

        fn present(&mut self) -> Result<(), DrawingErrorKind<Infallible>> {
            Ok(())
        }

        fn draw_pixel(
            &mut self,
            point: (i32, i32),
            _: BackendColor,
        ) -> Result<(), DrawingErrorKind<Infallible>> {
            panic!("a single pixel at {point:?}");
        }

        fn draw_path<S: BackendStyle, I: IntoIterator<Item = (i32, i32)>>(
            &mut self,
            path: I,
            style: &S,
        ) -> Result<(), DrawingErrorKind<Infallible>> {
            let path = path.into_iter().collect();
            self.strokes.borrow_mut().push((style.stroke_width(), path));
            Ok(())
        }

        fn fill_polygon<S: BackendStyle, I: IntoIterator<Item = (i32, i32)>>(
            &mut self,
            corners: I,
            _: &S,
        ) -> Result<(), DrawingErrorKind<Infallible>> {
            let corners = corners.into_iter().collect();
            self.strokes.borrow_mut().push((0, corners));
            Ok(())
        }

        fn draw_circle<S: BackendStyle>(
            &mut self,
            (x, y): (i32, i32),
            radius: u32,
            style: &S,
            _: bool,
        ) -> Result<(), DrawingErrorKind<Infallible>> {
            let r = radius as i32;
            let corners = vec![(x - r, y - r), (x + r, y + r)];
            self.strokes
                .borrow_mut()
                .push((style.stroke_width(), corners));
            Ok(())
        }

        fn draw_text<S: BackendTextStyle>(
            &mut self,
            text: &str,
            _: &S,
            _: (i32, i32),
        ) -> Result<(), DrawingErrorKind<Infallible>> {
            panic!("the text {text}");
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

    fn recorded(view: &View, look: &Look) -> Vec<(u32, Vec<(i32, i32)>)> {
        let strokes = Strokes::default();
        let backend = Recorder {
            size: look.surface(view),
            strokes: strokes.clone(),
        };
        draw(view, look, backend).unwrap();
        strokes.take()
    }

    #[test]
    fn all_ink_stays_on_the_surface() {
        let results = demo();
        for job in ["20 N·m", "150 N·m", "9000 N·m"] {
            for ratio in [1.0, 2.0, 3.0] {
                let look = look(ratio);
                let view = view(&results, &question(job, None), 328.0);
                let (width, height) = look.surface(&view);
                let strokes = recorded(&view, &look);
                assert!(strokes.len() > 20);
                for (stroke, path) in strokes {
                    let half = stroke.div_ceil(2) as i32;
                    for (x, y) in path {
                        assert!(half <= x && x + half <= width as i32, "{x} of {width}");
                        assert!(half <= y && y + half <= height as i32, "{y} of {height}");
                    }
                }
            }
        }
    }

    #[test]
    fn a_full_curve_is_one_path_through_its_crossing() {
        let results = demo();
        let pair = Some(("sorrel-18-medium", "two-row-5-0"));
        let view = view(&results, &question("150 N·m", pair), 640.0);
        let crossing = view.curves[0].crossing.clone().unwrap();
        let scaled = |px: f64| (px * 2.0).round() as i32;
        let strokes = recorded(&view, &look(2.0));
        let curve = strokes
            .iter()
            .find(|(width, path)| *width == 5 && path.len() == view.curves[0].points.len())
            .unwrap();
        assert!(
            curve
                .1
                .contains(&(scaled(crossing.x_px), scaled(crossing.y_px)))
        );
    }

    #[test]
    fn strokes_and_surface_grow_with_the_ratio_and_never_below_two() {
        let results = demo();
        let view = view(&results, &question("150 N·m", None), 640.0);
        assert_eq!(look(1.0).surface(&view), (1280, 480));
        assert_eq!(look(3.0).surface(&view), (1920, 720));
        for odd in [f64::NAN, -1.0, 0.0] {
            assert_eq!(look(odd).drawn_ratio(), 2.0);
        }
        assert_eq!(look(1e9).drawn_ratio(), 4.0);
        let widest = |ratio| {
            recorded(&view, &look(ratio))
                .iter()
                .map(|(width, _)| *width)
                .max()
        };
        assert_eq!((widest(2.0), widest(4.0)), (Some(5), Some(10)));
    }

    #[test]
    fn curves_differ_without_colour() {
        let results = demo();
        let view = view(&results, &question("150 N·m", None), 640.0);
        let pieces = |kind| {
            let mut alone = view.clone();
            alone.curves.retain(|curve| curve.kind == kind);
            let strokes = recorded(&alone, &look(2.0));
            strokes.iter().filter(|(width, _)| *width == 5).count()
        };
        let (full, dashed, dotted) = (
            pieces(Kind::Full),
            pieces(Kind::Dashed),
            pieces(Kind::Dotted),
        );
        assert!(
            full == 1 && dashed > 20 && dotted > 2 * dashed - 10,
            "{full} {dashed} {dotted}"
        );
    }
}
