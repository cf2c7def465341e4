//! What real nuts that were tried with pairs of a field say of others.

pub mod data;
pub(crate) mod figures;
mod words;

use crate::breakaway::factors::Factors;
use crate::problem::Problem;
use crate::query::condition::Checked;
use crate::query::resolved::Asked;
use crate::results::Results;
use data::NutsTried;
use figures::Here;

/// What nuts that were tried say, by their states.
#[derive(Debug, Default)]
pub(crate) struct Nuts {
    pub told: Vec<NutsTried>,
    factors: Vec<(Checked, Factors)>,
}

impl Nuts {
    /// With their words.
    pub fn of(results: &Results, asked: &Asked, here: Here) -> Self {
        let mut nuts = Self::default();
        for mut of_state in figures::tried(results, asked, here) {
            words::told(&results.catalogue, &mut of_state.told);
            let factors = of_state.factors.into_iter();
            let condition = of_state.told.condition;
            nuts.factors
                .extend(factors.map(|factors| (condition, factors)));
            nuts.told.push(of_state.told);
        }
        nuts
    }

    /// The factors of such nuts; `None` where too few were tried.
    pub fn factors(&self, checked: Checked) -> Option<&Factors> {
        let mut all = self.factors.iter();
        all.find(|(other, _)| *other == checked)
            .map(|(_, factors)| factors)
    }

    /// The factor that half of such nuts stay below.
    ///
    /// # Errors
    ///
    /// A problem that says how many were tried and how many it takes.
    pub fn factor(&self, results: &Results, checked: Checked) -> Result<f64, Problem> {
        let mut told = self.told.iter();
        let nuts = told.find(|nuts| nuts.condition == checked);
        let factor = nuts.and_then(|nuts| nuts.factor);
        factor.ok_or_else(|| words::too_few(&results.catalogue, checked, nuts))
    }
}
