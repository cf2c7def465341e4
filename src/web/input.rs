//! What script hands over, as data.

use super::object::Object;
use crate::chart::draw::{Colour, Theme};
use crate::chart::view::Viewport;
use crate::dataset::pointer::Pointer;
use crate::dataset::read::value::{Listed, Value, objects, words};
use crate::dataset::read::{Kind, Node};
use crate::problem::{Problem, Problems};
use crate::query::condition::{Checked, Condition};
use crate::query::filter::{Narrowing, Order};
use crate::query::question::{Measure, PairIds, Question, Score};
use crate::text::catalogue::{Catalogue, PluralRule, UnitNames};
use crate::text::number::NumberStyle;
use crate::units::TorqueUnit;
use wasm_bindgen::JsValue;

/// Reads a plain object.
///
/// # Errors
///
/// One problem, whose pointer names the faulty part.
pub(super) fn read<T: Value>(object: JsValue) -> Result<T, Problems> {
    let mut problems = Problems::default();
    T::read(&Object(object), &Pointer::Top, &mut problems).ok_or(problems)
}

objects! {
    Question {
        tool, pack, beside, job, direction, condition, loss_percent, within_s, score, setup, rig, edition,
        by, currency, narrow, sort, order, chosen, stated, units
    }
    Narrowing {
        find, size, mount, still_sold, longest_mm, heaviest_kg, dearest, reaching
    }
    PairIds { tool, pack }
    Viewport { width_px, height_px, text_px, runs, top_nm }
    Theme { ratio, ground, grid, needed, curves }
    Catalogue { lang, name, plural, number, units, texts }
    NumberStyle { decimal, group, minus }
    UnitNames {
        newton_metre, pound_force_foot, pound_force_inch, kilogram_force_metre,
        newton_metre_per_second, pound_force_foot_per_second, second, watt,
        kilogram, millimetre, percent
    }
}

words! {
    Checked { "checked" = Aged, "checked-fresh" = Fresh }
    Score { "typical" = Typical, "best-of-three" = BestOfThree }
    Measure {
        "time" = Time, "mean" = Mean, "peak" = Peak, "early" = Early,
        "mean-per-kg" = MeanPerKg, "peak-per-kg" = PeakPerKg, "early-per-kg" = EarlyPerKg,
        "mean-per-price" = MeanPerPrice, "peak-per-price" = PeakPerPrice,
        "early-per-price" = EarlyPerPrice
    }
    Order {
        "lightest" = Lightest, "shortest" = Shortest, "least-costly" = LeastCostly,
        "quickest" = Quickest
    }
    TorqueUnit { "n-m" = NewtonMetre, "lbf-ft" = PoundForceFoot }
    PluralRule { "one-other" = OneOther, "zero-one-other" = ZeroOneOther }
}

impl Value for Condition {
    fn read<N: Node>(value: &N, pointer: &Pointer, problems: &mut Problems) -> Option<Self> {
        if value.kind() == Kind::Text {
            return Value::read(value, pointer, problems).map(Self::Checked);
        }
        Value::read(value, pointer, problems).map(Self::Factor)
    }
}

impl Value for Colour {
    fn read<N: Node>(value: &N, pointer: &Pointer, problems: &mut Problems) -> Option<Self> {
        let parts: Vec<u32> = Value::read(value, pointer, problems)?;
        if let &[red, green, blue] = parts.as_slice()
            && let (Ok(red), Ok(green), Ok(blue)) =
                (red.try_into(), green.try_into(), blue.try_into())
        {
            return Some((red, green, blue));
        }
        let wanted = "red, green and blue from 0 to 255";
        problems.push(Problem::new(pointer, "other numbers", wanted));
        None
    }
}

impl Listed for Colour {}
