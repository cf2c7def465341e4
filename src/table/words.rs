//! A table's figures to its cells.

use super::column::{Column, Shown};
use super::data::{Collapse, Heading, Mark, Table, WordedRow, WordedTable};
use super::row::Row;
use super::scale::Scale;
use crate::query::filter::Narrowing;
use crate::query::question::{Measure, PairIds};
use crate::query::verdict::Basis;
use crate::text::catalogue::Catalogue;
use crate::text::{number, torque};
use crate::units::{Duration, Power, RiseRate, Torque, TorqueUnit};

/// From this many pairs on, a field is worth narrowing.
pub(crate) const WORTH_NARROWING: u32 = 6;

/// What the words of a table need beside its figures.
pub struct TableWording<'a> {
    /// The language.
    pub catalogue: &'a Catalogue,
    /// The unit of every torque.
    pub unit: TorqueUnit,
    /// Says that the data are made up, if they are.
    pub notice: Option<String>,
    /// Whether the job is about nuts like those tried.
    pub nuts: bool,
    /// The needed torque in words, if there is a job.
    pub needed: Option<String>,
    /// The visitor's patience in words, if it was set.
    pub limit: Option<String>,
    /// What was narrowed by.
    pub narrow: Option<&'a Narrowing>,
    /// The pair that stays in view where a table is collapsed.
    pub chosen: Option<&'a PairIds>,
    /// Name of a pair by the identifiers of tool and pack.
    pub names: &'a dyn Fn(&str, &str) -> String,
}

