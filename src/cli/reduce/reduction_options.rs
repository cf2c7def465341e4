//! The options that say how a run is reduced.

use crate::cli::Failure;
use crate::cli::one_run::USUAL;
use crate::run::reduce::Settings;
use crate::run::samples::microseconds;
use crate::units::{Torque, WrittenTorque};
use clap::Args;

/// How the run is reduced.
#[derive(Debug, Args)]
#[command(next_help_heading = "How the run is reduced")]
pub(super) struct ReductionOptions {
    /// Keep the torque's zero as logged, even after a flat lead-in
    #[arg(long)]
    keep_zero: bool,
    /// Length of a run that counts, in seconds [default: that of the rig, or 5]
    #[arg(long, value_name = "S")]
    window: Option<f64>,
    /// Width of the running median in seconds; 0 is a median of five samples [default: that of the
    /// rig, or 0.04]
    #[arg(long, value_name = "S")]
    smooth: Option<f64>,
    /// Onset level above the quiet level, such as "5 N·m" [default: 2 % of the largest rise]
    #[arg(long, value_name = "TORQUE")]
    onset: Option<String>,
    /// Also the time, work and power to a torque, such as "90 N·m"
    #[arg(long, value_name = "TORQUE")]
    pub at: Option<String>,
}

impl ReductionOptions {
    /// The settings of a rig, or the usual ones, with what the options say in their place.
    pub fn settings(&self, rig: Option<Settings>) -> Result<Settings, Failure> {
        let usual = rig.unwrap_or(USUAL);
        let refused =
            |option: &str, wanted: &str| Err(Failure::Misuse(format!("{option}: give {wanted}")));
        if self
            .window
            .is_some_and(|window| !(window > 0.0 && window <= 3600.0))
        {
            return refused("--window", "seconds above 0 and at most 3600");
        }
        if self
            .smooth
            .is_some_and(|smooth| !(0.0..=1.0).contains(&smooth))
        {
            return refused("--smooth", "seconds from 0 to 1");
        }
        let onset_nm = self
            .onset
            .as_deref()
            .map(|onset| torque("--onset", onset))
            .transpose()?
            .map(Torque::newton_metres);
        if onset_nm.is_some_and(|onset| onset <= 0.0) {
            return refused("--onset", "a torque above 0");
        }
        Ok(Settings {
            smooth_us: self.smooth.map_or(usual.smooth_us, microseconds),
            onset_nm: onset_nm.or(usual.onset_nm),
            window_s: self.window.unwrap_or(usual.window_s),
            keep_zero: self.keep_zero || usual.keep_zero,
        })
    }
}

/// A torque that an option gives.
pub(super) fn torque(option: &str, text: &str) -> Result<Torque, Failure> {
    WrittenTorque::parse(text)
        .map(|written| written.torque())
        .map_err(|error| Failure::Misuse(format!("{option}: {error}")))
}
