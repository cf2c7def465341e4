//! A simulated run of an impact wrench on a bolt rig, blow by blow.
//!
//! The motor spins a hammer against the pack's loaded voltage; the hammer strikes some 25 to 35
//! times a second; each blow turns the joint a little further, until a blow's energy is used up by
//! losses and nothing moves any more (stall). The joint is a spring, so its energy is T²/2k, and
//! one blow takes the torque from T to T′ with
//!
//! T′² = T² + 2 k E (e − T²/S²)
//!
//! k stiffness, E energy of a full blow, S stall torque of full blows, e this blow's energy as a
//! share of a full one. The torque is a staircase of first order in T², levelling off at S√e.
//! What the rig makes of it (dips, noise, zero, rounding) is in `rig.rs`.
//!
//! The numbers are plausible and invented: common practice, no source.
//!
//! A fresh specimen of a tool is a [`random::factor`] with the scatter wanted between specimens; a
//! fresh run of it is one call of [`run`], which draws the run's own luck from the generator given.
//!
//! This file stands alone with `random.rs` and `rig.rs`, so that tests can take it in by path.

#![allow(dead_code, reason = "the generator and each test use a part of it")]

#[path = "random.rs"]
pub mod random;
#[path = "rig.rs"]
pub mod rig;

use rand_pcg::rand_core::Rng;
use random::{between, factor, normal};
use rig::{Log, Rig};

/// Loaded voltage of one cell at which a blow is a full one, V.
const FULL_BLOW_CELL_V: f64 = 3.2;
/// The tool turns the nut down and snugs it before the hammer lets go: the torque it reaches
/// like this, as a share of the stall torque.
const SNUG_SHARE: (f64, f64) = (0.045, 0.060);
/// How long the snugging takes on a stiff joint, s.
const SNUG_S: (f64, f64) = (0.022, 0.032);
/// From the end of snugging to the first blow, s.
const FIRST_BLOW_S: (f64, f64) = (0.004, 0.016);
/// Scatter of the time from one blow to the next (logarithm).
const INTERVAL_SCATTER: f64 = 0.03;
/// Scatter of one blow's energy (logarithm).
const BLOW_SCATTER: f64 = 0.08;
/// How fast the luck of the start (handling, seating) is forgotten, s.
const EARLY_FADES_S: f64 = 0.7;
/// The motor turns faster while the blows still move the joint: its back voltage on a slack joint
/// is by this share above that at stall.
const SLACK_JOINT_SPEED: f64 = 0.12;

/// A kind of tool.
#[derive(Clone, Copy, Debug)]
pub struct Tool {
    /// Torque at which full blows move the joint no more, N·m.
    pub stall_nm: f64,
    /// Energy that a full blow brings into a slack joint, J.
    pub blow_j: f64,
    /// Blows a second, 1/s.
    pub blows_per_s: f64,
    /// Time in which the hammer comes up to speed (63 %), s.
    pub spin_up_s: f64,
    /// Resistance of motor and leads, Ω.
    pub winding_ohm: f64,
    /// Back voltage of the motor at the speed it keeps up while hammering at stall, V.
    pub back_v: f64,
    /// Scatter from run to run of the torque level (logarithm).
    pub run_scatter: f64,
    /// Further scatter from run to run of the torque at the start (logarithm).
    pub early_scatter: f64,
}

/// A battery pack in the state it is in for one run.
#[derive(Clone, Copy, Debug)]
pub struct Pack {
    /// Cells in series.
    pub series: f64,
    /// Voltage without load, V.
    pub open_v: f64,
    /// Resistance, Ω.
    pub resistance_ohm: f64,
}

/// The joint, as the blows see it.
#[derive(Clone, Copy, Debug)]
pub struct Joint {
    /// Rise of torque with the angle turned, N·m per radian.
    pub stiffness_nm_per_rad: f64,
    /// Share of a blow's energy that arrives: 1, less with an extension.
    pub arrives: f64,
}

/// Something that went wrong: from a moment on, blows bring only a share of their energy.
#[derive(Clone, Copy, Debug)]
pub struct Mishap {
    /// Since the torque began to rise, s.
    pub from_s: f64,
    /// Share of the energy left, 0 to 1.
    pub energy_left: f64,
}

/// All that decides one run, but for luck.
#[derive(Clone, Copy, Debug)]
pub struct Parameters {
    /// The kind of tool.
    pub tool: Tool,
    /// This specimen's torque against that of its kind, about 1; see [`random::factor`].
    pub specimen: f64,
    /// The pack.
    pub pack: Pack,
    /// The joint.
    pub joint: Joint,
    /// The rig and its logger.
    pub rig: Rig,
    /// Logged before the torque begins to rise, s.
    pub quiet_s: f64,
    /// From the moment the torque begins to rise to the release of the trigger, s.
    pub pull_s: f64,
    /// Logged after the release, s.
    pub tail_s: f64,
    /// What went wrong, if anything.
    pub mishap: Option<Mishap>,
}

/// One blow.
#[derive(Clone, Copy, Debug)]
pub struct Blow {
    /// When, on the log's clock, s.
    pub time_s: f64,
    /// Torque in the joint from this blow to the next, N·m.
    pub torque_nm: f64,
    /// Current drawn from this blow to the next, on average, A.
    pub current_a: f64,
}

