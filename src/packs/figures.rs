//! The packs run on one tool.

use super::data::{PackOnTool, Packs};
use super::groups::groups;
use crate::compare::data::CompareVerdict;
use crate::compare::figures::Comparing;
use crate::field::Member;
use crate::pack::{energy_wh, most_power_w, per_cell, runs_per_charge};
use crate::query::resolved::Asked;
use crate::results::{Results, products};
use crate::run::running_median::median;
use crate::sort;

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
    let verdict = |i: usize, j: usize| {
        let (a, b) = members.get(i).zip(members.get(j))?;
        Some(comparing.verdict(&comparing.difference(a, b)))
    };
    let groups = groups(members.len(), |i, j| {
        verdict(i, j).is_some_and(CompareVerdict::is_alike)
    });
    let packs: Vec<PackOnTool> = members
        .iter()
        .enumerate()
        .map(|(index, member)| {
            let mut pack = pack(results, comparing, member);
            let own = groups.iter().position(|group| group.contains(&index));
            pack.group = own.and_then(|own| u32::try_from(own + 1).ok());
            pack.group_matches = own.and_then(|own| groups.get(own)).map(|group| {
                let mut others = group.iter().filter(|other| **other != index);
                others.all(|&other| verdict(index, other) == Some(CompareVerdict::Match))
            });
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

fn pack(results: &Results, comparing: &Comparing, member: &Member) -> PackOnTool {
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
    let (open_v, resistance_ohm) = source(comparing, member.pack);
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

/// Open-circuit voltage and resistance of a pack: means over the field's runs that logged them, on
/// whatever tool.
fn source(comparing: &Comparing, pack: usize) -> (Option<f64>, Option<f64>) {
    let mut runs = Vec::new();
    for member in &comparing.study.field().members {
        if member.pack == pack {
            let lines = member.combination.runs().filter_map(|run| {
                let buildup = &run.buildup;
                Some((buildup.open_mv? as f64, buildup.resistance_uohm? as f64))
            });
            runs.extend(lines);
        }
    }
    let mean = |sum: f64| (!runs.is_empty()).then(|| sum / runs.len() as f64);
    let open_mv = mean(runs.iter().map(|(open_mv, _)| open_mv).sum());
    let uohm = mean(runs.iter().map(|(_, uohm)| uohm).sum());
    (open_mv.map(|mv| mv / 1e3), uohm.map(|uohm| uohm / 1e6))
}
