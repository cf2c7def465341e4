//! A table's figures to its cells.

use super::catalogue::Catalogue;
use super::{number, torque};
use crate::ask::question::{Measure, Per, Score};
use crate::ask::table::{Heading, Mark, Row, Table, WordedRow, WordedTable};
use crate::units::{Duration, Power, RiseRate, Torque, TorqueUnit};

/// What the words of a table need beside its figures.
pub struct TableWording<'a> {
    /// The language.
    pub catalogue: &'a Catalogue,
    /// The unit of every torque.
    pub unit: TorqueUnit,
    /// Says that the data are made up, if they are.
    pub notice: Option<String>,
    /// The needed torque in words, if there is a job.
    pub needed: Option<String>,
    /// Name of a pair by the identifiers of tool and pack.
    pub names: &'a dyn Fn(&str, &str) -> String,
}

/// A column: its code, the key of its heading, whether it holds figures, and its cells.
struct Column<'a> {
    key: &'static str,
    figures: bool,
    cell: Cell<'a>,
}

/// What a column shows of a row; nothing where there is nothing to show.
type Cell<'a> = Box<dyn Fn(&Row) -> Option<String> + 'a>;

impl TableWording<'_> {
    /// The table in words.
    pub fn worded(&self, table: &Table) -> WordedTable {
        let columns = self.columns(table);
        let none = self.catalogue.fill("table.none", &[]);
        let cells = |row: &Row| {
            columns
                .iter()
                .map(|column| (column.cell)(row).unwrap_or_else(|| none.clone()))
                .collect()
        };
        let caption = if self.needed.is_some() {
            "section.all"
        } else {
            "section.all_measured"
        };
        WordedTable {
            notice: self.notice.clone(),
            caption: self.catalogue.fill(caption, &[]),
            headings: columns
                .iter()
                .map(|column| Heading {
                    key: column.key.into(),
                    text: self.heading(column.key, table),
                    figures: column.figures,
                })
                .collect(),
            rows: table
                .rows
                .iter()
                .map(|row| WordedRow {
                    tool: row.tool.clone(),
                    pack: row.pack.clone(),
                    reaches: row.reaches,
                    cells: cells(row),
                    mark: self.mark(row),
                })
                .collect(),
            falls_short: self.needed.as_ref().map(|needed| {
                self.catalogue
                    .fill("table.do_not_reach", &[("torque", needed)])
            }),
        }
    }

    fn heading(&self, key: &str, table: &Table) -> String {
        let measure = code(table.by);
        let key = if key == "value" {
            format!("table.{measure}")
        } else {
            format!("table.{key}")
        };
        let unit = self.catalogue.units.torque(self.unit.into());
        self.catalogue.fill(&key, &[("unit", unit)])
    }

    fn columns<'a>(&'a self, table: &Table) -> Vec<Column<'a>> {
        let column = |key, figures, cell: Cell<'a>| Column { key, figures, cell };
        let mut columns = vec![
            column("place", true, Box::new(|row| self.place(row))),
            column(
                "pair",
                false,
                Box::new(|row| Some((self.names)(&row.tool, &row.pack))),
            ),
        ];
        if table.by.parts().is_some_and(|(_, per)| per != Per::One) {
            columns.push(column(
                "value",
                true,
                Box::new(|row| row.value.map(|value| self.three_figures(value))),
            ));
        }
        if table.job_torque_nm.is_some() {
            columns.push(column("chance", true, Box::new(|row| self.chance(row))));
            columns.push(column("time", true, Box::new(|row| Some(self.time(row)))));
            columns.extend(self.power_column(table));
        } else {
            columns.push(column(
                "mean",
                true,
                Box::new(|row| Some(self.torque(row.mean_torque_nm))),
            ));
            columns.push(column(
                "early",
                true,
                Box::new(|row| Some(self.torque(row.early_torque_nm))),
            ));
        }
        columns.extend([
            column("nineteen", true, Box::new(|row| self.nineteen(row))),
            column(
                "peak",
                true,
                Box::new(|row| Some(self.torque(row.peak_torque_nm))),
            ),
            column(
                "mass",
                true,
                Box::new(|row| {
                    row.mass_kg.map(|mass| {
                        self.with(
                            &number::mass(mass, self.style()),
                            &self.catalogue.units.kilogram,
                        )
                    })
                }),
            ),
            column(
                "length",
                true,
                Box::new(|row| {
                    row.length_mm.map(|length| {
                        self.with(
                            &number::length(length, self.style()),
                            &self.catalogue.units.millimetre,
                        )
                    })
                }),
            ),
            column("price", true, Box::new(|row| self.price(row))),
            column("tested", false, Box::new(|row| Some(self.tested(row)))),
        ]);
        columns
    }

    /// Power, or the rise rate where some row has no work: never one under the other's heading.
    fn power_column<'a>(&'a self, table: &Table) -> Option<Column<'a>> {
        let best = table.score == Score::BestOfThree;
        let power = move |row: &Row| {
            if best {
                row.best_of_three_power_w
            } else {
                row.average_power_w
            }
        };
        let rate = move |row: &Row| {
            if best {
                row.best_of_three_rise_rate_nm_per_s
            } else {
                row.rise_rate_nm_per_s
            }
        };
        let all_have_power = table
            .rows
            .iter()
            .all(|row| power(row).is_some() || rate(row).is_none());
        let reached = |figure: &f64| *figure > 0.0;
        Some(if all_have_power {
            let cell = move |row: &Row| {
                let number = number::power_table(
                    Power::from_watts(power(row).filter(reached)?),
                    self.style(),
                );
                Some(self.with(&number, &self.catalogue.units.watt))
            };
            Column {
                key: if best { "best_power" } else { "power" },
                figures: true,
                cell: Box::new(cell),
            }
        } else {
            let cell = move |row: &Row| {
                let rate = RiseRate::from_newton_metres_per_second(rate(row).filter(reached)?);
                let number = number::rise_rate_table(rate, self.unit, self.style());
                let units = &self.catalogue.units;
                let unit = match self.unit {
                    TorqueUnit::NewtonMetre => &units.newton_metre_per_second,
                    TorqueUnit::PoundForceFoot => &units.pound_force_foot_per_second,
                };
                Some(self.with(&number, unit))
            };
            Column {
                key: if best { "best_rise_rate" } else { "rise_rate" },
                figures: true,
                cell: Box::new(cell),
            }
        })
    }

    fn style(&self) -> &number::NumberStyle {
        &self.catalogue.number
    }

    fn with(&self, number: &str, unit: &str) -> String {
        self.catalogue.quantity(number, unit)
    }

    /// The place, with its interval where that is more than one place.
    fn place(&self, row: &Row) -> Option<String> {
        let rank = row.rank?.to_string();
        let Some((low, high)) = row
            .rank_low
            .zip(row.rank_high)
            .filter(|(low, high)| low < high)
        else {
            return Some(rank);
        };
        let values = [
            ("place", rank),
            ("low", low.to_string()),
            ("high", high.to_string()),
        ];
        Some(self.fill("table.place.cell", &values))
    }

    /// The place and its interval as a mark.
    fn mark(&self, row: &Row) -> Option<Mark> {
        let rank = row.rank?;
        let (low, high) = (row.rank_low.unwrap_or(rank), row.rank_high.unwrap_or(rank));
        let part = |place: u32| {
            f64::from(place.saturating_sub(1)) / f64::from(row.rank_of.saturating_sub(1).max(1))
        };
        let values = [
            ("place", rank.to_string()),
            ("low", low.to_string()),
            ("high", high.to_string()),
        ];
        let key = if low < high {
            "table.mark"
        } else {
            "table.mark_certain"
        };
        Some(Mark {
            low: part(low),
            at: part(rank),
            high: part(high),
            place: rank.to_string(),
            text: self.fill(key, &values),
        })
    }

    fn fill(&self, key: &str, values: &[(&str, String)]) -> String {
        let values: Vec<(&str, &str)> = values
            .iter()
            .map(|(name, text)| (*name, text.as_str()))
            .collect();
        self.catalogue.fill(key, &values)
    }

    fn chance(&self, row: &Row) -> Option<String> {
        Some(match number::chance(row.reach_probability?)? {
            number::Chance::FewerThan1 => self.catalogue.fill("table.chance.under_1", &[]),
            number::Chance::OfHundred(tries) => tries.to_string(),
            number::Chance::MoreThan99 => self.catalogue.fill("table.chance.over_99", &[]),
        })
    }

    /// The torque that 19 of 20 tries reach, rounded down.
    fn nineteen(&self, row: &Row) -> Option<String> {
        let torque = Torque::from_newton_metres(row.torque_19_of_20_nm?);
        let number = number::torque(torque, self.unit, number::Direction::Down, self.style());
        Some(self.with(&number, self.catalogue.units.torque(self.unit.into())))
    }

    fn time(&self, row: &Row) -> String {
        match row.time_to_job_s {
            Some(time_s) => self.with(
                &number::time_table(Duration::from_seconds(time_s), self.style()),
                &self.catalogue.units.second,
            ),
            None => self.catalogue.fill("table.not_reached", &[]),
        }
    }

    fn torque(&self, torque_nm: f64) -> String {
        torque(self.catalogue, torque_nm, self.unit)
    }

    /// A measure per kg or per price, in the unit shown.
    fn three_figures(&self, torque_nm: f64) -> String {
        let value = Torque::from_newton_metres(torque_nm).in_unit(self.unit.into());
        number::three_figures(value, self.style())
    }

    fn price(&self, row: &Row) -> Option<String> {
        Some(self.with(
            &number::price(row.price?, self.style()),
            row.currency.as_ref()?,
        ))
    }

    fn tested(&self, row: &Row) -> String {
        let runs = self
            .catalogue
            .fill_plural("count.runs", row.runs_used.into(), &[]);
        let tools = self
            .catalogue
            .fill_plural("count.tools", row.specimens.into(), &[]);
        self.catalogue
            .fill("table.tested.cell", &[("runs", &runs), ("tools", &tools)])
    }
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
