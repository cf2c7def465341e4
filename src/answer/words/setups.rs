//! Which setup an answer is for, and what other setups cost, in sentences.

use super::Wording;
use crate::answer::data::AnswerFigures;
use crate::query::verdict::Basis;
use crate::setups::data::Changed;
use crate::text::catalogue::Sentence;

impl Wording<'_> {
    /// Which setup an answer is for, where it is not the file's first; and what was run in that one
    /// alone.
    pub(crate) fn setup_lines(&self, answer: &AnswerFigures) -> Vec<Sentence> {
        let Some(other) = &self.other_setup else {
            return Vec::new();
        };
        let key = match (answer.basis, answer.of) {
            (_, Some(0)) => "setup.no_runs",
            (_, Some(_)) => "setup.list",
            (Basis::Measured, None) => "setup.measured",
            (Basis::Estimate, None) => "setup.estimate",
            (Basis::None, None) => "taken.setup",
        };
        let mut lines = vec![self.say(key, &[("setup", other.name)])];
        if other.only_standard > 0 {
            let values = [("setup", other.standard)];
            let only = match answer.of {
                None => self.fill("setup.only_standard", &values),
                Some(_) => {
                    let count = other.only_standard;
                    self.catalogue
                        .fill_plural("setup.list_only_standard", count, &values)
                }
            };
            lines.push(only.into());
        }
        lines
    }

    /// What there is to say of the loss that was asked with: whose figure it is, and whether it counts twice.
    pub(crate) fn loss_cautions(&self, answer: &AnswerFigures) -> Vec<String> {
        if answer.loss_percent == 0.0 {
            return Vec::new();
        }
        let measured = self
            .setup_costs
            .iter()
            .find(|cost| cost.take_percent == Some(answer.loss_percent));
        let mut cautions = vec![match measured {
            Some(cost) => {
                let pairs = self
                    .catalogue
                    .fill_plural("count.pairs", cost.pairs.into(), &[]);
                self.fill("caution.loss_measured", &[("pairs", &pairs)])
            }
            None => self.fill("caution.loss", &[]),
        }];
        if self.extended {
            cautions.push(self.fill("caution.loss_twice", &[]));
        }
        cautions
    }

    /// At which temperatures full packs were tested, where that is known; and what cold or part-empty packs
    /// cost, by measurement, or else that they do less.
    pub(crate) fn packs_caution(&self) -> String {
        let mut said: Vec<String> = Vec::new();
        if let Some((low_c, high_c)) = self.full_packs_c {
            let temperature = crate::text::span(self.catalogue, low_c, high_c);
            said.push(self.fill("caution.packs_tested", &[("temperature", &temperature)]));
        }
        let costs = self.setup_costs.iter();
        let costs = costs.filter(|cost| cost.changed == Changed::Packs);
        let costs: Vec<&str> = costs.map(|cost| cost.words.as_str()).collect();
        said.push(match costs.as_slice() {
            [] => self.fill("caution.packs", &[]),
            costs => costs.join(" "),
        });
        said.join(" ")
    }
}
