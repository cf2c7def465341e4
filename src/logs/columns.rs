//! Which column is what: by its name if given, else by the unit in its header.

use super::LogFormat;
use crate::problem::{Problem, quoted};

/// A column of the log.
#[derive(Clone, Debug)]
pub(super) struct Column {
    /// Its place.
    pub place: usize,
    /// Its header.
    pub name: String,
    /// What its numbers are multiplied by to give seconds, N·m or degrees.
    pub unit: f64,
}

/// The columns a run is made of.
pub(super) struct Columns {
    pub time: Column,
    pub torque: Column,
    pub angle: Option<Column>,
}

/// A quantity, the option that names its column, the unit it has without one, and what its units
/// are multiplied by.
struct Quantity {
    option: &'static str,
    units: &'static [(&'static str, f64)],
    example: &'static str,
}

const TIME: Quantity = Quantity {
    option: "--time",
    units: &[("s", 1.0), ("ms", 1e-3)],
    example: "time [s]",
};
const TORQUE: Quantity = Quantity {
    option: "--torque",
    units: &[
        ("n·m", 1.0),
        ("nm", 1.0),
        ("lbf·ft", crate::units::constants::POUND_FORCE_FOOT_NM),
        ("lbf·in", crate::units::constants::POUND_FORCE_INCH_NM),
    ],
    example: "torque [N·m]",
};
const ANGLE: Quantity = Quantity {
    option: "--angle",
    units: &[("deg", 1.0), ("°", 1.0)],
    example: "angle [deg]",
};

impl Columns {
    pub fn of(header: &csv::StringRecord, format: &LogFormat) -> Result<Self, Vec<Problem>> {
        let time = TIME.column(header, format.time.as_deref());
        let torque = TORQUE.column(header, format.torque.as_deref());
        let angle = ANGLE.column(header, format.angle.as_deref());
        match (time, torque, angle) {
            (Ok(Some(time)), Ok(Some(torque)), Ok(angle)) => Ok(Self {
                time,
                torque,
                angle,
            }),
            (time, torque, angle) => {
                let missing = |quantity: &Quantity, found: &Result<Option<Column>, Problem>| {
                    matches!(found, Ok(None)).then(|| quantity.missing(header, format.delimiter))
                };
                let problems = [
                    missing(&TIME, &time),
                    missing(&TORQUE, &torque),
                    time.err(),
                    torque.err(),
                    angle.err(),
                ];
                Err(problems.into_iter().flatten().collect())
            }
        }
    }
}

impl Quantity {
    /// The column of this quantity; `None` if there is none.
    fn column(
        &self,
        header: &csv::StringRecord,
        named: Option<&str>,
    ) -> Result<Option<Column>, Problem> {
        let unit_of = |name: &str| {
            let unit = bracketed(name)?.to_lowercase();
            self.units
                .iter()
                .find(|(symbol, _)| *symbol == unit)
                .map(|(_, factor)| *factor)
        };
        let fits = |(place, name): (usize, &str)| {
            Some(Column {
                place,
                name: name.into(),
                unit: unit_of(name)?,
            })
        };
        let Some(named) = named else {
            let mut fitting: Vec<Column> = header.iter().enumerate().filter_map(fits).collect();
            if fitting.len() > 1 {
                let names: Vec<String> =
                    fitting.iter().map(|column| quoted(&column.name)).collect();
                let hint = format!("say which with {}", self.option);
                return Err(
                    Problem::new("", format!("the columns {}", names.join(", ")), "one")
                        .hint(hint)
                        .at(1, 1),
                );
            }
            return Ok(fitting.pop());
        };
        let Some(place) = header.iter().position(|name| name == named) else {
            let names: Vec<String> = header.iter().map(quoted).collect();
            let wanted = format!("one of {}", names.join(", "));
            return Err(Problem::new("", format!("no column {}", quoted(named)), wanted).at(1, 1));
        };
        match (bracketed(named), unit_of(named)) {
            (_, Some(unit)) => Ok(Some(Column {
                place,
                name: named.into(),
                unit,
            })),
            // A named column without a unit is in s, N·m or degrees, as the help of the option says.
            (None, None) => Ok(Some(Column {
                place,
                name: named.into(),
                unit: 1.0,
            })),
            (Some(unit), None) => {
                let wanted = format!("a unit such as in {}", quoted(self.example));
                Err(Problem::new("", format!("the unit {}", quoted(unit)), wanted).at(1, 1))
            }
        }
    }

    fn missing(&self, header: &csv::StringRecord, delimiter: u8) -> Problem {
        let problem = Problem::new(
            "",
            "no such column",
            format!("a column such as {}", quoted(self.example)),
        )
        .at(1, 1);
        let only = header.iter().next().unwrap_or_default();
        let other = [';', '\t'].into_iter().find(|&other| {
            header.len() == 1 && only.contains(other) && char::from(delimiter) != other
        });
        match other {
            Some(';') => problem.hint("semicolons stand between the columns: give --delimiter ';', and --decimal-comma if need be"),
            Some(_) => problem.hint("tabs stand between the columns: give --delimiter tab"),
            None => problem.hint(format!("name it with {}", self.option)),
        }
    }
}

/// What stands in square or round brackets at the end of a header.
fn bracketed(name: &str) -> Option<&str> {
    let name = name.trim();
    let inside = |open: char, close: char| {
        name.strip_suffix(close)?
            .rsplit_once(open)
            .map(|(_, unit)| unit.trim())
    };
    inside('[', ']').or_else(|| inside('(', ')'))
}
