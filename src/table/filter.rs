//! Which rows of a field are shown, and what they are sorted by. Neither moves a place.

use super::column::Column;
use super::data::LeftOut;
use super::row::Row;
use super::sort::{Sort, check};
use crate::problem::Problem;
use crate::query::filter::Narrowing;
use crate::query::question::Question;
use crate::results::Results;
use crate::results::prices::Prices;
use crate::sort;
use crate::text::fold::{folded, holds_words};
use std::cmp::Ordering;

/// A checked narrowing.
pub(crate) struct Narrowed<'a> {
    results: &'a Results,
    narrow: Narrowing,
    /// Whether pairs may be ordered and limited by price: not across currencies.
    one_currency: bool,
    /// What limits leave out for want of the figure.
    pub left_out: LeftOut,
}

impl<'a> Narrowed<'a> {
    /// # Errors
    ///
    /// A limit that is not above 0, or a currency that no price is in.
    pub fn of(results: &'a Results, question: &Question, prices: &Prices) -> Result<Self, Problem> {
        prices.known(&results.catalogue)?;
        check(results, question)?;
        let narrow = question.narrow.clone().unwrap_or_default();
        Ok(Self {
            results,
            narrow,
            one_currency: !prices.several(),
            left_out: LeftOut::default(),
        })
    }

    /// Whether a pair is shown. Counts those that a limit leaves out for want of the figure.
    pub fn keeps(&mut self, (tool, pack): (usize, usize), row: &Row) -> bool {
        let narrow = &self.narrow;
        let dataset = &self.results.dataset;
        let (Some(tool), Some(pack)) = (dataset.tools.get(tool), dataset.packs.get(pack)) else {
            return false;
        };
        let named = |wanted: &str| {
            let mut texts = vec![tool.name.as_str(), pack.name.as_str()];
            texts.extend(tool.maker.as_deref());
            texts.extend(tool.aka.iter().map(String::as_str));
            holds_words(wanted, &texts)
        };
        let is_one = narrow.find.as_deref().is_none_or(named)
            && narrow.size.is_none_or(|size| tool.size == Some(size))
            && narrow
                .mount
                .as_ref()
                .is_none_or(|mount| pack.pack_mount == *mount)
            && (narrow.still_sold != Some(true) || tool.last_sold.is_none())
            && (narrow.reaching != Some(true) || in_reach(row));
        if !is_one {
            return false;
        }
        let dearest = narrow.dearest.filter(|_| self.one_currency);
        let limits = [
            (narrow.heaviest_kg, row.mass_kg),
            (narrow.longest_mm, row.length_mm),
            (dearest, row.price),
        ];
        let beyond = |(limit, figure): &(Option<f64>, Option<f64>)| {
            limit
                .zip(*figure)
                .is_some_and(|(limit, figure)| figure > limit)
        };
        if limits.iter().any(beyond) {
            return false;
        }
        let left_out = &mut self.left_out;
        let counts = [
            &mut left_out.no_mass,
            &mut left_out.no_length,
            &mut left_out.no_price,
        ];
        let mut kept = true;
        for ((limit, figure), count) in limits.iter().zip(counts) {
            if limit.is_some() && figure.is_none() {
                *count += 1;
                kept = false;
            }
        }
        kept
    }

    /// Whether an order or a limit by price is asked for where prices are in several currencies.
    pub fn across_currencies(&self, sort: Option<Sort>) -> bool {
        let by_price = sort.is_some_and(|sort| sort.column == Column::Price);
        !self.one_currency && (by_price || self.narrow.dearest.is_some())
    }

    /// Sorts rows that stand in the order of their places: those that reach the job before those
    /// that do not, as in the order of places; among them by the figure, those without it last;
    /// what is equal by place. Returns how many are without the figure.
    pub fn sort(&self, rows: &mut [Row], sort: Sort) -> u32 {
        if sort.column == Column::Price && !self.one_currency {
            return 0;
        }
        let by_name = sort.column == Column::Pair;
        let names = rows.iter().filter(|_| by_name).map(|row| self.name(row));
        let names: Vec<_> = names.collect();
        let figure = |row: &Row| sort.column.figure(row);
        let class = |row: &Row| (row.reaches == Some(false), figure(row).is_none());
        let order = sort::order(rows.len(), &|i, j| {
            let (Some(a), Some(b)) = (rows.get(i), rows.get(j)) else {
                return Ordering::Equal;
            };
            let figures = figure(a)
                .unwrap_or_default()
                .total_cmp(&figure(b).unwrap_or_default());
            let order = names.get(i).cmp(&names.get(j)).then(figures);
            let order = if sort.falling { order.reverse() } else { order };
            class(a).cmp(&class(b)).then(order)
        });
        sort::arrange(rows, order);
        let without = rows
            .iter()
            .filter(|row| !by_name && figure(row).is_none())
            .count();
        u32::try_from(without).unwrap_or(u32::MAX)
    }

    /// What a pair is called, as it is sorted.
    fn name(&self, row: &Row) -> (Option<String>, Option<String>) {
        let dataset = &self.results.dataset;
        let tool = dataset.tools.iter().find(|tool| tool.id == row.tool);
        let pack = dataset.packs.iter().find(|pack| pack.id == row.pack);
        (
            tool.map(|tool| folded(&tool.name)),
            pack.map(|pack| folded(&pack.name)),
        )
    }
}

/// Whether a row's job is within reach; where there are too few runs to say, whether its typical run
/// reaches it. Without a job every row is.
pub(crate) fn in_reach(row: &Row) -> bool {
    let reaches = row.reaches == Some(true);
    row.verdict.is_none_or(|verdict| verdict.counts(reaches))
}
