//! The header of a log: which column is what, and in which unit.

use super::format::{Channel, LogFormat};
use super::stamps::{Holds, Stamps, holds};
use super::units::{Quantity, Unit, last_word, symbols, unit, units_in};
use crate::problem::{Problem, quoted};

/// A column of the log.
#[derive(Clone, Debug)]
pub(super) struct Column {
    /// Its index, from 0.
    pub index: usize,
    /// Its header, or its number where there is no header, for messages.
    pub name: String,
    /// Its unit.
    pub unit: Unit,
    /// What its numbers are multiplied by to give s, N·m, degrees, V or A.
    pub scale: f64,
    /// How its times are read, where they are clocks or dates.
    pub stamps: Option<Stamps>,
}

/// The header of a log.
#[derive(Clone, Debug)]
pub(super) struct Head {
    /// Its line, from 1.
    pub line: u32,
    /// The headers; empty texts without a header.
    pub names: Vec<String>,
    /// What stands below them, where that is a row of units.
    pub units: Vec<String>,
    /// Whether there is a header.
    pub named: bool,
}

/// What a quantity is called, and by which options its column and its unit are named.
pub(super) struct Called {
    pub name: &'static str,
    pub column: &'static str,
    pub unit: &'static str,
    pub example: &'static str,
}

pub(super) fn called(quantity: Quantity) -> Called {
    let (name, column, unit, example) = match quantity {
        Quantity::Time => ("time", "--time", "--time-unit", "s"),
        Quantity::Torque => ("torque", "--torque", "--torque-unit", "N·m"),
        Quantity::Tension => ("tension", "--tension", "--tension-unit", "kN"),
        Quantity::Angle => ("angle", "--angle", "--angle-unit", "deg"),
        Quantity::Voltage => ("voltage", "--voltage", "--voltage-unit", "V"),
        Quantity::Current => ("current", "--current", "--current-unit", "A"),
    };
    Called {
        name,
        column,
        unit,
        example,
    }
}

impl Head {
    /// The indices of the columns that the format names.
    pub(super) fn named_places(&self, format: &LogFormat) -> Vec<usize> {
        let optional = [&format.tension, &format.voltage, &format.current];
        let channels = [&format.time, &format.torque, &format.angle].into_iter();
        let channels = channels.chain(optional.into_iter().flatten());
        let indices = channels.filter_map(|channel| self.index(channel, "").ok().flatten());
        indices.collect()
    }

    pub(super) fn problem(&self, found: impl Into<String>, wanted: impl Into<String>) -> Problem {
        Problem::new("", found, wanted).at(self.line, 1)
    }

    /// What a message calls a column.
    fn name(&self, index: usize) -> String {
        match self.names.get(index) {
            Some(name) if self.named => name.clone(),
            _ => format!("{}", index + 1),
        }
    }

    /// The units that the header and the row below it say of a column.
    fn units_of(&self, index: usize) -> Vec<Unit> {
        let mut units = self
            .names
            .get(index)
            .map(|name| units_in(name))
            .unwrap_or_default();
        let below = self.units.get(index).and_then(|text| unit(text));
        units.extend(below.filter(|below| units.iter().all(|unit| unit.symbol != below.symbol)));
        units
    }

    /// The columns, not among those named for another quantity, of which nothing but one unit of
    /// this quantity is said.
    fn fitting(&self, quantity: Quantity, taken: &[usize]) -> Vec<usize> {
        let fits = |index: &usize| matches!(self.units_of(*index).as_slice(), [unit] if unit.quantity == quantity);
        let indices = (0..self.names.len()).filter(|index| !taken.contains(index));
        indices.filter(fits).collect()
    }

    /// The columns that hold a unit of this quantity and no other.
    pub(super) fn of_quantity(&self, quantity: Quantity) -> Vec<usize> {
        self.fitting(quantity, &[])
    }

