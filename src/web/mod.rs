//! The surface for script: a dataset goes in as bytes, a catalogue and questions as parsed objects,
//! answers come out as plain objects.
//!
//! Nothing is decided here. Every method takes `&self`, and a fault is an ordinary exception
//! that leaves the instance as it was.

mod input;
mod canvas;
mod object;
mod told;
#[cfg(feature = "whole")]
mod whole;

use crate::IS_WHOLE;
use crate::chart::curves::Curves;
use crate::chart::draw::{Theme, draw};
use crate::chart::view::cursor::Readings;
use crate::chart::view::{View, Viewport};
use crate::contents::data::Contents;
use crate::dataset::packed;
use crate::dataset::read::Node;
use crate::dataset::read::value::Value;
use crate::export::title;
use crate::problem::Problem;
use crate::query::question::Question;
use crate::results::Results;
use crate::study::{Kept, Study};
use crate::text;
use crate::text::catalogue::Catalogue;
use canvas::Canvas;
use object::Object;
use serde::Serialize;
use std::cell::Cell;
use told::{Answered, Listed};
use tsify::{Ts, Tsify};
use wasm_bindgen::prelude::*;
use web_sys::HtmlCanvasElement;

/// The library's own allocator is 2 KB larger in brotli.
#[global_allocator]
static ALLOCATOR: rlsf::SmallGlobalTlsf = rlsf::SmallGlobalTlsf::new();

/// A dataset ready to answer, in one language.
#[wasm_bindgen]
pub struct Jobtorque {
    results: Results,
    /// What was asked last.
    last: Cell<Option<Kept>>,
}

/// What a dataset and the answers from it take of memory, as a multiple of its bytes: 33 was measured with
/// 4,644 pairs, 37 with the 43 of the demo.
const MEMORY_OVER_BYTES: usize = 32;
/// No more than this is taken at once, in bytes.
const MOST_AT_ONCE: usize = 256 << 20;

/// Takes the memory that a dataset of so many bytes will need, and gives it back to the allocator: taken as
/// it is needed, page by page, it costs more time than the answers.
fn take_memory(bytes: usize) {
    let needed = bytes.saturating_mul(MEMORY_OVER_BYTES).min(MOST_AT_ONCE);
    // Of bytes, it would make the module 2 KB larger.
    std::hint::black_box(Vec::<f64>::with_capacity(needed / 8));
}

/// The results in the bytes that `jobtorque page` publishes: those with all runs, or in the first part those
/// in short.
fn published(data: &[u8], texts: Catalogue) -> Result<Results, Problem> {
    if IS_WHOLE {
        return Results::published(packed::read(data)?, texts, Object::print);
    }
    Results::in_short(packed::read_in_short(data)?, texts, Object::print)
}

#[wasm_bindgen]
impl Jobtorque {
    /// Reads results, the bytes that `jobtorque page` publishes, and a text catalogue as `JSON.parse`
    /// gives it.
    ///
    /// # Errors
    ///
    /// Throws `message`, a sentence for visitors, `problems`, at most 50 of the `Problem`s, and
    /// `more`, how many there are besides.
    #[wasm_bindgen(constructor)]
    pub fn new(data: &[u8], catalogue: JsValue) -> Result<Jobtorque, JsValue> {
        take_memory(data.len());
        let problems = match input::read(catalogue.clone()) {
            Ok(texts) => match published(data, texts) {
                Ok(results) => {
                    let last = Cell::default();
                    return Ok(Self { results, last });
                }
                Err(problem) => problem.into(),
            },
            Err(problems) => problems,
        };
        let message = input::read(catalogue).map(|texts| text::refused(&texts, &problems));
        let message = message.unwrap_or_default();
        let (problems, more) = problems.shown();
        Err(thrown(&Refused {
            message,
            problems,
            more,
        }))
    }

    /// What there is to choose from.
    ///
    /// # Errors
    ///
    /// Throws a `Problem` if it cannot be handed over.
    pub fn contents(&self) -> Result<Ts<Contents>, JsValue> {
        handed_over(&self.results.contents())
    }

    /// The answer to a question, and, with `panels`, what stands beside it; that the whole module alone
    /// has.
    ///
    /// # Errors
    ///
    /// Throws a `Problem` whose `pointer` names the faulty part of the question and whose
    /// `message` is for visitors.
    pub fn ask(&self, question: Ts<Question>, panels: bool) -> Result<Ts<Answered>, JsValue> {
        let study = self.study(question)?;
        let answer = told(study.answer())?;
        handed_over(&Answered {
            title: title(&study, &answer),
            answer,
            panels: (IS_WHOLE && panels).then(|| study.panels()),
        })
    }

