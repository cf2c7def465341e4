//! The pairs that reach a job, in the order that the visitor picks; else those that come closest.

use super::data::{Choice, Choices, Miss};
use super::pareto::{Merit, pareto_front};
use crate::problem::Problem;
use crate::query::filter::{Narrowing, Order};
use crate::query::question::{Measure, Question};
use crate::query::verdict::Verdict;
use crate::results::products;
use crate::study::Study;
use crate::table::data::Table;
use crate::table::filter::in_reach;
use crate::table::row::Row;
use crate::tie::reaches;
use crate::{sort, table};

/// How many pairs that come closest are told.
const MISSES: usize = 3;

/// The pairs that reach the job: of the tool or the pack asked for; where both are, the others.
pub(crate) fn choices(study: &Study) -> Result<Choices, Problem> {
    let (results, asked) = (study.results, study.asked());
    let job = study.answering()?.job;
    let (table, in_force) = ordered(study, table::figures::rows_alone)?;
    let own = asked.tool.zip(asked.pack);
    let own = own.map(|(tool, pack)| products::ids(results, tool, pack));
    let is_asked = |row: &Row| {
        (own.as_ref()).is_some_and(|(tool, pack)| (tool, pack) == (&row.tool, &row.pack))
    };
    let (reaching, short): (Vec<Row>, Vec<Row>) = table.rows.into_iter().partition(in_reach);
    let merits = merits(&reaching, table.currency.is_some());
    let rows: Vec<Choice> = reaching
        .into_iter()
        .zip(pareto_front(&merits))
        .map(|(row, unbeaten)| Choice { row, unbeaten })
        .filter(|choice| !is_asked(&choice.row))
        .collect();
    let without = rows
        .iter()
        .filter(|choice| in_force.column().figure(&choice.row).is_none());
    let misses = if rows.is_empty() {
        let others = short.into_iter().filter(|row| !is_asked(row)).collect();
        closest(others, job.required_nm)
    } else {
        Vec::new()
    };
    Ok(Choices {
        job_torque_nm: job.torque_nm,
        required_torque_nm: job.required_nm,
        within_s: asked.within_s,
        order: in_force,
        priced: merits.iter().any(|merit| merit.price.is_some()),
        judged: rows
            .iter()
            .all(|choice| choice.row.verdict != Some(Verdict::TooFewRuns))
            && misses.iter().all(|miss| miss.reach_probability.is_some()),
        without: u32::try_from(without.count()).unwrap_or(u32::MAX),
        left_out: table.left_out,
        prices: table.priced,
        currencies: table.currencies,
        across_currencies: table.across_currencies,
        rows,
        misses,
    })
}

/// The first of the same pairs, at most `most`, by their indices in the field: those that reach the job
/// or, where none does, those that come closest.
pub(crate) fn first(study: &Study, most: usize) -> Result<Vec<usize>, Problem> {
    let job = study.answering()?.job;
    let (Table { rows, .. }, _) = ordered(study, table::figures::rows_to_choose)?;
    let (reaching, short): (Vec<Row>, Vec<Row>) = rows.into_iter().partition(in_reach);
    let ids: Vec<(String, String)> = match reaching.is_empty() {
        false => (reaching.into_iter().take(most))
            .map(|row| (row.tool, row.pack))
            .collect(),
        true => (closest(short, job.required_nm).into_iter().take(most))
            .map(|miss| (miss.tool, miss.pack))
            .collect(),
    };
    let index = |pair: (String, String)| {
        let mut members = study.field().members.iter();
        members.position(|member| products::ids(study.results, member.tool, member.pack) == pair)
    };
    Ok(ids.into_iter().filter_map(index).collect())
}

/// Works out the rows of a table.
type TableOf = fn(&Study) -> Result<Table, Problem>;

/// The measured rows of the pairs asked for, or of all where one pair is asked for, in the order that
/// the visitor picks or, where prices have several currencies, in the order that is in force instead.
fn ordered(study: &Study, table_of: TableOf) -> Result<(Table, Order), Problem> {
    let (question, asked) = (study.question(), study.asked());
    let single = asked.tool.is_some() && asked.pack.is_some();
    let pairs = match single {
        true => (None, None),
        false => (asked.tool, asked.pack),
    };
    let order = question.order.unwrap_or_default();
    let whole = Question {
        by: Some(Measure::Time),
        sort: Some(order.column().code().into()),
        narrow: question.narrow.clone().map(|narrow| Narrowing {
            reaching: None,
            ..narrow
        }),
        ..question.clone()
    };
    let mut table = table_of(&study.of_pairs(pairs, whole.clone()))?;
    let in_force = match table.sort {
        Some(_) => order,
        None => Order::default(),
    };
    if in_force != order {
        // No order across currencies.
        let sort = Some(in_force.column().code().into());
        let across_currencies = table.across_currencies;
        table = table_of(&study.of_pairs(pairs, Question { sort, ..whole }))?;
        table.across_currencies = across_currencies;
    }
    Ok((table, in_force))
}

/// By what rows are compared.
fn merits(rows: &[Row], one_currency: bool) -> Vec<Merit> {
    rows.iter()
        .map(|row| Merit {
            mass_kg: row.mass_kg,
            // Prices in several currencies are not compared.
            price: row.price.filter(|_| one_currency),
            time_s: row.figures.time_to_job_s,
        })
        .collect()
}

/// The pairs that come closest: by the chance of a further try; where there is none, by the typical
/// curve when the visitor's patience ends.
fn closest(mut rows: Vec<Row>, required_nm: f64) -> Vec<Miss> {
    sort::sort(&mut rows, |a, b| {
        let chance = |row: &Row| row.reach_probability.unwrap_or_default();
        let chances = chance(b).total_cmp(&chance(a));
        chances.then(b.typical_within_nm.total_cmp(&a.typical_within_nm))
    });
    rows.into_iter()
        .take(MISSES)
        .map(|row| Miss {
            tool: row.tool,
            pack: row.pack,
            reach_probability: row.reach_probability,
            typical_within_nm: row.typical_within_nm,
            short_nm: (!reaches(row.typical_within_nm, required_nm))
                .then_some(required_nm - row.typical_within_nm),
        })
        .collect()
}
