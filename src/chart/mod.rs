//! The chart of an answer: typical curves over time, and the torque that is needed.
//!
//! [`view`] says what stands where, words included, as plain data; [`draw`] draws its lines and
//! marks on any surface and writes no text; `label_placement` places the words.

pub mod curves;
pub mod draw;
pub mod grip;
pub mod label;
pub(crate) mod label_placement;
pub mod places;
pub mod view;
mod words;

#[cfg(all(test, not(target_arch = "wasm32")))]
mod tests {
    use super::view::{View, Viewport};
    use crate::query::question::Question;
    use crate::results::Results;
    use crate::text::catalogue::Catalogue;

    /// The demo data in English.
    pub fn demo() -> Results {
        let texts = include_str!("../../www/texts/en.json");
        let catalogue: Catalogue = serde_json::from_str(texts).unwrap();
        Results::read(include_bytes!("../../data/demo.json"), catalogue).unwrap()
    }

    /// The chart of a question in a frame of this width.
    pub fn view(results: &Results, question: &Question, width_px: f64) -> View {
        view_in(results, question, width_px, 240.0)
    }

    /// The chart of a question in a frame of this width and height.
    pub fn view_in(results: &Results, question: &Question, width_px: f64, height_px: f64) -> View {
        let frame = Viewport {
            width_px,
            height_px,
            text_px: 13.0,
            runs: None,
            top_nm: None,
        };
        let curves = results.curves(question).unwrap();
        View::new(&curves, frame, results.catalogue())
    }

    /// A job for any pair, or for this one.
    pub fn question(job: &str, pair: Option<(&str, &str)>) -> Question {
        Question {
            job: Some(job.into()),
            tool: pair.map(|(tool, _)| tool.into()),
            pack: pair.map(|(_, pack)| pack.into()),
            ..Question::default()
        }
    }
}
