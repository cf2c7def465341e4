//! How a planned run is made on the bench: rig, timing, and what a run draws before its blows.

use crate::blows::random::{between, stream};
use crate::blows::rig::{Bump, Rig};
use crate::blows::{Pack, Parameters, Simulated, run};
use crate::plan::{Oddity, Planned};
use crate::stock;
use rand_pcg::rand_core::Rng;

/// Seed of the whole dataset.
pub const SEED: u64 = 2026;
/// Seeds of what runs share, apart from those of the runs.
const TOOL_SEED: u64 = SEED + 1;
const PACK_SEED: u64 = SEED + 2;
/// Time from one sample to the next, s.
pub const INTERVAL_S: f64 = 0.005;
/// Noise of the torque signal (standard deviation), N·m.
pub const NOISE_NM: f64 = 2.1;
/// Depth of the dips between blows at their lowest point, as a share of the torque: smallest,
/// largest.
pub const DIP_DEPTH: (f64, f64) = (0.02, 0.10);
/// Share of the time between blows that a dip fills.
pub const DIP_SHARE: f64 = 0.40;
/// Logged before the rise, s: pre-trigger and run-down.
const QUIET_S: (f64, f64) = (0.21, 0.36);
/// From the rise to the release, s: a little over the rig's window.
const PULL_S: (f64, f64) = (5.03, 5.09);
/// Logged after the release, s.
const TAIL_S: f64 = 0.10;
/// From the rise to the release of a trigger let go too early, s.
const LET_GO_S: f64 = 3.4;
/// From the rise to the end of a log that stops too early, s.
const STOPS_S: f64 = 4.3;
/// Share of runs that show the socket being seated.
const BUMPS: f64 = 0.3;
/// Top of that bump, as a share of the tool's stall torque.
const BUMP_SHARE: (f64, f64) = (0.02, 0.06);
/// Width of that bump at its foot, s.
const BUMP_S: (f64, f64) = (0.04, 0.07);
/// Its middle before the rise, s.
const BUMP_BEFORE_S: (f64, f64) = (0.10, 0.15);
/// From run to run the zero wanders about that of its day by at most this, N·m.
const ZERO_WANDERS_NM: f64 = 0.4;
/// From run to run the open voltage of a full cell differs by at most this, V.
const CELL_DIFFERS_V: f64 = 0.012;

/// Makes run number `index` of the plan, from a stream of random numbers of its own: what one
/// run draws moves no other. None if the stock knows no such tool, pack or day.
pub fn simulate(index: usize, planned: &Planned) -> Option<Simulated> {
    simulate_with(&mut stream(SEED, index as u64), planned)
}

/// A run as planned, from this stream. None if the stock knows no such tool, pack or day.
pub fn simulate_with(rng: &mut impl Rng, planned: &Planned) -> Option<Simulated> {
    let parameters = parameters(planned, rng)?;
    Some(run(&parameters, rng))
}

/// Torque of a tool specimen against its kind.
pub fn tool_specimen(tool: &str, specimen: &str) -> f64 {
    stock::specimen(TOOL_SEED, tool, specimen, stock::SPECIMEN_SCATTER)
}

/// Which specimen of its pack a run used: the second two-row 8.0 came with edition 3.
pub fn pack_specimen(planned: &Planned) -> &'static str {
    let second = planned.pack == "two-row-8-0" && planned.edition() == Some(3);
    if second { "2" } else { "1" }
}

fn parameters(planned: &Planned, rng: &mut impl Rng) -> Option<Parameters> {
    let tool = stock::tool(planned.tool)?;
    let quiet_s = between(rng, QUIET_S.0, QUIET_S.1);
    let (pull_s, tail_s) = match planned.oddity {
        Oddity::LetGoEarly => (LET_GO_S, TAIL_S),
        Oddity::LogStops => (STOPS_S, 0.0),
        _ => (between(rng, PULL_S.0, PULL_S.1), TAIL_S),
    };
    Some(Parameters {
        tool,
        specimen: tool_specimen(planned.tool, planned.specimen),
        pack: pack(planned, rng)?,
        joint: stock::joint(planned.setup),
        rig: rig(planned, tool.stall_nm, rng)?,
        quiet_s,
        pull_s,
        tail_s,
        mishap: planned.oddity.mishap(),
    })
}

fn pack(planned: &Planned, rng: &mut impl Rng) -> Option<Pack> {
    let mut pack = stock::pack(planned.pack, planned.setup)?;
    let specimen = pack_specimen(planned);
    pack.resistance_ohm *= stock::specimen(PACK_SEED, planned.pack, specimen, stock::PACK_SCATTER);
    pack.open_v += pack.series * between(rng, -CELL_DIFFERS_V, CELL_DIFFERS_V);
    Some(pack)
}

fn rig(planned: &Planned, stall_nm: f64, rng: &mut impl Rng) -> Option<Rig> {
    let (_, offset_nm, gain) = stock::DAYS.get(planned.day)?;
    Some(Rig {
        interval_s: INTERVAL_S,
        noise_nm: NOISE_NM,
        offset_nm: offset_nm + between(rng, -ZERO_WANDERS_NM, ZERO_WANDERS_NM),
        gain: *gain,
        dip_depth: DIP_DEPTH,
        dip_share: DIP_SHARE,
        bump: bump(stall_nm, rng),
    })
}

fn bump(stall_nm: f64, rng: &mut impl Rng) -> Option<Bump> {
    (between(rng, 0.0, 1.0) < BUMPS).then(|| Bump {
        torque_nm: stall_nm * between(rng, BUMP_SHARE.0, BUMP_SHARE.1),
        before_s: between(rng, BUMP_BEFORE_S.0, BUMP_BEFORE_S.1),
        width_s: between(rng, BUMP_S.0, BUMP_S.1),
    })
}
