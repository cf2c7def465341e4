//! Two pairs side by side.

pub(crate) mod bounds;
pub mod data;
pub(crate) mod figures;
mod leads;
mod times;
pub(crate) mod words;

use crate::problem::Problem;
use crate::query::question::Question;
use crate::results::{Results, products};
use crate::scatter::effects::{Basis, Effect};
use crate::study::Study;
use crate::text;
use data::Comparison;
use figures::Comparing;
use words::CompareWording;

impl Study<'_> {
    /// The pair asked for beside every pair that the question names beside it.
    ///
    /// # Errors
    ///
    /// If tool or pack is open.
    pub fn comparison(&self) -> Result<Vec<Comparison>, Problem> {
        compare(self)
    }
}

impl Results {
    /// As [`Study::comparison`], of a question.
    ///
    /// # Errors
    ///
    /// As [`Study::comparison`].
    pub fn compare(&self, question: &Question) -> Result<Vec<Comparison>, Problem> {
        self.study(question)?.comparison()
    }
}

/// Every pair beside the one asked for, against that one.
fn compare(study: &Study) -> Result<Vec<Comparison>, Problem> {
    let asked = study.asked();
    let Some(first) = asked.tool.zip(asked.pack) else {
        let problem = Problem::new("/pack", "no single pair", "a tool and a pack");
        return Err(problem.message(study.results.catalogue.fill("error.no_pair", &[])));
    };
    if asked.beside.is_empty() {
        return Ok(Vec::new());
    }
    Ok(Comparing::of(study).beside(first))
}

impl<'s> Comparing<'s> {
    /// Every pair beside this one, against it.
    pub fn beside(&self, first: (usize, usize)) -> Vec<Comparison> {
        let others = self
            .study
            .asked()
            .beside
            .iter()
            .filter(|&&second| second != first);
        others
            .map(|&second| self.side_by_side([first, second]))
            .collect()
    }

    /// Two pairs side by side, with the words for them.
    fn side_by_side(&self, pairs: [(usize, usize); 2]) -> Comparison {
        let mut comparison = self.pairs(pairs);
        let wording = self.wording(&pairs);
        comparison.words = wording.side_by_side(&comparison, self.names(pairs));
        comparison
    }

    /// What the words on these pairs need.
    pub fn wording(&self, pairs: &[(usize, usize)]) -> CompareWording<'s> {
        let (results, needed) = (self.study.results, self.study.needed());
        let effects = &self.study.uncertainty().effects;
        CompareWording {
            catalogue: &results.catalogue,
            unit: needed
                .map(|needed| needed.unit)
                .or(self.study.question().units)
                .unwrap_or_default(),
            needed,
            notice: text::notice(&results.catalogue, &results.dataset),
            window_s: self.study.asked().window_s,
            margin_percent: self.margin_percent(),
            tools_assumed_percent: assumed_percent(&effects.specimen),
            packs_assumed_percent: assumed_percent(&effects.pack),
            priced: self.prices.priced(pairs),
        }
    }

    /// What tells two pairs apart in a sentence: the packs on one tool, the tools with one pack, or
    /// both; and whether it is the packs.
    fn names(&self, pairs: [(usize, usize); 2]) -> ([String; 2], bool) {
        let dataset = &self.study.results.dataset;
        let [a, b] = pairs;
        let names = pairs.map(|(tool, pack)| {
            let tool_name = dataset.tools.get(tool).map(|tool| tool.name.clone());
            let pack_name = dataset.packs.get(pack).map(|pack| pack.name.clone());
            match (a.0 == b.0, a.1 == b.1) {
                (true, _) => pack_name.unwrap_or_default(),
                (false, true) => tool_name.unwrap_or_default(),
                (false, false) => products::label(self.study.results, tool, pack),
            }
        });
        (names, a.0 == b.0)
    }
}

/// What was assumed of an effect, in per cent, where nothing more is known.
fn assumed_percent(effect: &Effect) -> Option<f64> {
    (effect.basis() == Basis::Assumed).then_some(100.0 * effect.assumed.sd)
}
