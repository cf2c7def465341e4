//! What the three invented loggers wrote.

use super::blows::rig::Log;
use super::plan::Planned;

/// On these days the card was in place.
const CARD_FROM: &str = "2026-06-01";

/// A logger.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Logger {
    /// The old amplifier.
    Amplifier,
    /// Torque with the clamp on the pack's leads.
    Clamp,
    /// The card that came after the amplifier.
    Card,
}

impl Logger {
    /// The logger of a run, with or without the clamp.
    pub fn of(day: &str, clamped: bool) -> Self {
        if clamped {
            Self::Clamp
        } else if day < CARD_FROM {
            Self::Amplifier
        } else {
            Self::Card
        }
    }

    /// Path of the log of the `n`-th run of a day, below `logs/`.
    pub fn path(self, day: &str, n: usize, planned: &Planned) -> String {
        let (folder, end) = match self {
            Self::Amplifier => ("amplifier", "csv"),
            Self::Clamp => ("clamp", "csv"),
            Self::Card => ("card", "txt"),
        };
        let Planned {
            tool,
            pack,
            specimen,
            ..
        } = planned;
        format!("{folder}/{day}_{n:02}_{tool}_{pack}_{specimen}.{end}")
    }

    /// The bytes of a log, sampled every `interval_s`.
    pub fn write(self, log: &Log, interval_s: f64) -> Vec<u8> {
        let interval_ms = (interval_s * 1000.0).round() as usize;
        match self {
            Self::Amplifier => amplifier(log, interval_ms),
            Self::Clamp => clamp(log, interval_ms).into_bytes(),
            Self::Card => card(log).into_bytes(),
        }
    }
}

/// Latin-1, CRLF, semicolons, decimal commas; two lines before the header.
fn amplifier(log: &Log, interval_ms: usize) -> Vec<u8> {
    let mut text =
        String::from("Messverst\u{e4}rker Kanal 1\r\n\r\nZeit [ms];Drehmoment [N\u{b7}m]\r\n");
    for (i, torque) in log.torque_dnm.iter().enumerate() {
        text += &format!(
            "{};{}\r\n",
            i * interval_ms,
            decimal(*torque, 10).replace('.', ",")
        );
    }
    // Every sign of it is one byte of Latin-1.
    text.chars().map(|sign| sign as u8).collect()
}

/// A row of units below the header; the largest values below the samples.
fn clamp(log: &Log, interval_ms: usize) -> String {
    let mut text = String::from("time,torque,voltage,current\ns,N\u{b7}m,V,A\n");
    let samples = log
        .torque_dnm
        .iter()
        .zip(&log.voltage_mv)
        .zip(&log.current_ma);
    for (i, ((torque, voltage), current)) in samples.enumerate() {
        let time = decimal((i * interval_ms) as i32, 1000);
        let (torque, voltage, current) = (
            decimal(*torque, 10),
            decimal(*voltage, 1000),
            decimal(*current, 1000),
        );
        text += &format!("{time},{torque},{voltage},{current}\n");
    }
    let largest = |series: &[i32], scale| decimal(series.iter().copied().max().unwrap_or(0), scale);
    text + &format!(
        "max,{},{},{}\n",
        largest(&log.torque_dnm, 10),
        largest(&log.voltage_mv, 1000),
        largest(&log.current_ma, 1000)
    )
}

/// One column.
fn card(log: &Log) -> String {
    let lines = log
        .torque_dnm
        .iter()
        .map(|torque| decimal(*torque, 10) + "\n");
    String::from("torque_Nm\n") + &lines.collect::<String>()
}

/// `number` of `scale`-ths as a decimal.
fn decimal(number: i32, scale: i32) -> String {
    let sign = if number < 0 { "-" } else { "" };
    let (whole, part) = ((number / scale).abs(), (number % scale).abs());
    let digits = scale.ilog10() as usize;
    format!("{sign}{whole}.{part:0digits$}")
}
