//! What other setups cost in torque, by the pairs that were run both in them and in the one asked for.

use super::data::{Changed, SetupCost};
use crate::dataset::types::{Rig, Setup};
use crate::field::{Field, Member};
use crate::history::editions::{Part, part_of};
use crate::query::resolved::Asked;
use crate::results::Results;
use crate::scatter::LEAST_NU;
use crate::scatter::cells::Run;
use crate::scatter::difference::Difference;
use crate::scatter::over_pairs::{Paired, over_pairs};
use crate::scatter::run::RunScatter;
use crate::scatter::shares::{Scatters, Shares};
use crate::sort;
use crate::typical::Counted;
use std::cmp::Ordering;

/// Whether an extension or adapters stand between tool and nut.
pub(crate) fn is_extended(setup: &Setup) -> bool {
    setup.extension_mm.is_some_and(|length| length > 0.0) || setup.adapters.is_some()
}

/// What other setups cost is told of so many, the first of the file.
const MOST_TOLD: usize = 8;

/// The field asked for, with its scatters.
#[derive(Clone, Copy)]
pub(crate) struct Here<'a> {
    pub field: &'a Field,
    /// Of runs in ln mean torque.
    pub mean: &'a RunScatter,
    /// Of specimens, pack specimens and days.
    pub scatters: &'a Scatters,
}

/// What each setup costs that differs from the one asked for in one thing that may cost torque.
pub fn costs(results: &Results, asked: &Asked, of: Here) -> Vec<SetupCost> {
    let field = of.field;
    let here: Vec<(usize, usize)> = field.members.iter().map(Member::pair).collect();
    let mut again = counted_pairs(results, asked);
    again.retain(|(_, pair)| here.binary_search(pair).is_ok());
    let mut setups: Vec<usize> = again.into_iter().map(|(setup, _)| setup).collect();
    setups.dedup();
    let changed = setups.into_iter().filter_map(|index| {
        let setup = results.dataset.setups.get(index)?;
        let changed = changed(&asked.rig, &asked.setup, setup, field.ambient_c)?;
        Some((index, setup, changed))
    });
    changed
        .take(MOST_TOLD)
        .filter_map(|(index, setup, changed)| {
            let other = Field::in_setup(results, asked, index, setup);
            let (lost, known, pairs) = lost(of, &other, results.dataset.tools.len())?;
            let percent = |log: f64| 100.0 * (1.0 - libm::exp(log));
            let ends = known.then(|| lost.interval());
            Some(SetupCost {
                setup: setup.id.clone(),
                changed,
                pairs,
                lost_percent: percent(lost.log),
                low_percent: ends.map(|(_, high)| percent(high)),
                high_percent: ends.map(|(low, _)| percent(low)),
                take_percent: None,
                words: String::new(),
                take: None,
            })
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
    let first_joint = rig.joints.first().map(|joint| joint.id.as_str());
    let [here_way, other_way] = [here, other].map(|setup| {
        let joint = setup.joint.as_deref().or(first_joint);
        (setup.rotation, setup.tool_mode.as_deref(), joint)
    });
    if here_way != other_way {
        return None;
    }
    let [here_between, other_between] = [here, other].map(|setup| {
        let length_mm = setup.extension_mm.unwrap_or_default();
        (length_mm, setup.adapters.as_deref())
    });
    // Nobody knows by how much a charge that is given differs from one that is not.
    let charge = match (here.start_charge_percent, other.start_charge_percent) {
        (None, None) => Ordering::Equal,
        (Some(here), Some(other)) => other.partial_cmp(&here)?,
        _ => return None,
    };
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
            (here_between == other_between).then_some(Changed::Packs)
        }
        _ => None,
    }
}

/// The difference of two fields in ln mean torque over the pairs of both, whether there are enough
/// runs in each to say how sure it is, and how many pairs those are.
fn lost(of: Here, other: &Field, tools: usize) -> Option<(Difference, bool, u32)> {
    let mean = |run: &Counted| run.measures.mean_nm;
    let (field, here) = (of.field, of.mean);
    let there = other.scatter_of(&mean);
    let both = other.members.iter().filter_map(|again| {
        let members = &field.members;
        let index = members
            .binary_search_by_key(&again.pair(), Member::pair)
            .ok()?;
        let member = members.get(index)?;
        // Runs of one tool scatter in each setup by a number of its own.
        let apart = |run: &Run| Run {
            tool: run.tool + tools,
            ..*run
        };
        let origins: Vec<Run> = again.origins.iter().map(apart).collect();
        Some(Paired {
            log: again.combination.log_of(&mean) - member.combination.log_of(&mean),
            shares: Shares::of_mean(&origins).less(&member.shares),
        })
    });
    let both: Vec<Paired> = both.collect();
    let run = |tool: usize| match tool.checked_sub(tools) {
        Some(tool) => there.of_tool(tool),
        None => here.of_tool(tool),
    };
    // From pair to pair a cost is taken to vary as runs do, as a pair's own torque is in estimates.
    let lost = over_pairs(&both, of.scatters, run, here.pooled.variance)?;
    let known = there.pooled.nu.min(here.pooled.nu) >= LEAST_NU;
    Some((lost, known, u32::try_from(both.len()).unwrap_or(u32::MAX)))
}

/// The setups of counted runs on the rig and in the edition asked for, each with its pairs.
fn counted_pairs(results: &Results, asked: &Asked) -> Vec<(usize, (usize, usize))> {
    let runs = results.dataset.runs.iter().zip(&results.runs);
    let counted = runs.filter(|(run, reduced)| {
        reduced.rig == asked.rig_place && matches!(part_of(run, asked.edition), Part::Counts)
    });
    let mut pairs: Vec<_> = counted
        .map(|(_, reduced)| (reduced.setup, (reduced.tool, reduced.pack)))
        .collect();
    sort::distinct(&mut pairs);
    pairs
}

/// The pairs with a counted run in the file's first setup, on the rig and in the edition asked for.
pub fn run_in_standard(results: &Results, asked: &Asked) -> Vec<(usize, usize)> {
    let pairs = counted_pairs(results, asked).into_iter();
    let first = pairs.filter(|(setup, _)| *setup == 0);
    first.map(|(_, pair)| pair).collect()
}
