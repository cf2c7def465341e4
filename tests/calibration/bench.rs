//! One simulated run through the sensor and the reduction, the same for what a tester measures and
//! for what is true.

use crate::blows::random::{between, stream};
use crate::blows::rig::{Bump, Rig};
use crate::blows::{Joint, Pack, Parameters, Tool, run};
use jobtorque::dataset::types::{self, BuildUp};
use jobtorque::run::reduce::{Settings, reduce};
use jobtorque::run::samples::Samples;
use rand_pcg::Pcg32;

/// Time from one sample to the next, s.
const INTERVAL_S: f64 = 0.005;

/// A tool with a pack on the rig.
pub struct Bench<'a> {
    /// The kind of tool.
    pub tool: &'a Tool,
    /// Its specimen's torque against that of its kind.
    pub specimen: f64,
    /// The pack.
    pub pack: &'a Pack,
    /// What the rig shows against what is there.
    pub gain: f64,
}

impl Bench<'_> {
    /// One run, as dirty as those of the demo data: noise, dips, zero, rounding, in three runs of ten
    /// a bump before the rise, and a pack not always quite as full.
    pub fn run(&self, rng: &mut Pcg32) -> BuildUp {
        let bump = Bump {
            torque_nm: self.tool.stall_nm * between(rng, 0.02, 0.06),
            before_s: between(rng, 0.10, 0.15),
            width_s: between(rng, 0.04, 0.07),
        };
        let parameters = Parameters {
            tool: *self.tool,
            specimen: self.specimen,
            pack: Pack {
                open_v: self.pack.open_v + self.pack.series * between(rng, -0.012, 0.012),
                ..*self.pack
            },
            joint: Joint {
                stiffness_nm_per_rad: 1300.0,
                arrives: 1.0,
            },
            rig: Rig {
                interval_s: INTERVAL_S,
                noise_nm: 2.1,
                offset_nm: between(rng, -6.0, 6.0),
                gain: self.gain,
                dip_depth: (0.02, 0.10),
                dip_share: 0.40,
                bump: (between(rng, 0.0, 1.0) < 0.3).then_some(bump),
            },
            quiet_s: between(rng, 0.21, 0.36),
            pull_s: between(rng, 5.03, 5.09),
            tail_s: 0.10,
            mishap: None,
        };
        let log = run(&parameters, rng).log;
        let run = types::Run {
            interval_s: Some(INTERVAL_S),
            torque_dnm: Some(log.torque_dnm),
            ..Default::default()
        };
        let samples = Samples::of_run(&run).unwrap();
        BuildUp::of(&reduce(&samples, &Settings::of(&types::Rig::default())).unwrap())
    }
}

/// Random numbers for one purpose in one field.
pub fn luck(purpose: u64, field: u64) -> Pcg32 {
    stream(crate::field::SEED + purpose, field)
}
