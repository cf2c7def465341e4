//! Invented fields: tools and packs at random, within what `data/stock.rs` has.

use crate::blows::random::{between, factor, normal, stream};
use crate::blows::{Pack, Tool};
use rand_pcg::Pcg32;

/// Seed of what is drawn for fields; that of what is measured and of what is true lie behind it.
pub const SEED: u64 = 4711;
/// Tools in a field: fewest, one more than most.
const TOOLS: (f64, f64) = (6.0, 10.0);
/// Packs in a field: fewest, one more than most.
const PACKS: (f64, f64) = (3.0, 5.0);
/// Share of the pairs that were measured.
const MEASURED: f64 = 0.7;
/// The middle of a field's stall torques, N·m.
const MIDDLE_NM: (f64, f64) = (350.0, 1150.0);
/// Scatter of stall torques about it (logarithm): neighbours must be hard to tell apart.
const STALL_SCATTER: f64 = 0.22;
/// Scatter of blow energy and spin-up time about what the stall torque makes likely (logarithm).
const DESIGN_SCATTER: f64 = 0.15;
/// Run scatter of a tool (logarithm).
const RUN_SCATTER: (f64, f64) = (0.012, 0.036);
/// Early scatter as a multiple of it.
const EARLY_TIMES: (f64, f64) = (2.0, 3.0);
/// Scatter between specimens of a tool (logarithm), one for all tools of a field.
const SPECIMEN_SCATTER: (f64, f64) = (0.015, 0.035);
/// Resistance of a pack of five cells in series, Ω.
const PACK_OHM: (f64, f64) = (0.055, 0.125);
/// Scatter of interactions in fields that have one of their own (logarithm).
const INTERACTION: (f64, f64) = (0.0, 0.04);
/// Standard uncertainty of the rig's calibration (logarithm).
pub const CALIBRATION: f64 = 0.01;

/// What is true of a field.
#[derive(Clone, Debug)]
pub struct Field {
    /// Its number.
    pub index: u64,
    /// Tools.
    pub tools: Vec<Tool>,
    /// Packs.
    pub packs: Vec<Pack>,
    /// The measured pairs: places of tool and pack.
    pub pairs: Vec<(usize, usize)>,
    /// What just this tool and this pack make of each other, as a factor on torque, for each pair:
    /// beside what the physics of the simulation makes of them.
    pub interaction: Vec<f64>,
    /// How many tools were tested in two or three specimens.
    pub replicated: usize,
    /// Scatter between specimens (logarithm).
    pub specimen_scatter: f64,
    /// What the rig shows against what is there: its calibration is wrong by this, always.
    pub gain: f64,
}

impl Field {
    /// Field number `index`: three tools in several specimens, one, or none, by turns.
    pub fn draw(index: u64) -> Self {
        let mut rng = stream(SEED, index);
        let middle_nm = libm::exp(between(
            &mut rng,
            libm::log(MIDDLE_NM.0),
            libm::log(MIDDLE_NM.1),
        ));
        let tools: Vec<Tool> = (0..between(&mut rng, TOOLS.0, TOOLS.1) as usize)
            .map(|_| tool(middle_nm, &mut rng))
            .collect();
        let packs: Vec<Pack> = (0..between(&mut rng, PACKS.0, PACKS.1) as usize)
            .map(|_| Pack {
                series: 5.0,
                open_v: 20.5,
                resistance_ohm: between(&mut rng, PACK_OHM.0, PACK_OHM.1),
            })
            .collect();
        let mut pairs = Vec::new();
        for tool in 0..tools.len() {
            // No tool without a pack.
            let certain = between(&mut rng, 0.0, packs.len() as f64) as usize;
            pairs.extend(
                (0..packs.len())
                    .filter(|&pack| between(&mut rng, 0.0, 1.0) < MEASURED || pack == certain)
                    .map(|pack| (tool, pack)),
            );
        }
        Self {
            index,
            tools,
            packs,
            interaction: vec![1.0; pairs.len()],
            pairs,
            replicated: [3, 1, 0][index as usize % 3],
            specimen_scatter: between(&mut rng, SPECIMEN_SCATTER.0, SPECIMEN_SCATTER.1),
            gain: factor(&mut rng, CALIBRATION),
        }
    }
}

impl Field {
    /// The same field with an interaction of every pair, its scatter (logarithm) drawn for the field.
    pub fn with_interaction(mut self) -> Self {
        let mut rng = stream(SEED + 0x30, self.index);
        let scatter = between(&mut rng, INTERACTION.0, INTERACTION.1);
        for pair in &mut self.interaction {
            *pair = factor(&mut rng, scatter);
        }
        self
    }
}

/// A tool: the trends of `data/stock.rs` over the stall torque, and scatter about them.
fn tool(middle_nm: f64, rng: &mut Pcg32) -> Tool {
    let size = libm::log(middle_nm / 840.0) + STALL_SCATTER * normal(rng);
    let run_scatter = between(rng, RUN_SCATTER.0, RUN_SCATTER.1);
    Tool {
        stall_nm: 840.0 * libm::exp(size),
        blow_j: 14.8 * libm::exp(1.5 * size) * factor(rng, DESIGN_SCATTER),
        blows_per_s: between(rng, 25.0, 32.0),
        spin_up_s: 0.17 * libm::exp(1.5 * size) * factor(rng, DESIGN_SCATTER),
        winding_ohm: 0.12 * libm::exp(-0.7 * size),
        back_v: 10.0,
        run_scatter,
        early_scatter: between(rng, EARLY_TIMES.0, EARLY_TIMES.1) * run_scatter,
    }
}
