//! A bolt worked out from handbook formulas, in sentences; and why a text is no bolt.

use super::answer::Wording;
use super::catalogue::{Catalogue, Sentence};
use super::{number, percent, whole_torque};
use crate::bolt::{LIMITS, ParseBoltError, SIZES, Size, System, Thread, classes};
use crate::dataset::types::Direction;
use crate::escape::echoed;
use crate::query::answer::AnswerFigures;
use crate::query::bolt::BoltFigures;
use crate::units::TorqueUnit;
use crate::units::constants::POUND_FORCE_N;

/// A bolt that reads well, for someone whose text does not.
const EXAMPLE: &str = "M20 10.9";

impl Wording<'_> {
    /// What the bolt asks for, and the preload that gives.
    pub(super) fn bolt_line(&self, answer: &AnswerFigures) -> Option<Sentence> {
        let bolt = answer.bolt.as_ref()?;
        let key = if bolt.preload_of_yield {
            "bolt.of_yield"
        } else {
            "bolt.of_proof"
        };
        let values = [
            ("thread", bolt.thread.clone()),
            ("class", self.class(bolt)),
            ("friction", self.friction(bolt)),
            (
                "torque",
                whole_torque(self.catalogue, answer.job_torque_nm, self.needed.unit),
            ),
            ("preload", self.preload(bolt.preload_n)),
            ("percent", percent(self.catalogue, bolt.preload_percent)),
        ];
        let values = values.each_ref().map(|(name, text)| (*name, text.as_str()));
        Some(self.say(key, &values))
    }

    fn class(&self, bolt: &BoltFigures) -> String {
        let key = match bolt.system {
            System::Metric => "bolt.class",
            System::Inch => "bolt.grade",
        };
        self.fill(key, &[("class", bolt.class)])
    }

    /// What was said about friction.
    fn friction(&self, bolt: &BoltFigures) -> String {
        let value = match bolt.friction {
            "coefficient" => bolt.friction_coefficient,
            _ => bolt.nut_factor,
        };
        let number = number::given(value, &self.catalogue.number);
        let key = format!("bolt.friction.{}", bolt.friction);
        self.fill(&key, &[("number", &number)])
    }

    fn preload(&self, preload_n: f64) -> String {
        let (key, value) = match self.needed.unit {
            TorqueUnit::NewtonMetre => ("bolt.kilonewtons", preload_n / 1000.0),
            TorqueUnit::PoundForceFoot => ("bolt.pounds_force", preload_n / POUND_FORCE_N),
        };
        let number = number::three_figures(value, &self.catalogue.number);
        self.fill(key, &[("number", &number)])
    }

    /// What loosens the bolt while it is fresh, where it is to be loosened.
    pub(super) fn loosening_line(&self, answer: &AnswerFigures) -> Option<String> {
        let bolt = answer.bolt.as_ref()?;
        let torque = self.torque(bolt.loosening_torque_nm);
        (answer.direction == Direction::Loosen)
            .then(|| self.fill("bolt.loosens_at", &[("torque", &torque)]))
    }

    /// That nothing of a bolt was measured, that the maker's figure goes first, how uncertain the
    /// preload is, and what else is uncertain of stainless steel.
    pub(super) fn bolt_cautions(&self, bolt: &BoltFigures) -> Vec<String> {
        let scatter = percent(self.catalogue, bolt.preload_scatter_percent);
        let mut cautions = vec![
            self.fill("caution.bolt", &[]),
            self.fill("caution.preload", &[("percent", &scatter)]),
        ];
        if bolt.stainless {
            if bolt.friction == "unknown" {
                let factor = number::given(bolt.nut_factor, &self.catalogue.number);
                cautions.push(self.fill("caution.stainless_factor", &[("factor", &factor)]));
            }
            cautions.push(self.fill("caution.stainless", &[]));
        }
        cautions
    }

    /// The figures a bolt's torque was worked out from.
    pub(super) fn sure_of_bolt(&self, bolt: &BoltFigures) -> Vec<String> {
        let style = &self.catalogue.number;
        let values = [
            ("area", number::three_figures(bolt.stress_area_mm2, style)),
            (
                "stress",
                number::three_figures(bolt.proof_stress_mpa, style),
            ),
            ("factor", number::given(bolt.nut_factor, style)),
        ];
        let values = values.each_ref().map(|(name, text)| (*name, text.as_str()));
        let times = number::times(bolt.tightening_factor, style);
        let mut sure = vec![
            self.fill("sure.bolt", &values),
            self.fill("sure.bolt_scatter", &[("factor", &times)]),
        ];
        if bolt.friction == "unknown" {
            sure.push(self.fill("sure.bolt_finish", &[]));
        }
        if bolt.stainless {
            sure.push(self.fill("sure.bolt_stainless", &[]));
        }
        sure
    }
}