    /// The index of the column that a channel names, if it names one.
    fn index(&self, channel: &Channel, option: &str) -> Result<Option<usize>, Problem> {
        let Some(wanted) = &channel.column else {
            return Ok(None);
        };
        let text = match wanted {
            super::ColumnName::Header(text) => text.trim().to_owned(),
            super::ColumnName::Number(number) => number.to_string(),
        };
        let is_header = matches!(wanted, super::ColumnName::Header(_)) && self.named;
        let named: Vec<usize> = (0..self.names.len())
            .filter(|&index| is_header && self.names.get(index) == Some(&text))
            .collect();
        match (named.as_slice(), wanted.number()) {
            (&[index], _) => Ok(Some(index)),
            ([], Some(number)) if (1..=self.names.len()).contains(&number) => Ok(Some(number - 1)),
            ([], _) => {
                let all: Vec<String> = if self.named {
                    self.names.iter().map(|name| quoted(name)).collect()
                } else {
                    (1..=self.names.len())
                        .map(|number| number.to_string())
                        .collect()
                };
                let wanted = format!("one of {}", all.join(", "));
                Err(self.problem(format!("no column {}", quoted(&text)), wanted))
            }
            (several, _) => {
                let numbers: Vec<String> = several
                    .iter()
                    .map(|index| (index + 1).to_string())
                    .collect();
                let found = format!("{} columns {}", several.len(), quoted(&text));
                let hint = format!("name it by its number: {option} {}", numbers.join(" or "));
                Err(self.problem(found, "one").hint(hint))
            }
        }
    }

    /// The column of a quantity; `None` if there is none.
    pub(super) fn column(
        &self,
        quantity: Quantity,
        channel: &Channel,
        taken: &[usize],
    ) -> Result<Option<Column>, Problem> {
        let options = called(quantity);
        let index = match self.index(channel, options.column)? {
            Some(index) => index,
            None => match self.fitting(quantity, taken).as_slice() {
                [] => match self.unclear(quantity, taken) {
                    Some(index) => index,
                    None => return Ok(None),
                },
                &[index] => index,
                several => {
                    let names: Vec<String> = several
                        .iter()
                        .map(|&index| quoted(&self.name(index)))
                        .collect();
                    let found = format!("the columns {}", names.join(", "));
                    let hint = format!("say which with {}", options.column);
                    let wanted = format!("one of {}", options.name);
                    return Err(self.problem(found, wanted).hint(hint));
                }
            },
        };
        if let Some(written) = &channel.format {
            return self.stamps(written, index).map(Some);
        }
        let unit = self.unit(quantity, channel, index)?;
        let sign = if channel.inverted { -1.0 } else { 1.0 };
        Ok(Some(Column {
            index,
            name: self.name(index),
            unit,
            scale: sign * channel.factor.unwrap_or(1.0) * unit.size,
            stamps: None,
        }))
    }

    /// A column of clocks or dates.
    fn stamps(&self, format: &str, index: usize) -> Result<Column, Problem> {
        let symbol = match holds(format)? {
            Holds::Clock => "time of day",
            Holds::DateTime => "date and time",
        };
        Ok(Column {
            index,
            name: self.name(index),
            unit: Unit {
                quantity: Quantity::Time,
                symbol,
                size: 1.0,
            },
            scale: 1.0,
            stamps: Some(Stamps::new(format)?),
        })
    }

    /// The unit that the last word of a named column is, though elsewhere it may be a word or a
    /// name: `Strom_A`. Not where another header differs from it in a last letter alone, which
    /// numbers channels: `Current A` beside `Current B`.
    fn last_word(&self, quantity: Quantity, index: usize) -> Option<Unit> {
        let name = self.names.get(index).filter(|_| self.named)?;
        let stem = |name: &str| name.strip_suffix(char::is_alphabetic).map(String::from);
        let others = self.names.iter().enumerate().filter(|(at, _)| *at != index);
        let mut stems = others.filter_map(|(_, name)| stem(name));
        let own = stem(name);
        let is_letter = last_word(quantity, name).is_some_and(|(_, letters)| letters == 1);
        if is_letter && own.is_some() && stems.any(|stem| Some(stem) == own) {
            return None;
        }
        last_word(quantity, name).map(|(unit, _)| unit)
    }

