//! Doubts: what is strange in a dataset or a bench folder and not wrong.
//!
//! [`evidence`] reduces every run once; [`single_runs`], [`copies`], [`fellows`], `retests`,
//! [`pairs`], [`packs`], [`days`] and [`papers`] each look for their doubts; [`answers`] are the tester's words
//! about them in `doubts.csv`. Statistics use [`statistics`]; nothing that is published depends on a
//! doubt.

pub mod answers;
pub mod check_runs;
pub mod copies;
pub mod days;
pub mod doubt;
pub mod evidence;
pub mod facts;
pub mod fellows;
mod lead_in;
mod log_names;
pub mod packs;
pub mod pairs;
pub mod papers;
mod retests;
pub mod sessions;
pub mod single_runs;
pub mod stamps;
pub mod statistics;

use super::Bench;
use crate::dataset::read::Reading;
use crate::dataset::types::BuildUp;
use doubt::Doubt;
use evidence::Evidence;
use sessions::Sessions;
use std::path::Path;

/// Every doubt about a dataset file, in the order of its kinds. Their `pointer` says where in the
/// dataset they stand.
pub fn of_dataset(reading: &Reading) -> Vec<Doubt> {
    of(&Evidence::of_dataset(reading))
}

/// Every doubt about a bench folder, those answered included; files and lines are given.
pub fn of_bench(folder: &Path, bench: &Bench) -> Vec<Doubt> {
    located(&Evidence::of_bench(folder, bench), bench)
}

/// The same, and the knots that the runs were reduced to for it, in their order.
pub fn of_bench_with_knots(folder: &Path, bench: &Bench) -> (Vec<Doubt>, Vec<Option<BuildUp>>) {
    let evidence = Evidence::of_bench(folder, bench);
    (located(&evidence, bench), evidence.knots())
}

fn located(evidence: &Evidence, bench: &Bench) -> Vec<Doubt> {
    let mut doubts = of(evidence);
    for doubt in &mut doubts {
        doubt.locate(&bench.sources);
    }
    doubts
}

fn of(evidence: &Evidence) -> Vec<Doubt> {
    let mut doubts = single_runs::doubts(evidence);
    doubts.extend(copies::doubts(evidence));
    if let Some(sessions) = Sessions::of(evidence) {
        let (far, found) = fellows::doubts(evidence, &sessions);
        doubts.extend(found);
        doubts.extend(retests::doubts(evidence, &sessions, &far));
        doubts.extend(pairs::doubts(evidence, &sessions, &far));
    }
    doubts.extend(packs::doubts(evidence));
    doubts.extend(days::doubts(evidence));
    doubts.extend(check_runs::doubts(evidence));
    doubts.extend(papers::doubts(evidence));
    // Facts after suspicions; each kind in the order in which it was found.
    doubts.sort_by_key(|doubt| doubt.fact);
    doubts
}

#[cfg(test)]
mod tests {
    use super::doubt::Doubt;
    use super::of_dataset;
    use crate::dataset::json;
    use crate::dataset::read::Reading;
    use crate::dataset::types::{Dataset, Day, Edition, Pack, Rig, Run, Tool, TorqueFrom};
    use rand_pcg::Pcg32;
    use rand_pcg::rand_core::{Rng, SeedableRng};
    use std::ops::{Deref, DerefMut};

    /// A sound dataset without doubts: three tools with three packs, three runs of each pair on one
    /// of four days, two check runs a day; 200 samples a second over six seconds.
    pub(super) struct Case {
        dataset: Dataset,
    }

    impl Deref for Case {
        type Target = Dataset;

        fn deref(&self) -> &Dataset {
            &self.dataset
        }
    }

    impl DerefMut for Case {
        fn deref_mut(&mut self) -> &mut Dataset {
            &mut self.dataset
        }
    }

    const TOOLS: usize = 4;
    const PACKS: usize = 4;
    const DAYS: usize = 5;

    impl Default for Case {
        fn default() -> Self {
            let mut random = Pcg32::seed_from_u64(11);
            let mut dataset = without_runs();
            for (tool, pack, control, day) in in_order() {
                let level = level(tool, pack) * (1.0 + 0.008 * normal(&mut random));
                dataset.runs.push(Run {
                    tool: name('t', tool),
                    pack: name('p', pack),
                    day: name('d', day),
                    edition: Some(1),
                    control,
                    interval_s: Some(0.005),
                    torque_dnm: Some(series(level, &mut random)),
                    ..Run::default()
                });
            }
            Self { dataset }
        }
    }

    fn name(letter: char, at: usize) -> String {
        format!("{letter}{at}")
    }

