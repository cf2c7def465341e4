//! The packs run on one tool.

pub mod data;
mod figures;
mod groups;
mod words;

use crate::compare::figures::Comparing;
use crate::field::Member;
use crate::problem::Problem;
use crate::query::question::Question;
use crate::results::Results;
use crate::study::Study;
use data::{Packs, Panels};
use words::NamedPack;

impl Study<'_> {
    /// The packs run on the tool asked for, held against the pack asked for.
    ///
    /// # Errors
    ///
    /// If the tool is open.
    pub fn packs(&self) -> Result<Packs, Problem> {
        packs(self)
    }

    /// What stands beside an answer, in words: [`Study::comparison`] where a pair is asked for,
    /// [`Study::packs`] where a tool is.
    pub fn panels(&self) -> Panels {
        panels(self)
    }
}

impl Results {
    /// As [`Study::packs`], of a question.
    ///
    /// # Errors
    ///
    /// As [`Study::packs`].
    pub fn packs(&self, question: &Question) -> Result<Packs, Problem> {
        self.study(question)?.packs()
    }

    /// As [`Study::panels`], of a question.
    ///
    /// # Errors
    ///
    /// As [`Results::study`].
    pub fn panels(&self, question: &Question) -> Result<Panels, Problem> {
        Ok(self.study(question)?.panels())
    }
}

/// The packs on the tool asked for.
fn packs(study: &Study) -> Result<Packs, Problem> {
    let Some(tool) = study.asked().tool else {
        let problem = Problem::new("/tool", "nothing", "a tool");
        return Err(problem.message(study.results.catalogue.fill("error.no_tool", &[])));
    };
    Ok(on_tool(&Comparing::of(study), tool))
}

/// What stands beside an answer, in words.
fn panels(study: &Study) -> Panels {
    let asked = study.asked();
    let Some(tool) = asked.tool else {
        return Panels::default();
    };
    let comparing = Comparing::of(study);
    let beside = asked.pack.map(|pack| comparing.beside((tool, pack)));
    let beside = beside.into_iter().flatten();
    Panels {
        beside: beside.map(|comparison| comparison.words).collect(),
        packs: on_tool(&comparing, tool).words,
    }
}

/// The packs on a tool, with the words for them.
fn on_tool(comparing: &Comparing, tool: usize) -> Packs {
    let (mut packs, members) = figures::on_tool(comparing, tool);
    let results = comparing.study.results;
    let names: Vec<NamedPack> = members
        .iter()
        .map(|member| named(results, member))
        .collect();
    let pairs: Vec<(usize, usize)> = members.iter().map(|member| member.pair()).collect();
    packs.words = comparing.wording(&pairs).packs(&packs, &names);
    packs
}

fn named(results: &Results, member: &Member) -> NamedPack {
    let pack = results.dataset.packs.get(member.pack);
    NamedPack {
        name: pack.map(|pack| pack.name.clone()).unwrap_or_default(),
        cells: pack.and_then(|pack| pack.cells.as_ref()?.series),
        nominal_v: pack.and_then(|pack| pack.nominal_v),
    }
}
