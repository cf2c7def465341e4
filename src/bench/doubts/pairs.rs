//! Doubts about pairs: far from the estimate of their tool and their pack, packs in another order
//! than their energies.

use super::doubt::{Doubt, Subject};
use super::evidence::Evidence;
use super::fellows::torque;
use super::sessions::Sessions;
use super::statistics::{factor, limit, mean, percent, robust_sigma, unit_ratios};
use crate::estimate::{Estimate, Measured, Model};
use crate::pack::energy_wh;
use crate::run::running_median::median;
use crate::scatter::{Scatter, welch_satterthwaite};
use std::collections::{BTreeMap, BTreeSet};

/// A pair closer to its estimate than this, as a logarithm, is no matter of doubt.
const LEAST_DEVIATION: f64 = 0.05;

/// A pair is estimated from the others only if its residual from the field's medians is this many
/// robust standard deviations: an estimate costs a fit of the whole field.
const LOOKED_AT: f64 = 3.0;

/// At most so many pairs of a field are estimated.
const MOST_LOOKED_AT: usize = 30;

/// Rounds of medians over tools and packs.
const ROUNDS: usize = 10;

/// A pack whose energy is larger by this factor ought to give no less torque.
const MORE_ENERGY: f64 = 1.2;

/// Tools of one model differ by about this much where nothing else is known: the default of the
/// answers' uncertainty.
const TOOLS_DIFFER: f64 = 0.03;

/// A pair of one field.
#[derive(Clone, Debug)]
struct Pair<'a> {
    tool: &'a str,
    pack: &'a str,
    level: f64,
    /// Variance of the level.
    variance: Scatter,
    runs: Vec<usize>,
}

/// Doubts about pairs; `far` are runs far from their fellows, which do not count.
pub fn doubts(evidence: &Evidence, sessions: &Sessions, far: &BTreeSet<usize>) -> Vec<Doubt> {
    let mut fields: BTreeMap<(&str, &str), Vec<Pair>> = BTreeMap::new();
    for pair in all_pairs(evidence, sessions, far) {
        fields.entry(pair.0).or_default().push(pair.1);
    }
    let mut doubts = Vec::new();
    for pairs in fields.values() {
        let found = far_from_estimate(evidence, pairs);
        // A pair that is far from its estimate is told once.
        let told: BTreeSet<usize> = found.iter().map(|(at, _)| *at).collect();
        let others: Vec<Pair> = pairs
            .iter()
            .enumerate()
            .filter(|(at, _)| !told.contains(at))
            .map(|(_, pair)| pair.clone())
            .collect();
        doubts.extend(found.into_iter().map(|(_, doubt)| doubt));
        doubts.extend(out_of_order(evidence, &others));
    }
    doubts
}

/// Rig, setup, tool and pack.
type Key<'a> = (&'a str, &'a str, &'a str, &'a str);

/// Session means with their number of runs, by specimen of the tool.
type Means<'a> = BTreeMap<&'a str, Vec<(f64, usize)>>;

/// Pairs with their rig and setup.
fn all_pairs<'a>(
    evidence: &'a Evidence<'a>,
    sessions: &'a Sessions<'a>,
    far: &BTreeSet<usize>,
) -> Vec<((&'a str, &'a str), Pair<'a>)> {
    let pairs = means_of_pairs(sessions, far);
    // Where all runs of a tool are of one specimen, its specimens cannot set its pairs apart.
    let mut specimens_of: BTreeMap<&str, BTreeSet<&str>> = BTreeMap::new();
    for ((_, _, tool, _), (means, _)) in &pairs {
        specimens_of.entry(tool).or_default().extend(means.keys());
    }
    pairs
        .into_iter()
        .map(|((rig, setup, tool, pack), (means, runs))| {
            let own = evidence.dataset.rigs.iter().find(|other| other.id == rig);
            let percent = own.and_then(|rig| rig.unit_to_unit_percent);
            let differ = match specimens_of.get(tool).map(BTreeSet::len) {
                Some(0 | 1) | None => 0.0,
                _ => percent.map_or(TOOLS_DIFFER, |percent| percent / 100.0),
            };
            let of_specimen = |sessions: &Vec<(f64, usize)>| {
                mean(&sessions.iter().map(|(mean, _)| *mean).collect::<Vec<_>>())
            };
            let run = sessions.of_tool(tool, evidence);
            let pair = Pair {
                tool,
                pack,
                level: mean(&means.values().map(of_specimen).collect::<Vec<_>>()),
                variance: variance(&means, run, sessions.between, differ),
                runs,
            };
            ((rig, setup), pair)
        })
        .collect()
}

/// The session means of each pair and its runs.
fn means_of_pairs<'a>(
    sessions: &'a Sessions<'a>,
    far: &BTreeSet<usize>,
) -> BTreeMap<Key<'a>, (Means<'a>, Vec<usize>)> {
    let mut pairs: BTreeMap<Key, (Means, Vec<usize>)> = BTreeMap::new();
    for session in &sessions.all {
        let (tool, pack, setup, specimen, rig, _) = session.fellows;
        let near: Vec<&(usize, f64)> = session
            .runs
            .iter()
            .filter(|(at, _)| !far.contains(at))
            .collect();
        if near.is_empty() {
            continue;
        }
        let values: Vec<f64> = near.iter().map(|(_, value)| *value).collect();
        let (means, runs) = pairs.entry((rig, setup, tool, pack)).or_default();
        means
            .entry(specimen)
            .or_default()
            .push((mean(&values), values.len()));
        runs.extend(near.iter().map(|(at, _)| *at));
    }
    pairs
}

