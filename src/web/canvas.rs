//! A canvas of the page to draw charts on: the canvas backend of plotters, scaled, with dashes.
//!
//! That backend prints a colour with its opacity, a float, and what prints floats is 7 KB of the
//! visitor's module. So lines and areas are drawn here, with the opacity as a number of the context.

use crate::chart::draw::{COORDINATES, DashingBackend, Drawn};
use js_sys::Float64Array;
use plotters_backend::{BackendColor, BackendCoord, BackendStyle, DrawingBackend};
use plotters_canvas::CanvasBackend;
use std::f64::consts::TAU;
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

impl Canvas {
    fn stroke_with(&self, style: &impl BackendStyle) {
        let colour = style.color();
        self.context.set_global_alpha(colour.alpha);
        self.context.set_stroke_style_str(&printed(colour));
        self.context.set_line_width(style.stroke_width().into());
    }

    fn fill_with(&self, style: &impl BackendStyle) {
        let colour = style.color();
        self.context.set_global_alpha(colour.alpha);
        self.context.set_fill_style_str(&printed(colour));
    }

    /// Begins a path along points. The first is moved to, as a context does by itself.
    fn trace(&self, path: impl IntoIterator<Item = BackendCoord>) {
        self.context.begin_path();
        for (x, y) in path.into_iter().map(point) {
            self.context.line_to(x, y);
        }
    }
}

/// A colour without its opacity, as CSS writes it.
fn printed(colour: BackendColor) -> String {
    let (red, green, blue) = colour.rgb;
    format!("rgb({red} {green} {blue})")
}

fn point((x, y): BackendCoord) -> (f64, f64) {
    (x.into(), y.into())
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
        self.stroke_with(style);
        self.trace(path);
        self.context.stroke();
        Ok(())
    }

    fn fill_polygon<S: BackendStyle, I: IntoIterator<Item = BackendCoord>>(
        &mut self,
        vertices: I,
        style: &S,
    ) -> Drawn<Self> {
        self.fill_with(style);
        self.trace(vertices);
        self.context.fill();
        Ok(())
    }

    fn draw_circle<S: BackendStyle>(
        &mut self,
        center: BackendCoord,
        radius: u32,
        style: &S,
        fill: bool,
    ) -> Drawn<Self> {
        self.context.begin_path();
        let (x, y) = point(center);
        // No radius is below zero, which is all that an arc is refused for.
        let _ = self.context.arc(x, y, radius.into(), 0.0, TAU);
        if fill {
            self.fill_with(style);
            self.context.fill();
        } else {
            self.stroke_with(style);
            self.context.stroke();
        }
        Ok(())
    }
}
