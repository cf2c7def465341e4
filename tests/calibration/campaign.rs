//! What a tester makes of a field: a dataset, in memory.

use crate::bench::{Bench, luck};
use crate::blows::random::{between, factor};
use crate::field::{CALIBRATION, Field};
use jobtorque::dataset::FORMAT;
use jobtorque::dataset::json::digits;
use jobtorque::dataset::read::{Gaps, Reading};
use jobtorque::dataset::types::{Calibration, Dataset, Day, Edition, Pack, Rig, Run, Tool};
use jobtorque::results::Results;
use jobtorque::text::catalogue::Catalogue;

/// Share of the further specimens' pairs that were measured.
const MEASURED_AGAIN: f64 = 0.7;

/// How many runs a tester makes of a pair and a specimen.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Runs {
    /// Three to five.
    ThreeToFive,
    /// Two.
    Two,
}

/// The one day of a campaign.
pub const DAY: &str = "2026-03-02";

/// What was run. Tools and packs are named by their places.
pub struct Made {
    /// Tools.
    pub tools: usize,
    /// Packs.
    pub packs: usize,
    /// Runs.
    pub runs: Vec<Run>,
    /// Ratios within this many per cent are a match.
    pub match_margin_percent: Option<f64>,
}

/// Measures a field.
pub fn measure(field: &Field, runs: Runs, catalogue: Catalogue) -> Results {
    Made::of(field, make_runs(field, runs)).results(field, catalogue)
}

impl Made {
    /// These runs of a field.
    pub fn of(field: &Field, runs: Vec<Run>) -> Self {
        Self {
            tools: field.tools.len(),
            packs: field.packs.len(),
            runs,
            match_margin_percent: None,
        }
    }

    /// The dataset of what was run in a field.
    pub fn results(self, field: &Field, catalogue: Catalogue) -> Results {
        let day = DAY.to_owned();
        let dataset = Dataset {
            format: FORMAT.into(),
            title: "Invented".into(),
            license: "CC0-1.0".into(),
            invented: Some(true),
            disclosure: "nobody".into(),
            match_margin_percent: self.match_margin_percent,
            editions: vec![Edition {
                edition: 1,
                date: day.clone(),
                ..Default::default()
            }],
            rigs: vec![Rig {
                id: "rig".into(),
                unit_to_unit_percent: (field.replicated == 0)
                    .then_some(100.0 * field.specimen_scatter),
                // One unit of each pack and one day are behind the truth too, and the file says so.
                pack_to_pack_percent: Some(0.0),
                day_to_day_percent: Some(0.0),
                calibrations: vec![Calibration {
                    date: day.clone(),
                    expanded_uncertainty_percent: Some(200.0 * CALIBRATION),
                    coverage_factor: Some(2.0),
                    ..Default::default()
                }],
                ..Default::default()
            }],
            tools: (0..self.tools)
                .map(|tool| Tool {
                    id: tool.to_string(),
                    name: format!("tool {tool}"),
                    pack_mount: "slide".into(),
                    ..Default::default()
                })
                .collect(),
            packs: (0..self.packs)
                .map(|pack| Pack {
                    id: pack.to_string(),
                    name: format!("pack {pack}"),
                    pack_mount: "slide".into(),
                    ..Default::default()
                })
                .collect(),
            days: vec![Day {
                id: day.clone(),
                date: day,
                ..Default::default()
            }],
            runs: self.runs,
            ..Default::default()
        };
        let reading = Reading {
            dataset,
            gaps: Gaps::default(),
            problems: jobtorque::problem::Problems::default(),
            digits,
        };
        Results::new(reading, catalogue).unwrap()
    }
}

/// The runs of a field.
pub fn make_runs(field: &Field, runs: Runs) -> Vec<Run> {
    let mut rng = luck(1 + runs as u64, field.index);
    let mut made = Vec::new();
    for (tool, kind) in field.tools.iter().enumerate() {
        let specimens = match tool < field.replicated {
            true => between(&mut rng, 2.0, 4.0) as usize,
            false => 1,
        };
        for specimen in 0..specimens {
            let torque = factor(&mut rng, field.specimen_scatter);
            let own = field.pairs.iter().zip(&field.interaction);
            for (&(_, pack), &interaction) in own.filter(|(pair, _)| pair.0 == tool) {
                if specimen > 0 && between(&mut rng, 0.0, 1.0) >= MEASURED_AGAIN {
                    continue;
                }
                let bench = Bench {
                    tool: kind,
                    specimen: torque * interaction,
                    pack: &field.packs[pack],
                    gain: field.gain,
                };
                let count = match runs {
                    Runs::ThreeToFive => between(&mut rng, 3.0, 6.0) as usize,
                    Runs::Two => 2,
                };
                made.extend((0..count).map(|_| Run {
                    tool: tool.to_string(),
                    pack: pack.to_string(),
                    specimen: Some(specimen.to_string()),
                    day: DAY.into(),
                    edition: Some(1),
                    buildup: Some(bench.run(&mut rng)),
                    ..Default::default()
                }));
            }
        }
    }
    made
}