/// The variance of a pair's level: from the scatter of runs and of sessions, and from specimens of its
/// tool, of which levels differ by `differ`, a logarithm.
fn variance(means: &Means, run: Scatter, between: Scatter, differ: f64) -> Scatter {
    let specimens = means.len() as f64;
    let count: usize = means.values().map(Vec::len).sum();
    let shares: f64 = means.values().flatten().map(|(_, n)| 1.0 / *n as f64).sum();
    let parts = [
        run.scaled(shares / (count * count) as f64),
        between.scaled(1.0 / count as f64),
        Scatter {
            variance: differ * differ / specimens,
            nu: f64::INFINITY,
        },
    ];
    let variance = parts.iter().map(|part| part.variance).sum();
    Scatter {
        variance,
        nu: welch_satterthwaite(variance, &parts),
    }
}

/// Residuals of the pairs of a field after medians over tools and over packs have been taken away in
/// turn (median polish, Tukey 1977).
fn residuals(pairs: &[Pair]) -> Vec<f64> {
    let mut residuals: Vec<f64> = pairs.iter().map(|pair| pair.level).collect();
    let mut take_away = |key: &dyn Fn(&Pair) -> String| {
        let mut groups: BTreeMap<String, Vec<usize>> = BTreeMap::new();
        for (at, pair) in pairs.iter().enumerate() {
            groups.entry(key(pair)).or_default().push(at);
        }
        for group in groups.values() {
            let values = group.iter().filter_map(|&at| residuals.get(at).copied());
            let middle = median(values.collect());
            for &at in group {
                if let Some(residual) = residuals.get_mut(at) {
                    *residual -= middle;
                }
            }
        }
    };
    for _ in 0..ROUNDS {
        take_away(&|pair| pair.tool.to_owned());
        take_away(&|pair| pair.pack.to_owned());
    }
    residuals
}

fn far_from_estimate(evidence: &Evidence, pairs: &[Pair]) -> Vec<(usize, Doubt)> {
    let residuals = residuals(pairs);
    let sigma = robust_sigma(residuals.iter().copied().filter(|one| one.abs() > 1e-9));
    let mut looked_at: Vec<(usize, f64)> = residuals
        .iter()
        .map(|residual| residual.abs())
        .enumerate()
        .filter(|(_, size)| *size > LEAST_DEVIATION / 2.0 && *size > LOOKED_AT * sigma)
        .collect();
    looked_at.sort_by(|a, b| b.1.total_cmp(&a.1));
    looked_at.truncate(MOST_LOOKED_AT);
    let mut found: Vec<(usize, Doubt)> = Vec::new();
    for (at, _) in looked_at {
        // The farthest first; those told already do not bear on the estimates of the others.
        let told: Vec<usize> = found.iter().map(|(at, _)| *at).collect();
        let doubt = of_pair(evidence, pairs, at, &told);
        found.extend(doubt.map(|doubt| (at, doubt)));
    }
    found
}

fn of_pair(evidence: &Evidence, pairs: &[Pair], at: usize, told: &[usize]) -> Option<Doubt> {
    let pair = pairs.get(at)?;
    let estimate = estimate(evidence, pairs, at, told)?;
    let parts = [estimate.scatter, pair.variance];
    let variance = estimate.scatter.variance + pair.variance.variance;
    let error = variance.sqrt();
    let nu = welch_satterthwaite(variance, &parts);
    let limit = (limit(pairs.len(), nu) * error).max(LEAST_DEVIATION);
    let difference = pair.level - estimate.level;
    if difference.abs() <= limit {
        return None;
    }
    let first = evidence.runs.get(*pair.runs.first()?)?;
    let mut meaning: Vec<String> = unit_ratios(difference, error).into_iter().collect();
    meaning.push("other packs, another tool or another setup than the notebook names".into());
    meaning.push("this tool and this pack do differ from the rest".into());
    let doubt = Doubt::new(
        "pair-far-from-estimate",
        Subject::Pair,
        format!("{} with {}", pair.tool, pair.pack),
    );
    Some(
        doubt
            .at(&first.pointer)
            .says(
                format!(
                    "The {} runs of {} with {} give {} N·m, {} times the {} N·m that the tool's other packs and the pack's other tools let expect",
                    pair.runs.len(),
                    pair.tool,
                    pair.pack,
                    torque(pair.level),
                    factor(difference),
                    torque(estimate.level)
                ),
                format!("within {} of it", percent(limit)),
                meaning.join("; or "),
            )
            .of_bytes(evidence.fingerprint(pair.runs.iter().copied(), &[])),
    )
}

