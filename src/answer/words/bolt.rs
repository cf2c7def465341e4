//! A bolt worked out from handbook formulas, in sentences.

use super::Wording;
use crate::answer::data::AnswerFigures;
use crate::bolt::System;
use crate::dataset::types::Direction;
use crate::query::bolt::BoltFigures;
use crate::text::{number, percent, whole_torque};
use crate::units::TorqueUnit;
use crate::units::constants::POUND_FORCE_N;

impl Wording<'_> {
    /// What the bolt asks for, and the preload that gives.
    pub(crate) fn bolt_line(&self, answer: &AnswerFigures) -> Option<String> {
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
        Some(self.fill(key, &values))
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
    pub(crate) fn loosening_line(&self, answer: &AnswerFigures) -> Option<String> {
        let bolt = answer.bolt.as_ref()?;
        let torque = self.torque(bolt.loosening_torque_nm);
        (answer.direction == Direction::Loosen)
            .then(|| self.fill("bolt.loosens_at", &[("torque", &torque)]))
    }

    /// What is uncertain of stainless steel, that nothing of a bolt was measured, that the maker's figure
    /// goes first, and how uncertain the preload is.
    pub(crate) fn bolt_cautions(&self, bolt: &BoltFigures) -> Vec<String> {
        let scatter = percent(self.catalogue, bolt.preload_scatter_percent);
        let mut cautions = Vec::new();
        if bolt.stainless {
            cautions.push(self.fill("caution.stainless", &[]));
            if bolt.friction == "unknown" {
                let factor = number::given(bolt.nut_factor, &self.catalogue.number);
                cautions.push(self.fill("caution.stainless_factor", &[("factor", &factor)]));
            }
        }
        cautions.push(self.fill("caution.bolt", &[]));
        cautions.push(self.fill("caution.preload", &[("percent", &scatter)]));
        cautions
    }

    /// The figures a bolt's torque was worked out from.
    pub(crate) fn sure_of_bolt(&self, bolt: &BoltFigures) -> Vec<String> {
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
