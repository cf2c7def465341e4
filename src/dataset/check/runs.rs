//! Runs: what they refer to, when they count, and their series.

use super::bench::largest_factors;
use super::buildup::{self, is_reversed};
use super::{Checker, List};
use crate::dataset::indices::Indices;
use crate::dataset::limits::{
    LATEST_US, MOST_COMBINATIONS, MOST_DIFFERING, MOST_RUN_US, MOST_SAMPLES,
};
use crate::dataset::pointer::Pointer;
use crate::dataset::read::Gaps;
use crate::dataset::types::{Dataset, Day, Run};
use crate::problem::{Problem, Problems, quoted};
use crate::sort;

/// Indices of setup and rig, identifiers of tool and pack.
type Combination<'a> = (Option<(usize, usize)>, &'a str, &'a str);

impl<'a> Checker<'a> {
    pub(super) fn runs(&mut self) {
        let dataset = self.dataset;
        let factors = largest_factors(dataset, &self.indices.days);
        let mut combinations = Vec::new();
        for (i, run) in dataset.runs.iter().enumerate() {
            let pointer = self.gaps.pointer("runs", i);
            self.references(&pointer, run);
            self.counting(&pointer, run);
            self.of_reference(&pointer, run);
            let bolt_use = run.bolt_use.map(f64::from);
            self.fields(&pointer, &[("at_s", run.at_s), ("bolt_use", bolt_use)]);
            self.notes(&pointer, run);
            self.knots_or_samples(&pointer, run, &factors);
            let Some(day) = self.day_of(run) else {
                continue;
            };
            let bench = self.bench_of(run.setup.as_deref(), day.rig.as_deref());
            combinations.push((bench, run.tool.as_str(), run.pack.as_str()));
        }
        self.combinations(combinations);
        self.differing();
    }

    /// Specimens beyond the first of each tool or pack, and days.
    fn differing(&mut self) {
        let runs = &self.dataset.runs;
        let further = |of: fn(&Run) -> (&str, Option<&str>)| {
            let mut specimens: Vec<_> = runs.iter().map(of).collect();
            sort::distinct(&mut specimens);
            let all = specimens.len();
            specimens.dedup_by_key(|(whose, _)| *whose);
            all - specimens.len()
        };
        let tools = further(|run| (&run.tool, run.specimen.as_deref()));
        let packs = further(|run| (&run.pack, run.pack_specimen.as_deref()));
        let mut days: Vec<&str> = runs.iter().map(|run| run.day.as_str()).collect();
        sort::distinct(&mut days);
        let count = tools + packs + days.len();
        if count > MOST_DIFFERING {
            self.problem(
                &Pointer::Top.member("runs"),
                format!("{count} further specimens of tools and packs, and days"),
                format!("at most {MOST_DIFFERING}"),
            );
        }
    }

    /// A reference tool shows what days differ by, and stands in no ranking.
    fn of_reference(&mut self, pointer: &Pointer, run: &Run) {
        let tool = self.indices.tools.get(run.tool.as_str());
        let tool = tool.and_then(|tool| self.dataset.tools.get(tool));
        let reference = tool.and_then(|tool| tool.reference) == Some(true);
        if reference && run.control != Some(true) {
            self.problem(
                &pointer.member("tool"),
                "a reference tool in a run that counts",
                "\"control\": true, for it serves check runs alone",
            );
        }
    }

    /// Knots or samples, and one of the two.
    fn knots_or_samples(&mut self, pointer: &Pointer, run: &Run, factors: &[f64]) {
        match (&run.buildup, &run.torque_dnm) {
            (Some(_), None) if has_samples(run) => {
                self.problem(pointer, "knots beside series of samples", "one of the two")
            }
            (Some(_), Some(_)) => self.problem(
                pointer,
                "both \"torque_dnm\" and \"buildup\"",
                "one of the two",
            ),
            (Some(knots), None) => {
                let day = self.indices.days.get(run.day.as_str());
                let factor = day.and_then(|day| factors.get(day)).copied();
                let pointer = pointer.member("buildup");
                let factor = factor.unwrap_or(1.0);
                let problems = buildup::check(&pointer, knots, factor, self.digits);
                self.problems.append(problems);
            }
            (None, Some(torque)) => self.samples(pointer, run, torque),
            (None, None) => self.problem(
                pointer,
                "a run without a series",
                "\"torque_dnm\" or \"buildup\"",
            ),
        }
    }

