//! What script is handed in one crossing.

use crate::alternatives::data::WordedChoices;
use crate::answer::data::Answer;
use crate::chart::view::View;
use crate::packs::data::Panels;
use crate::table::data::WordedTable;
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

/// The answers for several pairs.
#[derive(Serialize, Tsify)]
#[tsify(missing_as_null)]
pub struct Listed {
    /// Those measured in rank order, then the estimates; `null` where one pair is asked for.
    pub list: Option<Vec<Answer>>,
}
