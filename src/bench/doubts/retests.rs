//! Doubts about re-tests: sessions that differ from the other sessions of the same tool, pack, setup
//! and specimen.
//!
//! A session is held against the others of its group by Student's t, with the tool's moderated
//! scatter and the scatter between sessions. Check runs are judged by their chart.

use super::doubt::{Doubt, Subject};
use super::evidence::Evidence;
use super::fellows::{LEAST_DEVIATION, torque};
use super::sessions::{Session, Sessions};
use super::statistics::{factor, limit, mean, percent, unit_ratios};
use crate::scatter::welch_satterthwaite;
use std::collections::BTreeSet;

/// Every such doubt; `far` are runs far from their fellows, which do not count.
pub fn doubts(evidence: &Evidence, sessions: &Sessions, far: &BTreeSet<usize>) -> Vec<Doubt> {
    let groups = sessions.groups();
    let retests = groups.flat_map(|group| of_group(evidence, sessions, far, group));
    let retests: Vec<Retest> = retests.collect();
    let doubt = |retest: &Retest| retest.doubt(evidence, retests.len());
    retests.iter().filter_map(doubt).collect()
}

/// A session and the others of its group.
struct Retest<'a> {
    session: &'a Session<'a>,
    own: f64,
    others: f64,
    /// Standard error of the difference, and its degrees of freedom.
    error: f64,
    nu: f64,
}

/// The sessions of a group, each against the others.
fn of_group<'a>(
    evidence: &Evidence,
    sessions: &'a Sessions,
    far: &BTreeSet<usize>,
    group: &'a [Session<'a>],
) -> Vec<Retest<'a>> {
    let kept: Vec<(&Session, Vec<f64>)> = group
        .iter()
        .filter(|session| !session.fellows.5)
        .map(|session| {
            let near = session.runs.iter().filter(|(at, _)| !far.contains(at));
            (session, near.map(|(_, value)| *value).collect::<Vec<f64>>())
        })
        .filter(|(_, values)| !values.is_empty())
        .collect();
    let run = group
        .first()
        .map(|session| sessions.of_tool(session.fellows.0, evidence));
    let Some(run) = run else {
        return Vec::new();
    };
    let mut retests = Vec::new();
    for (at, (session, own)) in kept.iter().enumerate() {
        // Of two sessions the later one is told.
        if kept.len() < 2 || (kept.len() == 2 && at == 0) {
            continue;
        }
        let others = kept.iter().enumerate().filter(|(other, _)| *other != at);
        let others: Vec<&Vec<f64>> = others.map(|(_, (_, values))| values).collect();
        let means: Vec<f64> = others.iter().map(|values| mean(values)).collect();
        let share: f64 = others.iter().map(|values| 1.0 / values.len() as f64).sum();
        let count = means.len() as f64;
        let of_runs = 1.0 / own.len() as f64 + share / (count * count);
        let parts = [
            run.scaled(of_runs),
            sessions.between.scaled(1.0 + 1.0 / count),
        ];
        let variance = parts.iter().map(|part| part.variance).sum::<f64>();
        retests.push(Retest {
            session,
            own: mean(own),
            others: mean(&means),
            error: variance.sqrt(),
            nu: welch_satterthwaite(variance, &parts),
        });
    }
    retests
}

impl Retest<'_> {
    /// The doubt, if the difference is beyond scatter for one of `all` re-tests.
    fn doubt(&self, evidence: &Evidence, all: usize) -> Option<Doubt> {
        let difference = self.own - self.others;
        let limit = (limit(all, self.nu) * self.error).max(LEAST_DEVIATION);
        if difference.abs() <= limit {
            return None;
        }
        let (tool, pack, setup, specimen, ..) = self.session.fellows;
        let day = self.session.day;
        let runs = self.session.runs.iter().map(|(at, _)| *at);
        let first = evidence.runs.get(self.session.runs.first()?.0)?;
        let mut meaning = vec![
            "the tool or the rig has changed between these days, or a label in the notebook (pack, specimen, setup) is wrong".to_owned(),
        ];
        meaning.extend(unit_ratios(difference, self.error));
        let of = |name: &str, value: &str| match value {
            "" => String::new(),
            value => format!(", {name} {value}"),
        };
        let about = format!("{tool} with {pack} on {day}");
        Some(
            Doubt::new("retest-differs", Subject::Pair, about)
                .at(&first.pointer)
                .says(
                    format!(
                        "The re-test of {tool} with {pack} on {day}{}{}, differs from its other days: mean torque {} N·m, {} times {} N·m",
                        of("specimen", specimen),
                        of("setup", setup),
                        torque(self.own),
                        factor(difference),
                        torque(self.others)
                    ),
                    format!("within {}, runs and days scattering as they do", percent(limit)),
                    meaning.join("; or "),
                )
                .of_bytes(evidence.fingerprint(runs, &[])),
        )
    }
}

#[cfg(test)]
mod tests {
    use super::super::tests::Case;

    #[test]
    fn a_retest_beyond_scatter_is_told_and_one_within_is_not() {
        let retest = |factor: f64, day: &str| {
            let mut case = Case::default();
            case.days[3].id = day.into();
            let of_it = case.runs.iter_mut().filter(|run| run.day == "d4");
            of_it.for_each(|run| run.day = day.into());
            for nth in 0..3 {
                let mut run = case.runs[nth].clone();
                run.day = day.into();
                case.runs.push(run);
                let last = case.runs.len() - 1;
                case.scaled(last, factor);
                // Noise of its own, so that it is no copy.
                for (i, dnm) in case.run(last).iter_mut().enumerate() {
                    *dnm += (i * i * 7 + nth * 13) as i32 % 41 - 20;
                }
            }
            let doubts = case.doubts();
            let told = doubts.iter().filter(|doubt| !doubt.fact);
            told.map(|doubt| doubt.key()).collect::<Vec<_>>()
        };
        assert_eq!(retest(1.01, "d4"), [""; 0]);
        // The later of two days is told, whatever the days are called.
        for day in ["d4", "a4"] {
            let told = retest(1.15, day);
            let about = format!("on {day}");
            assert!(
                told.iter()
                    .any(|name| name.starts_with("retest-differs") && name.ends_with(&about)),
                "{told:?}"
            );
        }
    }
}
