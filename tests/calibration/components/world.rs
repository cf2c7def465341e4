//! An invented field: what is true of its kinds, and what chance made of the specimens, pack units and
//! days of one tester.

use super::scenario::{Days, MARGIN_PERCENT, Scenario};
use crate::blows::random::{between, normal};
use jobtorque::dataset::types::BuildUp;
use jobtorque::run::curve::Curve;
use rand_pcg::Pcg32;

/// The middle of a field's torques, N·m.
const MIDDLE_NM: f64 = 600.0;
/// Scatter of the torques of tools (logarithm).
const TOOL_SCATTER: f64 = 0.40;
/// Scatter of what packs add (logarithm).
const PACK_SCATTER: f64 = 0.06;
/// Scatter of what just this tool and this pack make of each other (logarithm).
const INTERACTION: f64 = 0.01;
/// Scatter of the run scatter of tools (logarithm).
const RUN_SCATTER_SCATTER: f64 = 0.3;
/// How fast the torque of a tool rises: time constant, s.
const RISE_S: (f64, f64) = (0.3, 1.0);
/// Torque at the onset as a share of that at stall.
const SNUG_SHARE: f64 = 0.05;
/// Unit of the times below, µs.
const TICK_US: u32 = 10_000;
/// Ticks from each knot of a run to the next; together the window.
const STEPS: [u32; 12] = [0, 5, 5, 10, 20, 30, 30, 50, 50, 100, 100, 100];

/// A pair of a tool and a pack.
#[derive(Clone, Copy, Debug)]
pub struct Pair {
    /// Index of the tool.
    pub tool: usize,
    /// Index of the pack.
    pub pack: usize,
    /// Logarithm of the torque at stall of their kinds, N·m.
    pub log_nm: f64,
}

/// A field.
#[derive(Debug)]
pub struct World {
    /// What it was drawn from.
    pub scenario: Scenario,
    /// Measured pairs.
    pub pairs: Vec<Pair>,
    /// Run scatter of each tool (logarithm).
    pub run_scatter: Vec<f64>,
    /// Time constant of each tool, s.
    rise_s: Vec<f64>,
    /// Luck of each specimen of each tool (logarithm).
    pub specimens: Vec<Vec<f64>>,
    /// Luck of each unit of each pack (logarithm).
    pub units: Vec<Vec<f64>>,
    /// Luck of each day (logarithm).
    pub days: Vec<f64>,
    /// What the rig shows against what is there (logarithm).
    pub gain: f64,
}

impl World {
    /// A field of a scenario.
    pub fn draw(scenario: &Scenario, rng: &mut Pcg32) -> Self {
        let share = |percent: f64| percent / 100.0;
        let (percent, tools) = (scenario.percent, scenario.tools);
        let pairs = pairs(scenario, rng);
        let specimens_of = |tool: usize| match tool < scenario.specimens.0 {
            true => scenario.specimens.1,
            false => 1,
        };
        let units_of = |pack: usize| if pack < scenario.second_units { 2 } else { 1 };
        let days = match scenario.days {
            Days::One => 1,
            Days::Packs => scenario.packs,
            Days::Pairs => pairs.len(),
            Days::Tools => tools,
            Days::ToolsOverTwo => 2 * tools,
        };
        let mut luck = |percent: f64, count: usize| -> Vec<f64> {
            (0..count).map(|_| share(percent) * normal(rng)).collect()
        };
        let mut own = |count: usize| luck(100.0 * RUN_SCATTER_SCATTER, count);
        let run_scatter = own(tools)
            .into_iter()
            .map(|log| share(percent.run) * libm::exp(log));
        let run_scatter = run_scatter.collect();
        Self {
            scenario: *scenario,
            pairs,
            run_scatter,
            specimens: (0..tools)
                .map(|tool| luck(percent.specimen, specimens_of(tool)))
                .collect(),
            units: (0..scenario.packs)
                .map(|pack| luck(percent.unit, units_of(pack)))
                .collect(),
            days: luck(percent.day, days),
            gain: luck(percent.calibration, 1)[0],
            rise_s: (0..tools)
                .map(|_| between(rng, RISE_S.0, RISE_S.1))
                .collect(),
        }
    }

