//! `demo-truth.json`: what the simulation knows and the logs do not show.

use crate::blows::Simulated;
use crate::blows::rig::Dirt;
use crate::nuts::{self, StatedNuts};
use crate::plan::{Oddity, Planned};
use crate::{bench, stock};
use serde::Serialize;

/// Of a run's own largest torque, the share at which its onset lies.
const ONSET_SHARE: f64 = 0.02;
/// Of a run's own largest torque, the share whose time is told.
const LATE_SHARE: f64 = 0.80;

/// What the file says about itself.
pub const ABOUT: &str = "What the simulation behind demo.json knows. Runs stand in the order of \
demo.json. Onset, peak torque and time from the onset to 80 % of the peak are those of the blows \
alone, before dips, noise, zero and rounding, read off the simulated staircase itself; the onset is \
where it crosses 2 % of its own peak, on the log's clock. Peaks are on the rig's scale as it was that \
day (times gain). Scatter is the standard deviation of the logarithm of torque; early scatter comes \
on top of run scatter and fades with 0.7 s. A dip is half a sine wave at the end of the time between \
two blows. Nuts stand in the order of the field checks; the factor of each is \
what it broke away at over what it was tightened to. Factors of one state scatter about its median (standard \
deviation of the logarithm), and nuts of one day, fastener, tool and state share so much of the variance.";

/// What holds for all runs.
#[derive(Debug, Serialize)]
pub struct Stated {
    seed: u64,
    samples_per_s: f64,
    noise_nm: f64,
    rounding_nm: f64,
    dip_depth_percent: [f64; 2],
    dip_share_percent: f64,
    specimen_scatter_percent: f64,
    pack_resistance_scatter_percent: f64,
    tools: Vec<StatedTool>,
    specimens: Vec<StatedSpecimen>,
    days: Vec<StatedDay>,
    nuts: Vec<StatedNuts>,
    drawn: Drawn,
}

/// Scatter of one tool.
#[derive(Debug, Serialize)]
struct StatedTool {
    tool: &'static str,
    blows_per_s: f64,
    run_scatter_percent: f64,
    early_scatter_percent: f64,
}

/// Torque of one specimen against its kind.
#[derive(Debug, Serialize)]
pub struct StatedSpecimen {
    tool: &'static str,
    specimen: &'static str,
    factor: f64,
}

/// What the rig did on one day.
#[derive(Debug, Serialize)]
struct StatedDay {
    day: &'static str,
    offset_nm: f64,
    gain: f64,
}

/// The dirt counted in the samples as drawn, so that the figures above cannot be claimed only.
#[derive(Debug, Serialize)]
struct Drawn {
    noise_nm: f64,
    /// Mean depth of a dip at its lowest point.
    dip_depth_percent: f64,
    /// Mean of what the torque is down within dips.
    dip_loss_percent: f64,
    dip_share_percent: f64,
}

/// What holds for one run, on the rig's own scale: `gain` has been applied, zero and noise have not.
#[derive(Debug, Serialize)]
pub struct Fact {
    run: usize,
    onset_s: f64,
    peak_nm: f64,
    time_to_80_s: f64,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    flags: Vec<&'static str>,
}

impl Stated {
    /// The parameters of the simulation, and the sums over all logs.
    pub fn new(specimens: Vec<StatedSpecimen>, dirt: &Dirt) -> Self {
        let (lowest, highest) = bench::DIP_DEPTH;
        Stated {
            seed: bench::SEED,
            samples_per_s: (1.0 / bench::INTERVAL_S).round(),
            noise_nm: bench::NOISE_NM,
            rounding_nm: 0.1,
            dip_depth_percent: [percent(lowest), percent(highest)],
            dip_share_percent: percent(bench::DIP_SHARE),
            specimen_scatter_percent: percent(stock::SPECIMEN_SCATTER),
            pack_resistance_scatter_percent: percent(stock::PACK_SCATTER),
            tools: stock::tools().map(StatedTool::new).collect(),
            specimens,
            days: stock::DAYS.into_iter().map(StatedDay::new).collect(),
            nuts: nuts::stated(),
            drawn: Drawn::new(dirt),
        }
    }
}

impl StatedTool {
    fn new((tool, numbers): (&'static str, crate::blows::Tool)) -> Self {
        StatedTool {
            tool,
            blows_per_s: numbers.blows_per_s,
            run_scatter_percent: percent(numbers.run_scatter),
            early_scatter_percent: percent(numbers.early_scatter),
        }
    }
}

impl StatedSpecimen {
    /// The tool specimen of a planned run.
    pub fn new(planned: &Planned) -> Self {
        let (tool, specimen) = (planned.tool, planned.specimen);
        let factor = rounded(bench::tool_specimen(tool, specimen), 1e4);
        StatedSpecimen {
            tool,
            specimen,
            factor,
        }
    }

    /// Whether it is the specimen of that run.
    pub fn is_of(&self, planned: &Planned) -> bool {
        (self.tool, self.specimen) == (planned.tool, planned.specimen)
    }
}

impl StatedDay {
    fn new((day, offset_nm, gain): (&'static str, f64, f64)) -> Self {
        StatedDay {
            day,
            offset_nm,
            gain,
        }
    }
}

impl Drawn {
    fn new(dirt: &Dirt) -> Self {
        let in_dips = f64::from(dirt.in_dips);
        Drawn {
            noise_nm: rounded((dirt.noise_squares / f64::from(dirt.samples)).sqrt(), 1e3),
            dip_depth_percent: percent(dirt.dip_depths / f64::from(dirt.blows)),
            dip_loss_percent: percent(dirt.dip_losses / in_dips),
            dip_share_percent: percent(in_dips / f64::from(dirt.between_blows)),
        }
    }
}

impl Fact {
    /// The facts of run number `run`, off its own staircase. None if it never rises.
    pub fn new(run: usize, planned: &Planned, simulated: &Simulated, gain: f64) -> Option<Self> {
        let staircase = &simulated.staircase;
        let peak_nm = staircase.peak_nm();
        let onset_s = staircase.reaches_s(ONSET_SHARE * peak_nm)?;
        let late_s = staircase.reaches_s(LATE_SHARE * peak_nm)?;
        Some(Fact {
            run,
            onset_s: rounded(onset_s, 1e6),
            peak_nm: rounded(gain * peak_nm, 1e3),
            time_to_80_s: rounded(late_s - onset_s, 1e6),
            flags: flags(planned.oddity),
        })
    }
}

fn flags(oddity: Oddity) -> Vec<&'static str> {
    let all = [
        (oddity.exclusion().is_some(), "excluded"),
        (oddity.is_short(), "short"),
        (oddity == Oddity::Draft, "draft"),
        (oddity == Oddity::Control, "control"),
    ];
    let set = all.into_iter().filter(|(holds, _)| *holds);
    set.map(|(_, name)| name).collect()
}

/// A share in per cent, to a hundredth.
fn percent(share: f64) -> f64 {
    rounded(100.0 * share, 100.0)
}

/// The nearest multiple of one part of `parts`.
fn rounded(number: f64, parts: f64) -> f64 {
    (number * parts).round() / parts
}