    /// The first column of which two units of this quantity are said.
    fn unclear(&self, quantity: Quantity, taken: &[usize]) -> Option<usize> {
        let several = |index: &usize| {
            let units = self.units_of(*index);
            units
                .iter()
                .filter(|unit| unit.quantity == quantity)
                .count()
                > 1
        };
        (0..self.names.len())
            .filter(|index| !taken.contains(index))
            .find(several)
    }

    /// The unit of a column: as the log says or, where it says none, as the format says.
    fn unit(&self, quantity: Quantity, channel: &Channel, index: usize) -> Result<Unit, Problem> {
        let (options, name) = (called(quantity), quoted(&self.name(index)));
        let told = channel
            .unit
            .as_deref()
            .map(|text| told_unit(quantity, text));
        let told = told.transpose().map_err(|problem| *problem)?;
        let mut said = self.units_of(index);
        if said.is_empty() && channel.column.is_some() {
            said.extend(self.last_word(quantity, index));
        }
        let fitting: Vec<Unit> = said
            .iter()
            .filter(|unit| unit.quantity == quantity)
            .copied()
            .collect();
        let listed = |units: &[Unit]| {
            let symbols: Vec<&str> = units.iter().map(|unit| unit.symbol).collect();
            symbols.join(" and ")
        };
        match (fitting.as_slice(), told) {
            ([], None) if said.is_empty() => {
                let found = format!("no unit for the column {name}");
                let hint = format!(
                    "say it with {}, such as {0} {}",
                    options.unit, options.example
                );
                Err(self
                    .problem(found, format!("the unit of {}", options.name))
                    .hint(hint))
            }
            ([], Some(told)) if said.is_empty() => Ok(told),
            ([], _) => {
                let found = format!("the unit {} in the column {name}", listed(&said));
                Err(self.problem(found, format!("a unit of {}", options.name)))
            }
            (&[unit], None) => Ok(unit),
            (units, Some(told)) if units.iter().any(|unit| unit.symbol == told.symbol) => Ok(told),
            (units, Some(told)) => {
                let found = format!(
                    "the unit {} in the column {name} and {} in {}",
                    listed(units),
                    told.symbol,
                    options.unit
                );
                let hint = format!(
                    "leave {} out; a header that is wrong is passed over by --skip-lines and --no-header",
                    options.unit
                );
                Err(self.problem(found, "one unit").hint(hint))
            }
            (units, None) => {
                let found = format!("the units {} in the column {name}", listed(units));
                let hint = format!("say which with {}", options.unit);
                Err(self.problem(found, "one unit").hint(hint))
            }
        }
    }

    /// What is wrong with a rate beside a column of times.
    pub(super) fn beside_a_rate(
        &self,
        rate: f64,
        format: &LogFormat,
        taken: &[usize],
    ) -> Option<Problem> {
        let column = match &format.time.column {
            Some(_) => self.index(&format.time, "--time").ok().flatten(),
            None => self.fitting(Quantity::Time, taken).first().copied(),
        };
        let name = quoted(&self.name(column?));
        let found = format!("a column of times, {name}, beside a rate of {rate} Hz");
        let problem = self.problem(found, "one of them");
        Some(problem.hint("leave --rate out"))
    }
}

/// The unit that a format tells.
pub(super) fn told_unit(quantity: Quantity, text: &str) -> Result<Unit, Box<Problem>> {
    unit(text)
        .filter(|unit| unit.quantity == quantity)
        .ok_or_else(|| {
            let found = format!("the unit {} in {}", quoted(text), called(quantity).unit);
            let wanted = symbols(quantity);
            Box::new(Problem::new("", found, format!("one of {wanted}")))
        })
}
