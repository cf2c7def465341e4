//! One line of text on a chart.

use serde::Serialize;

/// One line of text.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub struct Label {
    /// Where its anchor is.
    pub x_px: f64,
    /// Its top.
    pub y_px: f64,
    /// Which part of the text is at `x_px`.
    pub anchor: Anchor,
    /// The text.
    pub text: String,
}

/// Which part of a text is at its position.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "lowercase")]
pub enum Anchor {
    /// Its start.
    Start,
    /// Its middle.
    Middle,
    /// Its end.
    End,
}
