//! The columns that a run is made of.

use super::format::{Channel, LogFormat};
use super::head::{Column, Head};
use super::numbers::{Marks, number};
use super::rows::Row;
use super::stamps::Stamps;
use super::units::Quantity;
use crate::problem::Problem;

/// The columns that a run is made of.
#[derive(Clone, Debug)]
pub(super) struct Columns {
    /// None where the samples have a rate.
    pub time: Option<Column>,
    pub torque: Column,
    pub angle: Option<Column>,
    pub voltage: Option<Column>,
    pub current: Option<Column>,
}

/// Why the columns are not known: which quantities have none, and all else that is wrong.
#[derive(Debug)]
pub(super) struct Unknown {
    pub missing: Vec<Quantity>,
    pub problems: Vec<Problem>,
}

impl Columns {
    pub fn of(head: &Head, format: &LogFormat) -> Result<Self, Unknown> {
        let mut unknown = Unknown {
            missing: Vec::new(),
            problems: Vec::new(),
        };
        let named = head.named_places(format);
        let time = match format.rate_hz {
            Some(rate) => {
                unknown
                    .problems
                    .extend(head.beside_a_rate(rate, format, &named));
                None
            }
            None => unknown.needed(
                Quantity::Time,
                head.column(Quantity::Time, &format.time, &named),
            ),
        };
        let torque = match &format.tension {
            Some(tension) => unknown.torque_of(head, tension, format, &named),
            None => {
                let torque = head.column(Quantity::Torque, &format.torque, &named);
                unknown.needed(Quantity::Torque, torque)
            }
        };
        let angle = unknown.optional(head.column(Quantity::Angle, &format.angle, &named));
        let mut only_named = |quantity, channel: &Option<Channel>| {
            let column = channel
                .as_ref()
                .map(|channel| head.column(quantity, channel, &named));
            column.and_then(|column| unknown.needed(quantity, column))
        };
        let voltage = only_named(Quantity::Voltage, &format.voltage);
        let current = only_named(Quantity::Current, &format.current);
        match torque {
            Some(torque) if unknown.missing.is_empty() && unknown.problems.is_empty() => Ok(Self {
                time,
                torque,
                angle,
                voltage,
                current,
            }),
            _ => Err(unknown),
        }
    }
}

impl Unknown {
    fn needed(
        &mut self,
        quantity: Quantity,
        column: Result<Option<Column>, Problem>,
    ) -> Option<Column> {
        if let Ok(None) = column {
            self.missing.push(quantity);
        }
        self.optional(column)
    }

    fn optional(&mut self, column: Result<Option<Column>, Problem>) -> Option<Column> {
        column.unwrap_or_else(|problem| {
            self.problems.push(problem);
            None
        })
    }

    /// The torque that a column of tension gives.
    fn torque_of(
        &mut self,
        head: &Head,
        tension: &Channel,
        format: &LogFormat,
        named: &[usize],
    ) -> Option<Column> {
        if format.torque != Channel::default() {
            let found = "both a torque and a tension";
            self.problems.push(head.problem(found, "one of them"));
        }
        let Some(nm_per_kn) = format.nm_per_kn else {
            let problem = head.problem("tension without a calibration", "torque for each kN");
            self.problems
                .push(problem.hint("give --nm-per-kn, from the calibration of the rig"));
            return None;
        };
        let column = head.column(Quantity::Tension, tension, named);
        let column = self.needed(Quantity::Tension, column)?;
        Some(Column {
            scale: column.scale * nm_per_kn,
            ..column
        })
    }
}

/// Whether a first row holds values and no headers: every named column, each named by number, a
/// number or a time in its format.
pub(super) fn holds_values(row: &Row, marks: Marks, format: &LogFormat) -> bool {
    let optional = [&format.tension, &format.voltage, &format.current];
    let channels = [&format.time, &format.torque, &format.angle].into_iter();
    let channels = channels.chain(optional.into_iter().flatten());
    let mut named = channels.filter(|channel| **channel != Channel::default());
    let is_value = |channel: &Channel| {
        let Some(super::ColumnName::Number(index)) = channel.column else {
            return false;
        };
        let text = row.field(index.saturating_sub(1));
        match &channel.format {
            Some(format) => Stamps::new(format).is_ok_and(|stamps| stamps.reads(text)),
            None => number(text, marks).is_some(),
        }
    };
    named.all(is_value)
}
