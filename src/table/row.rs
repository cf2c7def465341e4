//! A row of a table, and what it is made from. It has no place yet: see `figures.rs`.

use crate::cells::record;
use crate::dataset::types::{Direction, Tool};
use crate::field::estimated::Estimated;
use crate::field::pair_figures::PairFigures;
use crate::field::{Field, Member};
use crate::query::question::{Level, Measure, Per, Score};
use crate::query::resolved::Asked;
use crate::query::verdict::Verdict;
use crate::results::prices::Prices;
use crate::results::{Results, products};
use crate::typical::Combination;
use serde::Serialize;

record! {
    /// One combination of a field.
    #[derive(Clone, Debug, PartialEq, Serialize)]
    pub struct Row {
        /// Identifier of the tool.
        pub tool: String,
        /// Identifier of the pack.
        pub pack: String,
        /// Identifier of the setup.
        pub setup: String,
        /// Place; `null` if it cannot be ranked.
        pub rank: Option<u32>,
        /// Lower end of the 90 % interval of the place.
        pub rank_low: Option<u32>,
        /// Upper end of the 90 % interval of the place.
        pub rank_high: Option<u32>,
        /// How many combinations have a place.
        pub rank_of: u32,
        /// Whether the typical curve reaches the job; `null` without a job.
        pub reaches: Option<bool>,
        /// What the field is ranked by, in SI units (per kg, or per unit of currency); `null` where it
        /// is not reached or cannot be told.
        pub value: Option<f64>,
        /// The figures of its runs, or of its estimate; each is a cell.
        #[serde(flatten)]
        pub figures: PairFigures,
        /// The typical curve when the visitor's patience ends, in N·m.
        pub typical_within_nm: f64,
        /// The torque that 19 of 20 tries reach, in N·m.
        pub torque_19_of_20_nm: Option<f64>,
        /// Probability that a further try reaches the job in time.
        pub reach_probability: Option<f64>,
        /// The verdict on the job; `null` without a job.
        pub verdict: Option<Verdict>,
        /// What the maker states for the direction of the job, or for tightening, in N·m.
        pub stated_torque_nm: Option<f64>,
        /// Mass of tool and pack in kg.
        pub mass_kg: Option<f64>,
        /// Length of the tool in mm.
        pub length_mm: Option<f64>,
        /// Price of tool and pack.
        pub price: Option<f64>,
        /// Currency of that price.
        pub currency: Option<String>,
    }
}

/// What every row of a table is made from.
pub(crate) struct Rows<'a> {
    pub results: &'a Results,
    pub field: &'a Field,
    pub asked: &'a Asked,
    pub prices: &'a Prices<'a>,
    /// What the field is ranked by.
    pub by: Measure,
}

impl Rows<'_> {
    /// The row of a measured pair.
    pub fn measured(&self, member: &Member) -> Row {
        let job = self.asked.job.as_ref();
        let figures = PairFigures::measured(self.results, self.field, member, job);
        self.row((member.tool, member.pack), &member.combination, figures)
    }

    /// As [`Rows::measured`], with no other figure of its runs than the typical time to the job.
    pub fn timed(&self, member: &Member) -> Row {
        let combination = &member.combination;
        let job = self.asked.job.as_ref();
        let figures = PairFigures {
            time_to_job_s: job
                .and_then(|job| combination.time_to(job.required_nm, self.field.window_s)),
            ..PairFigures::default()
        };
        self.row((member.tool, member.pack), combination, figures)
    }

    /// A row below the table: an estimate.
    pub fn estimated(&self, estimated: &Estimated) -> Row {
        let figures = PairFigures::estimated(self.field, estimated, self.asked.job.as_ref());
        let pair = (estimated.tool, estimated.pack);
        self.row(pair, &estimated.combination, figures)
    }

    fn row(
        &self,
        (tool, pack): (usize, usize),
        combination: &Combination,
        figures: PairFigures,
    ) -> Row {
        let (results, asked) = (self.results, self.asked);
        let (tool_id, pack_id) = products::ids(results, tool, pack);
        let price = self.prices.of_pair(tool, pack);
        let in_time = |time_s: f64| time_s <= asked.within_s;
        let reaches = || figures.time_to_job_s.is_some_and(in_time);
        let named = results.dataset.tools.get(tool);
        let row = Row {
            tool: tool_id,
            pack: pack_id,
            setup: asked.setup.id.clone(),
            rank: None,
            rank_low: None,
            rank_high: None,
            rank_of: 0,
            reaches: asked.job.as_ref().map(|_| reaches()),
            value: None,
            typical_within_nm: combination.torque_at(asked.within_s),
            figures,
            torque_19_of_20_nm: None,
            reach_probability: None,
            verdict: None,
            stated_torque_nm: named.and_then(|tool| stated_nm(tool, asked)),
            mass_kg: products::mass_kg(results, tool, pack),
            length_mm: named.and_then(|tool| tool.length_mm),
            price: price.as_ref().map(|(amount, _)| *amount),
            currency: price.map(|(_, currency)| currency),
        };
        Row {
            value: self.value(&row),
            ..row
        }
    }

    /// What a row is ranked by.
    fn value(&self, row: &Row) -> Option<f64> {
        let figures = &row.figures;
        let Some((level, per)) = self.by.parts() else {
            return match (self.asked.score, self.field.scored_by_power) {
                (Score::Typical, _) => figures.time_to_job_s,
                (Score::BestOfThree, true) => figures.best_of_three_power_w,
                (Score::BestOfThree, false) => figures.best_of_three_rise_rate_nm_per_s,
            };
        };
        let torque_nm = match level {
            Level::Mean => figures.mean_torque_nm,
            Level::Peak => figures.peak_torque_nm,
            Level::Early => figures.early_torque_nm,
        }?;
        match per {
            Per::One => Some(torque_nm),
            Per::Kg => row.mass_kg.map(|mass_kg| torque_nm / mass_kg),
            Per::Price => row.price.map(|price| torque_nm / price),
        }
    }
}

/// What the maker states for the direction of the job; for tightening without a job.
fn stated_nm(tool: &Tool, asked: &Asked) -> Option<f64> {
    match asked.job.as_ref().map(|job| job.direction) {
        Some(Direction::Loosen) => tool.stated_loosening_nm,
        _ => tool.stated_tightening_nm,
    }
}