impl TableWording<'_> {
    /// The table in words, collapsed like this.
    pub fn worded(&self, table: &Table, collapses: &[Collapse]) -> WordedTable {
        let scale = Scale::of(table);
        let caption = if self.needed.is_some() {
            "section.all"
        } else {
            "section.all_measured"
        };
        let rows = table.rows.iter().zip(collapses).zip(0..);
        let collapsed = collapses.iter().any(|collapse| !collapse.at_first);
        let expanded = |row: &Row| Collapse {
            at_first: !collapsed || self.is_chosen(row),
            under: None,
        };
        WordedTable {
            notice: self.notice.clone(),
            caption: self.catalogue.fill(caption, &[]),
            stands: table.of > 1,
            filters: (table.of >= WORTH_NARROWING).then(|| self.filters(table)),
            state: self.state(table),
            empty: self.empty(table),
            notes: self.notes(table, &scale),
            open_all: self.open_all(collapses),
            headings: table
                .columns
                .iter()
                .map(|&column| self.heading(column, table))
                .collect(),
            rows: rows
                .map(|((row, collapse), index)| {
                    let opens = match collapse.under {
                        None => self.opens(collapses, index),
                        Some(_) => None,
                    };
                    self.row(row, *collapse, opens, table, &scale)
                })
                .collect(),
            falls_short: self.falls_short(),
            estimates: table
                .estimates
                .iter()
                .map(|row| self.row(row, expanded(row), None, table, &scale))
                .collect(),
            estimated: self.catalogue.fill("table.estimates", &[]),
        }
    }

    /// A row, collapsed like this; `opens` are the words that open the rows collapsed under it.
    fn row(
        &self,
        row: &Row,
        collapse: Collapse,
        opens: Option<String>,
        table: &Table,
        scale: &Scale,
    ) -> WordedRow {
        let none = || self.catalogue.fill("table.none", &[]);
        let columns = table.columns.iter();
        let cells = columns.map(|&column| self.cell(column, row, table).unwrap_or_else(none));
        WordedRow {
            tool: row.tool.clone(),
            pack: row.pack.clone(),
            reaches: row.reaches,
            at_first: collapse.at_first,
            under: collapse.under,
            opens,
            cells: cells.collect(),
            mark: self.mark(row, table, scale),
        }
    }

    /// What stands above the rows that do not reach the job.
    fn falls_short(&self) -> Option<String> {
        let needed = self.needed.as_ref()?;
        Some(match &self.limit {
            Some(limit) => self.catalogue.fill(
                "table.do_not_reach_in",
                &[("torque", needed), ("limit", limit)],
            ),
            None => self
                .catalogue
                .fill("table.do_not_reach", &[("torque", needed)]),
        })
    }

    /// Whether a row is the pair that stays in view.
    fn is_chosen(&self, row: &Row) -> bool {
        self.chosen
            .is_some_and(|pair| pair.tool == row.tool && pair.pack == row.pack)
    }

    fn heading(&self, column: Column, table: &Table) -> Heading {
        let code = column.code();
        let text = match column {
            Column::Value => self.measure(table.by),
            Column::Chance if self.nuts => self.catalogue.fill("table.chance.nuts", &[]),
            _ => self.catalogue.fill(&format!("table.{code}"), &[]),
        };
        let falling = format!("-{code}");
        let sorted = match table.sort.as_deref() {
            Some(sort) if sort == code => Some(true),
            Some(sort) if sort == falling => Some(false),
            // The order of places is that of the first column.
            None if column == Column::Place => Some(true),
            _ => None,
        };
        let rises = match sorted {
            Some(rising) => !rising,
            None => !column.largest_first(),
        };
        Heading {
            key: code.into(),
            text,
            figures: column.holds_figures(),
            sorted: sorted.map(|rising| if rising { "ascending" } else { "descending" }.into()),
            next: if rises { code.into() } else { falling },
        }
    }

    /// What a table is ranked by, with its unit.
    fn measure(&self, measure: Measure) -> String {
        let unit = self.catalogue.units.torque(self.unit.into());
        self.catalogue
            .fill(&format!("table.{}", code(measure)), &[("unit", unit)])
    }

    /// What a column shows of a row; nothing where there is nothing to show.
    fn cell(&self, column: Column, row: &Row, table: &Table) -> Option<String> {
        let units = &self.catalogue.units;
        let figure = column.figure(row);
        Some(match column.shown() {
            Shown::Place => return self.place(row, table),
            Shown::Pair => (self.names)(&row.tool, &row.pack),
            Shown::ThreeFigures => self.three_figures(figure?),
            Shown::Chance => return self.chance(row),
            Shown::Time => self.time(row),
            Shown::Power => self.with(
                &number::power_table(Power::from_watts(figure?), self.style()),
                &units.watt,
            ),
            Shown::RiseRate => {
                let rate = RiseRate::from_newton_metres_per_second(figure?);
                let unit = match self.unit {
                    TorqueUnit::NewtonMetre => &units.newton_metre_per_second,
                    TorqueUnit::PoundForceFoot => &units.pound_force_foot_per_second,
                };
                self.with(
                    &number::rise_rate_table(rate, self.unit, self.style()),
                    unit,
                )
            }
            Shown::Torque => torque(self.catalogue, figure?, self.unit),
            Shown::TorqueDown => self.torque_down(figure?),
            Shown::OfStated => return self.stated(row),
            Shown::Mass => self.mass(figure?),
            Shown::Length => self.length(figure?),
            Shown::Price => self.price(figure?, row.currency.as_ref()?),
            Shown::Counts => self.tested(row),
        })
    }

    pub(crate) fn style(&self) -> &number::NumberStyle {
        &self.catalogue.number
    }

    pub(crate) fn with(&self, number: &str, unit: &str) -> String {
        self.catalogue.quantity(number, unit)
    }

    /// The place, with its interval where that is more than one place. Among few, always with its
    /// interval and the number of pairs, so that a first place impresses nobody.
    fn place(&self, row: &Row, table: &Table) -> Option<String> {
        let rank = row.rank?;
        let few = is_few(table);
        let interval = row.rank_low.zip(row.rank_high);
        let values = |low: u32, high: u32| {
            [
                ("place", self.count(rank)),
                ("low", self.count(low)),
                ("high", self.count(high)),
                ("of", self.count(row.rank_of)),
            ]
        };
        match interval {
            Some((low, high)) if few => Some(self.fill("table.place.few", &values(low, high))),
            None if few => None,
            Some((low, high)) if low < high => {
                Some(self.fill("table.place.cell", &values(low, high)))
            }
            _ => Some(self.count(rank)),
        }
    }

    /// The place and its interval as a mark.
    fn mark(&self, row: &Row, table: &Table, scale: &Scale) -> Option<Mark> {
        let rank = row.rank?;
        let few = is_few(table);
        if few && row.rank_low.is_none() {
            return None;
        }
        let (low, high) = (row.rank_low.unwrap_or(rank), row.rank_high.unwrap_or(rank));
        let values = [
            ("place", self.count(rank)),
            ("low", self.count(low)),
            ("high", self.count(high)),
            ("of", self.count(row.rank_of)),
        ];
        let key = match (few, low < high) {
            (true, _) => "table.mark.few",
            (false, true) => "table.mark",
            (false, false) => "table.mark_certain",
        };
        let place = if few {
            self.fill("table.mark.place_of", &values)
        } else {
            self.count(rank)
        };
        Some(Mark {
            low: scale.part(low),
            at: scale.part(rank),
            high: scale.part(high),
            place,
            text: self.fill(key, &values),
        })
    }

    pub(crate) fn fill(&self, key: &str, values: &[(&str, String)]) -> String {
        let values: Vec<(&str, &str)> = values
            .iter()
            .map(|(name, text)| (*name, text.as_str()))
            .collect();
        self.catalogue.fill(key, &values)
    }

    pub(crate) fn chance(&self, row: &Row) -> Option<String> {
        Some(match number::chance(row.reach_probability?)? {
            number::Chance::FewerThan1 => self.catalogue.fill("table.chance.under_1", &[]),
            number::Chance::OfHundred(tries) => tries.to_string(),
            number::Chance::MoreThan99 => self.catalogue.fill("table.chance.over_99", &[]),
        })
    }

    /// A torque that is surely reached, rounded down.
    fn torque_down(&self, torque_nm: f64) -> String {
        let torque = Torque::from_newton_metres(torque_nm);
        let number = number::torque(
            torque,
            self.unit,
            number::RoundingDirection::Down,
            self.style(),
        );
        self.with(&number, self.catalogue.units.torque(self.unit.into()))
    }

    pub(crate) fn time(&self, row: &Row) -> String {
        match row.figures.time_to_job_s {
            Some(time_s) => self.with(
                &number::time_table(Duration::from_seconds(time_s), self.style()),
                &self.catalogue.units.second,
            ),
            None => self.catalogue.fill("table.not_reached", &[]),
        }
    }

    /// A measure per kg or per price, in the unit shown.
    fn three_figures(&self, torque_nm: f64) -> String {
        let value = Torque::from_newton_metres(torque_nm).in_unit(self.unit.into());
        number::three_figures(value, self.style())
    }

    /// The peak in per cent of what the maker states.
    fn stated(&self, row: &Row) -> Option<String> {
        let stated_nm = row.stated_torque_nm?;
        let percent = crate::text::percent(self.catalogue, 100.0 * Column::Stated.figure(row)?);
        let stated = crate::text::whole_torque(self.catalogue, stated_nm, self.unit);
        Some(self.fill(
            "table.stated.cell",
            &[("percent", percent), ("torque", stated)],
        ))
    }

    pub(crate) fn mass(&self, mass_kg: f64) -> String {
        self.with(
            &number::mass(mass_kg, self.style()),
            &self.catalogue.units.kilogram,
        )
    }

    pub(crate) fn length(&self, length_mm: f64) -> String {
        self.with(
            &number::length(length_mm, self.style()),
            &self.catalogue.units.millimetre,
        )
    }

    pub(crate) fn price(&self, price: f64, currency: &str) -> String {
        self.with(&number::price(price, self.style()), currency)
    }

    fn tested(&self, row: &Row) -> String {
        if row.figures.basis == Basis::Estimate {
            return self.catalogue.fill("table.not_measured", &[]);
        }
        let count = |count: Option<u32>| count.unwrap_or(u32::MAX).into();
        let runs = self
            .catalogue
            .fill_plural("count.runs", count(row.figures.runs_used), &[]);
        let tools = self
            .catalogue
            .fill_plural("count.tools", count(row.figures.specimens), &[]);
        self.catalogue
            .fill("table.tested.cell", &[("runs", &runs), ("tools", &tools)])
    }
}

/// Whether a field is so small that a place says little.
fn is_few(table: &Table) -> bool {
    table.of < WORTH_NARROWING
}

/// A measure as a part of a catalogue key.
fn code(measure: Measure) -> &'static str {
    match measure {
        Measure::Time => "time",
        Measure::Mean => "mean",
        Measure::Peak => "peak",
        Measure::Early => "early",
        Measure::MeanPerKg => "mean_per_kg",
        Measure::PeakPerKg => "peak_per_kg",
        Measure::EarlyPerKg => "early_per_kg",
        Measure::MeanPerPrice => "mean_per_price",
        Measure::PeakPerPrice => "peak_per_price",
        Measure::EarlyPerPrice => "early_per_price",
    }
}
