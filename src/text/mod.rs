//! Words and numbers for people, from a text catalogue, as far as several answers say them alike.
//!
//! [`number`] rounds and prints, [`catalogue`] holds a language's templates, [`fold`] compares texts as
//! people type them.

pub mod catalogue;
pub mod fold;
pub mod number;
pub mod passage;
pub mod specimen;
pub mod warning;

use crate::dataset::types::{Dataset, Edition};
use crate::dataset::{FORMAT, MARK};
use crate::problem::{Problem, Problems};
use crate::units::{Duration, Torque, TorqueUnit, WrittenTorque};
use catalogue::Catalogue;
use number::{Figure, SmallFigure};

/// The torque a job needs, as sentences show it.
#[derive(Clone, Copy, Debug)]
pub struct RequiredTorque {
    /// Its figure, in `unit`.
    pub figure: Figure,
    /// The unit of every torque beside it.
    pub unit: TorqueUnit,
}

impl RequiredTorque {
    /// What someone wrote, unchanged, if it is in the unit shown and nothing was added to it; else
    /// the needed torque, rounded up.
    pub fn new(required_nm: f64, unit: TorqueUnit, written: Option<&WrittenTorque>) -> Self {
        let own = written.filter(|written| {
            written.unit() == unit.into() && written.torque().newton_metres() == required_nm
        });
        let needed = || Figure::needed_torque(Torque::from_newton_metres(required_nm), unit);
        Self {
            figure: own.map_or_else(needed, Figure::written),
            unit,
        }
    }

    /// The torque with its unit.
    pub fn words(&self, catalogue: &Catalogue) -> String {
        with_unit(catalogue, &self.figure.print(&catalogue.number), self.unit)
    }
}

/// A number of torque units.
pub(crate) fn with_unit(catalogue: &Catalogue, number: &str, unit: TorqueUnit) -> String {
    catalogue.quantity(number, catalogue.units.torque(unit.into()))
}

/// A typical, peak or end torque in N·m, in the steps that suit the rig.
pub(crate) fn torque(catalogue: &Catalogue, torque_nm: f64, unit: TorqueUnit) -> String {
    let number = number::torque(
        Torque::from_newton_metres(torque_nm),
        unit,
        number::RoundingDirection::Nearest,
        &catalogue.number,
    );
    with_unit(catalogue, &number, unit)
}

/// A needed or stated torque in N·m, to one unit, up.
pub(crate) fn whole_torque(catalogue: &Catalogue, torque_nm: f64, unit: TorqueUnit) -> String {
    with_unit(
        catalogue,
        &number::needed_torque(
            Torque::from_newton_metres(torque_nm),
            unit,
            &catalogue.number,
        ),
        unit,
    )
}

/// A measured time in a sentence.
pub(crate) fn time(catalogue: &Catalogue, time_s: f64) -> String {
    match number::time_sentence(Duration::from_seconds(time_s), &catalogue.number) {
        SmallFigure::UnderTenth => catalogue.fill("time.under_tenth", &[]),
        SmallFigure::Number(number) => catalogue.quantity(&number, &catalogue.units.second),
    }
}

/// How many of a hundred tries, in words.
pub(crate) fn chance_words(catalogue: &Catalogue, chance: number::Chance) -> String {
    match chance {
        number::Chance::FewerThan1 => catalogue.fill("chance.fewer_than_1", &[]),
        number::Chance::OfHundred(tries) => tries.to_string(),
        number::Chance::MoreThan99 => catalogue.fill("chance.more_than_99", &[]),
    }
}

/// A difference or scatter in per cent.
pub(crate) fn percent(catalogue: &Catalogue, percent: f64) -> String {
    match number::percent(percent, &catalogue.number) {
        SmallFigure::UnderTenth => catalogue.fill("percent.under_tenth", &[]),
        SmallFigure::Number(number) => catalogue.quantity(&number, &catalogue.units.percent),
    }
}

/// A percentage that someone chose or a file states, with its unit.
pub(crate) fn given_percent(catalogue: &Catalogue, value: f64) -> String {
    let number = number::given(value, &catalogue.number);
    catalogue.quantity(&number, &catalogue.units.percent)
}

/// A time that someone chose or a file states, in s.
pub fn given_time(catalogue: &Catalogue, time_s: f64) -> String {
    catalogue.quantity(
        &number::given(time_s, &catalogue.number),
        &catalogue.units.second,
    )
}

/// Two numbers that someone gave as a range; one of them where both print alike.
pub(crate) fn span(catalogue: &Catalogue, low: f64, high: f64) -> String {
    let (low, high) = (
        number::given(low, &catalogue.number),
        number::given(high, &catalogue.number),
    );
    if low == high {
        return low;
    }
    catalogue.fill("range", &[("low", &low), ("high", &high)])
}

/// Name of tool and pack, of one of them, or nothing.
pub fn pair(catalogue: &Catalogue, tool: Option<&str>, pack: Option<&str>) -> String {
    match (tool, pack) {
        (Some(tool), Some(pack)) => catalogue.fill("pair", &[("tool", tool), ("pack", pack)]),
        (Some(one), None) | (None, Some(one)) => one.to_owned(),
        (None, None) => String::new(),
    }
}

