//! What the whole module has beside the first part: lists, panels, what is typed, what is taken along.

use super::{Jobtorque, handed_in, handed_over, painted, thrown, told};
use crate::alternatives::data::WordedChoices;
use crate::chart::draw::Theme;
use crate::chart::places::{job_across, place_plot};
use crate::chart::view::{View, Viewport};
use crate::contents::data::Found;
use crate::escape;
use crate::export::data::Taken;
use crate::export::taken;
use crate::query::question::Question;
use crate::runs::data::WordedRuns;
use crate::table::data::WordedTable;
use serde::Serialize;
use tsify::{Ts, Tsify};
use wasm_bindgen::prelude::*;
use web_sys::HtmlCanvasElement;

/// What stands below the answer.
#[derive(Serialize, Tsify)]
#[tsify(missing_as_null)]
pub struct Lists {
    /// The pairs that reach the job, or come closest.
    pub choices: WordedChoices,
    /// The field, ranked.
    pub table: WordedTable,
}

/// The places by torque of the pairs of a chart.
#[derive(Serialize, Tsify)]
#[tsify(missing_as_null)]
pub struct Places {
    /// What stands where; `null` where there are none.
    pub plot: Option<View>,
    /// What it shows; `null` where there are none.
    pub text: Option<String>,
}

#[wasm_bindgen]
impl Jobtorque {
    /// What someone who is typing a job or a tool may mean.
    ///
    /// # Errors
    ///
    /// Throws a `Problem` if the question cannot be read.
    pub fn found(&self, text: &str, question: Ts<Question>) -> Result<Ts<Found>, JsValue> {
        let question: Question = handed_in(question.js_value())?;
        handed_over(&self.results.found(text, &question))
    }

    /// The `Problem` with an option of a link or an attribute that is none, to be thrown: a `text`
    /// that is not among the `known` ones of the option `name`, which gives the `part` of a question,
    /// or, without a name, the name of an option that is almost the `known` one.
    pub fn unknown(&self, part: &str, name: &str, text: &str, known: &str) -> JsValue {
        thrown(&self.results.unknown_option(part, name, text, known))
    }

    /// A text that someone wrote or put into a link as it is repeated to people: shortened, and with
    /// nothing hidden in it.
    pub fn echoed(&self, text: &str) -> String {
        escape::echoed(text)
    }

    /// The pairs that reach the job of a question, or come closest, and the whole field, ranked, in
    /// words.
    ///
    /// # Errors
    ///
    /// As `ask`.
    pub fn lists(&self, question: Ts<Question>) -> Result<Ts<Lists>, JsValue> {
        let study = self.study(question)?;
        handed_over(&Lists {
            choices: told(study.worded_alternatives())?,
            table: told(study.whole_field().worded_table())?,
        })
    }

    /// The pairs that a question asks for, ranked in the whole field, in words.
    ///
    /// # Errors
    ///
    /// As `ask`.
    pub fn table(&self, question: Ts<Question>) -> Result<Ts<WordedTable>, JsValue> {
        handed_over(&told(self.study(question)?.worded_table())?)
    }

    /// What may be taken along of the answer to a question; `saved` is the day on which a page is
    /// saved, such as `2026-03-02`.
    ///
    /// # Errors
    ///
    /// As `ask`.
    pub fn take(
        &self,
        question: Ts<Question>,
        saved: Option<String>,
    ) -> Result<Ts<Taken>, JsValue> {
        let study = self.study(question)?;
        handed_over(&told(taken(&study, saved.as_deref()))?)
    }

    /// The runs behind a pair, in words.
    ///
    /// # Errors
    ///
    /// As `ask`; also if tool or pack is open.
    pub fn runs(&self, question: Ts<Question>) -> Result<Ts<WordedRuns>, JsValue> {
        handed_over(&told(self.study(question)?.worded_runs())?)
    }

    /// Draws the places by torque of the pairs of the same chart, sizes the canvas to suit, and says where
    /// words go; `plot` is `null` where there are none.
    ///
    /// # Errors
    ///
    /// As `draw`.
    pub fn draw_places(
        &self,
        question: Ts<Question>,
        canvas: &HtmlCanvasElement,
        frame: Ts<Viewport>,
        look: Ts<Theme>,
    ) -> Result<Ts<Places>, JsValue> {
        let frame: Viewport = handed_in(frame.js_value())?;
        let look: Theme = handed_in(look.js_value())?;
        let study = self.study(question)?;
        let plot = told(
            study
                .chart()
                .and_then(|curves| place_plot(&study, &curves, frame)),
        )?;
        if let Some(plot) = &plot {
            painted(&plot.view, &look, canvas)?;
        }
        let (plot, text) = plot.map(|plot| (plot.view, plot.text)).unzip();
        handed_over(&Places { plot, text })
    }

    /// The job for which the needed line of the places by torque lies so many CSS pixels from their left
    /// end, as people write it.
    ///
    /// # Errors
    ///
    /// As `ask`.
    pub fn job_across(
        &self,
        question: Ts<Question>,
        frame: Ts<Viewport>,
        x_px: f64,
    ) -> Result<Option<String>, JsValue> {
        let frame: Viewport = handed_in(frame.js_value())?;
        let study = self.study(question)?;
        let curves = told(study.chart())?;
        Ok(job_across(&study, &curves, frame, x_px))
    }
}
