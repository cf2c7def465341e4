//! A logger of `bench.toml`: how the logs of one kind are written.

use globset::GlobMatcher;

/// A logger.
#[derive(Clone, Debug, Default)]
pub struct Logger {
    /// Its identifier.
    pub id: String,
    /// Which logs it wrote, by their paths below `logs/`.
    pub files: Option<GlobMatcher>,
    /// Encoding of its logs.
    pub encoding: Option<String>,
    /// Between fields: a character, or `tab`.
    pub delimiter: Option<String>,
    /// Sign of decimals.
    pub decimal: Option<String>,
    /// Mark between thousands.
    pub thousands: Option<String>,
    /// Lines before the header.
    pub skip_lines: Option<u32>,
    /// With what the header begins.
    pub header_starts_with: Option<String>,
    /// Whether the line after the header holds units.
    pub units_row: Option<bool>,
    /// First cell of what follows the samples.
    pub end_before: Option<String>,
    /// The column of times.
    pub time: Option<Channel>,
    /// Samples a second, where there is no column of times.
    pub rate_hz: Option<f64>,
    /// Torque.
    pub torque: Option<Channel>,
    /// Bolt tension, which calibrations turn into torque.
    pub tension: Option<Channel>,
    /// Angle.
    pub angle: Option<Channel>,
    /// Pack voltage.
    pub voltage: Option<Channel>,
    /// Pack current.
    pub current: Option<Channel>,
    /// What parts the runs of one log; nothing where a log holds one run.
    pub split: Option<Split>,
    /// Torque at which the sensor clips, in N·m.
    pub clips_at_nm: Option<f64>,
    /// How its logs are named.
    pub name_pattern: Option<String>,
    /// Its index among the loggers of `bench.toml`; `None` for the one that is used where no block
    /// names a log.
    pub block: Option<usize>,
}

/// A column of a log.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Channel {
    /// Which column.
    pub column: ColumnOf,
    /// Its unit, where the header does not say it.
    pub unit: Option<String>,
    /// What its numbers are multiplied by besides.
    pub factor: Option<f64>,
    /// Whether its sign is turned.
    pub inverted: bool,
    /// How a clock or date is written, in a column of times.
    pub format: Option<String>,
}

/// Which column of a log.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum ColumnOf {
    /// The one whose unit fits.
    #[default]
    ByUnit,
    /// By its header.
    Named(String),
    /// By its number, from 1.
    Number(u32),
}

/// What parts the runs of one log.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Split {
    /// Below this torque, in N·m, the rig rests.
    pub torque_nm: f64,
    /// How long it rests between runs at least, in seconds.
    pub rest_s: f64,
}

/// The logger of a log: the one its run names, or the first whose pattern fits its path below
/// `logs/`; `None` if it names none that is there.
pub fn logger_of<'a>(
    loggers: &'a [Logger],
    named: &str,
    log: &str,
    plain: &'a Logger,
) -> Option<&'a Logger> {
    if !named.is_empty() {
        return loggers.iter().find(|logger| logger.id == named);
    }
    let fits = |logger: &&Logger| {
        logger
            .files
            .as_ref()
            .is_some_and(|files| files.is_match(log))
    };
    Some(loggers.iter().find(fits).unwrap_or(plain))
}
