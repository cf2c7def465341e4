//! The packs run on one tool.

use super::data::{PackOnTool, Packs};
use super::groups::{Matching, groups};
use crate::compare::bounds::Bounds;
use crate::compare::data::CompareVerdict;
use crate::compare::figures::Comparing;
use crate::field::Member;
use crate::pack::{energy_wh, most_power_w, per_cell, runs_per_charge};
use crate::query::resolved::Asked;
use crate::results::{Results, products};
use crate::run::running_median::median;
use crate::sort;
use std::ops::Range;

pub fn on_tool<'s>(comparing: &Comparing<'s>, tool: usize) -> (Packs, Vec<&'s Member>) {
    let study = comparing.study;
    let (results, asked) = (study.results, study.asked());
    let mut members: Vec<&Member> = study
        .field()
        .members
        .iter()
        .filter(|member| member.tool == tool)
        .collect();
    let level = |member: &Member| member.combination.mean_nm();
    sort::sort(&mut members, |a, b| level(b).total_cmp(&level(a)));
    let against = against(results, asked, &members);
    let alike = Alike::of(comparing, &members);
    let groups = grouped(&alike);
    let sources = sources(comparing);
    let packs: Vec<PackOnTool> = members
        .iter()
        .zip(groups)
        .map(|(member, group)| {
            let source = sources.get(member.pack).copied().unwrap_or_default();
            let mut pack = pack(results, comparing, member, source);
            (pack.group, pack.group_matches) = group.unzip();
            if let Some(against) = against.filter(|against| against.pack != member.pack) {
                let difference = comparing.difference(member, against);
                pack.verdict = Some(comparing.verdict(&difference));
                pack.mean_torque_ratio = Some(comparing.ratio(&difference.as_tested));
                pack.mean_torque_ratio_of_kinds = Some(comparing.ratio(&difference.of_kinds));
            }
            pack
        })
        .collect();
    let tool_id = results.dataset.tools.get(tool).map(|tool| tool.id.clone());
    let answer = Packs {
        invented: results.dataset.invented.unwrap_or(false),
        tool: tool_id.unwrap_or_default(),
        against: against.map(|member| products::ids(results, tool, member.pack).1),
        rig: asked.rig.id.clone(),
        setup: asked.setup.id.clone(),
        edition: asked.edition,
        match_margin_percent: comparing.margin_percent(),
        packs,
        words: None,
    };
    (answer, members)
}

/// Which packs on a tool are alike.
struct Alike<'a, 's> {
    comparing: &'a Comparing<'s>,
    members: &'a [&'s Member],
    bounds: Bounds,
}

impl<'a, 's> Alike<'a, 's> {
    fn of(comparing: &'a Comparing<'s>, members: &'a [&'s Member]) -> Self {
        Self {
            comparing,
            members,
            bounds: Bounds::of(comparing, members),
        }
    }

    fn verdict(&self, i: usize, j: usize) -> Option<CompareVerdict> {
        let (a, b) = self.members.get(i).zip(self.members.get(j))?;
        Some(self.comparing.verdict(&self.comparing.difference(a, b)))
    }
}

impl Matching for Alike<'_, '_> {
    fn matches(&self, i: usize, j: usize) -> bool {
        let verdict = || self.verdict(i, j).is_some_and(CompareVerdict::is_alike);
        !self.bounds.surely_not_alike(i, j) && verdict()
    }

    fn near(&self, i: usize) -> Range<usize> {
        self.bounds.near(i)
    }

    fn surely_all(&self, of: &[usize]) -> bool {
        self.bounds.surely_alike(of)
    }
}

/// Of each pack the number of its group, from 1, and whether it matches every other in it.
fn grouped(alike: &Alike) -> Vec<Option<(u32, bool)>> {
    let mut grouped = vec![None; alike.members.len()];
    for (number, group) in (1..).zip(groups(alike.members.len(), alike)) {
        let matches = |&index: &usize| {
            let mut others = group.iter().filter(|other| **other != index);
            others.all(|&other| alike.verdict(index, other) == Some(CompareVerdict::Match))
        };
        for index in &group {
            if let Some(own) = grouped.get_mut(*index) {
                *own = Some((number, matches(index)));
            }
        }
    }
    grouped
}

