//! A whole field, ranked.

use super::asked::Asked;
use super::field::Field;
use super::intervals::{self, Interval};
use super::uncertainty::{JobUncertainty, Uncertainty};
use super::{Results, figures, stock};
use crate::ask::question::{Measure, Per, Question};
use crate::ask::table::{Row, Table};
use crate::problem::Problem;
use crate::ranking::order::{Order, order};

/// The table that a question asks for.
pub(super) fn table(results: &Results, question: &Question) -> Result<Table, Problem> {
    let asked = Asked::of(results, question)?;
    let field = Field::of(results, &asked);
    let by = asked.measure(question, &results.catalogue)?;
    let prices = stock::Prices::of(results, &field, &asked, question.currency.as_deref());
    if by.parts().is_some_and(|(_, per)| per == Per::Price) {
        prices.one_currency(&results.catalogue)?;
    }
    let mut rows: Vec<Row> = field
        .members
        .iter()
        .map(|member| figures::row(results, &field, member, &asked, &prices, by))
        .collect();
    let standings = field.members.iter().zip(&rows);
    let standings =
        standings.map(|(member, row)| figures::standing_by(&field, member, row, &asked, by));
    let places = order(&standings.collect::<Vec<_>>());
    judge(results, &asked, &field, &places, by, &mut rows);
    let mut rows: Vec<Option<Row>> = rows.into_iter().map(Some).collect();
    let mut ranked = Vec::with_capacity(rows.len());
    for &place in &places.best_first {
        let Some(mut row) = rows.get_mut(place).and_then(Option::take) else {
            continue;
        };
        row.rank = places.ranks.get(place).copied().flatten();
        row.rank_of = places.of;
        if asked.matches_ids(results, &row.tool, &row.pack) {
            ranked.push(row);
        }
    }
    Ok(Table {
        job_torque_nm: asked.job.as_ref().map(|job| job.torque_nm),
        required_torque_nm: asked.job.as_ref().map(|job| job.required_nm),
        by,
        score: asked.score,
        rows: ranked,
    })
}

/// Fills in how sure every row is.
fn judge(
    results: &Results,
    asked: &Asked,
    field: &Field,
    places: &Order,
    by: Measure,
    rows: &mut [Row],
) {
    let uncertainty = Uncertainty::of(results, field, asked.rig.unit_to_unit_percent);
    let at = asked
        .job
        .as_ref()
        .map(|job| (job, JobUncertainty::of(field, job, asked.within_s)));
    let intervals: Vec<Interval> = match (by.parts(), &at) {
        (Some((torque, per)), _) => {
            let divisor = |place: usize| {
                let row = rows.get(place)?;
                match per {
                    Per::One => Some(1.0),
                    Per::Kg => row.mass_kg,
                    Per::Price => row.price,
                }
            };
            intervals::for_measure(field, torque, divisor, places, &uncertainty)
        }
        (None, Some((job, at))) => {
            intervals::for_job(field, job, asked.score, places, &uncertainty, at)
        }
        (None, None) => Vec::new(),
    };
    for (place, (member, row)) in field.members.iter().zip(rows).enumerate() {
        (row.rank_low, row.rank_high) = intervals.get(place).copied().flatten().unzip();
        row.torque_19_of_20_nm = uncertainty.torque_19_of_20_nm(field, place, member);
        row.reach_probability = at.as_ref().and_then(|(job, at)| {
            let reach = uncertainty.reach(field, place, member, job, asked.within_s, at)?;
            Some(reach.probability)
        });
    }
}
