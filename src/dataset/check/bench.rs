//! The header, editions, rigs, setups and days.

use super::{Checker, Range};
use crate::dataset::types::{Calibration, Joint};
use crate::problem::quoted;

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
            if before.is_some_and(|before| edition.edition <= before) {
                self.problem(
                    format!("{pointer}/edition"),
                    edition.edition.to_string(),
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
                    let known = self.ids.tools.contains(tool.as_str());
                    self.known(format!("{pointer}/tools/{j}"), tool, "tools", known);
                }
                for (j, day) in correction.days.iter().enumerate() {
                    let known = self.ids.days.contains(day.as_str());
                    self.known(format!("{pointer}/days/{j}"), day, "days", known);
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
                    "an angle without a torque",
                    "both \"angle_deg\" and \"torque_nm\"",
                );
            }
            (None, Some(_)) => {
                return self.problem(
                    pointer,
                    "a torque without an angle",
                    "both \"angle_deg\" and \"torque_nm\"",
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
                let known = self.ids.rigs.contains(rig.as_str());
                self.known(format!("{pointer}/rig"), rig, "rigs", known);
            }
        }
    }

    /// The joint a setup names must be there on the rig of every run made in it.
    pub(super) fn joint_of_run(&mut self, pointer: &str, setup: Option<&str>, day: &str) {
        let dataset = self.dataset;
        let setup = match setup {
            Some(id) => dataset.setups.iter().find(|setup| setup.id == id),
            None => dataset.setups.first(),
        };
        let Some(day) = dataset.days.iter().find(|other| other.id == day) else {
            return;
        };
        let rig = match &day.rig {
            Some(id) => dataset.rigs.iter().find(|rig| &rig.id == id),
            None => dataset.rigs.first(),
        };
        let (Some(joint), Some(rig)) = (setup.and_then(|setup| setup.joint.as_ref()), rig) else {
            return;
        };
        if !rig.joints.iter().any(|other| &other.id == joint) {
            let found = format!("a setup on the joint {}", quoted(joint));
            self.problem(
                pointer,
                found,
                format!("a joint of the rig {}", quoted(&rig.id)),
            );
        }
    }
}
