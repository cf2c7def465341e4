//! Facts: one line about many things that a sound season may have too.

use super::doubt::{Doubt, Subject};
use super::evidence::Evidence;
use std::collections::{BTreeMap, BTreeSet};

/// How many names a line about many things tells.
const NAMES_TOLD: usize = 3;

/// The first names of a list and how many there are besides.
pub fn first_names(names: &[String]) -> String {
    let first = names.get(..NAMES_TOLD).unwrap_or(names).join(", ");
    match names.len().saturating_sub(NAMES_TOLD) {
        0 => first,
        more => format!("{first} and {more} more"),
    }
}

/// One line about all pairs that were run on one day only.
pub fn one_day_only(evidence: &Evidence) -> Option<Doubt> {
    let mut days: BTreeMap<(&str, &str), BTreeSet<&str>> = BTreeMap::new();
    for run in evidence.runs.iter().filter(|run| run.counts) {
        if !run.run.control.unwrap_or_default() {
            let pair = (run.run.tool.as_str(), run.run.pack.as_str());
            days.entry(pair).or_default().insert(&run.run.day);
        }
    }
    let all = days.len();
    let once = days.iter().filter(|(_, days)| days.len() == 1);
    let names: Vec<String> = once
        .map(|((tool, pack), _)| format!("{tool} with {pack}"))
        .collect();
    once_only(evidence, "one-day-only", &names, |count| {
        format!("{count} of {all} pairs were run on one day only")
    })
}

/// One line about all packs of which one unit was run, where units are named.
pub fn one_unit_only(evidence: &Evidence) -> Option<Doubt> {
    let mut units: BTreeMap<&str, BTreeSet<&str>> = BTreeMap::new();
    for run in evidence.runs.iter().filter(|run| run.counts) {
        if let Some(unit) = &run.run.pack_specimen {
            units.entry(&run.run.pack).or_default().insert(unit);
        }
    }
    let all = units.len();
    let once = units.iter().filter(|(_, units)| units.len() == 1);
    let names: Vec<String> = once.map(|(pack, _)| (*pack).to_owned()).collect();
    once_only(evidence, "one-unit-only", &names, |count| {
        format!("{count} of {all} packs were run with one unit only")
    })
}

/// One line about all of these, if there are any.
fn once_only(
    evidence: &Evidence,
    name: &'static str,
    names: &[String],
    says: impl Fn(usize) -> String,
) -> Option<Doubt> {
    (!names.is_empty()).then(|| {
        let found = format!("{}: {}", says(names.len()), first_names(names));
        Doubt::new(name, Subject::Pair, "")
            .says(found, "", "")
            .of_bytes(evidence.fingerprint([], &[&names.join("\n")]))
            .fact()
    })
}
