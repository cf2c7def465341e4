//! The header, editions, rigs, setups and days.

use super::{Checker, List, Range, one_of};
use crate::dataset::place::Place;
use crate::dataset::places::ById;
use crate::dataset::types::{Calibration, Joint};
use crate::problem::{Problem, quoted};

impl Checker<'_> {
    pub(super) fn bench(&mut self) {
        let dataset = self.dataset;
        self.field(
            &Place::Top,
            "match_margin_percent",
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
            let place = self.gaps.place("editions", i);
            if let Some(before) = before
                && edition.edition <= before
            {
                self.problem(
                    &place.member("edition"),
                    format!("edition {} after edition {before}", edition.edition),
                    "numbers that rise",
                );
            }
            before = Some(edition.edition);
            self.date(&place.member("date"), &edition.date);
            for (k, correction) in edition.corrections.iter().enumerate() {
                let place = place.element("corrections", k);
                self.field(
                    &place,
                    "torque_factor",
                    correction.torque_factor,
                    Range::Within(0.5, 2.0),
                );
                for (j, tool) in correction.tools.iter().enumerate() {
                    self.known(&place.element("tools", j), tool, List::Tools);
                }
                for (j, day) in correction.days.iter().enumerate() {
                    self.known(&place.element("days", j), day, List::Days);
                }
            }
        }
    }

    fn rigs(&mut self) {
        let (dataset, gaps) = (self.dataset, self.gaps);
        for (i, rig) in dataset.rigs.iter().enumerate() {
            let place = gaps.place("rigs", i);
            let is_first = self.places.rigs.get(&rig.id) == Some(i);
            self.id(&place, &rig.id, is_first);
            self.field(&place, "window_s", rig.window_s, Range::Within(0.1, 60.0));
            self.field(&place, "smooth_s", rig.smooth_s, Range::Within(0.0, 1.0));
            self.field(&place, "onset_nm", rig.onset_nm, Range::Positive);
            self.field(
                &place,
                "unit_to_unit_percent",
                rig.unit_to_unit_percent,
                Range::Within(0.0, 100.0),
            );
            for (k, calibration) in rig.calibrations.iter().enumerate() {
                self.calibration(&place.element("calibrations", k), calibration);
            }
            let joints = ById::of(&rig.joints, |joint| &joint.id);
            for (k, joint) in rig.joints.iter().enumerate() {
                let place = place.element("joints", k);
                self.id(&place, &joint.id, joints.get(&joint.id) == Some(k));
                self.joint(&place, joint);
            }
        }
    }

    fn calibration(&mut self, place: &Place, calibration: &Calibration) {
        self.date(&place.member("date"), &calibration.date);
        let uncertainty = calibration.expanded_uncertainty_percent;
        self.field(
            place,
            "expanded_uncertainty_percent",
            uncertainty,
            Range::Within(0.0, 100.0),
        );
        self.field(
            place,
            "coverage_factor",
            calibration.coverage_factor,
            Range::Positive,
        );
        self.field(place, "nm_per_kn", calibration.nm_per_kn, Range::Positive);
    }

    /// A torque–angle line: two series of one length, both strictly rising.
    fn joint(&mut self, place: &Place, joint: &Joint) {
        let (angle, torque) = match (&joint.angle_deg, &joint.torque_nm) {
            (None, None) => return,
            (Some(angle), Some(torque)) => (angle, torque),
            (Some(_), None) => {
                return self.problem(
                    place,
                    "\"angle_deg\" without \"torque_nm\"",
                    "both or neither",
                );
            }
            (None, Some(_)) => {
                return self.problem(
                    place,
                    "\"torque_nm\" without \"angle_deg\"",
                    "both or neither",
                );
            }
        };
        if angle.len() != torque.len() || angle.len() < 2 {
            let found = format!("{} angles and {} torques", angle.len(), torque.len());
            return self.problem(place, found, "as many of each, at least two");
        }
        for (name, series) in [("angle_deg", angle), ("torque_nm", torque)] {
            let place = place.member(name);
            for (k, &value) in series.iter().enumerate() {
                self.number(&place.nth(k), Some(value), Range::Finite);
            }
            self.strictly_rising(&place, series);
        }
    }

    fn setups(&mut self) {
        let (dataset, gaps) = (self.dataset, self.gaps);
        for (i, setup) in dataset.setups.iter().enumerate() {
            let place = gaps.place("setups", i);
            let is_first = self.places.setups.get(&setup.id) == Some(i);
            self.id(&place, &setup.id, is_first);
            self.field(
                &place,
                "extension_mm",
                setup.extension_mm,
                Range::NotNegative,
            );
            self.field(
                &place,
                "start_charge_percent",
                setup.start_charge_percent,
                Range::Within(0.0, 100.0),
            );
            self.field(
                &place,
                "pack_start_c",
                setup.pack_start_c,
                Range::Within(-100.0, 150.0),
            );
        }
    }

    fn days(&mut self) {
        let (dataset, gaps) = (self.dataset, self.gaps);
        for (i, day) in dataset.days.iter().enumerate() {
            let place = gaps.place("days", i);
            let is_first = self.places.days.get(&day.id) == Some(i);
            self.id(&place, &day.id, is_first);
            self.date(&place.member("date"), &day.date);
            self.field(
                &place,
                "ambient_c",
                day.ambient_c,
                Range::Within(-100.0, 100.0),
            );
            if let Some(rig) = &day.rig {
                self.known(&place.member("rig"), rig, List::Rigs);
            }
        }
    }

    /// Places of the setup and the rig of these identifiers; of the first where none is given.
    pub(super) fn bench_of(
        &self,
        setup: Option<&str>,
        rig: Option<&str>,
    ) -> Option<(usize, usize)> {
        let place = |list: List, id: Option<&str>| match id {
            Some(id) => list.places(&self.places).get(id),
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
            self.gaps.place("setups", setup).member("joint"),
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
