//! What the rig's logger makes of a run: dips between blows, noise, zero, rounding, and the tail
//! after the release; voltage and current of the pack beside it.

use super::random::{between, normal};
use super::{Blow, Parameters, Staircase};
use rand_pcg::rand_core::Rng;

/// The trigger is pulled this long before the torque rises: the nut is run down, s.
const RUN_DOWN_S: f64 = 0.09;
/// Current while the nut is run down, as a share of that of the first blow.
const RUN_DOWN_SHARE: f64 = 0.3;
/// The current rises after each blow, when the hammer is slow, and falls until the next: swing
/// about its mean, as a share.
const CURRENT_SWING: f64 = 0.12;
/// Noise of the logged voltage (standard deviation), V.
const VOLTAGE_NOISE_V: f64 = 0.012;
/// Noise of the logged current (standard deviation), A.
const CURRENT_NOISE_A: f64 = 0.15;
/// After the release the joint settles by this share, ...
const SETTLES_BY: f64 = 0.01;
/// ... and after this time the rig lets its bolt go, s, ...
const HELD_S: f64 = 0.03;
/// ... so that the torque falls with this time constant, s.
const LETS_GO_S: f64 = 0.012;

/// The rig and its logger.
#[derive(Clone, Copy, Debug)]
pub struct Rig {
    /// Time from one sample to the next, s.
    pub interval_s: f64,
    /// Noise of the torque signal (standard deviation), N·m.
    pub noise_nm: f64,
    /// What the rig shows without load, N·m.
    pub offset_nm: f64,
    /// What the rig shows against what is there, 1 unless it has drifted.
    pub gain: f64,
    /// Depth of the dips between blows at their lowest point, as a share of the torque: smallest,
    /// largest.
    pub dip_depth: (f64, f64),
    /// Share of the time between blows that a dip fills, at its end.
    pub dip_share: f64,
    /// A bump while the socket is seated, if there is one.
    pub bump: Option<Bump>,
}

/// A bump before the rise: the socket is pushed home.
#[derive(Clone, Copy, Debug)]
pub struct Bump {
    /// Its top, N·m.
    pub torque_nm: f64,
    /// Its middle, before the rise, s.
    pub before_s: f64,
    /// Its width at the foot, s.
    pub width_s: f64,
}

/// What was written down, and how dirty it was made.
#[derive(Clone, Debug, Default)]
pub struct Log {
    /// Torque, tenths of a newton metre.
    pub torque_dnm: Vec<i32>,
    /// Voltage at the pack, mV.
    pub voltage_mv: Vec<i32>,
    /// Current from the pack, mA.
    pub current_ma: Vec<i32>,
    /// What was added.
    pub dirt: Dirt,
}

/// Sums over the samples of a log of what was added to the torque free of noise.
#[derive(Clone, Copy, Debug, Default)]
pub struct Dirt {
    /// All samples.
    pub samples: u32,
    /// Sum of the squares of the noise, N²·m².
    pub noise_squares: f64,
    /// Samples from the first blow to the release.
    pub between_blows: u32,
    /// Of these, the samples in a dip.
    pub in_dips: u32,
    /// Sum of what the torque is down in those, as shares of it.
    pub dip_losses: f64,
    /// Blows struck.
    pub blows: u32,
    /// Sum of the depths of their dips at the lowest point, as shares of the torque.
    pub dip_depths: f64,
}

/// Samples a run from the start of the log, at 0 s, to the end of the tail.
pub fn record(parameters: &Parameters, staircase: &Staircase, rng: &mut impl Rng) -> Log {
    let rig = &parameters.rig;
    let depths = draw_depths(rig, staircase, rng);
    let end_s = staircase.release_s + parameters.tail_s;
    let mut log = Log::default();
    log.dirt.blows = staircase.blows.len() as u32;
    log.dirt.dip_depths = depths.iter().sum();
    let mut time_s = 0.0;
    while time_s <= end_s {
        let moment = Moment::at(staircase, time_s);
        let dip = moment.dip(rig, &depths);
        log.dirt.note(&moment, dip);
        log.torque_dnm
            .push(torque_dnm(rig, &moment, dip, rng, &mut log.dirt));
        let (voltage_mv, current_ma) = pack_signals(parameters, &moment, rng);
        log.voltage_mv.push(voltage_mv);
        log.current_ma.push(current_ma);
        time_s = log.torque_dnm.len() as f64 * rig.interval_s;
    }
    log
}

/// Where in a run a sample falls.
struct Moment<'a> {
    staircase: &'a Staircase,
    time_s: f64,
    /// Blows struck so far.
    struck: usize,
}

impl<'a> Moment<'a> {
    fn at(staircase: &'a Staircase, time_s: f64) -> Self {
        let struck = staircase
            .blows
            .partition_point(|blow| blow.time_s <= time_s);
        Moment {
            staircase,
            time_s,
            struck,
        }
    }

