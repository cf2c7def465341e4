//! A canvas of the page to draw charts on.

use crate::chart::draw::{Colour, Surface};
use js_sys::Float64Array;
use std::f64::consts::TAU;
use wasm_bindgen::JsCast;
use web_sys::{CanvasRenderingContext2d, HtmlCanvasElement};

/// The drawing context of a canvas.
pub(super) struct Canvas(CanvasRenderingContext2d);

impl Canvas {
    /// The canvas, emptied, with so many pixels across and down; `None` if it cannot be drawn on.
    pub fn new(canvas: &HtmlCanvasElement, (width, height): (u32, u32)) -> Option<Self> {
        canvas.set_width(width);
        canvas.set_height(height);
        let context = canvas.get_context("2d").ok()??.dyn_into();
        let context: CanvasRenderingContext2d = context.ok()?;
        context.set_line_join("round");
        Some(Self(context))
    }

    fn path(&self, points: &[(f64, f64)]) {
        self.0.begin_path();
        for &(x, y) in points {
            self.0.line_to(x, y);
        }
    }

    fn fill(&self, colour: Colour, opacity: f64) {
        self.0.set_fill_style_str(&css(colour));
        self.0.set_global_alpha(opacity);
        self.0.fill();
        self.0.set_global_alpha(1.0);
    }
}

impl Surface for Canvas {
    fn line(&mut self, points: &[(f64, f64)], colour: Colour, width: f64, dashes: &[f64]) {
        self.path(points);
        // Without dashes the array is empty, and the line whole: neither that nor lengths are refused.
        let _ = self.0.set_line_dash(&Float64Array::from(dashes));
        self.0.set_stroke_style_str(&css(colour));
        self.0.set_line_width(width);
        self.0.stroke();
    }

    fn area(&mut self, outline: &[(f64, f64)], colour: Colour, opacity: f64) {
        self.path(outline);
        self.fill(colour, opacity);
    }

    fn disc(&mut self, (x, y): (f64, f64), radius: f64, colour: Colour) {
        self.0.begin_path();
        // Only a negative radius is refused.
        let _ = self.0.arc(x, y, radius, 0.0, TAU);
        self.fill(colour, 1.0);
    }
}

/// A colour as a style sheet writes it, `#rrggbb`.
fn css((red, green, blue): Colour) -> String {
    let digits = [red, green, blue]
        .into_iter()
        .flat_map(|part| [part >> 4, part & 15]);
    let digits = digits.filter_map(|digit| char::from_digit(digit.into(), 16));
    std::iter::once('#').chain(digits).collect()
}
