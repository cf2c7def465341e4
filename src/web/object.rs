//! A parsed object of the browser as a document.

use crate::dataset::misshapen::misshapen as in_words;
use crate::dataset::read::{Kind, Node};
use crate::problem::Problem;
use js_sys::{Array, Reflect};
use serde::de::DeserializeOwned;
use wasm_bindgen::{JsCast, JsValue};

/// A value as `JSON.parse` gives it.
pub(super) struct Object(pub JsValue);

impl Node for Object {
    fn kind(&self) -> Kind {
        if self.0.is_null() || self.0.is_undefined() {
            Kind::Null
        } else if self.0.is_string() {
            Kind::Text
        } else if self.0.as_bool().is_some() {
            Kind::Bool
        } else if self.0.as_f64().is_some() {
            Kind::Number
        } else if Array::is_array(&self.0) {
            Kind::Array
        } else {
            Kind::Object
        }
    }

    fn member(&self, key: &str) -> Option<Self> {
        let member = Reflect::get(&self.0, &JsValue::from_str(key)).ok();
        member
            .map(Self)
            .filter(|member| member.kind() != Kind::Null)
    }

    fn elements(&self) -> Vec<Self> {
        let array: Option<&Array> = self.0.dyn_ref();
        array.map_or_else(Vec::new, |array| array.iter().map(Self).collect())
    }

    fn decode<T: DeserializeOwned>(&self, pointer: &str) -> Result<T, Problem> {
        serde_wasm_bindgen::from_value(self.0.clone()).map_err(|error| misshapen(pointer, &error))
    }
}

/// A value of the wrong shape. The faulty part inside an element is not known here.
pub(super) fn misshapen(pointer: &str, error: &serde_wasm_bindgen::Error) -> Problem {
    let text = error.to_string();
    in_words(pointer.to_owned(), text.trim_start_matches("Error: "))
}
