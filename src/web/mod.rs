//! The surface for script: a dataset and a catalogue go in as parsed objects, answers come out as
//! plain objects.
//!
//! Nothing is decided here. Every method takes `&self` and returns a `Result`, so that a fault is
//! an ordinary exception and leaves the instance as it was.

mod asked;
mod canvas;
mod object;

use crate::ask::answer::Answer;
use crate::ask::choices::WordedChoices;
use crate::ask::compare::Panels;
use crate::ask::contents::{Contents, Found};
use crate::ask::question::Question;
use crate::ask::runs::WordedRuns;
use crate::ask::table::WordedTable;
use crate::ask::taken::Taken;
use crate::chart::draw::{Look, draw};
use crate::chart::view::readings::Readings;
use crate::chart::view::{Frame, View};
use crate::dataset;
use crate::dataset::read::value::Value;
use crate::problem::Problem;
use crate::results::{Curves, Results};
use crate::take::take;
use crate::visible;
use crate::words;
use canvas::Canvas;
use object::Object;
use serde::Serialize;
use tsify::{Ts, Tsify};
use wasm_bindgen::prelude::*;
use web_sys::HtmlCanvasElement;

/// A dataset ready to answer, in one language.
#[wasm_bindgen]
pub struct Jobtorque {
    results: Results,
}

#[wasm_bindgen]
impl Jobtorque {
    /// Reads a dataset and a text catalogue, both as `JSON.parse` gives them.
    ///
    /// # Errors
    ///
    /// Throws `message`, a sentence for visitors, `problems`, at most 50 of the `Problem`s, and
    /// `more`, how many there are besides.
    #[wasm_bindgen(constructor)]
    pub fn new(data: JsValue, catalogue: JsValue) -> Result<Jobtorque, JsValue> {
        let problems = match asked::read(catalogue.clone()) {
            Ok(texts) => match Results::new(dataset::read::read(&Object(data)), texts) {
                Ok(results) => return Ok(Self { results }),
                Err(problems) => problems,
            },
            Err(problems) => problems,
        };
        let message = asked::read(catalogue).map(|texts| words::refused(&texts, &problems));
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
        visible::echoed(text)
    }

    /// The answer to a question.
    ///
    /// # Errors
    ///
    /// Throws a `Problem` whose `pointer` names the faulty part of the question and whose
    /// `message` is for visitors.
    pub fn ask(&self, question: Ts<Question>) -> Result<Ts<Answer>, JsValue> {
        let question: Question = handed_in(question.js_value())?;
        let answer = self.results.ask(&question);
        handed_over(&answer.map_err(|problem| thrown(&problem))?)
    }

    /// The field for a question, ranked, in words.
    ///
    /// # Errors
    ///
    /// As `ask`.
    pub fn table(&self, question: Ts<Question>) -> Result<Ts<WordedTable>, JsValue> {
        let question: Question = handed_in(question.js_value())?;
        let table = self.results.worded_table(&question);
        handed_over(&table.map_err(|problem| thrown(&problem))?)
    }

    /// The pairs that reach the job, or come closest, in words.
    ///
    /// # Errors
    ///
    /// As `ask`.
    pub fn choices(&self, question: Ts<Question>) -> Result<Ts<WordedChoices>, JsValue> {
        let question: Question = handed_in(question.js_value())?;
        let choices = self.results.worded_choices(&question);
        handed_over(&choices.map_err(|problem| thrown(&problem))?)
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
        let question: Question = handed_in(question.js_value())?;
        let taken = take(&self.results, &question, saved.as_deref());
        handed_over(&taken.map_err(|problem| thrown(&problem))?)
    }

    /// What stands beside the answer, in words: pairs side by side, and the packs on the tool.
    ///
    /// # Errors
    ///
    /// As `ask`.
    pub fn panels(&self, question: Ts<Question>) -> Result<Ts<Panels>, JsValue> {
        let question: Question = handed_in(question.js_value())?;
        let panels = self.results.panels(&question);
        handed_over(&panels.map_err(|problem| thrown(&problem))?)
    }

    /// The runs behind a pair, in words.
    ///
    /// # Errors
    ///
    /// As `ask`; also if tool or pack is open.
    pub fn runs(&self, question: Ts<Question>) -> Result<Ts<WordedRuns>, JsValue> {
        let question: Question = handed_in(question.js_value())?;
        let runs = self.results.worded_runs(&question);
        handed_over(&runs.map_err(|problem| thrown(&problem))?)
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
        frame: Ts<Frame>,
        look: Ts<Look>,
    ) -> Result<Ts<View>, JsValue> {
        let question: Question = handed_in(question.js_value())?;
        let frame: Frame = handed_in(frame.js_value())?;
        let look: Look = handed_in(look.js_value())?;
        let curves = self.curves(&question, frame)?;
        let view = View::new(&curves, frame, self.results.catalogue());
        let canvas = Canvas::new(canvas, look.surface(&view));
        let drawn = canvas.is_some_and(|mut canvas| draw(&view, &look, &mut canvas).is_ok());
        if !drawn {
            let problem = Problem::new("", "no drawing context", "a canvas to draw on");
            return Err(thrown(&problem));
        }
        handed_over(&view)
    }

    /// What the curves of the same chart read from time to time.
    ///
    /// # Errors
    ///
    /// As `ask`.
    pub fn readings(
        &self,
        question: Ts<Question>,
        frame: Ts<Frame>,
    ) -> Result<Ts<Readings>, JsValue> {
        let question: Question = handed_in(question.js_value())?;
        let frame: Frame = handed_in(frame.js_value())?;
        let curves = self.curves(&question, frame)?;
        handed_over(&Readings::new(&curves, frame, self.results.catalogue()))
    }
}

impl Jobtorque {
    fn curves(&self, question: &Question, frame: Frame) -> Result<Curves, JsValue> {
        let curves = self.results.curves(question);
        let curves = curves.map_err(|problem| thrown(&problem))?;
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

fn handed_in<T: Value>(object: JsValue) -> Result<T, JsValue> {
    asked::read(object).map_err(|problems| thrown(&problems.first()))
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