    /// The latest blow, until the release.
    fn blow(&self) -> Option<&Blow> {
        let latest = self.staircase.blows.get(self.struck.wrapping_sub(1))?;
        (self.time_s < self.staircase.release_s).then_some(latest)
    }

    /// How far the time from the latest blow to the next has gone, 0 to 1.
    fn phase(&self) -> f64 {
        let Some(blow) = self.blow() else { return 0.0 };
        let next = self.staircase.blows.get(self.struck);
        let next_s = next.map_or(self.staircase.release_s, |next| next.time_s);
        (self.time_s - blow.time_s) / (next_s - blow.time_s)
    }

    /// How far the torque is down in a dip at this moment, as a share of it; 0 outside dips. Half a
    /// sine wave: the joint springs back after a blow and is caught by the next.
    fn dip(&self, rig: &Rig, depths: &[f64]) -> f64 {
        let into = (self.phase() - (1.0 - rig.dip_share)) / rig.dip_share;
        if self.blow().is_none() || into <= 0.0 {
            return 0.0;
        }
        let depth = depths.get(self.struck.wrapping_sub(1));
        depth.map_or(0.0, |depth| depth * libm::sin(core::f64::consts::PI * into))
    }

    /// Torque in the joint, N·m, the tail after the release included.
    fn torque_nm(&self) -> f64 {
        if let Some(blow) = self.blow() {
            return blow.torque_nm;
        }
        if self.time_s < self.staircase.release_s {
            return self.staircase.snugging_nm(self.time_s);
        }
        let settled_nm = self.staircase.peak_nm() * (1.0 - SETTLES_BY);
        let loose_s = self.time_s - self.staircase.release_s - HELD_S;
        settled_nm * libm::exp(-loose_s.max(0.0) / LETS_GO_S)
    }

    /// Current from the pack, A.
    fn current_a(&self) -> f64 {
        if let Some(blow) = self.blow() {
            let turn = core::f64::consts::TAU * self.phase();
            return blow.current_a * (1.0 + CURRENT_SWING * libm::cos(turn));
        }
        let pulled_s = self.staircase.start_s - RUN_DOWN_S;
        if self.time_s < pulled_s || self.time_s >= self.staircase.release_s {
            return 0.0;
        }
        let first = self.staircase.blows.first();
        RUN_DOWN_SHARE * first.map_or(0.0, |blow| blow.current_a)
    }
}

impl Dirt {
    /// Adds the sums of another log.
    pub fn add(&mut self, other: &Dirt) {
        self.samples += other.samples;
        self.noise_squares += other.noise_squares;
        self.between_blows += other.between_blows;
        self.in_dips += other.in_dips;
        self.dip_losses += other.dip_losses;
        self.blows += other.blows;
        self.dip_depths += other.dip_depths;
    }

    /// Notes one sample.
    fn note(&mut self, moment: &Moment, dip: f64) {
        self.samples += 1;
        self.between_blows += u32::from(moment.blow().is_some());
        self.in_dips += u32::from(dip > 0.0);
        self.dip_losses += dip;
    }
}

/// One depth for each blow.
fn draw_depths(rig: &Rig, staircase: &Staircase, rng: &mut impl Rng) -> Vec<f64> {
    let (lowest, highest) = rig.dip_depth;
    let blows = staircase.blows.iter();
    blows.map(|_| between(rng, lowest, highest)).collect()
}

/// One torque sample, tenths of a newton metre.
fn torque_dnm(rig: &Rig, moment: &Moment, dip: f64, rng: &mut impl Rng, dirt: &mut Dirt) -> i32 {
    let noise_nm = rig.noise_nm * normal(rng);
    dirt.noise_squares += noise_nm * noise_nm;
    let bump_nm = rig.bump.map_or(0.0, |bump| bump.at_nm(moment));
    let joint_nm = moment.torque_nm() * (1.0 - dip) + bump_nm;
    whole(10.0 * (rig.gain * joint_nm + rig.offset_nm + noise_nm))
}

impl Bump {
    /// Half a cosine wave, N·m.
    fn at_nm(&self, moment: &Moment) -> f64 {
        let from_middle_s = moment.time_s - (moment.staircase.start_s - self.before_s);
        let turn = core::f64::consts::PI * from_middle_s / self.width_s;
        if from_middle_s.abs() < 0.5 * self.width_s {
            self.torque_nm * libm::cos(turn)
        } else {
            0.0
        }
    }
}

/// One sample of voltage (mV) and current (mA).
fn pack_signals(parameters: &Parameters, moment: &Moment, rng: &mut impl Rng) -> (i32, i32) {
    let current_a = moment.current_a();
    let voltage_v = parameters.pack.loaded_v(current_a) + VOLTAGE_NOISE_V * normal(rng);
    let logged_a = current_a + CURRENT_NOISE_A * normal(rng);
    (whole(1000.0 * voltage_v), whole(1000.0 * logged_a))
}

/// The nearest whole number.
fn whole(number: f64) -> i32 {
    number.round() as i32
}
