//! Doubts about runs that differ from their fellows: the runs of the same tool, pack, setup and
//! specimen.
//!
//! A run is held against the others of its session, or of its group where its session has fewer than
//! two others, by Student's t with the tool's moderated scatter.

use super::doubt::Doubt;
use super::evidence::{Evidence, RunEvidence, about};
use super::sessions::{Session, Sessions};
use super::statistics::{factor, limit, mean, percent, unit_ratios};
use crate::scatter::{Scatter, welch_satterthwaite};
use std::collections::{BTreeMap, BTreeSet};

/// Runs closer to their fellows than this, as a logarithm, are no matter of doubt however
/// consistent the tool.
pub(super) const LEAST_DEVIATION: f64 = 0.03;

/// Within how many standard deviations a run agrees with another pair.
const AGREES: f64 = 2.5;

/// The doubts, and the runs that are far from their fellows.
pub fn doubts(evidence: &Evidence, sessions: &Sessions) -> (BTreeSet<usize>, Vec<Doubt>) {
    let compared: Vec<Compared> = compared(evidence, sessions);
    let far: Vec<&Compared> = compared
        .iter()
        .filter(|run| run.is_far(compared.len()))
        .collect();
    let indices: BTreeSet<usize> = far.iter().map(|run| run.at).collect();
    let levels = Levels::of(evidence, sessions, &indices);
    let doubts: Vec<Doubt> = far
        .iter()
        .filter_map(|run| run.doubt(evidence, &levels, compared.len()))
        .collect();
    (indices, doubts)
}

/// A run and its fellows.
#[derive(Debug)]
struct Compared {
    at: usize,
    value: f64,
    /// Mean of the fellows.
    fellows: f64,
    count: usize,
    /// Variance of the difference, and its degrees of freedom.
    variance: f64,
    nu: f64,
    /// Scatter of one run, sessions included.
    sigma: f64,
}

fn compared(evidence: &Evidence, sessions: &Sessions) -> Vec<Compared> {
    let mut compared = Vec::new();
    for group in sessions.groups() {
        for session in group {
            let run = sessions.of_tool(session.fellows.0, evidence);
            for &(at, value) in &session.runs {
                let of = |session: &Session, strict: bool| -> Vec<f64> {
                    let others = session.runs.iter().filter(|(other, _)| {
                        *other != at && !(strict && sessions.left_out.contains(other))
                    });
                    others.map(|(_, value)| *value).collect()
                };
                let own = of(session, true);
                let mut others: Vec<Vec<f64>> = if own.len() >= 2 {
                    vec![own]
                } else {
                    let all = group.iter().map(|session| of(session, true));
                    all.filter(|runs| !runs.is_empty()).collect()
                };
                // Of two runs that differ and have no other fellow, the first is told.
                let is_first = session.runs.first().is_some_and(|(first, _)| *first == at);
                if others.is_empty() && is_first {
                    others = vec![of(session, false)];
                    others.retain(|runs| !runs.is_empty());
                }
                let values: Vec<f64> = others.iter().flatten().copied().collect();
                if values.is_empty() {
                    continue;
                }
                let elsewhere = of(session, true).len() < 2
                    && others.iter().map(Vec::len).sum::<usize>() > of(session, false).len();
                let parts = variance(run, sessions.between, values.len(), elsewhere, others.len());
                let variance: f64 = parts.iter().map(|part| part.variance).sum();
                compared.push(Compared {
                    at,
                    value,
                    fellows: mean(&values),
                    count: values.len(),
                    variance,
                    nu: welch_satterthwaite(variance, &parts),
                    sigma: (run.variance + sessions.between.variance).sqrt(),
                });
            }
        }
    }
    compared
}

/// The variance of the difference between a run and the mean of `count` others, of so many sessions
/// if they are of other sessions.
fn variance(
    run: Scatter,
    between: Scatter,
    count: usize,
    elsewhere: bool,
    sessions: usize,
) -> Vec<Scatter> {
    let times = |scatter: Scatter, factor: f64| Scatter {
        variance: factor * scatter.variance,
        nu: scatter.nu,
    };
    let mut parts = vec![times(run, 1.0 + 1.0 / count as f64)];
    if elsewhere {
        parts.push(times(between, 1.0 + 1.0 / sessions.max(1) as f64));
    }
    parts
}

impl Compared {
    fn limit(&self, all: usize) -> f64 {
        (limit(all, self.nu) * self.variance.sqrt()).max(LEAST_DEVIATION)
    }

    fn is_far(&self, all: usize) -> bool {
        (self.value - self.fellows).abs() > self.limit(all)
    }

