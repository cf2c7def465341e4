//! What a tester makes of an invented field: a dataset, in memory.

use super::scenario::MARGIN_PERCENT;
use super::world::{Pair, World};
use crate::blows::random::between;
use crate::judge::catalogue;
use jobtorque::dataset::FORMAT;
use jobtorque::dataset::json::digits;
use jobtorque::dataset::read::{Gaps, Reading};
use jobtorque::dataset::types::{
    BuildUp, Calibration, Dataset, Day, Edition, Flag, Pack, Rig, Run, Tool,
};
use jobtorque::results::Results;
use rand_pcg::Pcg32;

/// When the rig was calibrated and the results were published.
const DATES: [&str; 2] = ["2026-03-01", "2026-12-01"];

/// A measured field.
pub struct Measured {
    /// What answers.
    pub results: Results,
    /// For each pair, the luck of the very specimens and units that it was run with, by their shares
    /// in its mean (logarithm).
    pub as_tested: Vec<f64>,
}

/// Measures a field.
pub fn measure(world: &World, rng: &mut Pcg32) -> Measured {
    let mut runs = Vec::new();
    let mut as_tested = Vec::new();
    for pair in 0..world.pairs.len() {
        as_tested.push(runs_of(world, pair, rng, &mut runs));
    }
    check_runs(world, rng, &mut runs);
    Measured {
        results: results(world, runs),
        as_tested,
    }
}

/// The runs of a pair, and the luck of the specimens and units behind their mean.
fn runs_of(world: &World, index: usize, rng: &mut Pcg32, made: &mut Vec<Run>) -> f64 {
    let Pair { tool, pack, log_nm } = world.pairs[index];
    let (units, specimens) = (&world.units[pack], &world.specimens[tool]);
    let (least, most) = world.scenario.runs;
    let mut tested = 0.0;
    for (specimen, luck) in specimens.iter().enumerate() {
        let count = between(rng, least as f64, most as f64 + 1.0) as usize;
        for run in 0..count {
            let (unit, day) = (run % units.len(), world.day(index, run));
            let kept = luck + units[unit];
            tested += kept / (count * specimens.len()) as f64;
            let log_nm = log_nm + kept + world.days[day] + world.gain + world.run_luck(tool, rng);
            let knots = world.knots(tool, log_nm);
            made.push(Run {
                tool: tool.to_string(),
                pack: pack.to_string(),
                specimen: Some(specimen.to_string()),
                pack_specimen: Some(unit.to_string()),
                day: day.to_string(),
                edition: Some(1),
                buildup: Some(match between(rng, 0.0, 1.0) < world.scenario.cut {
                    true => cut(knots, rng),
                    false => knots,
                }),
                ..Default::default()
            });
        }
    }
    tested
}

/// A run whose log ends before the window has passed, after 2, 3 or 4 s.
fn cut(mut knots: BuildUp, rng: &mut Pcg32) -> BuildUp {
    let kept = between(rng, 9.0, 12.0) as usize;
    knots.step.truncate(kept);
    knots.rise_dnm.truncate(kept);
    knots.largest_dnm = knots.rise_dnm.iter().sum();
    knots.flags.push(Flag::Short);
    knots
}

/// The check runs of every day: of the first pair, or of a tool that serves the check alone.
fn check_runs(world: &World, rng: &mut Pcg32, made: &mut Vec<Run>) {
    let checks = world.scenario.checks;
    let Pair { tool, pack, log_nm } = world.pairs[0];
    for (day, of_day) in world.days.iter().enumerate() {
        for _ in 0..checks.a_day {
            let (own, luck) = match checks.own_tool {
                Some(percent) => (
                    world.scenario.tools,
                    0.01 * percent * crate::blows::random::normal(rng),
                ),
                None => (
                    tool,
                    world.specimens[tool][0] + world.units[pack][0] + world.run_luck(tool, rng),
                ),
            };
            made.push(Run {
                tool: own.to_string(),
                pack: pack.to_string(),
                specimen: Some("0".into()),
                pack_specimen: Some("0".into()),
                day: day.to_string(),
                edition: Some(1),
                control: Some(true),
                buildup: Some(world.knots(tool, log_nm + of_day + world.gain + luck)),
                ..Default::default()
            });
        }
    }
}

/// The rig of a field: what is known of it.
fn rig(world: &World) -> Rig {
    let percent = world.scenario.percent.calibration;
    let calibration = (percent > 0.0).then(|| Calibration {
        date: DATES[0].into(),
        expanded_uncertainty_percent: Some(2.0 * percent),
        coverage_factor: Some(2.0),
        ..Default::default()
    });
    Rig {
        id: "rig".into(),
        pack_to_pack_percent: world.scenario.units_stated,
        calibrations: calibration.into_iter().collect(),
        ..Default::default()
    }
}

fn results(world: &World, runs: Vec<Run>) -> Results {
    let scenario = &world.scenario;
    let tools = scenario.tools + usize::from(scenario.checks.own_tool.is_some());
    let dataset = Dataset {
        format: FORMAT.into(),
        title: "Invented".into(),
        license: "CC0-1.0".into(),
        invented: Some(true),
        disclosure: "nobody".into(),
        match_margin_percent: Some(MARGIN_PERCENT),
        editions: vec![Edition {
            edition: 1,
            date: DATES[1].into(),
            ..Default::default()
        }],
        rigs: vec![rig(world)],
        tools: (0..tools)
            .map(|tool| Tool {
                id: tool.to_string(),
                name: format!("tool {tool}"),
                pack_mount: "slide".into(),
                ..Default::default()
            })
            .collect(),
        packs: (0..scenario.packs)
            .map(|pack| Pack {
                id: pack.to_string(),
                name: format!("pack {pack}"),
                pack_mount: "slide".into(),
                ..Default::default()
            })
            .collect(),
        days: (0..world.days.len())
            .map(|day| Day {
                id: day.to_string(),
                date: format!("2026-{:02}-{:02}", 4 + day / 28, 1 + day % 28),
                ..Default::default()
            })
            .collect(),
        runs,
        ..Default::default()
    };
    let reading = Reading {
        dataset,
        gaps: Gaps::default(),
        problems: jobtorque::problem::Problems::default(),
        digits,
    };
    Results::new(reading, catalogue()).unwrap()
}
