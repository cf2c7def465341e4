//! What other setups cost in torque, by the pairs that were run both in them and in the one asked for.

use super::Results;
use super::asked::Asked;
use super::comparing::mean_of;
use super::field::{Field, Member};
use super::uncertainty::{Uncertainty, scatter_of};
use crate::ask::setups::{Changed, SetupCost};
use crate::compare::{BothWays, Difference};
use crate::dataset::types::{Rig, Setup};
use crate::history::editions::{Part, part_of};
use crate::scatter::LEAST_NU;
use crate::sorted;
use crate::typical::Counted;
use crate::words;
use std::cmp::Ordering;

/// Whether an extension or adapters stand between tool and nut.
pub(super) fn is_extended(setup: &Setup) -> bool {
    setup.extension_mm.is_some_and(|length| length > 0.0) || setup.adapters.is_some()
}

/// What each setup costs that differs from the one asked for in one thing that may cost torque.
pub(super) fn costs(
    results: &Results,
    asked: &Asked,
    field: &Field,
    uncertainty: &Uncertainty,
) -> Vec<SetupCost> {
    let setups = results.dataset.setups.iter().enumerate();
    setups
        .filter_map(|(place, setup)| {
            let changed = changed(asked.rig, asked.setup, setup, field.ambient_c)?;
            let other = Field::in_setup(results, asked, place, setup);
            let (lost, known, pairs) = lost(field, &other, uncertainty)?;
            let percent = |log: f64| 100.0 * (1.0 - libm::exp(log));
            let ends = known.then(|| lost.interval());
            let mut cost = SetupCost {
                setup: setup.id.clone(),
                changed,
                pairs,
                lost_percent: percent(lost.log),
                low_percent: ends.map(|(_, high)| percent(high)),
                high_percent: ends.map(|(low, _)| percent(low)),
                take_percent: None,
                words: String::new(),
                take: None,
            };
            words::setups::cost(&results.catalogue, &mut cost, &setup.name);
            Some(cost)
        })
        .collect()
}

/// What a setup changes against another, if it changes one thing only that may cost torque.
fn changed(
    rig: &Rig,
    here: &Setup,
    other: &Setup,
    ambient_c: Option<(f64, f64)>,
) -> Option<Changed> {
    let joint = |setup: &'_ Setup| {
        let first = || rig.joints.first().map(|joint| joint.id.clone());
        setup.joint.clone().or_else(first)
    };
    let way = |setup: &Setup| (setup.rotation, setup.tool_mode.clone(), joint(setup));
    let between = |setup: &Setup| {
        let length_mm = setup.extension_mm.unwrap_or_default();
        (length_mm, setup.adapters.clone())
    };
    if way(here) != way(other) {
        return None;
    }
    let full = |setup: &Setup| setup.start_charge_percent.unwrap_or(100.0);
    let charge = full(other).partial_cmp(&full(here))?;
    let warmth = match (here.pack_start_c, other.pack_start_c) {
        (None, None) => Ordering::Equal,
        (Some(here_c), Some(other_c)) => other_c.partial_cmp(&here_c)?,
        // Packs whose temperature nobody set were as warm as the air.
        (None, Some(other_c)) => ambient_c
            .filter(|(lowest_c, _)| other_c < *lowest_c)
            .map(|_| Ordering::Less)?,
        (Some(_), None) => return None,
    };
    match (charge.max(warmth), charge.min(warmth)) {
        (Ordering::Equal, Ordering::Equal) => {
            (!is_extended(here) && is_extended(other)).then_some(Changed::Extension)
        }
        (Ordering::Less | Ordering::Equal, Ordering::Less) => {
            (between(here) == between(other)).then_some(Changed::Packs)
        }
        _ => None,
    }
}

/// The difference of two fields in ln mean torque over the pairs of both, whether there are enough
/// runs in each to say how sure it is, and how many pairs those are.
fn lost(
    field: &Field,
    other: &Field,
    uncertainty: &Uncertainty,
) -> Option<(Difference, bool, u32)> {
    let mean = |run: &Counted| run.measures.mean_nm;
    let [there, here] = [other, field].map(|field| scatter_of(field, mean));
    let of_pair = |member: &Member| (member.tool, member.pack);
    let both = other.members.iter().filter_map(|again| {
        let members = &field.members;
        let place = members
            .binary_search_by_key(&of_pair(again), of_pair)
            .ok()?;
        let member = members.get(place)?;
        Some(BothWays {
            tool: member.tool,
            means: [(again, &there), (member, &here)]
                .map(|(member, run)| mean_of(member, run, member.combination.log_of(&mean))),
            specimens: [again.specimens.clone(), member.specimens.clone()],
        })
    });
    let both: Vec<BothWays> = both.collect();
    let lost = Difference::over_pairs(&both, uncertainty.specimen.scatter)?;
    let known = there.pooled.nu.min(here.pooled.nu) >= LEAST_NU;
    Some((lost, known, u32::try_from(both.len()).unwrap_or(u32::MAX)))
}

/// The pairs with a counted run in the file's first setup, on the rig and in the edition asked for.
pub(super) fn run_in_standard(results: &Results, asked: &Asked) -> Vec<(usize, usize)> {
    let runs = results.dataset.runs.iter().zip(&results.runs);
    let counted = runs.filter(|(run, reduced)| {
        (reduced.rig, reduced.setup) == (asked.rig_place, 0)
            && matches!(part_of(run, asked.edition), Part::Counts)
    });
    let mut pairs: Vec<_> = counted
        .map(|(_, reduced)| (reduced.tool, reduced.pack))
        .collect();
    sorted::distinct(&mut pairs);
    pairs
}
