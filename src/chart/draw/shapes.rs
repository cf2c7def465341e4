//! Lines, areas and marks of a drawing that is no chart of an answer: the picture of a run, or of
//! the check runs.

use super::{Colour, DashingBackend, Drawn, LEAST_RATIO, MARK_EDGE, MARK_RADIUS, Pen, extent};
use crate::chart::view::Kind;

/// One shape, in CSS pixels from the left top corner of the drawing.
#[derive(Clone, Debug, PartialEq)]
pub enum Shape {
    /// A line through points.
    Line {
        /// Its points.
        points: Vec<(f64, f64)>,
        /// How it is drawn.
        stroke: Stroke,
    },
    /// A filled polygon.
    Area {
        /// Its corners.
        outline: Vec<(f64, f64)>,
        /// Its colour.
        colour: Colour,
    },
    /// A mark.
    Mark {
        /// Its form.
        kind: Kind,
        /// Its centre.
        centre: (f64, f64),
        /// Its colour.
        colour: Colour,
        /// The colour inside of a hollow mark; a full mark has none.
        inside: Option<Colour>,
    },
}

/// How a line is drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stroke {
    /// Its colour.
    pub colour: Colour,
    /// Its width in CSS pixels.
    pub width_px: f64,
    /// Lengths of dashes and gaps in turn, in CSS pixels; a full line has none.
    pub dashes_px: &'static [f64],
}

/// Drawn pixels for each CSS pixel.
pub const RATIO: f64 = LEAST_RATIO;

/// Draws shapes, each above those before it, at [`RATIO`] drawn pixels for each CSS pixel.
///
/// # Errors
///
/// As the backend.
pub fn draw_shapes<B: DashingBackend>(shapes: &[Shape], backend: &mut B) -> Drawn<B> {
    backend.ensure_prepared()?;
    let mut pen = Pen {
        backend,
        ratio: RATIO,
        pixel: 1.0,
    };
    for shape in shapes {
        match shape {
            Shape::Line { points, stroke } => {
                pen.line(points, stroke.colour, stroke.width_px, stroke.dashes_px)?;
            }
            Shape::Area { outline, colour } => pen.area(outline, *colour, 1.0)?,
            Shape::Mark {
                kind,
                centre,
                colour,
                inside,
            } => {
                pen.mark(*kind, *centre, 1.0, *colour)?;
                if let Some(inside) = inside {
                    pen.mark(*kind, *centre, 1.0 - MARK_EDGE / MARK_RADIUS, *inside)?;
                }
            }
        }
    }
    pen.backend.present()
}

/// Width and height of a surface for a drawing of this size in CSS pixels, in coordinates.
pub fn surface((width_px, height_px): (f64, f64)) -> (u32, u32) {
    (extent(width_px * RATIO), extent(height_px * RATIO))
}
