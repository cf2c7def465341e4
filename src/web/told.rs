//! What script is handed in one crossing.

use crate::answer::data::Answer;
use crate::packs::data::Panels;
use serde::Serialize;
use tsify::Tsify;

/// What stands on a page as soon as a question is answered.
#[derive(Serialize, Tsify)]
#[tsify(missing_as_null)]
pub struct Answered {
    /// The answer.
    pub answer: Answer,
    /// Title of a page that shows it.
    pub title: String,
    /// What stands beside it; `null` if it is not asked for.
    pub panels: Option<Panels>,
}

/// The answers for several pairs.
#[derive(Serialize, Tsify)]
#[tsify(missing_as_null)]
pub struct Listed {
    /// Those measured in rank order, then the estimates; `null` where one pair is asked for.
    pub list: Option<Vec<Answer>>,
}