    /// The day of run number `run` of a pair.
    pub fn day(&self, pair: usize, run: usize) -> usize {
        let Pair { tool, pack, .. } = self.pairs[pair];
        match self.scenario.days {
            Days::One => 0,
            Days::Packs => pack,
            Days::Pairs => pair,
            Days::Tools => tool,
            Days::ToolsOverTwo => 2 * tool + run % 2,
        }
    }

    /// Knots of a run of a tool that ends at a torque, N·m (logarithm).
    pub fn knots(&self, tool: usize, log_nm: f64) -> BuildUp {
        let top = 10.0 * libm::exp(log_nm);
        let (mut ticks, mut before) = (0, 0);
        let heights = STEPS.map(|step| {
            ticks += step;
            let time_s = 1e-6 * f64::from(TICK_US * ticks);
            let risen = (1.0 - libm::exp(-time_s / self.rise_s[tool])).sqrt();
            (top * (SNUG_SHARE + (1.0 - SNUG_SHARE) * risen)).round() as i32
        });
        BuildUp {
            onset_dnm: heights[0],
            tick_us: TICK_US,
            step: STEPS.into(),
            rise_dnm: heights
                .iter()
                .map(|height| height - std::mem::replace(&mut before, *height))
                .collect(),
            largest_dnm: heights[STEPS.len() - 1],
            samples: 500,
            gap_us: TICK_US,
            ..Default::default()
        }
    }

    /// The true typical curve of a pair's kinds.
    pub fn kind(&self, pair: usize) -> Curve {
        let Pair { tool, log_nm, .. } = self.pairs[pair];
        self.knots(tool, log_nm).curve()
    }

    /// What chance makes of one run of a tool (logarithm).
    pub fn run_luck(&self, tool: usize, rng: &mut Pcg32) -> f64 {
        let luck = match self.scenario.heavy_tails {
            true => heavy(rng),
            false => normal(rng),
        };
        self.run_scatter[tool] * luck
    }

    /// What chance makes of a further try of a tool: another specimen, pack unit and day, read right
    /// (logarithm).
    pub fn further(&self, tool: usize, rng: &mut Pcg32) -> f64 {
        let percent = self.scenario.percent;
        let others = [percent.specimen, percent.unit, percent.day];
        let luck: f64 = others.map(|one| 0.01 * one * normal(rng)).iter().sum();
        luck + self.run_luck(tool, rng)
    }
}

/// The measured pairs of a field.
fn pairs(scenario: &Scenario, rng: &mut Pcg32) -> Vec<Pair> {
    let mut levels = |count: usize, scatter: f64| -> Vec<f64> {
        (0..count).map(|_| scatter * normal(rng)).collect()
    };
    let tools = levels(scenario.tools, TOOL_SCATTER);
    let mut packs = levels(scenario.packs, PACK_SCATTER);
    if scenario.at_margin {
        for pack in (1..scenario.packs).step_by(2) {
            packs[pack] = packs[pack - 1] + libm::log1p(MARGIN_PERCENT / 100.0);
        }
    }
    let mut pairs = Vec::new();
    for (tool, of_tool) in tools.iter().enumerate() {
        // No tool without a pack.
        let certain = between(rng, 0.0, scenario.packs as f64) as usize;
        for (pack, of_pack) in packs.iter().enumerate() {
            let own = if scenario.at_margin { 0.0 } else { INTERACTION };
            let own = own * normal(rng);
            if between(rng, 0.0, 1.0) >= scenario.missing || pack == certain {
                let log_nm = libm::log(MIDDLE_NM) + of_tool + of_pack + own;
                pairs.push(Pair { tool, pack, log_nm });
            }
        }
    }
    pairs
}

/// t with three degrees of freedom, of variance 1.
fn heavy(rng: &mut Pcg32) -> f64 {
    let squares: f64 = (0..3).map(|_| normal(rng)).map(|one| one * one).sum();
    // Its variance is 3: divided by √3 the t of three degrees is normal ÷ √squares.
    normal(rng) / squares.sqrt()
}
