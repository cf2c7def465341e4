//! What a table was narrowed by, what is missing, and what is collapsed, in words.

use super::column::Column;
use super::data::{Collapse, Filters, LeftOut, Offered, Table};
use super::scale::Scale;
use super::words::TableWording;
use crate::dataset::types::Size;
use crate::escape::echoed;
use crate::query::filter::Narrowing;
use crate::results::prices;
use crate::text::number;

/// Whether a table has neither a measured pair nor an estimate.
fn nothing_left(table: &Table) -> bool {
    table.rows.is_empty() && table.estimates.is_empty()
}

impl TableWording<'_> {
    /// How many pairs of how many are shown, and by which limits; nothing if nothing is narrowed.
    pub(crate) fn state(&self, table: &Table) -> Option<String> {
        let conditions = self.conditions(self.narrow?, table).into_iter();
        let both = |first, next| self.fill("narrow.both", &[("first", first), ("next", next)]);
        let conditions = conditions.reduce(both)?;
        if nothing_left(table) {
            return None;
        }
        let values = [
            ("n", self.count(table.rows.len() as u32)),
            ("of", self.count(table.of)),
            ("conditions", conditions),
        ];
        Some(self.fill("table.showing", &values))
    }

    /// What is said where the limits leave nothing.
    pub(crate) fn empty(&self, table: &Table) -> Option<String> {
        let nothing = nothing_left(table) && table.of > 0 && self.narrow.is_some();
        nothing.then(|| {
            let of = self.count(table.of);
            self.fill("error.nothing_left", &[("of", of)])
        })
    }

    /// Each limit in words, as it was set.
    fn conditions(&self, narrow: &Narrowing, table: &Table) -> Vec<String> {
        let units = &self.catalogue.units;
        let limit = |figure: Option<f64>, unit: &str| {
            let figure = number::given(figure?, self.style());
            let limit = self.with(&figure, unit);
            Some(self.fill("narrow.at_most", &[("limit", limit)]))
        };
        let text = |text: &Option<String>| text.clone().filter(|text| !text.trim().is_empty());
        let plain =
            |asked: Option<bool>, key: &str| (asked == Some(true)).then(|| self.fill(key, &[]));
        let found = text(&narrow.find);
        let currency = table.currency.as_deref();
        let conditions = [
            plain(narrow.reaching, "narrow.reaching"),
            found.map(|text| self.fill("narrow.find", &[("text", echoed(text.trim()))])),
            narrow.size.map(|size| self.size(size)),
            text(&narrow.mount)
                .map(|mount| self.fill("narrow.mount", &[("mount", echoed(&mount))])),
            plain(narrow.still_sold, "narrow.sold"),
            limit(narrow.longest_mm, &units.millimetre),
            limit(narrow.heaviest_kg, &units.kilogram),
            currency.and_then(|currency| limit(narrow.dearest, currency)),
        ];
        conditions.into_iter().flatten().collect()
    }

    fn size(&self, size: Size) -> String {
        let key = match size {
            Size::Small => "narrow.small",
            Size::Medium => "narrow.medium",
            Size::Large => "narrow.large",
        };
        self.fill(key, &[])
    }

    /// What the field can be narrowed by.
    pub(crate) fn filters(&self, table: &Table) -> Filters {
        let named = |values: &[String]| {
            let offered = |value: &String| Offered {
                value: value.clone(),
                text: value.clone(),
            };
            several(values.iter().map(offered).collect())
        };
        let sizes = table.sizes.iter().map(|&size| Offered {
            value: size_code(size).into(),
            text: self.size(size),
        });
        Filters {
            sizes: several(sizes.collect()),
            mounts: named(&table.mounts),
            currencies: named(&table.currencies),
        }
    }

    /// What to know before reading a table: what has no figure, what was left out, what was not
    /// done, which places the marks span.
    pub(crate) fn notes(&self, table: &Table, scale: &Scale) -> Vec<String> {
        let sorted = table
            .sort
            .as_deref()
            .map(|sort| sort.trim_start_matches('-'));
        let sorted = table
            .columns
            .iter()
            .find(|column| sorted == Some(column.code()));
        let without = sorted.and_then(|&column| self.without(column, table.without));
        let currencies = table
            .across_currencies
            .then(|| self.across_currencies(&table.currencies));
        let zoomed = scale.zoomed.then(|| {
            let ranked = table.rows.first().map_or(0, |row| row.rank_of);
            let values = [
                ("low", self.count(scale.low)),
                ("high", self.count(scale.high)),
                ("of", self.count(ranked)),
            ];
            self.fill("table.zoomed", &values)
        });
        let stated = table.columns.contains(&Column::Stated);
        let stated = stated.then(|| self.fill("stated.makers", &[]));
        let priced = table.columns.contains(&Column::Price);
        let prices = table.priced.as_ref().filter(|_| priced);
        let prices = prices.map(|prices| prices::words(self.catalogue, prices));
        let before = [currencies, without].into_iter().flatten();
        let behind = [prices, stated, zoomed].into_iter().flatten();
        before
            .chain(self.left_out(&table.left_out))
            .chain(behind)
            .collect()
    }

    fn counted(&self, count: u32, key: &str) -> Option<String> {
        (count > 0).then(|| self.catalogue.fill_plural(key, count.into(), &[]))
    }

    /// That so many pairs are without the figure of a column, and stand last.
    pub(crate) fn without(&self, column: Column, count: u32) -> Option<String> {
        let key = match column {
            Column::Price => "table.without.price",
            Column::Mass => "table.without.mass",
            Column::Length => "table.without.length",
            Column::Stated => "table.without.stated",
            _ => return None,
        };
        self.counted(count, key)
    }

    /// That so many pairs are left out because a limit's figure is missing.
    pub(crate) fn left_out(&self, left_out: &LeftOut) -> Vec<String> {
        let left_out = [
            self.counted(left_out.no_length, "table.left_out.length"),
            self.counted(left_out.no_mass, "table.left_out.mass"),
            self.counted(left_out.no_price, "table.left_out.price"),
        ];
        left_out.into_iter().flatten().collect()
    }

    /// That nothing is ordered or limited by prices in several currencies.
    pub(crate) fn across_currencies(&self, currencies: &[String]) -> String {
        let currencies = currencies.join(", ");
        self.fill("error.currencies", &[("currencies", currencies)])
    }

    /// Label of what opens everything that is collapsed.
    pub(crate) fn open_all(&self, collapses: &[Collapse]) -> Option<String> {
        let collapsed = collapses.iter().any(|collapse| !collapse.at_first);
        collapsed.then(|| {
            self.fill(
                "table.open_all",
                &[("n", self.count(collapses.len() as u32))],
            )
        })
    }

    /// How many rows open from the one at `index`.
    pub(crate) fn opens(&self, collapses: &[Collapse], index: u32) -> Option<String> {
        let under = collapses
            .iter()
            .filter(|collapse| collapse.under == Some(index));
        let count = under.count() as u64;
        (count > 0).then(|| self.catalogue.fill_plural("table.opens", count, &[]))
    }

    pub(crate) fn count(&self, count: u32) -> String {
        number::count(count.into(), self.style())
    }
}

/// A choice of one is none.
fn several(offered: Vec<Offered>) -> Vec<Offered> {
    if offered.len() > 1 {
        offered
    } else {
        Vec::new()
    }
}

/// A size as questions name it.
fn size_code(size: Size) -> &'static str {
    match size {
        Size::Small => "small",
        Size::Medium => "medium",
        Size::Large => "large",
    }
}