    fn doubt(&self, evidence: &Evidence, levels: &Levels, all: usize) -> Option<Doubt> {
        let run = evidence.runs.get(self.at)?;
        let difference = self.value - self.fellows;
        let fellows = match self.count {
            1 => "its one fellow".into(),
            count => format!("its {count} fellows"),
        };
        let figure = format!(
            "Mean torque {} N·m, {} times that of {fellows} with the same tool, pack, setup and specimen, {} N·m",
            torque(self.value),
            factor(difference),
            torque(self.fellows)
        );
        let usual = format!("within {} of them", percent(self.limit(all)));
        let mut meanings: Vec<String> = unit_ratios(difference, self.variance.sqrt())
            .into_iter()
            .collect();
        meanings.extend(levels.agreeing(run, self.value, self.sigma));
        if difference < 0.0 {
            meanings.push("the socket slipped or the run was let go".into());
        } else {
            meanings.push("something in this run was not as in the others".into());
        }
        let doubt = about("far-from-fellows", run).says(figure, usual, meanings.join("; or "));
        Some(doubt.of_bytes(evidence.fingerprint([self.at], &[])))
    }
}

/// A torque from its logarithm.
pub(super) fn torque(log: f64) -> String {
    crate::logs::notes::figure(libm::exp(log))
}

/// What pairs give in each setup, runs far from their fellows left out.
struct Levels<'a>(BTreeMap<(&'a str, &'a str, &'a str), f64>);

impl<'a> Levels<'a> {
    fn of(evidence: &'a Evidence, sessions: &Sessions, far: &BTreeSet<usize>) -> Self {
        let mut values: BTreeMap<(&str, &str, &str), Vec<f64>> = BTreeMap::new();
        for (at, run, reduced) in evidence.counted() {
            if far.contains(&at) || sessions.left_out.contains(&at) {
                continue;
            }
            let key = (run.run.tool.as_str(), run.run.pack.as_str(), run.setup);
            values.entry(key).or_default().push(reduced.log_mean);
        }
        Self(values.into_iter().map(|(key, v)| (key, mean(&v))).collect())
    }

    /// Which other pack, setup or tool a run agrees with.
    fn agreeing(&self, run: &RunEvidence, value: f64, sigma: f64) -> Vec<String> {
        let own = (run.run.tool.as_str(), run.run.pack.as_str(), run.setup);
        let near = |wanted: &dyn Fn(&(&str, &str, &str)) -> bool| {
            let others = self.0.iter().filter(|(key, _)| **key != own && wanted(key));
            let distance = |(_, level): &(&(&str, &str, &str), &f64)| (*level - value).abs();
            others
                .min_by(|a, b| distance(a).total_cmp(&distance(b)))
                .filter(|(_, level)| (**level - value).abs() < AGREES * sigma)
        };
        let mut found = Vec::new();
        if let Some(((_, pack, _), level)) = near(&|key| key.0 == own.0 && key.2 == own.2) {
            found.push(format!(
                "another pack was on the tool (with {pack} it gives {} N·m), packs being swapped",
                torque(*level)
            ));
        }
        if let Some(((_, _, setup), level)) = near(&|key| key.0 == own.0 && key.1 == own.1) {
            found.push(format!(
                "another setup (as {setup} this pair gives {} N·m)",
                torque(*level)
            ));
        }
        if let Some(((tool, _, _), level)) = near(&|key| key.1 == own.1 && key.2 == own.2) {
            found.push(format!(
                "another tool ({tool} gives {} N·m with this pack)",
                torque(*level)
            ));
        }
        found
    }
}

#[cfg(test)]
mod tests {
    use super::super::tests::Case;

    fn told(case: &Case) -> Vec<(&'static str, String)> {
        let doubts = case.doubts();
        let told = doubts.iter().filter(|doubt| !doubt.fact);
        told.map(|doubt| (doubt.name, doubt.sentence())).collect()
    }

    #[test]
    fn a_run_in_another_unit_is_told_with_the_ratio() {
        let mut case = Case::default();
        case.scaled(4, 1.0 / 1.3558);
        let told = told(&case);
        assert_eq!(told.len(), 1, "{told:?}");
        assert_eq!(told[0].0, "far-from-fellows");
        assert!(told[0].1.contains("0.738, which is 1 ÷ 1.356"), "{told:?}");
    }

    #[test]
    fn a_run_that_differs_as_runs_do_is_not_told() {
        let mut case = Case::default();
        case.scaled(4, 1.02);
        assert_eq!(case.names(), [""; 0]);
        let mut case = Case::default();
        case.scaled(4, 0.8);
        assert_eq!(case.names(), ["far-from-fellows"]);
    }

    #[test]
    fn a_pack_that_was_swapped_is_named() {
        let mut case = Case::default();
        let level = case.level(1, 2) / case.level(1, 0);
        let at = case.first_of(1, 0);
        case.scaled(at, level);
        let told = told(&case);
        assert_eq!(told.len(), 1, "{told:?}");
        assert!(
            told[0].1.contains("another pack was on the tool (with p2"),
            "{told:?}"
        );
    }
}