/// What stands first of all: that drafts are shown, that data are invented.
pub fn notice(catalogue: &Catalogue, dataset: &Dataset) -> Option<String> {
    let draft = dataset.editions.iter().any(Edition::is_draft);
    let invented = dataset.invented.unwrap_or(false);
    let said = [(draft, "draft.notice"), (invented, "invented.notice")];
    let said = said.into_iter().filter(|(holds, _)| *holds);
    let said: Vec<String> = said.map(|(_, key)| catalogue.fill(key, &[])).collect();
    (!said.is_empty()).then(|| said.join(" "))
}

/// Which edition, and when it came out, as a sentence.
pub fn edition(catalogue: &Catalogue, edition: Option<&Edition>) -> String {
    edition.map_or_else(String::new, |edition| {
        let name = edition_named(catalogue, edition);
        catalogue.fill("edition.line", &[("edition", &name)])
    })
}

/// Said where newer results do not load and those of an edition are shown.
pub fn unloaded(catalogue: &Catalogue, edition: Option<&Edition>) -> String {
    let date = edition.map_or("", |edition| &edition.date);
    let date = catalogue.date(date);
    catalogue.fill("error.old_results", &[("date", &date)])
}

/// Why nothing is shown of a dataset with these problems: it is newer than this program, was not
/// published, or has faults.
pub fn refused(catalogue: &Catalogue, problems: &Problems) -> String {
    let newer = |problem: &Problem| problem.pointer == "/format" && is_newer(&problem.found);
    if problems.iter().any(newer) {
        return catalogue.fill("error.newer_format", &[]);
    }
    let unpublished = |problem: &Problem| problem.pointer.strip_prefix('/') == Some(MARK);
    if problems.iter().any(unpublished) {
        return catalogue.fill("error.not_published", &[]);
    }
    let count = u64::try_from(problems.count()).unwrap_or(u64::MAX);
    catalogue.fill_plural("error.faults", count, &[])
}

/// Whether a text in quotes is the name of a later format than this program reads.
pub(crate) fn is_newer(found: &str) -> bool {
    let number = |name: &str| -> Option<u32> { name.rsplit_once('/')?.1.parse().ok() };
    let name = found.trim_matches('"');
    let same = name.split('/').next() == FORMAT.split('/').next();
    same && number(name) > number(FORMAT)
}

/// Which edition, and when it came out; of a draft, that it is one.
pub(crate) fn edition_named(catalogue: &Catalogue, edition: &Edition) -> String {
    let date = catalogue.date(&edition.date);
    if edition.is_draft() {
        return catalogue.fill("draft.edition", &[("date", &date)]);
    }
    catalogue.fill(
        "edition.name",
        &[("edition", &edition.edition.to_string()), ("date", &date)],
    )
}

/// A job's torque of one figure or two, in N·m.
pub fn job_torque(catalogue: &Catalogue, figures_nm: &[f64], unit: TorqueUnit) -> String {
    with_unit(
        catalogue,
        &job_torque_number(catalogue, figures_nm, unit),
        unit,
    )
}

/// A job's torque of one figure or two, given in N·m, as a number of `unit` or two.
pub fn job_torque_number(catalogue: &Catalogue, figures_nm: &[f64], unit: TorqueUnit) -> String {
    let number = |torque_nm: f64| {
        number::needed_torque(
            Torque::from_newton_metres(torque_nm),
            unit,
            &catalogue.number,
        )
    };
    match figures_nm {
        [low, high] => catalogue.fill("range", &[("low", &number(*low)), ("high", &number(*high))]),
        figures => figures.first().map_or_else(String::new, |&one| number(one)),
    }
}

#[cfg(test)]
#[cfg(not(target_arch = "wasm32"))]
mod tests {
    use super::*;

    #[test]
    fn drafts_and_invented_data_are_told_first() {
        let english = include_str!("../../www/texts/en.json");
        let english: Catalogue = serde_json::from_str(english).unwrap();
        let said = |draft, invented| {
            let edition = Edition {
                draft,
                ..Edition::default()
            };
            let dataset = Dataset {
                invented,
                editions: vec![edition],
                ..Dataset::default()
            };
            notice(&english, &dataset)
        };
        assert_eq!(said(None, None), None);
        assert_eq!(said(Some(false), Some(false)), None);
        assert_eq!(said(Some(true), None).unwrap(), "Draft, not published.");
        assert_eq!(
            said(Some(true), Some(true)).unwrap(),
            "Draft, not published. Invented data. These tools do not exist."
        );
    }

    #[test]
    fn a_dataset_is_refused_for_its_faults_or_for_being_newer() {
        let english = include_str!("../../www/texts/en.json");
        let english: Catalogue = serde_json::from_str(english).unwrap();
        let problem = |pointer: &str, found: &str| Problem::new(pointer, found, "else");
        let said = |problems: &[Problem]| {
            let mut all = Problems::default();
            problems
                .iter()
                .for_each(|problem| all.push(problem.clone()));
            refused(&english, &all)
        };
        let (name, _) = FORMAT.split_once('/').unwrap();
        let format = |number: &str| problem("/format", &format!("\"{name}/{number}\""));
        assert_eq!(
            said(&[format("2")]),
            "This file is newer than this page. Please reload the page."
        );
        let others = [problem("/format", "\"spanner/9\""), problem("/format", "9")];
        for other in others.into_iter().chain([format("1x"), format("0")]) {
            assert_eq!(
                said(&[other]),
                "This file has 1 fault, so we show nothing from it."
            );
        }
        assert_eq!(
            said(&[problem("/title", "nothing"), problem("/license", "nothing")]),
            "This file has 2 faults, so we show nothing from it."
        );
    }
}
