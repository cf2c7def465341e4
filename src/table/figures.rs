//! A whole field, ranked: its rows, their order, and which columns stand.

use super::column::{COLUMNS, Column};
use super::data::Table;
use super::filter::Narrowed;
use super::row::Row;
use super::row::Rows;
use super::sort::Sort;
use crate::dataset::types::Size;
use crate::field::estimated::Estimated;
use crate::field::{Field, intervals, pair};
use crate::problem::Problem;
use crate::query::question::{Measure, Per, Score};
use crate::query::resolved::Asked;
use crate::query::verdict::Verdict;
use crate::ranking::order::{Order, Standing, order};
use crate::results::Results;
use crate::study::Study;
use std::borrow::Cow;

/// The table that a question asks for.
pub(crate) fn table(study: &Study) -> Result<Table, Problem> {
    told(study, Told::Whole)
}

/// The measured rows alone: without the intervals of their places and without estimates, which take
/// the longest.
pub(crate) fn rows_alone(study: &Study) -> Result<Table, Problem> {
    told(study, Told::Rows)
}

/// As [`rows_alone`], with no figure of a pair but its time to the job: enough to choose and sort the
/// pairs that reach it by what lists of them are sorted by.
pub(crate) fn rows_to_choose(study: &Study) -> Result<Table, Problem> {
    told(study, Told::ToChoose)
}

/// How much of a table is worked out.
#[derive(Clone, Copy, PartialEq)]
enum Told {
    Whole,
    Rows,
    ToChoose,
}

fn told(study: &Study, told: Told) -> Result<Table, Problem> {
    let whole = told == Told::Whole;
    let (results, question) = (study.results, study.question());
    let (asked, field) = (study.asked(), study.field());
    let by = asked.measure(question, &results.catalogue)?;
    let prices = study.prices();
    let mut narrowed = Narrowed::of(results, question, &prices)?;
    if by.parts().is_some_and(|(_, per)| per == Per::Price) {
        prices.one_currency(&results.catalogue)?;
    }
    let made = Rows {
        results,
        field,
        asked,
        prices: &prices,
        by,
    };
    let mut rows = rows(&made, told);
    let places = places(study, &rows, by);
    let columns = columns(&rows, by, asked, question.stated == Some(true));
    let sort = Sort::of(results, question, &columns)?;
    add_chances(study, &mut rows);
    if whole {
        add_intervals(study, &places, by, &mut rows);
    }
    let (mut ranked, kept) = kept(study, rows, &places, &mut narrowed);
    let without = sort.map_or(0, |sort| narrowed.sort(&mut ranked, sort));
    let left_out = narrowed.left_out;
    let mut estimates = if whole {
        estimates(study, &made, places.of)
    } else {
        Vec::new()
    };
    estimates.retain(|(pair, row)| narrowed.keeps(*pair, row));
    let mut estimates: Vec<Row> = estimates.into_iter().map(|(_, row)| row).collect();
    sort.map(|sort| narrowed.sort(&mut estimates, sort));
    let across_currencies = narrowed.across_currencies(sort);
    let sort = sort.filter(|sort| !(across_currencies && sort.column == Column::Price));
    Ok(Table {
        job_torque_nm: asked.job.as_ref().map(|job| job.torque_nm),
        required_torque_nm: asked.job.as_ref().map(|job| job.required_nm),
        by,
        score: asked.score,
        of: u32::try_from(field.members.len()).unwrap_or(u32::MAX),
        sort: sort.map(Sort::code),
        without,
        left_out,
        priced: prices.priced(&kept),
        currency: prices.currency(),
        currencies: prices.currencies(),
        across_currencies,
        columns,
        sizes: sizes(results, field),
        mounts: mounts(results, field),
        rows: ranked,
        estimates,
    })
}

/// A row for each pair of a field.
fn rows(made: &Rows, told: Told) -> Vec<Row> {
    let row = |member| match told {
        Told::ToChoose => made.timed(member),
        _ => made.measured(member),
    };
    made.field.members.iter().map(row).collect()
}

/// The rows that are asked for and kept by what was narrowed by, in the order of their places, and
/// their pairs.
fn kept(
    study: &Study,
    rows: Vec<Row>,
    places: &Order,
    narrowed: &mut Narrowed,
) -> (Vec<Row>, Vec<(usize, usize)>) {
    let (asked, field) = (study.asked(), study.field());
    let mut rows: Vec<Option<Row>> = rows.into_iter().map(Some).collect();
    let mut ranked = Vec::with_capacity(rows.len());
    let mut kept = Vec::new();
    for &index in &places.best_first {
        let row = rows.get_mut(index).and_then(Option::take);
        let Some((mut row, member)) = row.zip(field.members.get(index)) else {
            continue;
        };
        row.rank = places.ranks.get(index).copied().flatten();
        row.rank_of = places.of;
        let pair = (member.tool, member.pack);
        if asked.matches(member.tool, member.pack) && narrowed.keeps(pair, &row) {
            kept.push(pair);
            ranked.push(row);
        }
    }
    (ranked, kept)
}

