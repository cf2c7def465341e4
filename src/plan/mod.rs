//! What to run next: which pairs, in which order, and why.
//!
//! [`need`] finds what speaks for running each pair, [`shuffle`] mixes with a seed, [`order`] lets
//! packs rest.

pub mod need;
pub mod order;
pub mod shuffle;

use crate::results::Results;
use need::{Need, Reason};
use serde::Serialize;
use shuffle::Generator;

/// The runs to make, in their order.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Plan {
    /// The edition whose runs were counted.
    pub edition: u32,
    /// Seed of the order.
    pub seed: u64,
    /// Identifier of the rig.
    pub rig: String,
    /// Identifier of the setup.
    pub setup: String,
    /// The runs, a check run first and last.
    pub runs: Vec<PlannedRun>,
}

/// A run to make.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PlannedRun {
    /// Identifier of the tool.
    pub tool: String,
    /// Identifier of the pack.
    pub pack: String,
    /// Whether it is a check run.
    pub check: bool,
    /// What speaks for it; none for a check run.
    pub reasons: Vec<Reason>,
}

/// Where runs are planned.
#[derive(Clone, Copy, Debug)]
pub struct FieldId<'a> {
    /// Identifier of a rig of the dataset.
    pub rig: &'a str,
    /// Identifier of a setup of the dataset.
    pub setup: &'a str,
}

/// Plans `count` runs in one rig and setup, and two check runs besides. Each run goes to the
/// pair that then has the fewest runs, those wanted again first; the order is shuffled by `seed`, so
/// that warm-up and wear favour no pair, and then lets packs rest ([`order::rested`]).
pub fn plan(results: &Results, edition: u32, field: FieldId, count: usize, seed: u64) -> Plan {
    let mut needs = need::needs(results, edition, field);
    let mut chosen: Vec<Need> = Vec::new();
    for _ in 0..count {
        let Some(need) = needs.iter_mut().min_by_key(|need| need.key()) else {
            break;
        };
        need.planned += 1;
        chosen.push(need.clone());
    }
    Generator::new(seed).shuffle(&mut chosen);
    let chosen = order::rested(chosen, |need| (need.tool.clone(), need.pack.clone()));
    let check = need::check_pair(results, edition, field.rig, &needs);
    let check = check.map(|(tool, pack)| PlannedRun {
        tool,
        pack,
        check: true,
        reasons: Vec::new(),
    });
    let run = |need: Need| PlannedRun {
        tool: need.tool,
        pack: need.pack,
        check: false,
        reasons: need.reasons,
    };
    let runs: Vec<PlannedRun> = chosen.into_iter().map(run).collect();
    let around = check.filter(|_| !runs.is_empty());
    Plan {
        edition,
        seed,
        rig: field.rig.into(),
        setup: field.setup.into(),
        runs: around
            .clone()
            .into_iter()
            .chain(runs)
            .chain(around)
            .collect(),
    }
}
