//! Runs: what they refer to, when they count, and their series.

use super::{Checker, List, Range};
use crate::dataset::place::Place;
use crate::dataset::types::{BuildUp, Day, Run};
use crate::dataset::{MOST_COMBINATIONS, MOST_RUN_US, MOST_SAMPLES, MOST_TORQUE_DNM};
use crate::problem::quoted;
use crate::sorted;

/// The largest time stamp in microseconds, either way: more than thirty years.
const LATEST_US: u64 = 1_000_000_000_000_000;

impl<'a> Checker<'a> {
    pub(super) fn runs(&mut self) {
        let dataset = self.dataset;
        let mut combinations = Vec::new();
        for (i, run) in dataset.runs.iter().enumerate() {
            let place = self.gaps.place("runs", i);
            self.references(&place, run);
            self.counting(&place, run);
            self.field(&place, "at_s", run.at_s, Range::NotNegative);
            match (&run.buildup, &run.torque_dnm) {
                (Some(_), None) if has_samples(run) => {
                    self.problem(&place, "knots beside series of samples", "one of the two")
                }
                (Some(_), Some(_)) => self.problem(
                    &place,
                    "both \"torque_dnm\" and \"buildup\"",
                    "one of the two",
                ),
                (Some(buildup), None) => self.buildup(&place.member("buildup"), buildup),
                (None, Some(torque)) => self.samples(&place, run, torque),
                (None, None) => self.problem(
                    &place,
                    "a run without a series",
                    "\"torque_dnm\" or \"buildup\"",
                ),
            }
            let Some(day) = self.day_of(run) else {
                continue;
            };
            let bench = self.bench_of(run.setup.as_deref(), day.rig.as_deref());
            combinations.push((bench, run.tool.as_str(), run.pack.as_str()));
        }
        sorted::distinct(&mut combinations);
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
                &Place::Top.member("runs"),
                found,
                format!("at most {MOST_COMBINATIONS}"),
            );
        }
    }

    fn references(&mut self, place: &Place, run: &Run) {
        self.known(&place.member("tool"), &run.tool, List::Tools);
        self.known(&place.member("pack"), &run.pack, List::Packs);
        self.known(&place.member("day"), &run.day, List::Days);
        if let Some(setup) = &run.setup {
            self.known(&place.member("setup"), setup, List::Setups);
        }
        let tool = self.places.tools.get(run.tool.as_str());
        let pack = self.places.packs.get(run.pack.as_str());
        if let Some(tool) = tool.and_then(|place| self.dataset.tools.get(place))
            && let Some(pack) = pack.and_then(|place| self.dataset.packs.get(place))
            && tool.pack_mount != pack.pack_mount
        {
            let found = format!("a pack for the mount {}", quoted(&pack.pack_mount));
            self.problem(
                &place.member("pack"),
                found,
                format!(
                    "one for the mount of its tool, {}",
                    quoted(&tool.pack_mount)
                ),
            );
        }
    }

    fn day_of(&self, run: &Run) -> Option<&'a Day> {
        let place = self.places.days.get(run.day.as_str())?;
        self.dataset.days.get(place)
    }

    /// From which edition on a run counts, and from which it no longer does.
    fn counting(&mut self, place: &Place, run: &Run) {
        if let Some(edition) = run.edition {
            self.known_edition(&place.member("edition"), edition);
        }
        let Some(exclusion) = &run.excluded else {
            return;
        };
        let place = &place.member("excluded");
        match (exclusion.edition, run.edition) {
            (None, None) => {}
            (None, Some(first)) => self.problem(
                place,
                "no \"edition\"",
                format!("the edition from which on the run does not count, {first} or later"),
            ),
            (Some(since), Some(first)) if since < first => self.problem(
                &place.member("edition"),
                format!("edition {since}, before the run's own"),
                format!("edition {first} or a later one"),
            ),
            (Some(since), _) => self.known_edition(&place.member("edition"), since),
        }
    }

    fn samples(&mut self, place: &Place, run: &Run, torque: &[i32]) {
        let count = torque.len();
        if count == 0 {
            return self.problem(
                &place.member("torque_dnm"),
                "an empty series",
                "at least one sample",
            );
        }
        if count > MOST_SAMPLES {
            return self.problem(
                &place.member("torque_dnm"),
                format!("{count} samples"),
                format!("at most {MOST_SAMPLES}"),
            );
        }
        self.torques(&place.member("torque_dnm"), torque);
        for (name, series) in [
            ("voltage_mv", &run.voltage_mv),
            ("current_ma", &run.current_ma),
            ("angle_ddeg", &run.angle_ddeg),
        ] {
            if let Some(series) = series
                && series.len() != count
            {
                self.problem(
                    &place.member(name),
                    format!("{} samples", series.len()),
                    format!("{count}, as many as in \"torque_dnm\""),
                );
            }
        }
        self.times(place, run, count);
    }

    fn torques(&mut self, place: &Place, torque: &[i32]) {
        let mut numbered = torque.iter().enumerate();
        if let Some((at, torque)) =
            numbered.find(|(_, torque)| torque.unsigned_abs() > MOST_TORQUE_DNM)
        {
            self.problem(
                &place.nth(at),
                torque.to_string(),
                format!("from -{MOST_TORQUE_DNM} to {MOST_TORQUE_DNM} tenths of a N·m"),
            );
        }
    }

    fn times(&mut self, place: &Place, run: &Run, count: usize) {
        self.field(place, "start_s", run.start_s, Range::Within(-1e6, 1e6));
        match (run.interval_s, &run.time_us) {
            (Some(_), Some(_)) => self.problem(
                place,
                "both \"interval_s\" and \"time_us\"",
                "one of the two",
            ),
            (None, None) => self.problem(place, "no sample times", "\"interval_s\" or \"time_us\""),
            (Some(interval), None) => {
                self.field(
                    place,
                    "interval_s",
                    Some(interval),
                    Range::Within(1e-6, 60.0),
                );
                let length_us = interval * 1e6 * count as f64;
                if length_us > MOST_RUN_US as f64 && interval <= 60.0 {
                    self.problem(place, "a run of more than an hour", "at most an hour");
                }
            }
            (None, Some(times)) if times.len() != count => {
                self.problem(
                    &place.member("time_us"),
                    format!("{} times", times.len()),
                    format!("{count}, as many as in \"torque_dnm\""),
                );
            }
            (None, Some(times)) => {
                self.sample_times(&place.member("time_us"), times);
            }
        }
    }

    /// Sample times in microseconds: they do not run backwards and span no more than an hour.
    fn sample_times(&mut self, place: &Place, times: &[i64]) {
        let mut pairs = times.iter().zip(times.iter().skip(1)).enumerate();
        if let Some((at, (before, time))) = pairs.find(|(_, (before, time))| before > time) {
            self.problem(
                &place.nth(at + 1),
                format!("{time} after {before}"),
                "times that do not run backwards",
            );
        }
        let mut numbered = times.iter().enumerate();
        if let Some((at, time)) = numbered.find(|(_, time)| time.unsigned_abs() > LATEST_US) {
            self.problem(
                &place.nth(at),
                time.to_string(),
                format!("microseconds from -{LATEST_US} to {LATEST_US}"),
            );
        } else if let (Some(first), Some(last)) = (times.first(), times.last())
            && last - first > MOST_RUN_US
        {
            self.problem(place, "a run of more than an hour", "at most an hour");
        }
    }

    fn buildup(&mut self, place: &Place, buildup: &BuildUp) {
        let count = buildup.step.len();
        if count == 0 || buildup.rise_dnm.len() != count {
            let found = format!("{count} steps and {} rises", buildup.rise_dnm.len());
            return self.problem(place, found, "as many of each, at least one");
        }
        if count > MOST_SAMPLES {
            return self.problem(
                &place.member("step"),
                format!("{count} knots"),
                format!("at most {MOST_SAMPLES}"),
            );
        }
        if buildup.tick_us == 0 {
            self.problem(&place.member("tick_us"), "0", "at least 1");
        }
        for (k, &step) in buildup.step.iter().enumerate() {
            if (k == 0) != (step == 0) {
                self.problem(
                    &place.element("step", k),
                    step.to_string(),
                    if k == 0 {
                        "0: the first knot lies at \"first_us\""
                    } else {
                        "1 or more: each knot lies after the one before"
                    },
                );
            }
        }
        let ticks: u64 = buildup.step.iter().map(|&step| u64::from(step)).sum();
        let length_us = ticks
            .saturating_mul(buildup.tick_us.into())
            .saturating_add(buildup.first_us.into());
        if length_us > MOST_RUN_US.unsigned_abs() {
            self.problem(
                &place.member("step"),
                "a run of more than an hour",
                "at most an hour",
            );
        }
        let mut rises = buildup.rise_dnm.iter().enumerate().skip(1);
        if let Some((at, rise)) = rises.find(|&(_, &rise)| rise < 0) {
            self.problem(
                &place.element("rise_dnm", at),
                rise.to_string(),
                "0 or more: a build-up curve does not fall",
            );
        }
        if let Some(&first) = buildup.rise_dnm.first()
            && buildup.onset_dnm > first
        {
            self.problem(
                &place.member("onset_dnm"),
                buildup.onset_dnm.to_string(),
                format!("at most {first}, the first of \"rise_dnm\""),
            );
        }
        self.torques(&place.member("rise_dnm"), &buildup.rise_dnm);
        let peak: i64 = buildup.rise_dnm.iter().map(|&rise| i64::from(rise)).sum();
        if peak > i64::from(MOST_TORQUE_DNM) {
            self.problem(
                &place.member("rise_dnm"),
                format!("a sum of {peak}"),
                format!("at most {MOST_TORQUE_DNM} tenths of a N·m"),
            );
        } else if peak <= 0 {
            self.problem(
                &place.member("rise_dnm"),
                format!("a sum of {peak}"),
                "a sum above 0, the peak torque",
            );
        }
        if let Some(turn) = &buildup.turn_ddeg {
            if turn.len() != count {
                self.problem(
                    &place.member("turn_ddeg"),
                    format!("{} turns", turn.len()),
                    format!("{count}, one for each knot"),
                );
            }
            let mut numbered = turn.iter().enumerate();
            if let Some((at, turn)) = numbered.find(|&(_, &turn)| turn < 0) {
                self.problem(
                    &place.element("turn_ddeg", at),
                    turn.to_string(),
                    "0 or more: the angle's running maximum does not fall",
                );
            }
        }
    }
}

fn has_samples(run: &Run) -> bool {
    run.time_us.is_some()
        || run.interval_s.is_some()
        || run.voltage_mv.is_some()
        || run.current_ma.is_some()
        || run.angle_ddeg.is_some()
}
