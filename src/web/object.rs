//! A parsed object of the browser as a document.

use crate::dataset::read::{Kind, Node};
use js_sys::{Array, Float64Array, Function, Number, Reflect};
use wasm_bindgen::{JsCast, JsValue};

/// A value as `JSON.parse` gives it.
pub(super) struct Object(pub JsValue);

impl Node for Object {
    const SAYS_WHAT_WAS_FOUND: bool = false;

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
        let key = JsValue::from_str(key);
        // Own members alone: a page around may have put others into `Object.prototype`.
        let object: &js_sys::Object = self.0.unchecked_ref();
        let own = self.0.is_object() && js_sys::Object::has_own(object, &key);
        let member = own.then(|| Reflect::get(&self.0, &key).ok()).flatten()?;
        (!member.is_undefined()).then_some(Self(member))
    }

    fn keys(&self) -> Vec<String> {
        let object: Option<&js_sys::Object> = self.0.dyn_ref();
        let keys = object.map(js_sys::Object::keys);
        keys.iter()
            .flat_map(Array::iter)
            .filter_map(|key| key.as_string())
            .collect()
    }

    fn elements(&self) -> Vec<Self> {
        let array: Option<&Array> = self.0.dyn_ref();
        array.map_or_else(Vec::new, |array| array.iter().map(Self).collect())
    }

    fn text(&self) -> Option<String> {
        self.0.as_string()
    }

    fn truth(&self) -> Option<bool> {
        self.0.as_bool()
    }

    fn number(&self) -> Option<f64> {
        self.0.as_f64()
    }

    fn whole(&self) -> Option<i64> {
        let number = self.number()?;
        let held = number.fract() == 0.0 && number.abs() <= Number::MAX_SAFE_INTEGER;
        held.then_some(number as i64)
    }

    fn wholes(&self) -> Option<Vec<i64>> {
        // Looked over and copied by the browser: element by element takes longer than all else.
        let number = Self(js_sys::global().into()).member("Number")?;
        // Of a function, which is no plain object.
        let is_whole = Reflect::get(&number.0, &JsValue::from_str("isSafeInteger")).ok()?;
        let every = Reflect::get(&self.0, &JsValue::from_str("every")).ok()?;
        let every: Function = every.dyn_into().ok()?;
        let whole = every.call1(&self.0, &is_whole).ok()?;
        let numbers = whole
            .is_truthy()
            .then(|| Float64Array::new(&self.0).to_vec())?;
        Some(numbers.into_iter().map(|number| number as i64).collect())
    }

    fn digits(&self) -> String {
        Self::print(self.number().unwrap_or(f64::NAN))
    }

    fn print(number: f64) -> String {
        let digits = Number::from(number).to_string_with_radix(10);
        digits.map_or_else(|_| String::new(), String::from)
    }
}