/// The classes or grades of a size.
fn all_classes(size: &Size) -> String {
    let names: Vec<&str> = classes(size).map(|class| class.name).collect();
    names.join(", ")
}

/// The threads of a size.
fn all_threads(size: &'static Size) -> String {
    let names = size.threads().map(|thread| thread.name());
    names.collect::<Vec<_>>().join(", ")
}

/// A thread with a class it has, as it may be written.
fn example(thread: &Thread) -> String {
    match thread.size().system {
        System::Metric => format!("{} 10.9", thread.name()),
        System::Inch => format!("{} grade 8", thread.name()),
    }
}

/// Why a text is no bolt, for whoever wrote it.
pub fn refused(error: &ParseBoltError, catalogue: &Catalogue) -> String {
    let of_size = |size: &'static Size| {
        size.threads()
            .next()
            .as_ref()
            .map_or_else(String::new, example)
    };
    match error {
        ParseBoltError::NotAThread | ParseBoltError::UnknownThread => {
            let name = |system, last| {
                let mut sizes = SIZES.iter().filter(|size| size.system == system);
                let size = if last {
                    sizes.next_back()
                } else {
                    sizes.next()
                };
                size.map_or("", |size| size.name)
            };
            let values = [
                ("smallest", name(System::Metric, false)),
                ("largest", name(System::Metric, true)),
                ("low", name(System::Inch, false)),
                ("high", name(System::Inch, true)),
            ];
            catalogue.fill("error.bolt_thread", &values)
        }
        ParseBoltError::UnknownPitch(size) => {
            let values = [("thread", size.name), ("threads", &all_threads(size))];
            catalogue.fill("error.bolt_pitch", &values)
        }
        ParseBoltError::NoClass(thread) => {
            let (example, classes) = (example(thread), all_classes(thread.size()));
            let values = [("example", example.as_str()), ("classes", &classes)];
            catalogue.fill("error.bolt_no_class", &values)
        }
        ParseBoltError::UnknownClass(size) => {
            let (example, classes) = (of_size(size), all_classes(size));
            let values = [
                ("thread", size.name),
                ("classes", &classes),
                ("example", &example),
            ];
            catalogue.fill("error.bolt_class", &values)
        }
        ParseBoltError::BeyondLimits(_) => {
            let number = |thousandths: u32| {
                number::given(f64::from(thousandths) / 1000.0, &catalogue.number)
            };
            let range = |[low, high]: [u32; 2]| {
                let (low, high) = (number(low), number(high));
                catalogue.fill("range", &[("low", &low), ("high", &high)])
            };
            let values = [
                ("factor", range(LIMITS.nut_factor)),
                ("coefficient", range(LIMITS.coefficient)),
                ("percent", range(LIMITS.percent)),
            ];
            let values = values.each_ref().map(|(name, text)| (*name, text.as_str()));
            catalogue.fill("error.bolt_limits", &values)
        }
        ParseBoltError::NotUnderstood(piece) => {
            let values = [("piece", &*echoed(piece)), ("example", EXAMPLE)];
            catalogue.fill("error.bolt_piece", &values)
        }
    }
}

/// What there is instead of what was written, for whoever reads the problem and not its message.
pub fn wanted(error: &ParseBoltError) -> String {
    match error {
        ParseBoltError::NotAThread | ParseBoltError::UnknownThread => {
            let names: Vec<&str> = SIZES.iter().map(|size| size.name).collect();
            format!("a thread: {}", names.join(", "))
        }
        ParseBoltError::UnknownPitch(size) => format!("a thread: {}", all_threads(size)),
        ParseBoltError::NoClass(thread) => all_classes(thread.size()),
        ParseBoltError::UnknownClass(size) => all_classes(size),
        ParseBoltError::BeyondLimits(_) => "a number that bolts have".to_owned(),
        ParseBoltError::NotUnderstood(_) => format!("a bolt such as {EXAMPLE}"),
    }
}
