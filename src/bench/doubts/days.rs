//! Doubts about days, editions, calibrations and corrections.

use super::doubt::{Doubt, Subject};
use super::evidence::Evidence;
use super::stamps::day_number;
use super::statistics::{factor, percent};
use crate::dataset::types::{Calibration, Day, Rig};
use crate::history::editions::before_their_runs;
use std::collections::BTreeMap;

/// Successive calibrations of a rig that differ by more than this, as a logarithm. With expanded
/// uncertainties of 2 % (k = 2), 4.2 % is three standard deviations of their difference.
const CALIBRATION_JUMP: f64 = 0.042;

/// A calibration within so many days after the last runs closes the season.
const CLOSING_DAYS: i64 = 60;

/// Every such doubt.
pub fn doubts(evidence: &Evidence) -> Vec<Doubt> {
    let mut doubts = editions(evidence);
    doubts.extend(day_names(evidence));
    for (index, rig) in evidence.dataset.rigs.iter().enumerate() {
        doubts.extend(calibrations(evidence, index, rig));
    }
    doubts.extend(corrections(evidence));
    doubts
}

pub(super) fn about_day(evidence: &Evidence, name: &'static str, day: &str) -> Doubt {
    Doubt::new(name, Subject::Day, day).at(evidence.day_pointer(day))
}

fn editions(evidence: &Evidence) -> Vec<Doubt> {
    let found = before_their_runs(evidence.dataset);
    let doubt = |(index, day): (usize, &Day)| {
        let edition = evidence.dataset.editions.get(index)?;
        let about = format!("edition {}", edition.edition);
        let doubt = Doubt::new("edition-before-runs", Subject::File, about)
            .at(format!("/editions/{index}/date"));
        let bytes = format!("{} {} {}", edition.edition, edition.date, day.date);
        Some(
            doubt
                .says(
                    format!(
                        "Edition {} is dated {}, and has runs of {}",
                        edition.edition, edition.date, day.date
                    ),
                    "an edition not older than its runs; `page` refuses it",
                    "the date of the edition or of the day is wrong",
                )
                .of_bytes(evidence.fingerprint([], &[&bytes])),
        )
    };
    found.into_iter().filter_map(doubt).collect()
}

/// Days whose identifier is another date than theirs.
fn day_names(evidence: &Evidence) -> Vec<Doubt> {
    let days = evidence.dataset.days.iter();
    let differs = days.filter(|day| day.id != day.date && super::stamps::is_date(&day.id));
    differs
        .map(|day| {
            about_day(evidence, "day-name", &day.id)
                .says(
                    format!("The day {} has the date {}", day.id, day.date),
                    "a day that is named by a date is that date",
                    "day and month of the date are swapped, or one digit is wrong",
                )
                .of_bytes(evidence.fingerprint([], &[&evidence.day_cells(&day.id)]))
        })
        .collect()
}

/// The days with runs on a rig, by date.
pub(super) fn days_of<'a>(evidence: &'a Evidence, rig: &Rig) -> Vec<&'a Day> {
    let runs = evidence.runs.iter();
    let runs = runs.filter(|run| run.rig.is_some_and(|own| own.id == rig.id));
    let mut days: Vec<&Day> = runs.filter_map(|run| run.day).collect();
    days.sort_by(|a, b| (&a.date, &a.id).cmp(&(&b.date, &b.id)));
    days.dedup_by(|a, b| a.id == b.id);
    days
}

fn calibrations(evidence: &Evidence, index: usize, rig: &Rig) -> Vec<Doubt> {
    let days = days_of(evidence, rig);
    let mut doubts = before_the_first(evidence, rig, &days);
    let last = days.last().map(|day| day.date.as_str());
    let mut before: Option<&Calibration> = None;
    for (at, calibration) in rig.calibrations.iter().enumerate() {
        let listed = Listed {
            rig,
            calibration,
            about: format!("{} {}", rig.id, calibration.date),
            pointer: format!("/rigs/{index}/calibrations/{at}"),
            bytes: format!("{} {:?}", calibration.date, calibration.nm_per_kn),
        };
        doubts.extend(listed.unused(evidence, last));
        doubts.extend(before.and_then(|before| listed.jump(evidence, before)));
        before = Some(calibration);
    }
    doubts
}

/// Days with runs before the first calibration of their rig.
fn before_the_first(evidence: &Evidence, rig: &Rig, days: &[&Day]) -> Vec<Doubt> {
    let first = rig.calibrations.iter().map(|one| one.date.as_str()).min();
    let Some(first) = first else {
        return Vec::new();
    };
    let early = days.iter().filter(|day| day.date.as_str() < first);
    early
        .map(|day| {
            let bytes = evidence.day_cells(&day.id);
            about_day(evidence, "before-calibration", &day.id)
                .says(
                    format!(
                        "{} lies before the first calibration of {}, {first}",
                        day.date, rig.id
                    ),
                    "a calibration in force on every day",
                    "the calibration before is not listed, or one of the dates is wrong",
                )
                .of_bytes(evidence.fingerprint([], &[&bytes, first]))
        })
        .collect()
}

/// A calibration in the list of its rig.
struct Listed<'a> {
    rig: &'a Rig,
    calibration: &'a Calibration,
    /// What a doubt is about.
    about: String,
    /// JSON pointer to it.
    pointer: String,
    /// What an answer to a doubt holds for.
    bytes: String,
}

