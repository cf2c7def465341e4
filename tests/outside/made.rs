//! The invented fields of `uncertainty.json`, put together of the program's own pieces.

use super::close::counted;
use super::fields::{Field, Job};
use jobtorque::dataset::types::{BuildUp, FieldScatter};
use jobtorque::run::instants;
use jobtorque::scatter::by_time::{ByTime, times};
use jobtorque::scatter::cells::{Cells, Run};
use jobtorque::scatter::effects::{Assumed, Effects};
use jobtorque::scatter::run::RunScatter;
use jobtorque::scatter::shares::Scatters;
use jobtorque::typical::{Combination, Counted};
use serde_json::Value;
use std::collections::BTreeMap;

pub const WINDOW_S: f64 = 2.5;

/// The runs of one pair.
pub struct Pair {
    pub tool: usize,
    pub origins: Vec<Run>,
    pub combination: Combination,
}

/// A field with its runs.
pub struct Made<'f> {
    pub field: &'f Field,
    pub pairs: Vec<Pair>,
    pub cells: Cells,
    /// Check runs, each with ln mean torque.
    checks: Vec<(Run, f64)>,
}

/// Numbers of things by what they are called.
#[derive(Default)]
struct Numbers(BTreeMap<String, usize>);

impl Numbers {
    fn of(&mut self, name: String) -> usize {
        let next = self.0.len();
        *self.0.entry(name).or_insert(next)
    }

    /// Where a run was made; `tool` and `pair` have their numbers.
    fn run(&mut self, tool: usize, pair: usize, run: &Value) -> Run {
        let of = |kind: &str, specimen: &str| format!("{kind} {}: {}", run[kind], run[specimen]);
        Run {
            tool,
            pair,
            specimen: self.of(of("tool", "specimen")),
            pack: self.of(of("pack", "pack_specimen")),
            day: self.of(format!("day {}", run["day"])),
        }
    }
}

/// Every field whose runs count as they stand, with its pairs.
pub fn each(check: impl Fn(&Made)) {
    let mut checked = 0;
    for field in Field::all() {
        if field.dataset["editions"].as_array().unwrap().len() == 1 {
            check(&Made::of(&field));
            checked += 1;
        }
    }
    assert!(checked >= 30);
}

impl<'f> Made<'f> {
    fn of(field: &'f Field) -> Self {
        let runs = field.dataset["runs"].as_array().unwrap();
        let results = field.results();
        let buildups: Vec<&BuildUp> = results.buildups().collect();
        let counted = |run: usize| {
            let counted = counted(&buildups[run].curve(), buildups[run], WINDOW_S);
            Counted {
                measures: counted.measures.rounded(),
                ..counted
            }
        };
        let mut numbers = Numbers::default();
        let mut pair = |pair: usize| {
            let mut specimens: BTreeMap<String, (Vec<Counted>, Vec<Run>)> = BTreeMap::new();
            for &run in &field.runs[pair] {
                let name = runs[run]["specimen"].as_str().unwrap_or_default();
                let own = specimens.entry(name.to_owned()).or_default();
                own.0.push(counted(run));
                own.1
                    .push(numbers.run(field.tool_of(pair), pair, &runs[run]));
            }
            let (runs, origins): (Vec<_>, Vec<_>) = specimens.into_values().unzip();
            Pair {
                tool: field.tool_of(pair),
                origins: origins.concat(),
                combination: Combination::new(runs, &instants::times(WINDOW_S)).unwrap(),
            }
        };
        let pairs: Vec<Pair> = (0..field.pairs.len()).map(&mut pair).collect();
        let check = |&run: &usize| {
            let of_tool = |tool: &str| runs[run]["tool"] == tool;
            let tool = field.tools().iter().position(|tool| of_tool(tool)).unwrap();
            // All check runs of these fields are of one pair.
            let origin = numbers.run(tool, pairs.len(), &runs[run]);
            (origin, libm::log(counted(run).measures.mean_nm))
        };
        let checks = field.checks.iter().map(check).collect();
        let origins = pairs.iter().flat_map(|pair| pair.origins.clone());
        let origins: Vec<Run> = origins.collect();
        Self {
            field,
            cells: Cells::of(&origins, &[]),
            pairs,
            checks,
        }
    }

