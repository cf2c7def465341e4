//! The block that a survey gives, and what of it the log does not say.

use super::super::settings_fields::LOGGER_FIELDS;
use super::block_lines::{name, rate, shown, stamp, thousands, toml, way};
use super::said::Said;
use super::{Look, Open};
use crate::logs::stamps::iso;
use crate::logs::survey::{Column, Fields, Layout};
use crate::logs::units::{Quantity, last_word, symbols};
use crate::problem::quoted;

/// Puts the block, the questions and the notes into a look.
pub(super) fn propose(look: &mut Look, said: &Said) {
    let layout = match look.survey.layouts.as_slice() {
        [one] => one.clone(),
        [] => {
            look.open.push(Open {
                question: "No rows of numbers were found.".into(),
                readings: vec![(
                    "if another mark stands between fields".into(),
                    "delimiter = \"…\"".into(),
                )],
            });
            return;
        }
        several => {
            look.open.push(Open {
                question: "Its numbers can be read in several ways.".into(),
                readings: several.iter().map(way).collect(),
            });
            return;
        }
    };
    let mut proposal = Proposal {
        keys: Vec::new(),
        open: Vec::new(),
        notes: Vec::new(),
        layout: &layout,
        said,
    };
    proposal.text(look.survey.encoding.said);
    proposal.time(&look.survey.text);
    proposal.torque();
    proposal.others();
    proposal.left_out();
    let Proposal {
        mut keys,
        open,
        notes,
        ..
    } = proposal;
    for (key, value) in said.all() {
        keys.retain(|(other, _)| other != key);
        keys.push((key.to_owned(), value));
    }
    let index = |key: &str| LOGGER_FIELDS.iter().position(|field| *field == key);
    keys.sort_by_key(|(key, _)| index(key));
    look.block = keys;
    look.open = open;
    look.notes = notes;
}

struct Proposal<'a> {
    keys: Vec<(String, String)>,
    open: Vec<Open>,
    notes: Vec<String>,
    layout: &'a Layout,
    said: &'a Said,
}

