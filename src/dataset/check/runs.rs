//! Runs: what they refer to, when they count, and their series.

use super::{Checker, Range};
use crate::dataset::types::{BuildUp, Run};
use crate::dataset::{MOST_COMBINATIONS, MOST_RUN_US, MOST_SAMPLES, MOST_TORQUE_DNM};
use crate::problem::quoted;
use std::collections::BTreeSet;

impl Checker<'_> {
    pub(super) fn runs(&mut self) {
        let dataset = self.dataset;
        let mut combinations = BTreeSet::new();
        for (i, run) in dataset.runs.iter().enumerate() {
            let pointer = self.gaps.pointer("runs", i);
            self.references(&pointer, run);
            self.counting(&pointer, run);
            self.number(format!("{pointer}/at_s"), run.at_s, Range::NotNegative);
            match (&run.buildup, &run.torque_dnm) {
                (Some(_), None) if has_samples(run) => {
                    self.problem(&pointer, "knots beside sample series", "one of the two")
                }
                (Some(_), Some(_)) => {
                    self.problem(&pointer, "both raw samples and knots", "one of the two")
                }
                (Some(buildup), None) => self.buildup(&format!("{pointer}/buildup"), buildup),
                (None, Some(torque)) => self.samples(&pointer, run, torque),
                (None, None) => {
                    self.problem(&pointer, "no series", "\"torque_dnm\" or \"buildup\"")
                }
            }
            let rig = dataset
                .days
                .iter()
                .find(|day| day.id == run.day)
                .and_then(|day| day.rig.as_deref());
            combinations.insert((
                run.tool.as_str(),
                run.pack.as_str(),
                run.setup.as_deref(),
                rig,
            ));
        }
        if combinations.len() > MOST_COMBINATIONS {
            let found = format!(
                "{} combinations of tool, pack, setup and rig",
                combinations.len()
            );
            self.problem("/runs", found, format!("at most {MOST_COMBINATIONS}"));
        }
    }

    fn references(&mut self, pointer: &str, run: &Run) {
        let known = self.ids.tools.contains(run.tool.as_str());
        self.known(format!("{pointer}/tool"), &run.tool, "tools", known);
        let known = self.ids.packs.contains(run.pack.as_str());
        self.known(format!("{pointer}/pack"), &run.pack, "packs", known);
        let known = self.ids.days.contains(run.day.as_str());
        self.known(format!("{pointer}/day"), &run.day, "days", known);
        if let Some(setup) = &run.setup {
            let known = self.ids.setups.contains(setup.as_str());
            self.known(format!("{pointer}/setup"), setup, "setups", known);
        }
        let tool = self.dataset.tools.iter().find(|tool| tool.id == run.tool);
        let pack = self.dataset.packs.iter().find(|pack| pack.id == run.pack);
        if let (Some(tool), Some(pack)) = (tool, pack)
            && tool.pack_mount != pack.pack_mount
        {
            let found = format!("a pack with the mount {}", quoted(&pack.pack_mount));
            self.problem(
                format!("{pointer}/pack"),
                found,
                format!("the mount of its tool, {}", quoted(&tool.pack_mount)),
            );
        }
        self.joint_of_run(&format!("{pointer}/setup"), run.setup.as_deref(), &run.day);
    }

    /// From which edition on a run counts, and from which it no longer does.
    fn counting(&mut self, pointer: &str, run: &Run) {
        let declared = |checker: &Self, edition| checker.ids.editions.contains(&edition);
        if let Some(edition) = run.edition
            && !declared(self, edition)
            && self.gaps.whole("editions")
        {
            self.problem(
                format!("{pointer}/edition"),
                format!("the edition {edition}"),
                "an edition of this file",
            );
        }
        let Some(exclusion) = &run.excluded else {
            return;
        };
        let pointer = format!("{pointer}/excluded");
        match (exclusion.edition, run.edition) {
            (None, Some(_)) => self.problem(
                pointer,
                "no \"edition\"",
                "the edition from which the run is set aside",
            ),
            (Some(since), Some(first)) if since < first => {
                let found = format!("edition {since}");
                self.problem(
                    format!("{pointer}/edition"),
                    found,
                    format!("the run's own edition {first} or a later one"),
                );
            }
            (Some(since), _) if !declared(self, since) && self.gaps.whole("editions") => {
                self.problem(
                    format!("{pointer}/edition"),
                    format!("the edition {since}"),
                    "an edition of this file",
                );
            }
            _ => {}
        }
    }

    fn samples(&mut self, pointer: &str, run: &Run, torque: &[i32]) {
        let count = torque.len();
        if count == 0 {
            return self.problem(
                format!("{pointer}/torque_dnm"),
                "an empty series",
                "samples",
            );
        }
        if count > MOST_SAMPLES {
            return self.problem(
                format!("{pointer}/torque_dnm"),
                format!("{count} samples"),
                format!("at most {MOST_SAMPLES}"),
            );
        }
        self.torques(&format!("{pointer}/torque_dnm"), torque);
        for (name, series) in [
            ("voltage_mv", &run.voltage_mv),
            ("current_ma", &run.current_ma),
            ("angle_ddeg", &run.angle_ddeg),
        ] {
            if let Some(series) = series
                && series.len() != count
            {
                self.problem(
                    format!("{pointer}/{name}"),
                    format!("{} samples", series.len()),
                    format!("{count}, as many as of torque"),
                );
            }
        }
        self.times(pointer, run, count);
    }

    fn torques(&mut self, pointer: &str, torque: &[i32]) {
        let beyond = torque
            .iter()
            .position(|torque| torque.unsigned_abs() > MOST_TORQUE_DNM);
        if let Some(place) = beyond {
            self.problem(
                format!("{pointer}/{place}"),
                "a torque beyond all limits",
                format!("at most {MOST_TORQUE_DNM} tenths of a N·m"),
            );
        }
    }

    fn times(&mut self, pointer: &str, run: &Run, count: usize) {
        self.number(
            format!("{pointer}/start_s"),
            run.start_s,
            Range::Within(-1e6, 1e6),
        );
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
                self.number(
                    format!("{pointer}/interval_s"),
                    Some(interval),
                    Range::Within(1e-6, 60.0),
                );
                let length_us = interval * 1e6 * count as f64;
                if length_us > MOST_RUN_US as f64 && interval <= 60.0 {
                    self.problem(pointer, "a run of more than an hour", "at most an hour");
                }
            }
            (None, Some(times)) if times.len() != count => {
                self.problem(
                    format!("{pointer}/time_us"),
                    format!("{} times", times.len()),
                    format!("{count}, as many as of torque"),
                );
            }
            (None, Some(times)) => {
                if let Some(place) = times
                    .windows(2)
                    .position(|pair| matches!(pair, [a, b] if a > b))
                {
                    let place = place + 1;
                    self.problem(
                        format!("{pointer}/time_us/{place}"),
                        "a time before the one ahead of it",
                        "times that do not run backwards",
                    );
                }
                let span = times
                    .first()
                    .zip(times.last())
                    .map_or(0, |(first, last)| last.saturating_sub(*first));
                if span > MOST_RUN_US || times.iter().any(|time| time.unsigned_abs() > 1 << 50) {
                    self.problem(
                        format!("{pointer}/time_us"),
                        "a run of more than an hour",
                        "at most an hour",
                    );
                }
            }
        }
    }

    fn buildup(&mut self, pointer: &str, buildup: &BuildUp) {
        let count = buildup.step.len();
        if count == 0 || buildup.rise_dnm.len() != count {
            let found = format!("{count} steps and {} rises", buildup.rise_dnm.len());
            return self.problem(pointer, found, "as many of each, at least one");
        }
        if count > MOST_SAMPLES {
            return self.problem(
                format!("{pointer}/step"),
                format!("{count} knots"),
                format!("at most {MOST_SAMPLES}"),
            );
        }
        if buildup.tick_us == 0 {
            self.problem(format!("{pointer}/tick_us"), "0", "at least 1");
        }
        for (k, &step) in buildup.step.iter().enumerate() {
            if (k == 0) != (step == 0) {
                self.problem(
                    format!("{pointer}/step/{k}"),
                    step.to_string(),
                    if k == 0 { "0" } else { "at least 1" },
                );
            }
        }
        let ticks: u64 = buildup.step.iter().map(|&step| u64::from(step)).sum();
        let length_us = ticks
            .saturating_mul(buildup.tick_us.into())
            .saturating_add(buildup.first_us.into());
        if length_us > MOST_RUN_US.unsigned_abs() {
            self.problem(
                format!("{pointer}/step"),
                "a run of more than an hour",
                "at most an hour",
            );
        }
        if let Some(place) = buildup.rise_dnm.iter().skip(1).position(|&rise| rise < 0) {
            self.problem(
                format!("{pointer}/rise_dnm/{}", place + 1),
                "a falling knot",
                "a rise not below 0",
            );
        }
        if let Some(&first) = buildup.rise_dnm.first()
            && buildup.onset_dnm > first
        {
            self.problem(
                format!("{pointer}/onset_dnm"),
                buildup.onset_dnm.to_string(),
                format!("at most the first knot, {first}"),
            );
        }
        self.torques(&format!("{pointer}/rise_dnm"), &buildup.rise_dnm);
        let peak: i64 = buildup.rise_dnm.iter().map(|&rise| i64::from(rise)).sum();
        if peak > i64::from(MOST_TORQUE_DNM) {
            self.problem(
                format!("{pointer}/rise_dnm"),
                format!("a sum of {peak}"),
                format!("at most {MOST_TORQUE_DNM} tenths of a N·m"),
            );
        } else if peak <= 0 {
            self.problem(
                format!("{pointer}/rise_dnm"),
                format!("a sum of {peak}"),
                "a peak above 0",
            );
        }
        if let Some(turn) = &buildup.turn_ddeg {
            if turn.len() != count {
                self.problem(
                    format!("{pointer}/turn_ddeg"),
                    format!("{} turns", turn.len()),
                    format!("{count}, one for each knot"),
                );
            }
            if let Some(place) = turn.iter().position(|&turn| turn < 0) {
                self.problem(
                    format!("{pointer}/turn_ddeg/{place}"),
                    "a turn below 0",
                    "a turn not below 0",
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