    /// The answer for each pair that the answer to a question is about.
    ///
    /// # Errors
    ///
    /// As `ask`.
    pub fn list(&self, question: Ts<Question>) -> Result<Ts<Listed>, JsValue> {
        let list = told(self.study(question)?.list())?;
        handed_over(&Listed { list })
    }

    /// Draws the curves that belong to an answer, sizes the canvas to suit, and says where words
    /// go.
    ///
    /// # Errors
    ///
    /// As `ask`; also if the canvas cannot be drawn on.
    pub fn draw(
        &self,
        question: Ts<Question>,
        canvas: &HtmlCanvasElement,
        frame: Ts<Viewport>,
        look: Ts<Theme>,
    ) -> Result<Ts<View>, JsValue> {
        let frame: Viewport = handed_in(frame.js_value())?;
        let look: Theme = handed_in(look.js_value())?;
        let curves = self.curves(question, frame)?;
        let view = View::new(&curves, frame, self.results.catalogue());
        painted(&view, &look, canvas)?;
        handed_over(&view)
    }

    /// The job for which the needed line of the same chart lies at a height, in CSS pixels from its top,
    /// as people write it.
    ///
    /// # Errors
    ///
    /// As `ask`.
    pub fn job_at(
        &self,
        question: Ts<Question>,
        frame: Ts<Viewport>,
        y_px: f64,
    ) -> Result<String, JsValue> {
        let frame: Viewport = handed_in(frame.js_value())?;
        let curves = self.curves(question, frame)?;
        Ok(curves.job_at(frame, self.results.catalogue(), y_px))
    }

    /// The job so many steps above the one asked for, or below it, as people write it.
    ///
    /// # Errors
    ///
    /// As `ask`.
    pub fn job_stepped(&self, question: Ts<Question>, steps: i32) -> Result<String, JsValue> {
        Ok(told(self.study(question)?.chart())?.job_stepped(steps))
    }

    /// What the curves of the same chart read from time to time.
    ///
    /// # Errors
    ///
    /// As `ask`.
    pub fn readings(
        &self,
        question: Ts<Question>,
        frame: Ts<Viewport>,
    ) -> Result<Ts<Readings>, JsValue> {
        let frame: Viewport = handed_in(frame.js_value())?;
        let curves = self.curves(question, frame)?;
        handed_over(&Readings::new(&curves, frame, self.results.catalogue()))
    }
}

impl Jobtorque {
    /// Opens a question. Whatever is asked of it next is answered from the same study.
    fn study(&self, question: Ts<Question>) -> Result<Study<'_>, JsValue> {
        let question: Question = handed_in(question.js_value())?;
        let last = self.last.take();
        let study = match &last {
            Some(last) => self.results.study_after(&question, last),
            None => self.results.study(&question),
        };
        self.last
            .set(study.as_ref().map_or(last, |study| Some(study.kept())));
        told(study)
    }

    fn curves(&self, question: Ts<Question>, frame: Viewport) -> Result<Curves, JsValue> {
        let curves = told(self.study(question)?.chart())?;
        Ok(frame.shown(curves))
    }
}

/// Why nothing is shown of a dataset.
#[derive(Serialize)]
struct Refused<'a> {
    message: String,
    problems: &'a [Problem],
    /// How many there are besides.
    more: usize,
}

/// Draws on a canvas of the page.
fn painted(view: &View, look: &Theme, canvas: &HtmlCanvasElement) -> Result<(), JsValue> {
    let canvas = Canvas::new(canvas, look.surface(view));
    let drawn = canvas.is_some_and(|mut canvas| draw(view, look, &mut canvas).is_ok());
    if drawn {
        return Ok(());
    }
    let problem = Problem::new("", "no drawing context", "a canvas to draw on");
    Err(thrown(&problem))
}

fn handed_in<T: Value>(object: JsValue) -> Result<T, JsValue> {
    input::read(object).map_err(|problems| thrown(&problems.first()))
}

fn told<T>(told: Result<T, Problem>) -> Result<T, JsValue> {
    told.map_err(|problem| thrown(&problem))
}

fn unreadable(error: tsify::Error) -> JsValue {
    thrown(&Problem::new("", error.to_string(), "a plain object"))
}

fn handed_over<T: Tsify + Serialize>(value: &T) -> Result<Ts<T>, JsValue> {
    value.into_ts().map_err(unreadable)
}

/// Problems as plain objects, to be thrown.
fn thrown<T: Serialize + ?Sized>(problems: &T) -> JsValue {
    let serializer = serde_wasm_bindgen::Serializer::new().serialize_missing_as_null(true);
    problems
        .serialize(&serializer)
        .unwrap_or_else(JsValue::from)
}
