//! A row of a table, not yet ranked.

use super::data::Row;
use crate::dataset::types::{Direction, Tool};
use crate::field::estimated::Estimated;
use crate::field::pair::{ToTorque, count};
use crate::field::{Field, Member};
use crate::query::question::{Level, Measure, Per, Score};
use crate::query::resolved::Asked;
use crate::query::verdict::Basis;
use crate::results::prices::Prices;
use crate::results::{Results, products};
use crate::typical::Combination;

/// A row of a table, not yet ranked.
pub(crate) fn row(
    results: &Results,
    field: &Field,
    member: &Member,
    asked: &Asked,
    prices: &Prices,
    by: Measure,
) -> Row {
    let combination = &member.combination;
    let pair = (member.tool, member.pack);
    let mut row = typical_row(results, pair, combination, asked, prices);
    row.basis = Basis::Measured;
    row.peak_torque_nm = Some(combination.peak_nm());
    row.largest_sample_nm = Some(combination.largest_nm());
    row.runs_used = count(combination.runs().count()).unwrap_or(u32::MAX);
    row.runs_excluded = member.set_aside;
    row.specimens = count(combination.specimen_count()).unwrap_or(u32::MAX);
    if let Some(job) = &asked.job {
        let to = ToTorque::of(field, member, job.required_nm);
        row.work_j = to.work_j;
        row.average_power_w = to.average_power_w;
        row.rise_rate_nm_per_s = Some(to.rise_rate_nm_per_s);
        row.best_of_three_power_w = to.best_of_three_power_w;
        row.best_of_three_rise_rate_nm_per_s = to.best_of_three_rise_rate_nm_per_s;
    }
    row.value = value(&row, asked.score, field.scored_by_power, by);
    row
}

/// A row below a table: an estimate.
pub(crate) fn row_of_estimate(
    results: &Results,
    field: &Field,
    estimated: &Estimated,
    asked: &Asked,
    prices: &Prices,
    by: Measure,
) -> Row {
    let pair = (estimated.tool, estimated.pack);
    let mut row = typical_row(results, pair, &estimated.combination, asked, prices);
    row.runs_excluded = field.set_aside(pair);
    row.value = value(&row, asked.score, field.scored_by_power, by);
    row
}

/// What a typical curve, its tool and its pack say.
fn typical_row(
    results: &Results,
    (tool, pack): (usize, usize),
    combination: &Combination,
    asked: &Asked,
    prices: &Prices,
) -> Row {
    let (tool_id, pack_id) = products::ids(results, tool, pack);
    let price = prices.of_pair(tool, pack);
    let window_s = asked.window_s;
    let time_s = asked
        .job
        .as_ref()
        .map(|job| combination.time_to(job.required_nm, window_s));
    let named = results.dataset.tools.get(tool);
    Row {
        tool: tool_id,
        pack: pack_id,
        setup: asked.setup.id.clone(),
        basis: Basis::Estimate,
        rank: None,
        rank_low: None,
        rank_high: None,
        rank_of: 0,
        reaches: time_s.map(|time_s| time_s.is_some_and(|time_s| time_s <= asked.within_s)),
        value: None,
        peak_torque_nm: None,
        largest_sample_nm: None,
        mean_torque_nm: combination.mean_nm(),
        early_torque_nm: combination.early_nm(),
        typical_end_nm: combination.torque_at(window_s),
        typical_within_nm: combination.torque_at(asked.within_s),
        time_to_job_s: time_s.flatten(),
        work_j: None,
        average_power_w: None,
        rise_rate_nm_per_s: None,
        best_of_three_power_w: None,
        best_of_three_rise_rate_nm_per_s: None,
        torque_19_of_20_nm: None,
        reach_probability: None,
        verdict: None,
        stated_torque_nm: named.and_then(|tool| stated_nm(tool, asked)),
        mass_kg: products::mass_kg(results, tool, pack),
        length_mm: named.and_then(|tool| tool.length_mm),
        price: price.as_ref().map(|(amount, _)| *amount),
        currency: price.map(|(_, currency)| currency),
        runs_used: 0,
        runs_excluded: 0,
        specimens: 0,
    }
}

/// What the maker states for the direction of the job; for tightening without a job.
fn stated_nm(tool: &Tool, asked: &Asked) -> Option<f64> {
    match asked.job.as_ref().map(|job| job.direction) {
        Some(Direction::Loosen) => tool.stated_loosening_nm,
        _ => tool.stated_tightening_nm,
    }
}

/// What a row is ranked by.
fn value(row: &Row, score: Score, by_power: bool, by: Measure) -> Option<f64> {
    let Some((level, per)) = by.parts() else {
        return match (score, by_power) {
            (Score::Typical, _) => row.time_to_job_s,
            (Score::BestOfThree, true) => row.best_of_three_power_w,
            (Score::BestOfThree, false) => row.best_of_three_rise_rate_nm_per_s,
        };
    };
    let torque_nm = match level {
        Level::Mean => row.mean_torque_nm,
        Level::Peak => row.peak_torque_nm?,
        Level::Early => row.early_torque_nm,
    };
    match per {
        Per::One => Some(torque_nm),
        Per::Kg => row.mass_kg.map(|mass_kg| torque_nm / mass_kg),
        Per::Price => row.price.map(|price| torque_nm / price),
    }
}
