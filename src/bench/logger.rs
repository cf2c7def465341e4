//! A log read as its logger's block says: the one place where a block meets [`crate::logs`].
//!
//! A block becomes a [`LogFormat`]; what is wrong with it is said here by its key, before any log is
//! read.

use super::logger_block::{Channel, ColumnOf, Logger};
use crate::logs::units::{Quantity, last_word, symbols, unit, units_in};
use crate::logs::{self, ColumnName, LogFormat, Understood, check};
use crate::problem::{Problem, quoted};
use crate::run::samples::Samples;

/// The samples of a log.
#[derive(Debug)]
pub struct Logged {
    /// Samples; where `tension` is set, `torque_nm` holds kN.
    pub samples: Samples,
    /// Whether bolt tension was logged in place of torque.
    pub tension: bool,
    /// Which column was read as what.
    pub columns: Vec<Understood>,
}

/// What is wrong with a block: the key, and the problem.
pub type Fault = (&'static str, Problem);

/// Everything in a block that logs cannot be read with.
pub fn faults(logger: &Logger) -> Vec<Fault> {
    let mut faults = Vec::new();
    let whole = format(logger);
    let none = LogFormat::default();
    let encoding = LogFormat {
        encoding: whole.encoding.clone(),
        ..none.clone()
    };
    let decimal = LogFormat {
        decimal: whole.decimal.clone(),
        ..none.clone()
    };
    let thousands = LogFormat {
        thousands: whole.thousands.clone(),
        // A decimal mark that nobody knows is told by itself.
        decimal: whole.decimal.clone().filter(|_| check(&decimal).is_ok()),
        ..none.clone()
    };
    let rate = LogFormat {
        rate_hz: whole.rate_hz,
        ..none
    };
    for (key, format) in [
        ("encoding", encoding),
        ("decimal", decimal),
        ("thousands", thousands),
        ("rate_hz", rate),
    ] {
        faults.extend(check(&format).err().map(|problem| (key, problem)));
    }
    faults.extend(delimiter(logger).map(|problem| ("delimiter", problem)));
    if logger.torque.is_some() && logger.tension.is_some() {
        let problem = Problem::new("", "both torque and tension", "one of the two");
        faults.push(("tension", problem));
    }
    if logger.time.is_some() && logger.rate_hz.is_some() {
        let problem = Problem::new("", "both time and rate_hz", "one of the two");
        faults.push(("rate_hz", problem));
    }
    for (key, quantity, channel) in channels(logger) {
        let problem = channel.and_then(|channel| of_channel(quantity, channel, logger));
        faults.extend(problem.map(|problem| (key, problem)));
    }
    faults
}

fn channels(logger: &Logger) -> [(&'static str, Quantity, Option<&Channel>); 6] {
    [
        ("time", Quantity::Time, logger.time.as_ref()),
        ("torque", Quantity::Torque, logger.torque.as_ref()),
        ("tension", Quantity::Tension, logger.tension.as_ref()),
        ("angle", Quantity::Angle, logger.angle.as_ref()),
        ("voltage", Quantity::Voltage, logger.voltage.as_ref()),
        ("current", Quantity::Current, logger.current.as_ref()),
    ]
}

fn delimiter(logger: &Logger) -> Option<Problem> {
    let format = LogFormat {
        delimiter: logger.delimiter.clone(),
        ..LogFormat::default()
    };
    let text = logger.delimiter.as_deref();
    if check(&format).is_err() {
        let wanted = "one character, \"tab\" or \"space\"";
        return Some(Problem::new("", quoted(text.unwrap_or_default()), wanted));
    }
    let commas = logger.decimal.as_deref() == Some(",") && matches!(text, None | Some(","));
    commas.then(|| {
        let found = "a decimal comma and commas between fields";
        let problem = Problem::new("", found, "another delimiter");
        problem.hint("write delimiter = \";\" or delimiter = \"tab\"")
    })
}

/// The same problem of a log with advice on the logger's block in place of that on options of `reduce`.
pub fn advised(logger: &Logger, mut problem: Problem) -> Problem {
    let Some(hint) = problem.hint.take_if(|hint| hint.contains("--")) else {
        return problem;
    };
    let suffix = format!(" ({hint})");
    let plain = problem.message.strip_suffix(&suffix).map(String::from);
    problem.message = plain.unwrap_or(problem.message);
    problem.hint(match logger.block {
        None => {
            "no logger of bench.toml has this log: jobtorque look LOG --in DIR proposes one".into()
        }
        Some(_) => format!(
            "its logger is {}: jobtorque look LOG --in DIR shows what its block should say",
            quoted(&logger.id)
        ),
    })
}

/// What is wrong with a channel, whatever the log.
fn of_channel(quantity: Quantity, channel: &Channel, logger: &Logger) -> Option<Problem> {
    if channel.format.is_some() {
        let mut format = LogFormat::default();
        match quantity {
            Quantity::Time => format.time = named(channel),
            _ => format.voltage = Some(named(channel)),
        }
        return check(&format).err();
    }
    let names: Vec<String> = symbols(quantity).split(", ").map(quoted).collect();
    let names = names.join(", ");
    let unit_said = match &channel.unit {
        Some(text) => match unit(text).filter(|unit| unit.quantity == quantity) {
            Some(unit) => Some(unit.symbol),
            None => {
                let found = format!("the unit {}", quoted(text));
                return Some(Problem::new("", found, format!("one of {names}")));
            }
        },
        None => None,
    };
    let header = match &channel.column {
        ColumnOf::Named(name) => units_in(name),
        // Nothing is known of the header before the log is read.
        ColumnOf::Number(_) | ColumnOf::ByUnit => return None,
    };
    let below = logger.units_row == Some(true);
    let last = match &channel.column {
        ColumnOf::Named(name) => last_word(quantity, name).is_some(),
        _ => false,
    };
    if unit_said.is_none() && header.is_empty() && !last && !below {
        let found = "a column whose unit nobody says";
        return Some(Problem::new("", found, format!("unit = one of {names}")));
    }
    let other = |symbol| header.iter().all(|unit| unit.symbol != symbol);
    if !header.is_empty() && unit_said.is_some_and(other) {
        let found = "a unit here and another in the header";
        return Some(Problem::new("", found, "one of the two"));
    }
    None
}

/// The format that a block describes; bolt tension is read in kN.
fn format(logger: &Logger) -> LogFormat {
    let encoding = logger.encoding.as_deref();
    let needed = |channel: &Option<Channel>| channel.as_ref().map(named).unwrap_or_default();
    LogFormat {
        encoding: encoding.map(|label| if label == "latin-1" { "latin1" } else { label }.into()),
        delimiter: logger.delimiter.clone(),
        decimal: logger.decimal.clone(),
        thousands: logger.thousands.clone(),
        skip_lines: logger.skip_lines.unwrap_or_default() as usize,
        header_starts_with: logger.header_starts_with.clone(),
        no_header: false,
        detects_header: by_number(logger),
        units_row: logger.units_row.unwrap_or_default(),
        end_before: logger.end_before.clone(),
        rate_hz: logger.rate_hz,
        time: needed(&logger.time),
        torque: needed(&logger.torque),
        tension: logger.tension.as_ref().map(named),
        angle: needed(&logger.angle),
        voltage: logger.voltage.as_ref().map(named),
        current: logger.current.as_ref().map(named),
        nm_per_kn: logger.tension.as_ref().map(|_| 1.0),
    }
}

/// Whether a block names no header: its columns by number, no row of units, no beginning of one.
fn by_number(logger: &Logger) -> bool {
    let named = channels(logger)
        .into_iter()
        .filter_map(|(.., channel)| channel);
    let by_number = |channel: &Channel| matches!(channel.column, ColumnOf::Number(_));
    logger.header_starts_with.is_none()
        && logger.units_row != Some(true)
        && named.map(by_number).reduce(|a, b| a && b) == Some(true)
}

/// A channel as the reader of logs knows it, whose factors are above 0.
fn named(channel: &Channel) -> crate::logs::Channel {
    crate::logs::Channel {
        column: match &channel.column {
            ColumnOf::ByUnit => None,
            ColumnOf::Named(name) => Some(ColumnName::Header(name.clone())),
            ColumnOf::Number(number) => Some(ColumnName::Number(*number as usize)),
        },
        unit: channel.unit.clone(),
        factor: channel.factor.map(f64::abs),
        inverted: channel.inverted != channel.factor.is_some_and(|factor| factor < 0.0),
        format: channel.format.clone(),
    }
}

/// Reads a log whose block has no [`faults`].
///
/// # Errors
///
/// Every problem of the log, with its line.
pub fn read_log(bytes: &[u8], logger: &Logger) -> Result<Logged, Vec<Problem>> {
    let log = logs::read_log(bytes, &format(logger))?;
    Ok(Logged {
        samples: log.samples,
        tension: logger.tension.is_some(),
        columns: log.columns,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn channel(name: &str, unit: Option<&str>) -> Option<Channel> {
        Some(Channel {
            column: ColumnOf::Named(name.into()),
            unit: unit.map(String::from),
            ..Channel::default()
        })
    }

    #[test]
    fn units_factors_and_signs_are_applied() {
        let logger = Logger {
            delimiter: Some(";".into()),
            decimal: Some(",".into()),
            time: channel("t", Some("ms")),
            tension: Some(Channel {
                factor: Some(2.0),
                inverted: true,
                ..channel("F", Some("N")).unwrap()
            }),
            voltage: channel("U", Some("mV")),
            ..Logger::default()
        };
        assert!(faults(&logger).is_empty());
        let logged = read_log(b"t;F;U\n0;-500;20000\n0,5;-1000;19500\n", &logger).unwrap();
        assert!(logged.tension);
        assert_eq!(logged.samples.time_us, [0, 500]);
        assert_eq!(logged.samples.torque_nm, [1.0, 2.0]);
        assert_eq!(logged.samples.voltage_v, Some(vec![20.0, 19.5]));
    }

    #[test]
    fn a_unit_nobody_says_is_a_fault() {
        let of = |torque| {
            faults(&Logger {
                torque,
                ..Logger::default()
            })
        };
        let found = of(channel("M", None));
        assert_eq!(found[0].0, "torque");
        assert!(
            found[0].1.message.contains("whose unit nobody says"),
            "{found:?}"
        );
        assert!(
            of(channel("M", Some("furlong")))[0]
                .1
                .message
                .contains("the unit")
        );
        assert!(
            of(channel("M [Nm]", Some("lbf-ft")))[0]
                .1
                .message
                .contains("one of the two")
        );
        assert!(of(channel("M", Some("lbf-ft"))).is_empty());
        assert!(of(channel("M [Nm]", Some("N·m"))).is_empty());
    }

    #[test]
    fn all_that_a_block_says_of_a_log_is_passed_on() {
        let logger = Logger {
            decimal: Some(",".into()),
            delimiter: Some(";".into()),
            thousands: Some(".".into()),
            skip_lines: Some(1),
            header_starts_with: Some("M".into()),
            units_row: Some(true),
            end_before: Some("end".into()),
            rate_hz: Some(100.0),
            torque: Some(Channel {
                column: ColumnOf::Number(1),
                factor: Some(-1.0),
                ..Channel::default()
            }),
            voltage: channel("U", None),
            ..Logger::default()
        };
        assert!(faults(&logger).is_empty(), "{:?}", faults(&logger));
        let log = "MMM\nA logger\nM;U\nN·m;V\n-1.200,5;18,5\n-2;18\nend;1\n";
        let samples = read_log(log.as_bytes(), &logger).unwrap().samples;
        assert_eq!(samples.time_us, [0, 10_000]);
        assert_eq!(samples.torque_nm, [1_200.5, 2.0]);
        assert_eq!(samples.voltage_v, Some(vec![18.5, 18.0]));
    }

    #[test]
    fn a_mark_that_nobody_knows_is_a_fault_of_its_key() {
        let keys = |logger: &Logger| -> Vec<&'static str> {
            faults(logger).iter().map(|(key, _)| *key).collect()
        };
        let mut logger = Logger {
            encoding: Some("no-such".into()),
            decimal: Some("x".into()),
            thousands: Some("y".into()),
            delimiter: Some(";;".into()),
            rate_hz: Some(1e9),
            time: channel("t [s]", None),
            ..Logger::default()
        };
        let all = [
            "encoding",
            "decimal",
            "thousands",
            "rate_hz",
            "delimiter",
            "rate_hz",
        ];
        assert_eq!(keys(&logger), all);
        logger = Logger {
            decimal: Some(",".into()),
            thousands: Some(",".into()),
            ..Logger::default()
        };
        assert_eq!(keys(&logger), ["thousands", "delimiter"]);
    }
}
