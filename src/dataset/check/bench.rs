//! The header, editions, rigs, setups and days.

use super::{Checker, List, Range, one_of};
use crate::dataset::types::{Calibration, Joint};
use crate::problem::{Problem, quoted};

impl Checker<'_> {
    pub(super) fn bench(&mut self) {
        let dataset = self.dataset;
        self.number(
            "/match_margin_percent".into(),
            dataset.match_margin_percent,
            Range::Positive,
        );
        self.editions();
        self.rigs();
        self.setups();
        self.days();
    }

    fn editions(&mut self) {
        let mut before = None;
        for (i, edition) in self.dataset.editions.iter().enumerate() {
            let pointer = self.gaps.pointer("editions", i);
            if let Some(before) = before
                && edition.edition <= before
            {
                self.problem(
                    format!("{pointer}/edition"),
                    format!("edition {} after edition {before}", edition.edition),
                    "numbers that rise",
                );
            }
            before = Some(edition.edition);
            self.date(format!("{pointer}/date"), &edition.date);
            for (k, correction) in edition.corrections.iter().enumerate() {
                let pointer = format!("{pointer}/corrections/{k}");
                self.number(
                    format!("{pointer}/torque_factor"),
                    correction.torque_factor,
                    Range::Within(0.5, 2.0),
                );
                for (j, tool) in correction.tools.iter().enumerate() {
                    self.known(format!("{pointer}/tools/{j}"), tool, List::Tools);
                }
                for (j, day) in correction.days.iter().enumerate() {
                    self.known(format!("{pointer}/days/{j}"), day, List::Days);
                }
            }
        }
    }

    fn rigs(&mut self) {
        let (dataset, gaps) = (self.dataset, self.gaps);
        self.unique_ids(
            dataset
                .rigs
                .iter()
                .enumerate()
                .map(|(i, rig)| (gaps.pointer("rigs", i), rig.id.as_str())),
        );
        for (i, rig) in dataset.rigs.iter().enumerate() {
            let pointer = gaps.pointer("rigs", i);
            self.number(
                format!("{pointer}/window_s"),
                rig.window_s,
                Range::Within(0.1, 60.0),
            );
            self.number(
                format!("{pointer}/smooth_s"),
                rig.smooth_s,
                Range::Within(0.0, 1.0),
            );
            self.number(format!("{pointer}/onset_nm"), rig.onset_nm, Range::Positive);
            self.number(
                format!("{pointer}/unit_to_unit_percent"),
                rig.unit_to_unit_percent,
                Range::Within(0.0, 100.0),
            );
            for (k, calibration) in rig.calibrations.iter().enumerate() {
                self.calibration(&format!("{pointer}/calibrations/{k}"), calibration);
            }
            let joints = rig.joints.iter().enumerate();
            self.unique_ids(
                joints.map(|(k, joint)| (format!("{pointer}/joints/{k}"), joint.id.as_str())),
            );
            for (k, joint) in rig.joints.iter().enumerate() {
                self.joint(&format!("{pointer}/joints/{k}"), joint);
            }
        }
    }

    fn calibration(&mut self, pointer: &str, calibration: &Calibration) {
        self.date(format!("{pointer}/date"), &calibration.date);
        let uncertainty = calibration.expanded_uncertainty_percent;
        self.number(
            format!("{pointer}/expanded_uncertainty_percent"),
            uncertainty,
            Range::Within(0.0, 100.0),
        );
        self.number(
            format!("{pointer}/coverage_factor"),
            calibration.coverage_factor,
            Range::Positive,
        );
        self.number(
            format!("{pointer}/nm_per_kn"),
            calibration.nm_per_kn,
            Range::Positive,
        );
    }

    /// A torque–angle line: two series of one length, both strictly rising.
    fn joint(&mut self, pointer: &str, joint: &Joint) {
        let (angle, torque) = match (&joint.angle_deg, &joint.torque_nm) {
            (None, None) => return,
            (Some(angle), Some(torque)) => (angle, torque),
            (Some(_), None) => {
                return self.problem(
                    pointer,
                    "\"angle_deg\" without \"torque_nm\"",
                    "both or neither",
                );
            }
            (None, Some(_)) => {
                return self.problem(
                    pointer,
                    "\"torque_nm\" without \"angle_deg\"",
                    "both or neither",
                );
            }
        };
        if angle.len() != torque.len() || angle.len() < 2 {
            let found = format!("{} angles and {} torques", angle.len(), torque.len());
            return self.problem(pointer, found, "as many of each, at least two");
        }
        for (name, series) in [("angle_deg", angle), ("torque_nm", torque)] {
            let pointer = format!("{pointer}/{name}");
            for (k, &value) in series.iter().enumerate() {
                self.number(format!("{pointer}/{k}"), Some(value), Range::Finite);
            }
            self.strictly_rising(&pointer, series);
        }
    }

    fn setups(&mut self) {
        let (dataset, gaps) = (self.dataset, self.gaps);
        self.unique_ids(
            dataset
                .setups
                .iter()
                .enumerate()
                .map(|(i, setup)| (gaps.pointer("setups", i), setup.id.as_str())),
        );
        for (i, setup) in dataset.setups.iter().enumerate() {
            let pointer = gaps.pointer("setups", i);
            self.number(
                format!("{pointer}/extension_mm"),
                setup.extension_mm,
                Range::NotNegative,
            );
            self.number(
                format!("{pointer}/start_charge_percent"),
                setup.start_charge_percent,
                Range::Within(0.0, 100.0),
            );
            self.number(
                format!("{pointer}/pack_start_c"),
                setup.pack_start_c,
                Range::Within(-100.0, 150.0),
            );
        }
    }

    fn days(&mut self) {
        let (dataset, gaps) = (self.dataset, self.gaps);
        self.unique_ids(
            dataset
                .days
                .iter()
                .enumerate()
                .map(|(i, day)| (gaps.pointer("days", i), day.id.as_str())),
        );
        for (i, day) in dataset.days.iter().enumerate() {
            let pointer = gaps.pointer("days", i);
            self.date(format!("{pointer}/date"), &day.date);
            self.number(
                format!("{pointer}/ambient_c"),
                day.ambient_c,
                Range::Within(-100.0, 100.0),
            );
            if let Some(rig) = &day.rig {
                self.known(format!("{pointer}/rig"), rig, List::Rigs);
            }
        }
    }

    /// Places of the setup and the rig of these identifiers; of the first where none is given.
    pub(super) fn bench_of(
        &self,
        setup: Option<&str>,
        rig: Option<&str>,
    ) -> Option<(usize, usize)> {
        let place = |list, id: Option<&str>| match id {
            Some(id) => self.ids.list(list).get(id).copied(),
            None => Some(0),
        };
        Some((place(List::Setups, setup)?, place(List::Rigs, rig)?))
    }

    /// The joint that a setup names must be there on every rig it was run on.
    pub(super) fn joint_of_setup(&mut self, setup: usize, rig: usize) {
        let dataset = self.dataset;
        let (Some(described), Some(rig)) = (dataset.setups.get(setup), dataset.rigs.get(rig))
        else {
            return;
        };
        let Some(joint) = &described.joint else {
            return;
        };
        if rig.joints.iter().any(|other| &other.id == joint) {
            return;
        }
        let known = one_of(rig.joints.iter().map(|joint| quoted(&joint.id)));
        let problem = Problem::new(
            format!("{}/joint", self.gaps.pointer("setups", setup)),
            format!("the joint {}", quoted(joint)),
            format!(
                "a joint of the rig {}, on which this setup was run",
                quoted(&rig.id)
            ),
        );
        self.problems
            .push(problem.hint(known.unwrap_or_else(|| "see its \"joints\"".into())));
    }
}