/// The torque in the joint, free of noise: a straight rise while the nut is snugged, then a
/// staircase. Known at every moment up to the release, not only at samples.
#[derive(Clone, Debug)]
pub struct Staircase {
    /// The torque begins to rise, s on the log's clock.
    pub start_s: f64,
    /// End of snugging, s on the log's clock.
    pub snug_s: f64,
    /// Torque at the end of snugging, N·m.
    pub snug_nm: f64,
    /// The blows, in order of time; the torque never falls.
    pub blows: Vec<Blow>,
    /// The trigger is released, s on the log's clock.
    pub release_s: f64,
}

/// A simulated run.
#[derive(Clone, Debug)]
pub struct Simulated {
    /// The torque free of noise.
    pub staircase: Staircase,
    /// What the rig's logger wrote down.
    pub log: Log,
}

/// Simulates one run.
pub fn run(parameters: &Parameters, rng: &mut impl Rng) -> Simulated {
    let staircase = strike(parameters, rng);
    let log = rig::record(parameters, &staircase, rng);
    Simulated { staircase, log }
}

impl Staircase {
    /// Largest torque, N·m.
    pub fn peak_nm(&self) -> f64 {
        self.blows
            .last()
            .map_or(self.snug_nm, |blow| blow.torque_nm)
    }

    /// The first moment at which the torque is at least `torque_nm`, s on the log's clock.
    pub fn reaches_s(&self, torque_nm: f64) -> Option<f64> {
        if torque_nm <= self.snug_nm {
            let share = (torque_nm / self.snug_nm).max(0.0);
            return Some(self.start_s + share * (self.snug_s - self.start_s));
        }
        let reached = self.blows.iter().find(|blow| blow.torque_nm >= torque_nm);
        reached.map(|blow| blow.time_s)
    }

    /// Torque while the nut is snugged and until the first blow, N·m.
    pub fn snugging_nm(&self, time_s: f64) -> f64 {
        let share = (time_s - self.start_s) / (self.snug_s - self.start_s);
        self.snug_nm * share.clamp(0.0, 1.0)
    }
}

impl Pack {
    /// Voltage under a current, V.
    pub fn loaded_v(&self, current_a: f64) -> f64 {
        self.open_v - self.resistance_ohm * current_a
    }

    /// Current that drives a motor against its back voltage, A.
    pub fn current_a(&self, tool: &Tool, back_v: f64) -> f64 {
        ((self.open_v - back_v) / (self.resistance_ohm + tool.winding_ohm)).max(0.0)
    }
}

/// The luck of one run.
struct Luck {
    /// Factor on torque, the whole run long.
    level: f64,
    /// Logarithm of the factor on torque at the very start.
    start: f64,
}

/// Strikes blow after blow until the trigger is released.
fn strike(parameters: &Parameters, rng: &mut impl Rng) -> Staircase {
    let tool = &parameters.tool;
    let luck = Luck {
        level: factor(rng, tool.run_scatter),
        start: tool.early_scatter * normal(rng),
    };
    let start_s = parameters.quiet_s;
    let snug_s = start_s + between(rng, SNUG_S.0, SNUG_S.1);
    let snug_nm = tool.stall_nm * between(rng, SNUG_SHARE.0, SNUG_SHARE.1);
    let release_s = start_s + parameters.pull_s;

    let mut blows = Vec::new();
    let mut torque_nm = snug_nm;
    let mut time_s = snug_s + between(rng, FIRST_BLOW_S.0, FIRST_BLOW_S.1);
    while time_s < release_s {
        let slack = 1.0 - (torque_nm / tool.stall_nm).min(1.0);
        let back_v = tool.back_v * (1.0 + SLACK_JOINT_SPEED * slack);
        let current_a = parameters.pack.current_a(tool, back_v);
        let energy =
            blow_energy(parameters, &luck, current_a, time_s - start_s) * factor(rng, BLOW_SCATTER);
        torque_nm = after_blow(parameters, torque_nm, energy);
        blows.push(Blow {
            time_s,
            torque_nm,
            current_a,
        });
        time_s += factor(rng, INTERVAL_SCATTER) / tool.blows_per_s;
    }
    Staircase {
        start_s,
        snug_s,
        snug_nm,
        blows,
        release_s,
    }
}

/// Energy of a blow as a share of a full one. `since_s` is counted from the start of the rise.
fn blow_energy(parameters: &Parameters, luck: &Luck, current_a: f64, since_s: f64) -> f64 {
    let tool = &parameters.tool;
    let cell_v = parameters.pack.loaded_v(current_a) / parameters.pack.series;
    let voltage = cell_v / FULL_BLOW_CELL_V;
    // The hammer is brought up by what the motor has left of the voltage: a sagging pack does it late.
    let spin_up_s = tool.spin_up_s / (voltage * voltage);
    let speed = 1.0 - libm::exp(-since_s / spin_up_s);
    let start = libm::exp(luck.start * libm::exp(-since_s / EARLY_FADES_S));
    let torque_factor = parameters.specimen * luck.level * start * speed;
    let left = match parameters.mishap {
        Some(mishap) if since_s >= mishap.from_s => mishap.energy_left,
        _ => 1.0,
    };
    voltage * torque_factor * torque_factor * parameters.joint.arrives * left
}

/// Torque after a blow that had `energy` as a share of a full one, N·m. A blow too weak to move
/// the joint leaves it as it is.
fn after_blow(parameters: &Parameters, torque_nm: f64, energy: f64) -> f64 {
    let tool = &parameters.tool;
    let used = torque_nm / tool.stall_nm;
    let gain = 2.0 * parameters.joint.stiffness_nm_per_rad * tool.blow_j;
    (torque_nm * torque_nm + gain * (energy - used * used).max(0.0)).sqrt()
}
