//! Prices of pairs on the date of an edition.

use super::Results;
use super::products::sum;
use crate::dataset::types::Price;
use crate::problem::Problem;
use crate::sort;
use crate::text::catalogue::Catalogue;
use serde::Serialize;

/// Of when prices are, and whether with tax.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Priced {
    /// Day of the oldest, `YYYY-MM-DD`.
    pub from: String,
    /// Day of the newest, `YYYY-MM-DD`.
    pub to: String,
    /// Whether tax is included; `null` where it is not known of all, or differs.
    pub tax_included: Option<bool>,
}

/// Of when prices are, and that they are to be checked.
pub(crate) fn words(catalogue: &Catalogue, prices: &Priced) -> String {
    let month = |day: &str| catalogue.date(day.get(..7).unwrap_or(day));
    let (from, to) = (month(&prices.from), month(&prices.to));
    let date = if from == to {
        from
    } else {
        catalogue.fill("range", &[("low", &from), ("high", &to)])
    };
    let key = match prices.tax_included {
        Some(true) => "price.taxed",
        Some(false) => "price.untaxed",
        None => "price.dated",
    };
    catalogue.fill(key, &[("date", &date)])
}

/// The prices in force on an edition's date.
pub(crate) struct Prices<'a> {
    results: &'a Results,
    date: &'a str,
    /// The currency asked for, or the only one of the field.
    currency: Option<String>,
    /// Every currency in which some pair of the field has a whole price.
    currencies: Vec<String>,
}

impl<'a> Prices<'a> {
    pub fn of(
        results: &'a Results,
        pairs: &[(usize, usize)],
        edition: u32,
        currency: Option<&str>,
    ) -> Self {
        let edition = results
            .dataset
            .editions
            .iter()
            .find(|other| other.edition == edition);
        let date = edition.map_or("", |edition| edition.date.as_str());
        let mut prices = Self {
            results,
            date,
            currency: None,
            currencies: Vec::new(),
        };
        let mut found = Vec::new();
        for &(tool, pack) in pairs {
            found.extend(prices.currencies_of(tool, pack));
        }
        sort::distinct(&mut found);
        prices.currency = match currency {
            Some(currency) => Some(currency.to_owned()),
            None if found.len() == 1 => found.first().cloned(),
            None => None,
        };
        prices.currencies = found;
        prices
    }

    /// Refuses to rank by price across currencies.
    pub fn one_currency(&self, catalogue: &Catalogue) -> Result<(), Problem> {
        if self.several() {
            return Err(self.problem(catalogue));
        }
        Ok(())
    }

    /// Refuses a currency that no pair of the field has a whole price in.
    pub fn known(&self, catalogue: &Catalogue) -> Result<(), Problem> {
        match &self.currency {
            Some(currency) if !self.currencies.contains(currency) => Err(self.problem(catalogue)),
            _ => Ok(()),
        }
    }

    /// Whether the field has prices in several currencies and none was chosen.
    pub fn several(&self) -> bool {
        self.currency.is_none() && self.currencies.len() > 1
    }

    /// The currency in force.
    pub fn currency(&self) -> Option<String> {
        self.currency.clone()
    }

    /// Every currency in which some pair of the field has a whole price.
    pub fn currencies(&self) -> Vec<String> {
        self.currencies.clone()
    }

    fn problem(&self, catalogue: &Catalogue) -> Problem {
        let found = self.currencies().join(", ");
        let wanted = "one currency to sort by";
        Problem::new("/currency", format!("prices in {found}"), wanted)
            .message(catalogue.fill("error.currencies", &[("currencies", &found)]))
    }

    /// Amount and currency of a pair: tool and pack, both priced in one currency.
    pub fn of_pair(&self, tool: usize, pack: usize) -> Option<(f64, String)> {
        let dataset = &self.results.dataset;
        let currency = match &self.currency {
            Some(currency) => currency.clone(),
            None => self.currencies_of(tool, pack).into_iter().next()?,
        };
        let tool = self.in_force(&dataset.tools.get(tool)?.prices, &currency)?;
        let pack = self.in_force(&dataset.packs.get(pack)?.prices, &currency)?;
        Some((sum(tool.amount, pack.amount), currency))
    }

    /// Of when the prices of these pairs are, each given by its tool and pack.
    pub fn priced(&self, pairs: &[(usize, usize)]) -> Option<Priced> {
        let dataset = &self.results.dataset;
        let mut all: Option<Priced> = None;
        for &(tool, pack) in pairs {
            let Some((_, currency)) = self.of_pair(tool, pack) else {
                continue;
            };
            let tool = dataset.tools.get(tool).map(|tool| &tool.prices);
            let pack = dataset.packs.get(pack).map(|pack| &pack.prices);
            let both = tool.into_iter().chain(pack);
            for price in both.filter_map(|prices| self.in_force(prices, &currency)) {
                let all = all.get_or_insert_with(|| Priced {
                    from: price.date.clone(),
                    to: price.date.clone(),
                    tax_included: price.tax_included,
                });
                if price.date < all.from {
                    all.from.clone_from(&price.date);
                }
                if price.date > all.to {
                    all.to.clone_from(&price.date);
                }
                if price.tax_included != all.tax_included {
                    all.tax_included = None;
                }
            }
        }
        all
    }

    fn currencies_of(&self, tool: usize, pack: usize) -> Vec<String> {
        let dataset = &self.results.dataset;
        let (Some(tool), Some(pack)) = (dataset.tools.get(tool), dataset.packs.get(pack)) else {
            return Vec::new();
        };
        let both = |currency: &&str| {
            self.in_force(&tool.prices, currency).is_some()
                && self.in_force(&pack.prices, currency).is_some()
        };
        let currencies = tool.prices.iter().map(|price| price.currency.as_str());
        let mut currencies: Vec<&str> = currencies.collect();
        sort::distinct(&mut currencies);
        currencies
            .into_iter()
            .filter(both)
            .map(str::to_owned)
            .collect()
    }

    /// The latest price not after the edition's date.
    fn in_force<'p>(&self, prices: &'p [Price], currency: &str) -> Option<&'p Price> {
        let until = prices
            .iter()
            .filter(|price| price.currency == currency && price.date.as_str() <= self.date);
        until.max_by(|a, b| a.date.cmp(&b.date))
    }
}
