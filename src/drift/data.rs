//! The check runs by day: plain data.

use serde::Serialize;

/// What the check runs say of the days of all rigs.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Drift {
    /// The edition shown.
    pub edition: u32,
    /// The check runs of each tool and pack that is run again and again.
    pub series: Vec<CheckSeries>,
    /// Days with runs and without a check run, in order of time.
    pub days_without: Vec<DayWithout>,
}

/// The check runs of one tool and pack in one setup on one rig.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CheckSeries {
    /// Identifier of the rig.
    pub rig: String,
    /// Identifier of the setup.
    pub setup: String,
    /// Identifier of the tool.
    pub tool: String,
    /// Identifier of the pack.
    pub pack: String,
    /// Name of tool and pack.
    pub label: String,
    /// Whether the tool is a hand-turned calibrated wrench.
    pub reference: bool,
    /// Scatter of runs of one day in per cent, one standard deviation; `null` if nothing tells it.
    pub run_scatter_percent: Option<f64>,
    /// The smallest shift of one day, in per cent, that the chart would show in four of five
    /// cases if its limits were known exactly, and shows in about three of four; `null` with too few days.
    pub smallest_shift_percent: Option<f64>,
    /// The days, in order of time.
    pub days: Vec<CheckedDay>,
    /// Dates of calibrations of the rig after the first and up to the last of these days.
    pub calibrations: Vec<String>,
}

/// The check runs of one day.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CheckedDay {
    /// Identifier of the day.
    pub day: String,
    /// Its date.
    pub date: String,
    /// Check runs.
    pub runs: u32,
    /// Mean torque in N·m: exponential of the mean logarithm.
    pub mean_torque_nm: f64,
    /// Lower limit in N·m; `null` with too few days.
    pub low_nm: Option<f64>,
    /// Upper limit in N·m; `null` with too few days.
    pub high_nm: Option<f64>,
    /// Mean of the other days in N·m, the centre line of the chart; `null` with too few days.
    pub mean_of_others_nm: Option<f64>,
    /// How far the day is off the mean of the others, in per cent; `null` with too few days.
    pub off_percent: Option<f64>,
    /// Whether it lies outside the limits; `null` with too few days.
    pub outside: Option<bool>,
    /// What torques of the day are to be multiplied by, as far as check runs show it; `null` where
    /// nothing tells how far runs of one day differ, or with one day.
    pub torque_factor: Option<f64>,
    /// Whether that is proposed as a correction.
    pub proposal: Option<Proposal>,
}

/// Whether a correction of a day by its check runs is proposed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Proposal {
    /// Check runs show less than half of what days differ by, or the day is off by less than 1 %.
    None,
    /// It is.
    Proposed,
    /// The edition makes it already.
    Made,
}

/// A day with runs and without a check run.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DayWithout {
    /// Identifier of the day.
    pub day: String,
    /// Its date.
    pub date: String,
    /// Identifier of its rig.
    pub rig: String,
    /// Runs of that day that count or are set aside.
    pub runs: u32,
}
