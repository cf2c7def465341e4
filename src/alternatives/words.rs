//! The pairs that reach a job, in words.

use super::data::{Choices, Miss, WordedChoice, WordedChoices};
use crate::query::filter::{Narrowing, Order};
use crate::results::prices;
use crate::table::data::Offered;
use crate::table::row::Row;
use crate::table::words::TableWording;
use crate::text::{RequiredTorque, given_time, number};
use crate::units::Torque;

/// How many pairs stand there at first.
const FIRST: usize = 5;

/// Every order, with its value and the key of its name.
const ORDERS: [(Order, &str, &str); 4] = [
    (Order::Lightest, "lightest", "choices.lightest"),
    (Order::Shortest, "shortest", "choices.shortest"),
    (Order::LeastCostly, "least-costly", "choices.least_costly"),
    (Order::Quickest, "quickest", "choices.quickest"),
];

/// What the words of choices need beside their figures.
pub struct ChoicesWording<'a> {
    /// What the words of a table need.
    pub table: TableWording<'a>,
    /// The needed torque.
    pub needed: RequiredTorque,
    /// Whether one pair was asked for, which is not among them.
    pub others: bool,
    /// Length of a run that counts, in s.
    pub window_s: f64,
}

impl ChoicesWording<'_> {
    /// The choices in words.
    pub fn worded(&self, choices: &Choices) -> WordedChoices {
        let order = ORDERS.iter().find(|(order, ..)| *order == choices.order);
        let marks = choices.rows.iter().any(|choice| !choice.unbeaten);
        let rows = choices.rows.iter().enumerate();
        let rows = rows.map(|(index, choice)| WordedChoice {
            cells: self.cells(&choice.row, choices.order),
            marked: marks && choice.unbeaten,
            at_first: index < FIRST,
            ..self.named(&choice.row.tool, &choice.row.pack)
        });
        let misses = choices.misses.iter().map(|miss| WordedChoice {
            cells: vec![self.miss(miss, choices.within_s)],
            ..self.named(&miss.tool, &miss.pack)
        });
        let legend = if choices.priced {
            "choices.legend"
        } else {
            "choices.legend_unpriced"
        };
        let length = choices.rows.len();
        WordedChoices {
            caption: self.fill(match (choices.rows.is_empty(), self.others) {
                (false, true) => "section.others",
                (false, false) => "section.these",
                (true, true) => "section.none_other",
                (true, false) => "section.none",
            }),
            orders: ORDERS
                .iter()
                .map(|(_, value, key)| Offered {
                    value: (*value).into(),
                    text: self.fill(key),
                })
                .collect(),
            order: order.map_or("", |(_, value, _)| value).into(),
            notes: self.notes(choices),
            prices: self.prices(choices),
            rows: rows.chain(misses).collect(),
            legend: marks.then(|| self.fill(legend)),
            open_all: (length > FIRST).then(|| {
                let n = number::count(length as u64, self.table.style());
                self.table.fill("table.open_all", &[("n", n)])
            }),
            // Where there is no other pair at all, there is nothing to say of them.
            empty: (choices.rows.is_empty() && (!choices.misses.is_empty() || self.is_limited()))
                .then(|| self.empty(choices)),
        }
    }

    fn fill(&self, key: &str) -> String {
        self.table.fill(key, &[])
    }

    fn named(&self, tool: &str, pack: &str) -> WordedChoice {
        WordedChoice {
            tool: tool.into(),
            pack: pack.into(),
            name: (self.table.names)(tool, pack),
            cells: Vec::new(),
            marked: false,
            at_first: true,
        }
    }

    /// The figure it is ordered by and the time; of the quickest, time and mass.
    fn cells(&self, row: &Row, order: Order) -> Vec<String> {
        let table = &self.table;
        let none = || self.fill("table.none");
        let mass = row.mass_kg.map_or_else(none, |mass_kg| table.mass(mass_kg));
        let time = table.time(row);
        match order {
            Order::Lightest => vec![mass, time],
            Order::Shortest => {
                let length = row.length_mm;
                vec![
                    length.map_or_else(none, |length| table.length(length)),
                    time,
                ]
            }
            Order::LeastCostly => {
                let price = row.price.zip(row.currency.as_deref());
                let price = price.map(|(price, currency)| table.price(price, currency));
                vec![price.unwrap_or_else(none), time]
            }
            Order::Quickest => vec![time, mass],
        }
    }

    /// What to know before reading the list.
    fn notes(&self, choices: &Choices) -> Vec<String> {
        let typical = !choices.judged && !choices.rows.is_empty();
        let typical = typical.then(|| self.fill("choices.typical"));
        let currencies = choices.across_currencies.then_some(&choices.currencies);
        let currencies = currencies.map(|found| self.table.across_currencies(found));
        let without = self.table.without(choices.order.column(), choices.without);
        let left_out = self.table.left_out(&choices.left_out);
        let notes = [typical, currencies, without];
        notes.into_iter().flatten().chain(left_out).collect()
    }

    /// Of when the prices are, where the list shows any.
    fn prices(&self, choices: &Choices) -> Option<String> {
        let priced = choices.order == Order::LeastCostly && !choices.rows.is_empty();
        let prices = choices.prices.as_ref().filter(|_| priced)?;
        Some(prices::words(self.table.catalogue, prices))
    }

    fn empty(&self, choices: &Choices) -> String {
        let key = match (choices.judged, self.others, self.is_limited()) {
            (true, _, true) => "choices.none_limited",
            (true, true, false) => "choices.none_other",
            (true, false, false) => "choices.none",
            (false, _, true) => "choices.none_limited_typical",
            (false, true, false) => "choices.none_other_typical",
            (false, false, false) => "choices.none_typical",
        };
        let torque = self.needed.words(self.table.catalogue);
        let sentence = self.table.fill(&self.of_nuts(key), &[("torque", torque)]);
        if choices.misses.is_empty() {
            return sentence;
        }
        format!("{sentence} {}", self.fill("choices.closest"))
    }

    /// The key of a text, or of that about nuts like those tried where the job is about such.
    fn of_nuts(&self, key: &str) -> String {
        match self.table.nuts {
            true => format!("{key}.nuts"),
            false => key.into(),
        }
    }

    /// Whether the visitor set a limit that holds here.
    fn is_limited(&self) -> bool {
        let limits = self.table.narrow.map(|narrow| Narrowing {
            reaching: None,
            ..narrow.clone()
        });
        limits.is_some_and(|limits| limits != Narrowing::default())
    }

    /// How far a pair misses: by its typical curve, else by the chance of a further try.
    fn miss(&self, miss: &Miss, within_s: f64) -> String {
        let (table, needed) = (&self.table, &self.needed);
        let Some(_) = miss.short_nm else {
            let chance = miss.reach_probability.and_then(number::chance);
            let chance = chance.map_or_else(String::new, |chance| {
                crate::text::chance_words(table.catalogue, chance)
            });
            return table.fill(&self.of_nuts("choices.chance"), &[("chance", chance)]);
        };
        let torque = Torque::from_newton_metres(miss.typical_within_nm);
        let words = number::falls_short(torque, &needed.figure, needed.unit, table.style());
        let unit = |number: &str| crate::text::with_unit(table.catalogue, number, needed.unit);
        let values = [
            ("end", unit(&words.reached)),
            ("shortfall", unit(&words.shortfall)),
            ("limit", given_time(table.catalogue, within_s)),
        ];
        let key = if within_s < self.window_s {
            "choices.short_by_then"
        } else {
            "choices.short"
        };
        table.fill(key, &values)
    }
}
