//! The runs behind a pair, exact and in words.

use crate::text::passage::Passage;
use serde::Serialize;

/// The runs behind a pair as an edition has them.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RunsBehind {
    /// Identifier of the tool.
    pub tool: String,
    /// Identifier of the pack.
    pub pack: String,
    /// Identifier of the setup.
    pub setup: String,
    /// Identifier of the rig.
    pub rig: String,
    /// The edition shown.
    pub edition: u32,
    /// Required torque in N·m; `null` without a job.
    pub required_torque_nm: Option<f64>,
    /// Runs that count, in order of time, then runs that are set aside.
    pub runs: Vec<RunBehind>,
    /// Their days, in order of time.
    pub days: Vec<DayBehind>,
    /// The pair's place in every edition, newest first; empty without a job.
    pub places: Vec<PlaceInEdition>,
    /// What this pair did on real fasteners.
    pub field_checks: Vec<CheckBehind>,
    /// Typical peak torque in N·m; `null` if no run counts.
    pub peak_torque_nm: Option<f64>,
    /// The maker's stated tightening torque in N·m.
    pub stated_tightening_nm: Option<f64>,
    /// The maker's stated loosening torque in N·m.
    pub stated_loosening_nm: Option<f64>,
}

/// One run, as an edition has it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RunBehind {
    /// Identifier of the day.
    pub day: String,
    /// Date of the day.
    pub date: String,
    /// When in its day, in s.
    pub at_s: Option<f64>,
    /// The edition it came with.
    pub edition: u32,
    /// Specimen of the tool.
    pub specimen: Option<String>,
    /// Specimen of the pack.
    pub pack_specimen: Option<String>,
    /// How often the bolt had been used.
    pub bolt_use: Option<u32>,
    /// Why it is set aside, if it is.
    pub set_aside: Option<SetAside>,
    /// What corrections multiply its torque by; 1 if none does.
    pub torque_factor: f64,
    /// Peak torque in N·m.
    pub peak_torque_nm: f64,
    /// Mean torque over the window in N·m.
    pub mean_torque_nm: f64,
    /// Torque at one second in N·m.
    pub early_torque_nm: f64,
    /// Largest sample in N·m.
    pub largest_sample_nm: f64,
    /// Time to the job in s; `null` if not reached or without a job.
    pub time_to_job_s: Option<f64>,
    /// Whether it was cut short.
    pub short: bool,
    /// Whether its log has no quiet start.
    pub no_quiet: bool,
    /// Name of its log.
    pub log_file: Option<String>,
    /// SHA-256 of its log in hexadecimal.
    pub log_sha256: Option<String>,
}

/// Why a run is set aside.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SetAside {
    /// The reason in words.
    pub reason: String,
    /// Since which edition.
    pub edition: u32,
}

/// A day on which a pair was run.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DayBehind {
    /// Identifier.
    pub day: String,
    /// Date.
    pub date: String,
    /// Air temperature in °C.
    pub ambient_c: Option<f64>,
    /// Who held the tool, where the file says so.
    pub operator: Option<String>,
    /// What was special.
    pub note: Option<String>,
    /// Date of the calibration in force; `null` if none was.
    pub calibrated: Option<String>,
    /// Its expanded uncertainty in per cent.
    pub expanded_uncertainty_percent: Option<f64>,
    /// The coverage factor of that uncertainty.
    pub coverage_factor: Option<f64>,
    /// What corrections up to the edition shown multiply the torque of the day by.
    pub corrections: Vec<DayCorrection>,
    /// Whether the check run of the day was off; `null` where it cannot be told.
    pub suspect: Option<bool>,
}

/// A correction of a day.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DayCorrection {
    /// The edition that makes it.
    pub edition: u32,
    /// What it multiplies torque by.
    pub torque_factor: f64,
}

/// A pair's place in an edition.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PlaceInEdition {
    /// The edition.
    pub edition: u32,
    /// When it came out.
    pub date: String,
    /// Place; `null` if the pair has none there.
    pub rank: Option<u32>,
    /// Lower end of the 90 % interval of the place.
    pub rank_low: Option<u32>,
    /// Upper end of the 90 % interval of the place.
    pub rank_high: Option<u32>,
    /// How many combinations have a place.
    pub rank_of: Option<u32>,
    /// The places in this edition and in the one shown among the pairs that both hold; `null` for the
    /// edition shown, and where the pair has no place in one of them.
    pub among_both: Option<PlacesAmongBoth>,
    /// Whether the two intervals of `among_both` do not overlap: a real change; `null` where there are
    /// not two.
    pub changed: Option<bool>,
}

/// A pair's places in two editions, counted among the pairs that both hold.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct PlacesAmongBoth {
    /// How many pairs with a place both hold.
    pub of: u32,
    /// Place in the older or newer edition.
    pub rank: u32,
    /// Place in the edition shown.
    pub rank_shown: u32,
    /// 90 % interval of `rank`.
    pub interval: Option<(u32, u32)>,
    /// 90 % interval of `rank_shown`.
    pub interval_shown: Option<(u32, u32)>,
}

/// A real fastener, and what the runs say of it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CheckBehind {
    /// Date.
    pub date: Option<String>,
    /// Thread or name.
    pub fastener: Option<String>,
    /// Its state.
    pub state: Option<String>,
    /// Torque it was tightened to, in N·m.
    pub installed_nm: Option<f64>,
    /// Whether it came loose.
    pub came_loose: Option<bool>,
    /// How long was tried, in s.
    pub tried_s: Option<f64>,
    /// The typical curve's time to that torque, in s; `null` if not reached or nothing is known.
    pub typical_time_s: Option<f64>,
    /// The typical curve at the window's end in N·m; `null` if no run counts.
    pub typical_end_nm: Option<f64>,
}

/// The runs behind a pair in words.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct WordedRuns {
    /// Says that the data are made up, if they are.
    pub notice: Option<String>,
    /// Says so, if no run counts.
    pub none: Option<String>,
    /// Headings of the columns.
    pub headings: Vec<String>,
    /// Runs that count.
    pub counted: Vec<RunGroup>,
    /// Runs that are set aside.
    pub set_aside: Vec<RunGroup>,
    /// The days, corrections, places in other editions, real fasteners.
    pub passages: Vec<Passage>,
    /// The maker's figures, to be shown when asked for.
    pub stated: Option<Passage>,
}

/// Runs of one day and one specimen.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct RunGroup {
    /// Which day, tool and pack.
    pub title: String,
    /// For each run one text for each heading.
    pub rows: Vec<Vec<String>>,
    /// What is to be said of them.
    pub lines: Vec<String>,
}