impl Proposal<'_> {
    fn key(&mut self, key: &str, value: impl Into<String>) {
        self.keys.push((key.into(), value.into()));
    }

    fn ask(&mut self, question: impl Into<String>, readings: Vec<(String, String)>) {
        self.open.push(Open {
            question: question.into(),
            readings,
        });
    }

    /// Encoding, marks, header and footer.
    fn text(&mut self, encoding: Option<&str>) {
        let layout = self.layout;
        if let Some(encoding) = encoding {
            self.key("encoding", toml(encoding));
        }
        let one_column = layout.columns.len() == 1 && layout.decimal == '.';
        if layout.delimiter != "," && !one_column {
            self.key("delimiter", toml(&layout.delimiter));
        }
        if layout.decimal == ',' {
            self.key("decimal", toml(","));
        }
        if let Some(mark) = thousands(layout) {
            self.key("thousands", mark);
        }
        match &layout.header_starts_with {
            _ if self.said.has("skip_lines") || self.said.has("header_starts_with") => {}
            Some(start) => self.key("header_starts_with", toml(start)),
            None if layout.skip_lines > 0 => self.key("skip_lines", layout.skip_lines.to_string()),
            None => {}
        }
        if layout.units_row {
            self.key("units_row", "true");
        }
        match &layout.footer {
            Some(footer) if !self.said.has("end_before") => {
                if footer.first_field.is_empty() {
                    self.ask(
                        format!("Line {} and those below it are no rows.", footer.line),
                        vec![(
                            "if they are a footer, with what its first field begins".into(),
                            "end_before = \"…\"".into(),
                        )],
                    );
                } else {
                    self.key("end_before", toml(&footer.first_field));
                }
            }
            _ => {}
        }
    }

    /// Columns of numbers of which nothing but one unit of a quantity is said.
    fn of(&self, quantity: Quantity) -> Vec<&Column> {
        let fits = |column: &&Column| {
            matches!(column.holds, Fields::Numbers(..))
                && matches!(column.units.as_slice(), [unit] if unit.quantity == quantity)
        };
        self.layout.columns.iter().filter(fits).collect()
    }

    /// Columns of numbers of which no unit or several are said.
    fn without_unit(&self) -> Vec<&Column> {
        let columns = self.layout.columns.iter();
        let fits = |column: &&Column| {
            matches!(column.holds, Fields::Numbers(..)) && column.units.len() != 1
        };
        columns.filter(fits).collect()
    }

    fn time(&mut self, text: &str) {
        if self.said.has("time") || self.said.has("rate_hz") {
            return;
        }
        let is_stamp = |column: &&Column| matches!(column.holds, Fields::Times(_));
        let stamps: Vec<&Column> = self.layout.columns.iter().filter(is_stamp).collect();
        let timed = self.of(Quantity::Time);
        match (stamps.as_slice(), timed.as_slice()) {
            (&[column], []) => self.stamps(&column.clone()),
            ([], &[column]) => {
                let name = name(column);
                self.key("time", name);
            }
            ([], []) => {
                let mut readings: Vec<(String, String)> = self
                    .without_unit()
                    .into_iter()
                    .map(|column| {
                        let line = format!("time = {{ column = {}, unit = \"…\" }}", name(column));
                        (format!("time is {}", shown(column)), line)
                    })
                    .collect();
                readings.push(rate(text, self.layout.skip_lines));
                let units = symbols(Quantity::Time);
                self.ask(
                    format!("No column says a unit of time ({units}) or is a clock."),
                    readings,
                );
            }
            _ => {
                let mut readings: Vec<(String, String)> = timed
                    .iter()
                    .map(|column| {
                        (
                            format!("time is {}", shown(column)),
                            format!("time = {}", name(column)),
                        )
                    })
                    .collect();
                for column in &stamps {
                    let Fields::Times(formats) = &column.holds else {
                        continue;
                    };
                    readings.extend(formats.iter().map(|format| {
                        (format!("time is {}", shown(column)), stamp(column, format))
                    }));
                }
                self.ask("Several columns hold times.", readings);
            }
        }
    }

    fn stamps(&mut self, column: &Column) {
        let Fields::Times(formats) = &column.holds else {
            return;
        };
        match formats.as_slice() {
            [one] => {
                let line = stamp(column, one);
                let value = line.strip_prefix("time = ").unwrap_or_default().to_owned();
                self.key("time", value);
            }
            [] => self.ask(
                format!(
                    "No usual format reads the times of {}, such as {}.",
                    shown(column),
                    quoted(&column.first)
                ),
                vec![(
                    "their format, as strftime has it".into(),
                    stamp(column, "…"),
                )],
            ),
            several => {
                let meaning = |format: &String| {
                    let iso = iso(format, &column.first).unwrap_or_default();
                    (
                        format!("{} is {iso}", quoted(&column.first)),
                        stamp(column, format),
                    )
                };
                let readings = several.iter().map(meaning).collect();
                self.ask(
                    format!(
                        "The times of {} can be read in several ways.",
                        shown(column)
                    ),
                    readings,
                );
            }
        }
    }

    fn torque(&mut self) {
        if self.said.has("torque") || self.said.has("tension") {
            return;
        }
        let (torque, tension) = (self.of(Quantity::Torque), self.of(Quantity::Tension));
        match (torque.as_slice(), tension.as_slice()) {
            (&[column], []) => {
                let name = name(column);
                self.key("torque", name);
            }
            ([], &[column]) => {
                let name = name(column);
                self.key("tension", name);
            }
            ([], []) => {
                let time = self.keys.iter().find(|(key, _)| key == "time");
                let time = time.map(|(_, value)| value.clone());
                let columns = self.without_unit().into_iter();
                let readings = columns
                    .filter(|column| time.as_deref() != Some(name(column).as_str()))
                    .map(|column| {
                        let line =
                            format!("torque = {{ column = {}, unit = \"…\" }}", name(column));
                        (format!("torque is {}", shown(column)), line)
                    })
                    .collect();
                let units = symbols(Quantity::Torque);
                let question = format!(
                    "No column says a unit of torque ({units}) or tension (kN, N, lbf). Counts need a factor besides: factor = 0.1."
                );
                self.ask(question, readings);
            }
            _ => {
                let of = |key: &'static str| {
                    move |column: &&Column| {
                        (
                            format!("{key} is {}", shown(column)),
                            format!("{key} = {}", name(column)),
                        )
                    }
                };
                let readings = torque.iter().map(of("torque"));
                let readings = readings.chain(tension.iter().map(of("tension"))).collect();
                self.ask("Several columns hold torque or tension.", readings);
            }
        }
    }

    /// Notes on columns of numbers that say no unit and are used for nothing.
    fn left_out(&mut self) {
        if !self.open.is_empty() {
            return;
        }
        let values = self.keys.iter().map(|(_, value)| value.clone());
        let values: Vec<String> = values
            .chain(self.said.all().map(|(_, value)| value))
            .collect();
        let is_used = |column: &Column| {
            let header = toml(&column.header);
            let by_number = format!("column = {},", column.number);
            values.iter().any(|value| {
                *value == column.number.to_string()
                    || value.contains(&by_number)
                    || !column.header.is_empty() && value.contains(&header)
            })
        };
        let columns = self.without_unit().into_iter();
        let columns = columns.filter(|column| column.units.is_empty() && !is_used(column));
        let notes = columns.map(|column| {
            let name = name(column);
            let unit = [Quantity::Angle, Quantity::Voltage, Quantity::Current]
                .into_iter()
                .find_map(|quantity| Some((quantity, last_word(quantity, &column.header)?.0)));
            let (key, unit) = match unit {
                Some((Quantity::Voltage, unit)) => ("voltage", unit.symbol),
                Some((Quantity::Current, unit)) => ("current", unit.symbol),
                Some((_, unit)) => ("angle", unit.symbol),
                None => ("voltage", "…"),
            };
            format!(
                "{} says no unit for certain and is left out. If it is wanted: --say '{key} = {{ column = {name}, unit = \"{unit}\" }}'",
                shown(column)
            )
        });
        let notes: Vec<String> = notes.collect();
        self.notes.extend(notes);
    }

    /// Angle, voltage and current: only where the log says which.
    fn others(&mut self) {
        for (key, quantity) in [
            ("angle", Quantity::Angle),
            ("voltage", Quantity::Voltage),
            ("current", Quantity::Current),
        ] {
            if self.said.has(key) {
                continue;
            }
            let columns = self.of(quantity);
            match columns.as_slice() {
                &[column] => {
                    let name = name(column);
                    self.key(key, name);
                }
                [] => {}
                several => {
                    let readings = several.iter().map(|column| {
                        (
                            format!("{key} is {}", shown(column)),
                            format!("{key} = {}", name(column)),
                        )
                    });
                    let readings = readings.collect();
                    self.ask(format!("Several columns hold {key}."), readings);
                }
            }
        }
    }
}