/// The columns of a table with these rows: power, or the rise rate where some row has no work, and
/// never one under the other's heading.
fn columns(rows: &[Row], by: Measure, asked: &Asked, stated: bool) -> Vec<Column> {
    let best = asked.score == Score::BestOfThree;
    let (power, rise_rate) = if best {
        (Column::BestPower, Column::BestRiseRate)
    } else {
        (Column::Power, Column::RiseRate)
    };
    let has_power = rows.iter().all(|row| match best {
        true => {
            let figures = &row.figures;
            figures.best_of_three_power_w.is_some()
                || figures.best_of_three_rise_rate_nm_per_s.is_none()
        }
        false => row.figures.average_power_w.is_some() || row.figures.rise_rate_nm_per_s.is_none(),
    });
    let quotient = by.parts().is_some_and(|(_, per)| per != Per::One);
    let has_job = asked.job.is_some();
    let stands = |column: &Column| match column {
        Column::Value => quotient,
        Column::Chance | Column::Time => has_job,
        Column::Mean | Column::Early => !has_job,
        Column::Stated => stated,
        column if column.is_power() => {
            has_job && *column == if has_power { power } else { rise_rate }
        }
        _ => true,
    };
    COLUMNS.iter().copied().filter(stands).collect()
}

/// Sizes of a field's tools, smallest first.
fn sizes(results: &Results, field: &Field) -> Vec<Size> {
    let tools = field.members.iter();
    let found: Vec<Size> = tools
        .filter_map(|member| results.dataset.tools.get(member.tool)?.size)
        .collect();
    let all = [Size::Small, Size::Medium, Size::Large];
    all.into_iter()
        .filter(|size| found.contains(size))
        .collect()
}

/// Mounts of a field's packs, in the order of the field.
fn mounts(results: &Results, field: &Field) -> Vec<String> {
    let mut mounts: Vec<String> = Vec::new();
    for member in &field.members {
        if let Some(pack) = results.dataset.packs.get(member.pack)
            && !mounts.contains(&pack.pack_mount)
        {
            mounts.push(pack.pack_mount.clone());
        }
    }
    mounts
}

/// The places of a field's rows.
fn places<'s>(study: &'s Study, rows: &[Row], by: Measure) -> Cow<'s, Order> {
    if let (Measure::Time, Ok(answering)) = (by, study.answering()) {
        return Cow::Borrowed(answering.places());
    }
    let standing = |row: &Row| row.value.map_or(Standing::None, Standing::Score);
    Cow::Owned(order(&rows.iter().map(standing).collect::<Vec<_>>()))
}

/// What further tries reach, and how likely one reaches the job.
fn add_chances(study: &Study, rows: &mut [Row]) {
    let answering = study.answering().ok();
    for (index, row) in rows.iter_mut().enumerate() {
        row.torque_19_of_20_nm = study.nineteen_of_twenty_nm(index);
        let reach = answering.map(|answering| answering.reach(index));
        row.verdict = reach.map(|reach| reach.map_or(Verdict::TooFewRuns, |reach| reach.verdict));
        row.reach_probability = reach.flatten().map(|reach| reach.probability);
    }
}

/// How far every place may be off.
fn add_intervals(study: &Study, places: &Order, by: Measure, rows: &mut [Row]) {
    let intervals = match (by.parts(), study.answering()) {
        (Some((torque, per)), _) => {
            let divisor = |index: usize| {
                let row = rows.get(index)?;
                match per {
                    Per::One => Some(1.0),
                    Per::Kg => row.mass_kg,
                    Per::Price => row.price,
                }
            };
            let (field, uncertainty) = (study.field(), study.uncertainty());
            Cow::Owned(intervals::for_measure(
                field,
                torque,
                divisor,
                places,
                uncertainty,
            ))
        }
        (None, Ok(answering)) => Cow::Borrowed(answering.intervals()),
        (None, Err(_)) => Cow::Borrowed([].as_slice()),
    };
    for (row, interval) in rows.iter_mut().zip(intervals.iter()) {
        (row.rank_low, row.rank_high) = interval.unzip();
    }
}

/// The rows below the table, each with its tool and pack, best first by what the field is ranked by,
/// those without it last; `of` have a place.
fn estimates(study: &Study, made: &Rows, of: u32) -> Vec<((usize, usize), Row)> {
    let (field, uncertainty) = (study.field(), study.uncertainty());
    let Some(estimates) = study.estimates() else {
        return Vec::new();
    };
    let answering = study.answering().ok();
    let all = estimates.all(field, study.asked());
    let rows = all.iter().map(|one| {
        let mut row = made.estimated(one);
        row.rank_of = of;
        row.torque_19_of_20_nm =
            Some(uncertainty.torque_19_of_20_of_estimate_nm(one, field.window_s));
        if let Some(answering) = answering {
            let reach = answering.reach_of_estimate(one);
            row.reach_probability = Some(reach.probability);
            row.verdict = Some(reach.verdict);
        }
        ((one.tool, one.pack), row)
    });
    let rows: Vec<((usize, usize), Row)> = rows.collect();
    let standing = |(one, (_, row)): (&Estimated, &(_, Row))| match (answering, made.by) {
        (Some(answering), Measure::Time) => {
            let required_nm = answering.job.required_nm;
            pair::typical_standing(&one.combination, field.window_s, required_nm)
        }
        _ => row.value.map_or(Standing::None, Standing::Score),
    };
    let order = order(&all.iter().zip(&rows).map(standing).collect::<Vec<_>>());
    let mut rows: Vec<Option<_>> = rows.into_iter().map(Some).collect();
    let best_first = order.best_first.into_iter();
    best_first
        .filter_map(|index| rows.get_mut(index)?.take())
        .collect()
}
