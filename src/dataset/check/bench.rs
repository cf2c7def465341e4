//! The header, editions, rigs, setups and days.

use super::{Checker, List, one_of};
use crate::dataset::indices::ById;
use crate::dataset::limits::{
    self, JOINT_TORQUE_NM, LEAST_JOINT_RISE_DEG, LEAST_JOINT_RISE_NM, MOST_EDITIONS, TORQUE_FACTORS,
};
use crate::dataset::pointer::Pointer;
use crate::dataset::types::{Calibration, Correction, Dataset, Joint};
use crate::problem::{Problem, quoted};
use crate::sort;

impl Checker<'_> {
    pub(super) fn bench(&mut self) {
        let dataset = self.dataset;
        let margin = dataset.match_margin_percent;
        self.field(&Pointer::Top, "match_margin_percent", margin);
        self.texts(
            &Pointer::Top,
            &[
                ("title", Some(&dataset.title)),
                ("summary", dataset.summary.as_deref()),
                ("publisher", dataset.publisher.as_deref()),
                ("contact", dataset.contact.as_deref()),
                ("license", Some(&dataset.license)),
                ("disclosure", Some(&dataset.disclosure)),
            ],
        );
        self.field(&Pointer::Top, "least_trigger_s", dataset.least_trigger_s);
        self.editions();
        self.rigs();
        self.scatter();
        self.setups();
        self.days();
    }

    fn editions(&mut self) {
        let count = self.dataset.editions.len();
        if count > MOST_EDITIONS {
            return self.problem(
                &Pointer::Top.member("editions"),
                format!("{count} editions"),
                format!("at most {MOST_EDITIONS}"),
            );
        }
        let mut factors = DayFactors::new(self.dataset.days.len());
        let mut before = None;
        for (i, edition) in self.dataset.editions.iter().enumerate() {
            let pointer = self.gaps.pointer("editions", i);
            if let Some(before) = before
                && edition.edition <= before
            {
                self.problem(
                    &pointer.member("edition"),
                    format!("edition {} after edition {before}", edition.edition),
                    "numbers that rise",
                );
            }
            before = Some(edition.edition);
            self.date(&pointer.member("date"), &edition.date);
            self.texts(&pointer, &[("note", edition.note.as_deref())]);
            for (k, correction) in edition.corrections.iter().enumerate() {
                let pointer = pointer.element("corrections", k);
                self.texts(&pointer, &[("text", Some(&correction.text))]);
                self.field(&pointer, "torque_factor", correction.torque_factor);
                if let Some(factor) = factors.correct(correction, &self.indices.days) {
                    let (least, most) = TORQUE_FACTORS;
                    let [found, least, most] = [factor, least, most].map(self.digits);
                    self.problem(
                        &pointer.member("torque_factor"),
                        format!("factors of one day that make {found} together"),
                        format!("from {least} to {most}"),
                    );
                }
                for (j, tool) in correction.tools.iter().enumerate() {
                    self.known(&pointer.element("tools", j), tool, List::Tools);
                }
                for (j, day) in correction.days.iter().enumerate() {
                    self.known(&pointer.element("days", j), day, List::Days);
                }
            }
        }
    }

    /// Scatters are worked out anew, so that only their limits matter.
    fn scatter(&mut self) {
        for (i, scatter) in self.dataset.scatter.iter().enumerate() {
            let pointer = self.gaps.pointer("scatter", i);
            let (rig, setup) = (Some(&*scatter.rig), Some(&*scatter.setup));
            self.texts(&pointer, &[("rig", rig), ("setup", setup)]);
            let numbers = [
                ("specimen_ppm", scatter.specimen_ppm),
                ("specimen_cnu", scatter.specimen_cnu),
                ("pack_ppm", scatter.pack_ppm),
                ("pack_cnu", scatter.pack_cnu),
                ("day_ppm", scatter.day_ppm),
                ("day_cnu", scatter.day_cnu),
            ];
            self.fields(
                &pointer,
                &numbers.map(|(name, number)| (name, Some(f64::from(number)))),
            );
        }
    }

    fn rigs(&mut self) {
        let (dataset, gaps) = (self.dataset, self.gaps);
        for (i, rig) in dataset.rigs.iter().enumerate() {
            let pointer = gaps.pointer("rigs", i);
            let is_first = self.indices.rigs.get(&rig.id) == Some(i);
            self.id(&pointer, &rig.id, is_first);
            self.texts(&pointer, &[("name", rig.name.as_deref())]);
            self.fields(
                &pointer,
                &[
                    ("window_s", rig.window_s),
                    ("smooth_s", rig.smooth_s),
                    ("onset_nm", rig.onset_nm),
                    ("unit_to_unit_percent", rig.unit_to_unit_percent),
                    ("pack_to_pack_percent", rig.pack_to_pack_percent),
                    ("day_to_day_percent", rig.day_to_day_percent),
                ],
            );
            for (k, calibration) in rig.calibrations.iter().enumerate() {
                self.calibration(&pointer.element("calibrations", k), calibration);
            }
            let joints = ById::of(&rig.joints, |joint| &joint.id);
            for (k, joint) in rig.joints.iter().enumerate() {
                let pointer = pointer.element("joints", k);
                self.id(&pointer, &joint.id, joints.get(&joint.id) == Some(k));
                self.texts(
                    &pointer,
                    &[
                        ("name", Some(&joint.name)),
                        ("lubricant", joint.lubricant.as_deref()),
                    ],
                );
                self.joint(&pointer, joint);
            }
        }
    }

    fn calibration(&mut self, pointer: &Pointer, calibration: &Calibration) {
        self.date(&pointer.member("date"), &calibration.date);
        self.texts(pointer, &[("note", calibration.note.as_deref())]);
        let uncertainty = calibration.expanded_uncertainty_percent;
        self.fields(
            pointer,
            &[
                ("expanded_uncertainty_percent", uncertainty),
                ("coverage_factor", calibration.coverage_factor),
                ("nm_per_kn", calibration.nm_per_kn),
            ],
        );
    }

    /// A torque–angle line: two series of one length, both rising from zero or above.
    fn joint(&mut self, pointer: &Pointer, joint: &Joint) {
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
        let angles = limits::of("angle_deg").unwrap_or_default();
        for (name, series, limits, least) in [
            ("angle_deg", angle, angles, LEAST_JOINT_RISE_DEG),
            ("torque_nm", torque, JOINT_TORQUE_NM, LEAST_JOINT_RISE_NM),
        ] {
            let pointer = pointer.member(name);
            let unit = limits::unit(name);
            for (k, &value) in series.iter().enumerate() {
                self.number(&pointer.nth(k), value, limits, unit);
            }
            self.rising(&pointer, series, least, unit.unwrap_or_default());
        }
    }

    fn setups(&mut self) {
        let (dataset, gaps) = (self.dataset, self.gaps);
        for (i, setup) in dataset.setups.iter().enumerate() {
            let pointer = gaps.pointer("setups", i);
            let is_first = self.indices.setups.get(&setup.id) == Some(i);
            self.id(&pointer, &setup.id, is_first);
            self.texts(
                &pointer,
                &[
                    ("name", Some(&setup.name)),
                    ("tool_mode", setup.tool_mode.as_deref()),
                    ("joint", setup.joint.as_deref()),
                    ("adapters", setup.adapters.as_deref()),
                ],
            );
            self.fields(
                &pointer,
                &[
                    ("extension_mm", setup.extension_mm),
                    ("start_charge_percent", setup.start_charge_percent),
                    ("pack_start_c", setup.pack_start_c),
                ],
            );
        }
    }

    fn days(&mut self) {
        let (dataset, gaps) = (self.dataset, self.gaps);
        for (i, day) in dataset.days.iter().enumerate() {
            let pointer = gaps.pointer("days", i);
            let is_first = self.indices.days.get(&day.id) == Some(i);
            self.id(&pointer, &day.id, is_first);
            self.date(&pointer.member("date"), &day.date);
            self.field(&pointer, "ambient_c", day.ambient_c);
            self.texts(
                &pointer,
                &[
                    ("operator", day.operator.as_deref()),
                    ("note", day.note.as_deref()),
                ],
            );
            if let Some(rig) = &day.rig {
                self.known(&pointer.member("rig"), rig, List::Rigs);
            }
        }
    }

    /// Indices of the setup and the rig of these identifiers; of the first where none is given.
    pub(super) fn bench_of(
        &self,
        setup: Option<&str>,
        rig: Option<&str>,
    ) -> Option<(usize, usize)> {
        let pointer = |list: List, id: Option<&str>| match id {
            Some(id) => list.indices(&self.indices).get(id),
            None => Some(0),
        };
        Some((pointer(List::Setups, setup)?, pointer(List::Rigs, rig)?))
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
            self.gaps.pointer("setups", setup).member("joint"),
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

/// What corrections multiply the torque of each day by, edition after edition.
pub(super) struct DayFactors {
    /// The factor of each day so far.
    now: Vec<f64>,
    /// The largest that each day has had.
    largest: Vec<f64>,
}

impl DayFactors {
    fn new(days: usize) -> Self {
        Self {
            now: vec![1.0; days],
            largest: vec![1.0; days],
        }
    }

    /// Takes in a correction; the factor of a day that it puts outside the limits.
    fn correct(&mut self, correction: &Correction, days: &ById) -> Option<f64> {
        let factor = correction.torque_factor?;
        let (least, most) = limits::of("torque_factor")?;
        if !(least <= factor && factor <= most) {
            // Refused on its own.
            return None;
        }
        // A day that a correction names twice is corrected once.
        let mut corrected: Vec<usize> = correction
            .days
            .iter()
            .filter_map(|day| days.get(day))
            .collect();
        sort::distinct(&mut corrected);
        let mut beyond = None;
        for day in corrected {
            let (Some(now), Some(largest)) = (self.now.get_mut(day), self.largest.get_mut(day))
            else {
                continue;
            };
            *now *= factor;
            *largest = largest.max(*now);
            let (least, most) = TORQUE_FACTORS;
            if !(least <= *now && *now <= most) {
                beyond = Some(*now);
            }
        }
        beyond
    }
}

/// The largest factor that any edition of `dataset` multiplies each day's torque by, at least 1; by
/// the days' indices.
pub fn largest_factors(dataset: &Dataset, days: &ById) -> Vec<f64> {
    let mut factors = DayFactors::new(dataset.days.len());
    for edition in &dataset.editions {
        for correction in &edition.corrections {
            factors.correct(correction, days);
        }
    }
    factors.largest
}
