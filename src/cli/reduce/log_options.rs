//! The options that say how a log is written and what its columns hold.

use crate::cli::Failure;
use crate::logs::{Channel, ColumnName, LogFormat, check};
use clap::Args;

/// How the text is written.
#[derive(Debug, Args)]
#[command(next_help_heading = "How the log is written")]
pub(super) struct TextOptions {
    /// Between fields: a mark, "tab", or "space" for any blanks [default: ,]
    #[arg(long, value_name = "MARK")]
    delimiter: Option<String>,
    /// Decimals stand after a comma
    #[arg(long)]
    decimal_comma: bool,
    /// Between groups of three digits: , . ' or "space" [default: nothing]
    #[arg(long, value_name = "MARK")]
    thousands: Option<String>,
    /// Encoding, such as windows-1252 [default: its byte-order mark, or UTF-8]
    #[arg(long, value_name = "LABEL")]
    encoding: Option<String>,
    /// Lines to pass over before the header
    #[arg(long, value_name = "N", default_value_t = 0, hide_default_value = true)]
    skip_lines: usize,
    /// The header is the first line that begins so
    #[arg(long, value_name = "TEXT")]
    header_starts_with: Option<String>,
    /// A row of units stands below the header
    #[arg(long, conflicts_with = "no_header")]
    units_row: bool,
    /// There is no header: columns are named by their numbers
    #[arg(long)]
    no_header: bool,
    /// The samples end before the first row that begins so, such as "Max"
    #[arg(long, value_name = "TEXT")]
    end_before: Option<String>,
}

/// What its columns hold.
#[derive(Debug, Args)]
#[command(next_help_heading = "What its columns hold")]
pub(super) struct ColumnOptions {
    /// Column of times: its header, or its number from 1 [default: by its unit]
    #[arg(long, value_name = "COLUMN")]
    time: Option<String>,
    /// Unit of the times, where the log says none: s, ms, µs, min
    #[arg(long, value_name = "UNIT")]
    time_unit: Option<String>,
    /// How a clock or date in the column of times is written, such as "%H:%M:%S%.f" (strftime)
    #[arg(
        long,
        value_name = "FORMAT",
        conflicts_with = "time_unit",
        requires = "time"
    )]
    time_format: Option<String>,
    /// Samples a second, where the log has no times
    #[arg(long, value_name = "HZ", conflicts_with_all = ["time", "time_unit", "time_format"])]
    rate: Option<f64>,
    /// Column of torques [default: by its unit]
    #[arg(long, value_name = "COLUMN")]
    torque: Option<String>,
    /// Unit of the torques, where the log says none: N·m, lbf·ft, lbf·in, kgf·m …
    #[arg(long, value_name = "UNIT")]
    torque_unit: Option<String>,
    /// The torque's sign is reversed
    #[arg(long)]
    inverted: bool,
    /// Torque is what was logged, times this
    #[arg(long, value_name = "X")]
    factor: Option<f64>,
    /// Column of bolt tension, in place of a torque
    #[arg(long, value_name = "COLUMN", conflicts_with_all = ["torque", "torque_unit"], requires = "nm_per_kn")]
    tension: Option<String>,
    /// Unit of the tension, where the log says none: kN, N, lbf
    #[arg(long, value_name = "UNIT", requires = "tension")]
    tension_unit: Option<String>,
    /// Torque for each kN of tension, in N·m
    #[arg(long, value_name = "X", requires = "tension")]
    nm_per_kn: Option<f64>,
    /// Column of angles [default: by its unit, if there is one]
    #[arg(long, value_name = "COLUMN")]
    angle: Option<String>,
    /// Unit of the angles, where the log says none: deg, rad, rev
    #[arg(long, value_name = "UNIT")]
    angle_unit: Option<String>,
}

/// How a log is written, as the options say.
pub(super) fn format(text: &TextOptions, columns: &ColumnOptions) -> Result<LogFormat, Failure> {
    let channel = |column: &Option<String>, unit: &Option<String>| Channel {
        column: column.clone().map(ColumnName::Header),
        unit: unit.clone(),
        ..Channel::default()
    };
    let signed = |channel: Channel| Channel {
        factor: columns.factor,
        inverted: columns.inverted,
        ..channel
    };
    let torque = channel(&columns.torque, &columns.torque_unit);
    let tension = columns.tension.as_ref();
    let format = LogFormat {
        encoding: text.encoding.clone(),
        delimiter: text.delimiter.clone(),
        decimal: text.decimal_comma.then(|| ",".into()),
        thousands: text.thousands.clone(),
        skip_lines: text.skip_lines,
        header_starts_with: text.header_starts_with.clone(),
        no_header: text.no_header,
        detects_header: false,
        units_row: text.units_row,
        end_before: text.end_before.clone(),
        rate_hz: columns.rate,
        time: Channel {
            format: columns.time_format.clone(),
            ..channel(&columns.time, &columns.time_unit)
        },
        torque: if tension.is_none() {
            signed(torque)
        } else {
            torque
        },
        tension: tension.map(|_| signed(channel(&columns.tension, &columns.tension_unit))),
        angle: channel(&columns.angle, &columns.angle_unit),
        voltage: None,
        current: None,
        nm_per_kn: columns.nm_per_kn,
    };
    check(&format).map_err(|problem| Failure::Misuse(problem.message))?;
    Ok(format)
}
