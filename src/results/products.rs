//! Names, masses and prices of pairs.

use super::Results;
use super::field::Field;
use super::resolved_query::Asked;
use crate::dataset::types::Price;
use crate::problem::Problem;
use crate::query::table::Priced;
use crate::sort;
use crate::words;
use crate::words::catalogue::Catalogue;

/// Name of a pair for people.
pub(super) fn label(results: &Results, tool: usize, pack: usize) -> String {
    let tool = results
        .dataset
        .tools
        .get(tool)
        .map(|tool| tool.name.as_str());
    let pack = results
        .dataset
        .packs
        .get(pack)
        .map(|pack| pack.name.as_str());
    words::pair(&results.catalogue, tool, pack)
}

/// Name of a pair for people, by its identifiers.
pub(super) fn label_by_ids(results: &Results, tool: &str, pack: &str) -> String {
    let tool = results
        .dataset
        .tools
        .iter()
        .find(|other| other.id == tool)
        .map(|tool| tool.name.as_str());
    let pack = results
        .dataset
        .packs
        .iter()
        .find(|other| other.id == pack)
        .map(|pack| pack.name.as_str());
    words::pair(&results.catalogue, tool, pack)
}

/// Identifiers of a pair.
pub(super) fn ids(results: &Results, tool: usize, pack: usize) -> (String, String) {
    let tool = results.dataset.tools.get(tool).map(|tool| tool.id.clone());
    let pack = results.dataset.packs.get(pack).map(|pack| pack.id.clone());
    (tool.unwrap_or_default(), pack.unwrap_or_default())
}

/// Mass of tool and pack in kg, where both were weighed.
pub(super) fn mass_kg(results: &Results, tool: usize, pack: usize) -> Option<f64> {
    let dataset = &results.dataset;
    Some(sum(
        dataset.tools.get(tool)?.mass_kg?,
        dataset.packs.get(pack)?.mass_kg?,
    ))
}

/// The sum of two figures of a file, to a millionth: they are decimals, and 2.36 and 2.5 are 4.86.
fn sum(a: f64, b: f64) -> f64 {
    let millionths = ((a + b) * 1e6).round();
    if millionths.is_finite() {
        millionths / 1e6
    } else {
        a + b
    }
}

/// The prices in force on an edition's date.
pub(super) struct Prices<'a> {
    results: &'a Results,
    date: &'a str,
    /// The currency asked for, or the only one of the field.
    currency: Option<String>,
    /// Every currency in which some pair of the field has a whole price.
    currencies: Vec<String>,
}

impl<'a> Prices<'a> {
    pub fn of(results: &'a Results, field: &Field, asked: &Asked, currency: Option<&str>) -> Self {
        let edition = results
            .dataset
            .editions
            .iter()
            .find(|edition| edition.edition == asked.edition);
        let date = edition.map_or("", |edition| edition.date.as_str());
        let mut prices = Self {
            results,
            date,
            currency: None,
            currencies: Vec::new(),
        };
        let mut found = Vec::new();
        for member in &field.members {
            found.extend(prices.currencies_of(member.tool, member.pack));
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

#[cfg(test)]
mod tests {
    use super::sum;

    #[test]
    fn decimals_add_up_to_decimals_and_nothing_overflows() {
        for (a, b, of_both) in [
            (2.36, 2.5, 4.86),
            (0.99, 0.4, 1.39),
            (189.95, 79.9, 269.85),
            (1e305, 1.0, 1e305),
        ] {
            assert!(sum(a, b) == of_both, "{a} + {b} is {}", sum(a, b));
        }
    }
}
