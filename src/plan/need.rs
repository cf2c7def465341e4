//! What speaks for running a pair.

use super::FieldId;
use crate::results::Results;
use crate::results::each::Role;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

/// Fewer runs of a pair than this tell little of their scatter.
const USUAL_RUNS: usize = 3;

/// What speaks for running a pair. The words are codes and do not change with the language.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub enum Reason {
    /// It was run on a day whose check runs lie outside their limits.
    #[serde(rename = "run on a day outside the limits of its check runs")]
    SuspectDay,
    /// Nobody has run it.
    #[serde(rename = "no run yet")]
    NoRun,
    /// It has fewer runs than are usual.
    #[serde(rename = "fewer than three runs")]
    FewRuns,
    /// All its runs are of one day.
    #[serde(rename = "one day only")]
    OneDay,
    /// All runs of its tool are of one specimen.
    #[serde(rename = "one specimen of the tool only")]
    OneSpecimen,
    /// All runs of its pack are of one specimen.
    #[serde(rename = "one specimen of the pack only")]
    OnePack,
    /// It has no more runs than any other.
    #[serde(rename = "fewest runs")]
    FewestRuns,
}

/// A pair and what speaks for running it.
#[derive(Clone, Debug)]
pub struct Need {
    /// Identifier of the tool.
    pub tool: String,
    /// Identifier of the pack.
    pub pack: String,
    /// Runs that count.
    pub runs: usize,
    /// Runs planned already.
    pub planned: usize,
    /// What speaks for it.
    pub reasons: Vec<Reason>,
}

impl Need {
    /// What needs are sorted by, the greatest need first: a retest that has not been planned, then the
    /// fewest runs, then the most reasons, then names.
    pub fn key(&self) -> impl Ord + use<> {
        let again = self.planned == 0 && self.reasons.contains(&Reason::SuspectDay);
        (
            !again,
            self.runs + self.planned,
            std::cmp::Reverse(self.reasons.len()),
            self.tool.clone(),
            self.pack.clone(),
        )
    }
}

/// What is known of the runs of a pair.
#[derive(Default)]
struct Known<'a> {
    runs: usize,
    days: BTreeSet<&'a str>,
    suspect: bool,
}

/// The specimens of each tool or pack that were run.
type Specimens<'a> = BTreeMap<&'a str, BTreeSet<Option<&'a str>>>;

/// What is known of the pairs that were run, by tool and pack, and the specimens of tools and of packs.
type OfRuns<'a> = (
    BTreeMap<(&'a str, &'a str), Known<'a>>,
    Specimens<'a>,
    Specimens<'a>,
);

fn known<'a>(results: &'a Results, edition: u32, field: FieldId) -> OfRuns<'a> {
    let drift = results.drift(edition);
    let days = drift.series.iter().filter(|series| series.rig == field.rig);
    let days = days.flat_map(|series| &series.days);
    let outside = days.filter(|day| day.outside == Some(true));
    let outside: BTreeSet<&str> = outside.map(|day| day.day.as_str()).collect();
    let mut pairs: BTreeMap<(&str, &str), Known> = BTreeMap::new();
    let (mut specimens, mut units) = (Specimens::new(), Specimens::new());
    for told in results.each_run(edition) {
        let here = told.rig == field.rig && told.setup == field.setup;
        if !here || told.role != Role::Counts {
            continue;
        }
        let run = told.run;
        let known = pairs.entry((&run.tool, &run.pack)).or_default();
        known.runs += 1;
        known.days.insert(&told.day.id);
        known.suspect |= outside.contains(told.day.id.as_str());
        specimens
            .entry(&run.tool)
            .or_default()
            .insert(run.specimen.as_deref());
        units
            .entry(&run.pack)
            .or_default()
            .insert(run.pack_specimen.as_deref());
    }
    (pairs, specimens, units)
}

/// Every pair that fits, with its runs in one rig and setup.
pub fn needs(results: &Results, edition: u32, field: FieldId) -> Vec<Need> {
    let dataset = results.dataset();
    let (pairs, specimens, units) = known(results, edition, field);
    let is_one = |of: &Specimens, id: &str| of.get(id).is_some_and(|own| own.len() == 1);
    let mut needs = Vec::new();
    for tool in &dataset.tools {
        let fits = dataset
            .packs
            .iter()
            .filter(|pack| pack.pack_mount == tool.pack_mount);
        for pack in fits {
            let known = pairs.get(&(tool.id.as_str(), pack.id.as_str()));
            let runs = known.map_or(0, |known| known.runs);
            let holds = [
                (Reason::SuspectDay, known.is_some_and(|known| known.suspect)),
                (Reason::NoRun, runs == 0),
                (Reason::FewRuns, (1..USUAL_RUNS).contains(&runs)),
                (
                    Reason::OneDay,
                    known.is_some_and(|known| known.days.len() == 1),
                ),
                (Reason::OneSpecimen, is_one(&specimens, &tool.id)),
                (Reason::OnePack, is_one(&units, &pack.id)),
            ];
            let reasons = holds
                .into_iter()
                .filter_map(|(reason, holds)| holds.then_some(reason));
            needs.push(Need {
                tool: tool.id.clone(),
                pack: pack.id.clone(),
                runs,
                planned: 0,
                reasons: reasons.collect(),
            });
        }
    }
    let fewest = needs.iter().map(|need| need.runs).min().unwrap_or_default();
    for need in needs
        .iter_mut()
        .filter(|need| need.runs == fewest && fewest > 0)
    {
        need.reasons.push(Reason::FewestRuns);
    }
    needs
}

/// The pair of the check runs: that with most days of them, else that with most runs.
pub fn check_pair(
    results: &Results,
    edition: u32,
    rig: &str,
    needs: &[Need],
) -> Option<(String, String)> {
    let drift = results.drift(edition);
    let series = drift.series.iter().filter(|series| series.rig == rig);
    let longest = series.max_by_key(|series| series.days.len());
    let most = || needs.iter().max_by_key(|need| need.runs);
    longest
        .map(|series| (series.tool.clone(), series.pack.clone()))
        .or_else(|| most().map(|need| (need.tool.clone(), need.pack.clone())))
}
