//! What is wrong with the channels of a format, whatever the log.

use super::format::{Channel, LogFormat};
use super::head::told_unit;
use super::stamps::holds;
use super::units::Quantity;
use crate::problem::Problem;

/// The first problem of the channels.
pub(super) fn channels(format: &LogFormat) -> Result<(), Problem> {
    if let Some(rate) = format.rate_hz.filter(|rate| !(*rate > 0.0 && *rate <= 1e6)) {
        let found = format!("a rate of {rate} Hz");
        return Err(Problem::new(
            "",
            found,
            "one above 0 and at most 1000000 Hz",
        ));
    }
    if let Some(ratio) = format
        .nm_per_kn
        .filter(|ratio| !(*ratio > 0.0 && *ratio < 1e6))
    {
        let found = format!("{ratio} N·m for each kN");
        return Err(Problem::new("", found, "a number above 0"));
    }
    let channels = [
        (Quantity::Time, Some(&format.time)),
        (Quantity::Torque, Some(&format.torque)),
        (Quantity::Tension, format.tension.as_ref()),
        (Quantity::Angle, Some(&format.angle)),
        (Quantity::Voltage, format.voltage.as_ref()),
        (Quantity::Current, format.current.as_ref()),
    ];
    for (quantity, channel) in channels {
        let Some(channel) = channel else { continue };
        if let Some(format) = &channel.format {
            of_stamps(quantity, channel, format)?;
        }
        if let Some(text) = &channel.unit {
            told_unit(quantity, text).map_err(|problem| *problem)?;
        }
        if let Some(factor) = channel
            .factor
            .filter(|factor| !(*factor > 0.0 && *factor < 1e9))
        {
            let found = format!("the factor {factor}");
            let problem = Problem::new("", found, "a number above 0");
            return Err(problem.hint("a reversed sign is told by itself, with --inverted"));
        }
    }
    Ok(())
}

/// What is wrong with a channel that has a time format.
fn of_stamps(quantity: Quantity, channel: &Channel, format: &str) -> Result<(), Problem> {
    holds(format)?;
    let found = if quantity != Quantity::Time {
        "a time format of a channel that is no time"
    } else if channel.column.is_none() {
        "a time format without a column"
    } else if channel.unit.is_some() || channel.factor.is_some() || channel.inverted {
        "a time format beside a unit, a factor or a sign"
    } else {
        return Ok(());
    };
    Err(Problem::new(
        "",
        found,
        "a column of times and their format alone",
    ))
}
