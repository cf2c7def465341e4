//! Which setup an answer is for, and what other setups cost, in words.

use super::answer::Wording;
use super::catalogue::{Catalogue, Sentence};
use super::number::{self, Direction};
use super::percent;
use crate::query::answer::{AnswerFigures, Basis};
use crate::query::setups::{Changed, SetupCost};

/// A setup that is not the file's first.
#[derive(Clone, Copy, Debug)]
pub struct OtherSetup<'a> {
    /// Its name.
    pub name: &'a str,
    /// Name of the file's first setup.
    pub standard: &'a str,
    /// How many of the pairs asked for were run in the file's first setup and not in this one.
    pub only_standard: u64,
}

/// Writes the words of a setup's cost, and the loss to take as it is printed.
pub fn cost(catalogue: &Catalogue, cost: &mut SetupCost, setup: &str) {
    let lost = cost.lost_percent;
    let pairs = catalogue.fill_plural("count.pairs", cost.pairs.into(), &[]);
    let end = |end: f64, outward| number::percent_end(end, lost, outward, &catalogue.number);
    let (low, high) = (
        cost.low_percent.map(|low| end(low, Direction::Down)),
        cost.high_percent.map(|high| end(high, Direction::Up)),
    );
    let unit = &catalogue.units.percent;
    let high = high.map(|high| catalogue.quantity(&high, unit));
    let shown = percent(catalogue, lost);
    let mut values = vec![
        ("percent", shown.as_str()),
        ("pairs", &pairs),
        ("setup", setup),
    ];
    let key = match (&low, &high) {
        _ if lost <= 0.0 => "cost.nothing",
        (Some(low), Some(high)) => {
            values.extend([("low", low.as_str()), ("high", high)]);
            "cost.less"
        }
        _ => "cost.less_unsure",
    };
    cost.words = catalogue.fill(key, &values);
    let taken = number::percent_rounded(lost).filter(|taken| *taken < 100.0);
    if cost.changed == Changed::Extension && taken.is_some() {
        cost.take_percent = taken;
        cost.take = Some(catalogue.fill("cost.take", &[("percent", &shown)]));
    }
}

impl Wording<'_> {
    /// Which setup an answer is for, where it is not the file's first; and what was run in that one
    /// alone.
    pub(super) fn setup_lines(&self, answer: &AnswerFigures) -> Vec<Sentence> {
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
    pub(super) fn loss_cautions(&self, answer: &AnswerFigures) -> Vec<String> {
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
    pub(super) fn packs_caution(&self) -> String {
        let mut said: Vec<String> = Vec::new();
        if let Some((low_c, high_c)) = self.full_packs_c {
            let temperature = super::span(self.catalogue, low_c, high_c);
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