/// The pack that the others are held against: the one asked for, if it was run on the tool; else the
/// lightest; else the one with the least torque.
fn against<'m>(results: &Results, asked: &Asked, members: &[&'m Member]) -> Option<&'m Member> {
    let chosen = members
        .iter()
        .find(|member| asked.pack == Some(member.pack));
    let mass_kg = |member: &Member| {
        let mass_kg = products::mass_kg(results, member.tool, member.pack);
        mass_kg.unwrap_or(f64::INFINITY)
    };
    let lightest = || {
        let strongest_last = members.iter().rev();
        strongest_last.min_by(|a, b| mass_kg(a).total_cmp(&mass_kg(b)))
    };
    chosen.or_else(lightest).copied()
}

fn pack(results: &Results, comparing: &Comparing, member: &Member, source: Source) -> PackOnTool {
    let pack = results.dataset.packs.get(member.pack);
    let runs = || member.combination.runs();
    let price = comparing.prices.of_pair(member.tool, member.pack);
    let energies: Vec<f64> = runs()
        .filter_map(|run| Some(run.buildup.energy_mj? as f64 / 1e3))
        .collect();
    let energy_per_run_j = (!energies.is_empty()).then(|| median(energies));
    let energy_wh = pack.and_then(|pack| Some(energy_wh(pack.nominal_v?, pack.capacity_ah?)));
    let lowest = runs().filter_map(|run| run.buildup.lowest_mv).min();
    let lowest_v = lowest.map(|lowest| lowest as f64 / 1e3);
    let series = pack.and_then(|pack| pack.cells.as_ref()?.series);
    let (open_v, resistance_ohm) = source;
    PackOnTool {
        pack: products::ids(results, member.tool, member.pack).1,
        group: None,
        group_matches: None,
        verdict: None,
        mean_torque_nm: member.combination.mean_nm(),
        mean_torque_ratio: None,
        mean_torque_ratio_of_kinds: None,
        runs_used: u32::try_from(runs().count()).unwrap_or(u32::MAX),
        mass_kg: products::mass_kg(results, member.tool, member.pack),
        price: price.as_ref().map(|(amount, _)| *amount),
        currency: price.map(|(_, currency)| currency),
        energy_wh,
        open_v,
        resistance_ohm,
        most_power_w: open_v
            .zip(resistance_ohm)
            .and_then(|(open_v, ohm)| most_power_w(open_v, ohm)),
        lowest_v,
        lowest_v_per_cell: lowest_v
            .zip(series)
            .and_then(|(lowest_v, series)| per_cell(lowest_v, series)),
        energy_per_run_j,
        runs_per_charge: energy_wh.and_then(|charge| runs_per_charge(charge, energy_per_run_j)),
    }
}

/// Open-circuit voltage in V and resistance in ohm.
type Source = (Option<f64>, Option<f64>);

/// Of each pack of the file: means over the field's runs that logged them, on whatever tool.
fn sources(comparing: &Comparing) -> Vec<Source> {
    let study = comparing.study;
    let mut runs = vec![Vec::new(); study.results.dataset.packs.len()];
    for member in &study.field().members {
        if let Some(runs) = runs.get_mut(member.pack) {
            let lines = member.combination.runs().filter_map(|run| {
                let buildup = &run.buildup;
                Some((buildup.open_mv? as f64, buildup.resistance_uohm? as f64))
            });
            runs.extend(lines);
        }
    }
    let source = |runs: Vec<(f64, f64)>| {
        let mean = |sum: f64| (!runs.is_empty()).then(|| sum / runs.len() as f64);
        let open_mv = mean(runs.iter().map(|(open_mv, _)| open_mv).sum());
        let uohm = mean(runs.iter().map(|(_, uohm)| uohm).sum());
        (open_mv.map(|mv| mv / 1e3), uohm.map(|uohm| uohm / 1e6))
    };
    runs.into_iter().map(source).collect()
}

#[cfg(all(test, not(target_arch = "wasm32")))]
mod tests;
