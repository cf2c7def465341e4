//! A canvas of the page to draw charts on: the canvas backend of plotters, scaled, with dashes.

use crate::chart::draw::{COORDINATES, DashingBackend, Drawn};
use js_sys::Float64Array;
use plotters_backend::{BackendColor, BackendCoord, BackendStyle, DrawingBackend};
use plotters_canvas::CanvasBackend;
use wasm_bindgen::JsCast;
use web_sys::{CanvasRenderingContext2d, HtmlCanvasElement};

/// A canvas and its drawing context. The backend draws; the context is told what it knows nothing of.
pub(super) struct Canvas {
    backend: CanvasBackend,
    context: CanvasRenderingContext2d,
}

impl Canvas {
    /// The canvas, emptied, with so many pixels across and down; `None` if it cannot be drawn on.
    pub fn new(canvas: &HtmlCanvasElement, (width, height): (u32, u32)) -> Option<Self> {
        // Either of these sets the context back to what a new one is.
        canvas.set_width(width);
        canvas.set_height(height);
        let context = canvas.get_context("2d").ok()??.dyn_into();
        let context: CanvasRenderingContext2d = context.ok()?;
        let pixels = 1.0 / f64::from(COORDINATES);
        context.scale(pixels, pixels).ok()?;
        context.set_line_join("round");
        let backend = CanvasBackend::with_canvas_object(canvas.clone())?;
        Some(Self { backend, context })
    }
}

impl DashingBackend for Canvas {
    fn set_dashes(&mut self, lengths: &[u32]) {
        let lengths: Vec<f64> = lengths.iter().copied().map(f64::from).collect();
        // Neither lengths nor an empty array are refused.
        let _ = self
            .context
            .set_line_dash(&Float64Array::from(lengths.as_slice()));
    }
}

impl DrawingBackend for Canvas {
    type ErrorType = <CanvasBackend as DrawingBackend>::ErrorType;

    fn get_size(&self) -> (u32, u32) {
        let (width, height) = self.backend.get_size();
        (width * COORDINATES, height * COORDINATES)
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
