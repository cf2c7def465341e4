//! Runs: raw samples, or knots of their build-up curve.

use serde::Serialize;

/// One run: raw samples or knots of its build-up curve, never both.
#[derive(Clone, Debug, Default, PartialEq)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
pub struct Run {
    /// Tool.
    pub tool: String,
    /// Pack.
    pub pack: String,
    /// Setup; the first if absent.
    pub setup: Option<String>,
    /// Specimen of the tool; one unnamed if absent.
    pub specimen: Option<String>,
    /// Specimen of the pack.
    pub pack_specimen: Option<String>,
    /// Day.
    pub day: String,
    /// Edition that first published it; a draft if absent.
    pub edition: Option<u32>,
    /// True for a control run, which serves the control chart alone.
    pub control: Option<bool>,
    /// Why and since when the run is set aside.
    pub excluded: Option<Exclusion>,
    /// When in its day, in seconds.
    pub at_s: Option<f64>,
    /// How often the bolt had been used.
    pub bolt_use: Option<u32>,
    /// The raw file.
    pub log: Option<LogFile>,
    /// Time of the first sample, in seconds; 0 if absent.
    pub start_s: Option<f64>,
    /// Sampling interval in seconds.
    pub interval_s: Option<f64>,
    /// Sample times in whole microseconds, in place of `start_s` and `interval_s`.
    pub time_us: Option<Vec<i64>>,
    /// Torque in tenths of a N·m.
    pub torque_dnm: Option<Vec<i32>>,
    /// Pack voltage in mV.
    pub voltage_mv: Option<Vec<i32>>,
    /// Pack current in mA.
    pub current_ma: Option<Vec<i32>>,
    /// Angle in tenths of a degree.
    pub angle_ddeg: Option<Vec<i32>>,
    /// The run as knots of its build-up curve.
    pub buildup: Option<BuildUp>,
}

/// Why a run does not count, and from which edition on.
#[derive(Clone, Debug, Default, PartialEq)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
pub struct Exclusion {
    /// Reason in words.
    pub reason: String,
    /// Earlier editions still count the run; absent only for a draft.
    pub edition: Option<u32>,
}

/// A raw file and its fingerprint.
#[derive(Clone, Debug, Default, PartialEq)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
pub struct LogFile {
    /// File name.
    pub file: Option<String>,
    /// SHA-256 of its bytes in hexadecimal.
    pub sha256: Option<String>,
}

/// A run as published: knots of its build-up curve, all whole numbers.
///
/// Knot k lies at `first_us` + `tick_us` × (sum of `step` to k) after the onset, at a torque of the
/// sum of `rise_dnm` to k.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
#[cfg_attr(
    not(target_arch = "wasm32"),
    derive(schemars::JsonSchema, serde::Deserialize)
)]
pub struct BuildUp {
    /// Torque at the onset, in tenths of a N·m; not above the first knot.
    pub onset_dnm: i32,
    /// Unit of `step`, in microseconds: the sampling interval, or 1 where sampling is uneven.
    pub tick_us: u32,
    /// First sample's distance from the onset, in microseconds.
    pub first_us: u32,
    /// Ticks from each knot to the next; begins with 0.
    pub step: Vec<u32>,
    /// Growth from each knot to the next, in tenths of a N·m; only the first may be negative.
    pub rise_dnm: Vec<i32>,
    /// Largest sample less the zero, in tenths of a N·m.
    pub largest_dnm: i32,
    /// Samples of the log, repeated time stamps merged.
    pub samples: u32,
    /// Zero taken away, in tenths of a N·m.
    pub zero_dnm: i32,
    /// Median interval between samples, in microseconds.
    pub gap_us: u32,
    /// What is unusual about the run.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[cfg_attr(
        not(target_arch = "wasm32"),
        schemars(default, with = "Option<Vec<Flag>>")
    )]
    pub flags: Vec<Flag>,
    /// Growth of the angle's running maximum since the knot before, in tenths of a degree.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub turn_ddeg: Option<Vec<i32>>,
    /// Open-circuit voltage of the pack, in mV.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub open_mv: Option<i64>,
    /// Resistance of the pack, in micro-ohm.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub resistance_uohm: Option<i64>,
    /// Lowest loaded voltage, in mV.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub lowest_mv: Option<i64>,
    /// Electrical energy from the onset to the end, in mJ.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub energy_mj: Option<i64>,
}

/// What is unusual about a run.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(
    not(target_arch = "wasm32"),
    derive(schemars::JsonSchema, serde::Deserialize)
)]
#[serde(rename_all = "snake_case")]
pub enum Flag {
    /// The log ends or the torque falls for good before the window has passed.
    Short,
    /// No sample lies below the onset level.
    NoQuiet,
}