    /// Every combination of setup and rig, tool and pack that runs make.
    fn combinations(&mut self, mut combinations: Vec<Combination>) {
        sort::distinct(&mut combinations);
        let mut before = None;
        for &(bench, ..) in &combinations {
            if let Some((setup, rig)) = bench
                && bench != before
                && self.gaps.whole("setups")
                && self.gaps.whole("rigs")
            {
                self.joint_of_setup(setup, rig);
            }
            before = bench;
        }
        if combinations.len() > MOST_COMBINATIONS {
            let found = format!(
                "{} combinations of tool, pack, setup and rig",
                combinations.len()
            );
            self.problem(
                &Pointer::Top.member("runs"),
                found,
                format!("at most {MOST_COMBINATIONS}"),
            );
        }
    }

    fn notes(&mut self, pointer: &Pointer, run: &Run) {
        self.texts(
            pointer,
            &[
                ("specimen", run.specimen.as_deref()),
                ("pack_specimen", run.pack_specimen.as_deref()),
            ],
        );
        if let Some(excluded) = &run.excluded {
            let pointer = pointer.member("excluded");
            self.texts(&pointer, &[("reason", Some(&excluded.reason))]);
        }
        if let Some(log) = &run.log {
            self.texts(
                &pointer.member("log"),
                &[
                    ("file", log.file.as_deref()),
                    ("sha256", log.sha256.as_deref()),
                ],
            );
        }
    }

    fn references(&mut self, pointer: &Pointer, run: &Run) {
        self.known(&pointer.member("tool"), &run.tool, List::Tools);
        self.known(&pointer.member("pack"), &run.pack, List::Packs);
        self.known(&pointer.member("day"), &run.day, List::Days);
        if let Some(setup) = &run.setup {
            self.known(&pointer.member("setup"), setup, List::Setups);
        }
        let tool = self.indices.tools.get(run.tool.as_str());
        let pack = self.indices.packs.get(run.pack.as_str());
        if let Some(tool) = tool.and_then(|pointer| self.dataset.tools.get(pointer))
            && let Some(pack) = pack.and_then(|pointer| self.dataset.packs.get(pointer))
            && tool.pack_mount != pack.pack_mount
        {
            let found = format!("a pack for the mount {}", quoted(&pack.pack_mount));
            self.problem(
                &pointer.member("pack"),
                found,
                format!(
                    "one for the mount of its tool, {}",
                    quoted(&tool.pack_mount)
                ),
            );
        }
    }

