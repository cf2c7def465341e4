//! What a fastener has been through, as a factor on the torque it was tightened to.

use crate::breakaway::State;
use crate::dataset::types::Direction;
use crate::problem::Problem;
use crate::results::Results;
use serde::Deserialize;

/// The largest factor that is taken.
const LARGEST: f64 = 10.0;

/// The factor on the torque of a joint that is to be loosened.
#[derive(Clone, Copy, Debug, PartialEq, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(untagged)]
pub enum Condition {
    /// The visitor's own, above 0 and at most 10.
    Factor(f64),
    /// That of nuts tried with tools of the field.
    Checked(Checked),
}

/// Which nuts that were tried give the factor.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, serde::Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub enum Checked {
    /// Those that were not fresh.
    #[serde(rename = "checked")]
    Aged,
    /// Those that were tightened shortly before.
    #[serde(rename = "checked-fresh")]
    Fresh,
}

impl Checked {
    /// Every one.
    pub const ALL: [Self; 2] = [Self::Aged, Self::Fresh];

    /// As it is written in a question.
    pub fn code(self) -> &'static str {
        match self {
            Self::Aged => "checked",
            Self::Fresh => "checked-fresh",
        }
    }

    /// What such nuts have been through.
    pub fn state(self) -> State {
        match self {
            Self::Aged => State::Aged,
            Self::Fresh => State::Fresh,
        }
    }
}

/// The factor on a torque, 1 if none is asked for; `tried` gives that of nuts that were tried.
pub(super) fn factor(
    results: &Results,
    condition: Option<Condition>,
    direction: Direction,
    tried: impl FnOnce(Checked) -> Result<f64, Problem>,
) -> Result<f64, Problem> {
    let tightening = direction == Direction::Tighten && condition.is_some();
    let condition = condition.unwrap_or(Condition::Factor(1.0));
    let (wanted, key) = match condition {
        _ if tightening => ("no condition when tightening", "error.condition_tightening"),
        Condition::Checked(checked) => return tried(checked),
        Condition::Factor(factor) if factor > 0.0 && factor <= LARGEST => return Ok(factor),
        Condition::Factor(_) => ("above 0 and at most 10", "error.condition"),
    };
    let found = match condition {
        Condition::Factor(factor) => (results.digits)(factor),
        Condition::Checked(checked) => checked.code().into(),
    };
    let problem = Problem::new("/condition", found, wanted);
    Err(problem.message(results.catalogue.fill(key, &[])))
}