    /// Run scatter for one torque of each run.
    pub fn run_scatter(&self, torque_nm: impl Fn(usize, &Counted) -> f64) -> RunScatter {
        self.cells.run_scatter(&self.log_values(torque_nm))
    }

    fn log_values(&self, torque_nm: impl Fn(usize, &Counted) -> f64) -> Vec<f64> {
        let pairs = self.pairs.iter().enumerate();
        let of = |(place, pair): (usize, &Pair)| {
            pair.combination.log_values(&|run| torque_nm(place, run))
        };
        pairs.flat_map(of).collect()
    }

    /// Run scatter at each pair's typical time to the job, or the window's end.
    pub fn at_job(&self, job: &Job) -> RunScatter {
        self.scatter_at(|place| {
            job.time_us[place].map_or(WINDOW_S, |time_us| f64::from(time_us) / 1e6)
        })
    }

    /// Run scatter at a time of each pair in s.
    pub fn scatter_at(&self, time_s: impl Fn(usize) -> f64) -> RunScatter {
        let told = times(WINDOW_S).map(|time_s| {
            let values = self.log_values(|_, run| run.curve.torque_at(time_s));
            self.cells.squares_of_pairs(self.pairs.len(), &values)
        });
        let told: Vec<Vec<(f64, f64)>> = told.collect();
        RunScatter::of_sums(self.pairs.iter().enumerate().map(|(place, pair)| {
            let by_time = ByTime::of(told.iter().map(|sums| sums[place].0));
            let squares = by_time.squares_at(time_s(place), WINDOW_S);
            (pair.tool, (squares, told[0][place].1))
        }))
    }

    /// What is assumed beforehand of specimens, pack specimens and days.
    fn assumed(&self) -> [Assumed; 3] {
        let rig = &self.field.dataset["rigs"][0];
        let percent = |kind: &str| rig[kind].as_f64();
        let runs = self.field.dataset["runs"].as_array().unwrap();
        let specimens = self.field.dataset["specimens"].as_array();
        let is_run = |own: &Value| {
            let mut places = self.field.runs.iter().flatten();
            own["condition"] == "used"
                && places.any(|&run| {
                    let run = &runs[run];
                    run["pack"] == own["pack"] && run["pack_specimen"] == own["specimen"]
                })
        };
        let used = specimens.is_some_and(|own| own.iter().any(is_run));
        [
            Assumed::specimens(percent("unit_to_unit_percent")),
            Assumed::packs(percent("pack_to_pack_percent"), used),
            Assumed::days(percent("day_to_day_percent")),
        ]
    }

    /// Scatters as they are found; as they are assumed where runs do not scatter at all.
    pub fn found(&self) -> Effects {
        let mean = |_: usize, run: &Counted| run.measures.mean_nm;
        let mut values = self.log_values(mean);
        values.extend(self.checks.iter().map(|(_, value)| value));
        let run = self.run_scatter(mean);
        if run.pooled.nu == 0.0 {
            return Effects::of_assumed(self.assumed());
        }
        let counted: Vec<Run> = self
            .pairs
            .iter()
            .flat_map(|own| own.origins.clone())
            .collect();
        let checks: Vec<Run> = self.checks.iter().map(|(run, _)| *run).collect();
        let cells = Cells::of(&counted, &checks);
        let means = cells.means(&values, |own| run.of_tool(own.tool).variance);
        Effects::of(&means, self.assumed()).unwrap()
    }

    /// Scatters as a file stores them, of the fixture.
    pub fn scatters(&self) -> Scatters {
        let [specimen_ppm, pack_ppm, day_ppm] = self.field.effects.ppm;
        let [specimen_cnu, pack_cnu, day_cnu] = self.field.effects.cnu;
        let stored = FieldScatter {
            specimen_ppm,
            specimen_cnu,
            pack_ppm,
            pack_cnu,
            day_ppm,
            day_cnu,
            ..FieldScatter::default()
        };
        Scatters::of(&Effects::of_stored(&stored, self.assumed()))
    }
}