impl Listed<'_> {
    /// That it is dated long after the last day with runs.
    fn unused(&self, evidence: &Evidence, last: Option<&str>) -> Option<Doubt> {
        let last = last?;
        if day_number(&self.calibration.date)? <= day_number(last)? + CLOSING_DAYS {
            return None;
        }
        Some(
            Doubt::new("calibration-unused", Subject::File, &self.about)
                .at(format!("{}/date", self.pointer))
                .says(
                    format!(
                        "The calibration of {} on {} is in force on no day with runs; the last is {}",
                        self.rig.id,
                        self.calibration.date,
                        last
                    ),
                    "a calibration before the runs that it is for",
                    "its date is wrong, such as a year late, and an older calibration stays in force",
                )
                .of_bytes(evidence.fingerprint([], &[&self.bytes])),
        )
    }

    /// That it differs much from the one before.
    fn jump(&self, evidence: &Evidence, before: &Calibration) -> Option<Doubt> {
        let (old, new) = (before.nm_per_kn?, self.calibration.nm_per_kn?);
        if !(old > 0.0 && new > 0.0) {
            return None;
        }
        let jump = libm::log(new / old);
        (jump.abs() > CALIBRATION_JUMP).then(|| {
            Doubt::new("calibration-jump", Subject::File, &self.about)
                .at(format!("{}/nm_per_kn", self.pointer))
                .says(
                    format!(
                        "nm_per_kn of {} is {new} from {} on, {} times {old} before",
                        self.rig.id,
                        self.calibration.date,
                        factor(jump)
                    ),
                    format!(
                        "calibrations that differ by less than {}",
                        percent(CALIBRATION_JUMP)
                    ),
                    "digits of nm_per_kn are swapped, or lubricant or bolt were changed",
                )
                .of_bytes(evidence.fingerprint([], &[&self.bytes, &old.to_string()]))
        })
    }
}

/// Corrections of one edition that multiply a day by the same factor twice.
fn corrections(evidence: &Evidence) -> Vec<Doubt> {
    let mut doubts = Vec::new();
    let mut seen: BTreeMap<(&str, u64), u32> = BTreeMap::new();
    for (index, edition) in evidence.dataset.editions.iter().enumerate() {
        for (at, correction) in edition.corrections.iter().enumerate() {
            let Some(torque_factor) = correction.torque_factor else {
                continue;
            };
            for day in &correction.days {
                let key = (day.as_str(), torque_factor.to_bits());
                if let Some(other) = seen.insert(key, edition.edition) {
                    let bytes = format!("{day} {torque_factor}");
                    doubts.push(
                        Doubt::new("correction-twice", Subject::Day, day)
                            .at(format!("/editions/{index}/corrections/{at}"))
                            .says(
                                format!(
                                    "Two corrections multiply the runs of {day} by {torque_factor}, of edition {other} and of edition {}",
                                    edition.edition
                                ),
                                "one correction for one cause",
                                "the same factor is applied twice",
                            )
                            .of_bytes(evidence.fingerprint([], &[&bytes])),
                    );
                }
            }
        }
    }
    doubts
}

#[cfg(test)]
mod tests {
    use super::super::tests::Case;
    use crate::dataset::types::{Calibration, Correction};

    #[test]
    fn dates_that_contradict_each_other_are_told() {
        let mut case = Case::default();
        case.editions[0].date = "2026-03-02".into();
        assert_eq!(case.names(), ["edition-before-runs"]);
        let calibration = |date: &str, nm_per_kn| Calibration {
            date: date.into(),
            nm_per_kn: Some(nm_per_kn),
            ..Calibration::default()
        };
        let with = |calibrations: Vec<Calibration>| {
            let mut case = Case::default();
            case.rigs[0].calibrations = calibrations;
            case.names()
        };
        assert_eq!(with(vec![calibration("2026-02-20", 3.0)]), [""; 0]);
        let early = with(vec![calibration("2026-03-02", 3.0)]);
        assert_eq!(early, ["before-calibration"]);
        let sound = vec![
            calibration("2026-02-20", 3.0),
            calibration("2026-03-03", 3.05),
        ];
        assert_eq!(with(sound), [""; 0]);
        let jump = vec![
            calibration("2026-02-20", 3.0),
            calibration("2026-03-03", 3.3),
        ];
        assert_eq!(with(jump), ["calibration-jump"]);
        let late = vec![
            calibration("2026-02-20", 3.0),
            calibration("2027-03-03", 3.0),
        ];
        assert_eq!(with(late), ["calibration-unused"]);
    }

    #[test]
    fn a_correction_that_stands_twice_is_told() {
        let correction = |factor| Correction {
            text: "a".into(),
            days: vec!["d2".into()],
            torque_factor: Some(factor),
            ..Correction::default()
        };
        let of = |corrections| {
            let mut case = Case::default();
            case.editions[0].corrections = corrections;
            case.names()
        };
        assert_eq!(of(vec![correction(0.999), correction(1.001)]), [""; 0]);
        assert_eq!(
            of(vec![correction(0.999), correction(0.999)]),
            ["correction-twice"]
        );
    }

    #[test]
    fn a_day_named_by_another_date_is_told() {
        let mut case = Case::default();
        case.days[1].date = "2026-03-02".into();
        let rename = |case: &mut Case, id: &str| {
            for run in case.runs.iter_mut().filter(|run| run.day == "d2") {
                run.day = id.into();
            }
            case.days[1].id = id.into();
        };
        rename(&mut case, "2026-03-02");
        assert_eq!(case.names(), [""; 0]);
        let mut case = Case::default();
        case.days[1].date = "2026-03-02".into();
        rename(&mut case, "2026-02-03");
        assert_eq!(case.names(), ["day-name"]);
    }
}