    /// The dataset but for its runs.
    fn without_runs() -> Dataset {
        let tool = |at| Tool {
            id: name('t', at),
            ..Tool::default()
        };
        let pack = |at| Pack {
            id: name('p', at),
            ..Pack::default()
        };
        let day = |at| Day {
            id: name('d', at),
            date: format!("2026-03-0{at}"),
            ..Day::default()
        };
        Dataset {
            format: "jobtorque/1".into(),
            editions: vec![Edition {
                edition: 1,
                date: "2026-04-01".into(),
                ..Edition::default()
            }],
            rigs: vec![Rig {
                id: "r".into(),
                torque_from: TorqueFrom::TorqueSensor,
                ..Rig::default()
            }],
            tools: (0..TOOLS).map(tool).collect(),
            packs: (0..PACKS).map(pack).collect(),
            days: (1..=DAYS).map(day).collect(),
            ..Dataset::default()
        }
    }

    /// Tool, pack, mark of a check run and day of every run, in their order.
    fn in_order() -> Vec<(usize, usize, Option<bool>, usize)> {
        let mut runs = Vec::new();
        for tool in 0..TOOLS {
            for pack in 0..PACKS {
                let day = (tool * PACKS + pack) % DAYS + 1;
                if (tool, pack) != (0, 3) {
                    runs.extend([(tool, pack, None, day); 3]);
                }
            }
        }
        for day in 1..=DAYS {
            runs.extend([(0, 3, Some(true), day); 2]);
        }
        runs
    }

    /// The level in N·m.
    fn level(tool: usize, pack: usize) -> f64 {
        [300.0, 450.0, 700.0, 900.0][tool] * [1.0, 1.06, 1.12, 1.2][pack]
    }

    /// Twelve uniform values less six: normal but for the farthest tails.
    fn normal(random: &mut Pcg32) -> f64 {
        let sum: f64 = (0..12)
            .map(|_| f64::from(random.next_u32()) / 4_294_967_296.0)
            .sum();
        sum - 6.0
    }

    fn series(level: f64, random: &mut Pcg32) -> Vec<i32> {
        let at = |i: usize| {
            let since = (i as f64 * 0.005 - 0.4).max(0.0);
            level * (1.0 - libm::exp(-since / 0.8))
        };
        let mut noisy = |i: usize| (10.0 * (at(i) + 1.5 * normal(random))).round() as i32;
        (0..1_200).map(&mut noisy).collect()
    }

    impl Case {
        /// The samples of a run.
        pub fn run(&mut self, at: usize) -> &mut Vec<i32> {
            self.dataset.runs[at].torque_dnm.as_mut().unwrap()
        }

        /// Multiplies the torque of a run.
        pub fn scaled(&mut self, at: usize, factor: f64) {
            let run = self.run(at).iter_mut();
            run.for_each(|dnm| *dnm = (f64::from(*dnm) * factor).round() as i32);
        }

        pub fn level(&self, tool: usize, pack: usize) -> f64 {
            level(tool, pack)
        }

        /// Indices of the runs of a pair, check runs left out.
        pub fn all_of(&self, tool: usize, pack: usize) -> Vec<usize> {
            let pair = (format!("t{tool}"), format!("p{pack}"));
            let runs = self.dataset.runs.iter().enumerate();
            runs.filter(|(_, run)| {
                (&run.tool, &run.pack) == (&pair.0, &pair.1) && run.control.is_none()
            })
            .map(|(at, _)| at)
            .collect()
        }

        pub fn first_of(&self, tool: usize, pack: usize) -> usize {
            self.all_of(tool, pack)[0]
        }

        /// Indices of the check runs of a day.
        pub fn checks(&self, day: &str) -> Vec<usize> {
            let runs = self.dataset.runs.iter().enumerate();
            runs.filter(|(_, run)| run.control == Some(true) && run.day == day)
                .map(|(at, _)| at)
                .collect()
        }

        pub fn reading(&self) -> Reading {
            let mut reading = json::parse("{\"format\": \"jobtorque/1\"}").unwrap();
            reading.dataset = self.dataset.clone();
            reading
        }

        pub fn doubts(&self) -> Vec<Doubt> {
            of_dataset(&self.reading())
        }

        /// Names of the doubts that are no facts.
        pub fn names(&self) -> Vec<&'static str> {
            names(&self.doubts())
        }
    }

    pub(super) fn names(doubts: &[Doubt]) -> Vec<&'static str> {
        let doubts = doubts.iter().filter(|doubt| !doubt.fact);
        doubts.map(|doubt| doubt.name).collect()
    }
}