    fn day_of(&self, run: &Run) -> Option<&'a Day> {
        let pointer = self.indices.days.get(run.day.as_str())?;
        self.dataset.days.get(pointer)
    }

    /// From which edition on a run counts, and from which it no longer does.
    fn counting(&mut self, pointer: &Pointer, run: &Run) {
        if let Some(edition) = run.edition {
            self.known_edition(&pointer.member("edition"), edition);
        }
        let Some(exclusion) = &run.excluded else {
            return;
        };
        let pointer = &pointer.member("excluded");
        match (exclusion.edition, run.edition) {
            (None, None) => {}
            (None, Some(first)) => self.problem(
                pointer,
                "no \"edition\"",
                format!("the edition from which on the run does not count, {first} or later"),
            ),
            (Some(since), Some(first)) if since < first => self.problem(
                &pointer.member("edition"),
                format!("edition {since}, before the run's own"),
                format!("edition {first} or a later one"),
            ),
            (Some(since), _) => self.known_edition(&pointer.member("edition"), since),
        }
    }

    fn samples(&mut self, pointer: &Pointer, run: &Run, torque: &[i32]) {
        let count = torque.len();
        if count == 0 {
            return self.problem(
                &pointer.member("torque_dnm"),
                "an empty series",
                "at least one sample",
            );
        }
        if count > MOST_SAMPLES {
            return self.problem(
                &pointer.member("torque_dnm"),
                format!("{count} samples"),
                format!("at most {MOST_SAMPLES}"),
            );
        }
        self.series(pointer, "torque_dnm", torque);
        self.sign(&pointer.member("torque_dnm"), torque);
        for (name, series) in [
            ("voltage_mv", &run.voltage_mv),
            ("current_ma", &run.current_ma),
            ("angle_ddeg", &run.angle_ddeg),
        ] {
            let Some(series) = series else {
                continue;
            };
            if series.len() != count {
                self.problem(
                    &pointer.member(name),
                    format!("{} samples", series.len()),
                    format!("{count}, as many as in \"torque_dnm\""),
                );
            }
            self.series(pointer, name, series);
        }
        self.times(pointer, run, count);
    }

    /// Torque counts upwards. A run whose lowest sample lies below zero by more than half of its
    /// largest was logged with the sign reversed: ringing of a sensor between blows and an offset do
    /// not reach that far.
    fn sign(&mut self, pointer: &Pointer, torque: &[i32]) {
        let Some((at, &lowest)) = torque.iter().enumerate().min_by_key(|(_, torque)| **torque)
        else {
            return;
        };
        let largest = torque.iter().copied().max().unwrap_or_default();
        if is_reversed(lowest, largest) {
            let problem = Problem::new(
                pointer.nth(at),
                format!("{lowest} beside a largest sample of {largest}"),
                "torque that counts upwards",
            );
            let hint =
                "torque is negative: its sign is reversed; runs in reverse count upwards too";
            self.problems.push(problem.hint(hint));
        }
    }

    fn times(&mut self, pointer: &Pointer, run: &Run, count: usize) {
        self.field(pointer, "start_s", run.start_s);
        match (run.interval_s, &run.time_us) {
            (Some(_), Some(_)) => self.problem(
                pointer,
                "both \"interval_s\" and \"time_us\"",
                "one of the two",
            ),
            (None, None) => {
                self.problem(pointer, "no sample times", "\"interval_s\" or \"time_us\"")
            }
            (Some(interval), None) => {
                self.field(pointer, "interval_s", Some(interval));
                let length_us = interval * 1e6 * count as f64;
                if length_us > MOST_RUN_US as f64 && interval <= 60.0 {
                    self.problem(pointer, "a run of more than an hour", "at most an hour");
                }
            }
            (None, Some(times)) if times.len() != count => {
                self.problem(
                    &pointer.member("time_us"),
                    format!("{} times", times.len()),
                    format!("{count}, as many as in \"torque_dnm\""),
                );
            }
            (None, Some(times)) => {
                self.sample_times(&pointer.member("time_us"), times);
            }
        }
    }

    /// Sample times in microseconds: they do not run backwards and span no more than an hour.
    fn sample_times(&mut self, pointer: &Pointer, times: &[i64]) {
        let mut pairs = times.iter().zip(times.iter().skip(1)).enumerate();
        if let Some((at, (before, time))) = pairs.find(|(_, (before, time))| before > time) {
            self.problem(
                &pointer.nth(at + 1),
                format!("{time} after {before}"),
                "times that do not run backwards",
            );
        }
        let mut numbered = times.iter().enumerate();
        if let Some((at, time)) =
            numbered.find(|(_, time)| time.unsigned_abs() > LATEST_US.unsigned_abs())
        {
            self.problem(
                &pointer.nth(at),
                time.to_string(),
                format!("microseconds from -{LATEST_US} to {LATEST_US}"),
            );
        } else if let (Some(first), Some(last)) = (times.first(), times.last())
            && last - first > MOST_RUN_US
        {
            self.problem(pointer, "a run of more than an hour", "at most an hour");
        }
    }
}

/// Whether the samples of a run have no problem of their own; not where it has none.
pub fn has_sound_samples(run: &Run, digits: fn(f64) -> String) -> bool {
    let (dataset, gaps) = (Dataset::default(), Gaps::default());
    let mut checker = Checker {
        dataset: &dataset,
        gaps: &gaps,
        indices: Indices::of(&dataset),
        problems: Problems::default(),
        digits,
    };
    let Some(torque) = &run.torque_dnm else {
        return false;
    };
    checker.samples(&Pointer::Top, run, torque);
    checker.problems.is_empty()
}

fn has_samples(run: &Run) -> bool {
    run.time_us.is_some()
        || run.interval_s.is_some()
        || run.voltage_mv.is_some()
        || run.current_ma.is_some()
        || run.angle_ddeg.is_some()
}