/// The estimate of a pair from all others that are not told already.
fn estimate(evidence: &Evidence, pairs: &[Pair], at: usize, told: &[usize]) -> Option<Estimate> {
    let pair = pairs.get(at)?;
    let index = |list: &mut dyn Iterator<Item = &String>, id: &str| {
        let mut list = list.enumerate();
        list.find(|(_, other)| *other == id)
            .map(|(index, _)| index)
            .unwrap_or(usize::MAX)
    };
    let tool = |id: &str| index(&mut evidence.dataset.tools.iter().map(|tool| &tool.id), id);
    let pack = |id: &str| index(&mut evidence.dataset.packs.iter().map(|pack| &pack.id), id);
    let others: Vec<&Pair> = pairs
        .iter()
        .enumerate()
        .filter(|(other, _)| *other != at && !told.contains(other))
        .map(|(_, pair)| pair)
        .collect();
    let measured: Vec<Measured> = others
        .iter()
        .map(|pair| Measured {
            tool: tool(pair.tool),
            pack: pack(pair.pack),
            level: pair.level,
        })
        .collect();
    let covariance = |a: usize, b: usize| {
        let own = others.get(a).map_or(0.0, |pair| pair.variance.variance);
        if a == b { own } else { 0.0 }
    };
    let typical = median(others.iter().map(|pair| pair.variance.variance).collect());
    let model = Model::of(&measured, covariance, typical)?;
    model.estimate(tool(pair.tool), pack(pair.pack))
}

/// The pair with more energy, the other, the difference of their levels, and that as a part of the
/// limit.
type Order<'a> = (&'a Pair<'a>, &'a Pair<'a>, f64, f64);

/// Packs of one tool of which the one with more energy gives less, though it gives more with another
/// tool: the mark of swapped labels. Where every tool agrees, it is the packs' nature.
fn out_of_order(evidence: &Evidence, pairs: &[Pair]) -> Vec<Doubt> {
    let energy = |id: &str| {
        let pack = evidence.dataset.packs.iter().find(|pack| pack.id == id)?;
        Some(energy_wh(pack.nominal_v?, pack.capacity_ah?))
    };
    // For each pair of packs, the larger first: what each tool says.
    let mut orders: BTreeMap<(&str, &str), Vec<Order>> = BTreeMap::new();
    for large in pairs {
        for small in pairs.iter().filter(|small| small.tool == large.tool) {
            let more = energy(large.pack).zip(energy(small.pack));
            if more.is_some_and(|(large, small)| large >= MORE_ENERGY * small) {
                let parts = [large.variance, small.variance];
                let variance = large.variance.variance + small.variance.variance;
                let error = variance.sqrt();
                let difference = large.level - small.level;
                let nu = welch_satterthwaite(variance, &parts);
                orders.entry((large.pack, small.pack)).or_default().push((
                    large,
                    small,
                    difference,
                    difference / (limit(pairs.len(), nu) * error),
                ));
            }
        }
    }
    let mut doubts = Vec::new();
    for tools in orders.values() {
        let agrees = tools.iter().any(|(.., beyond)| *beyond > 0.5);
        let others_disagree = tools.iter().filter(|(.., by, _)| *by < 0.0).count();
        for (large, small, difference, beyond) in tools {
            if *beyond >= -1.0 || !agrees || others_disagree > 1 {
                continue;
            }
            let Some(first) = large.runs.first().and_then(|at| evidence.runs.get(*at)) else {
                continue;
            };
            let about = format!("{} with {} and {}", large.tool, large.pack, small.pack);
            let runs = large.runs.iter().chain(&small.runs).copied();
            doubts.push(
                Doubt::new("packs-out-of-order", Subject::Pair, about)
                    .at(&first.pointer)
                    .says(
                        format!(
                            "On {} the pack {}, which holds more energy, gives {} N·m, {} times the {} N·m of {}",
                            large.tool,
                            large.pack,
                            torque(large.level),
                            factor(*difference),
                            torque(small.level),
                            small.pack
                        ),
                        "the pack with more energy gives no less, as on another tool",
                        "the two packs are swapped in the notebook, or one of them was not full",
                    )
                    .of_bytes(evidence.fingerprint(runs, &[])),
            );
        }
    }
    doubts
}

#[cfg(test)]
mod tests {
    use super::super::tests::Case;

    #[test]
    fn a_pair_in_another_unit_is_told_with_the_ratio_and_a_near_one_is_not() {
        let of = |factor: f64| {
            let mut case = Case::default();
            for at in case.all_of(1, 1) {
                let run = case.run(at).iter_mut();
                run.for_each(|dnm| *dnm = (f64::from(*dnm) * factor).round() as i32);
            }
            let doubts = case.doubts();
            let told = doubts.into_iter().filter(|doubt| !doubt.fact);
            told.map(|doubt| (doubt.name, doubt.sentence()))
                .collect::<Vec<_>>()
        };
        assert_eq!(of(1.03), []);
        let told = of(1.3558);
        assert_eq!(told.len(), 1, "{told:?}");
        assert_eq!(told[0].0, "pair-far-from-estimate");
        assert!(told[0].1.contains("1.356, the ratio"), "{told:?}");
    }
}
