//! Runs grouped with those that ought to agree with them, and how far they usually differ.

use super::evidence::Evidence;
use super::statistics::{mean, robust_sigma};
use crate::run::running_median::median;
use crate::scatter::run::RunScatter;
use crate::scatter::{LEAST_NU, Scatter};
use std::collections::{BTreeMap, BTreeSet};

/// A run this many robust standard deviations from its session does not count when scatter is
/// estimated: so many normal values are never that far.
const LEFT_OUT: f64 = 6.0;

/// Days of a sound rig differ by about this much, one standard deviation of a logarithm, if nothing
/// is known of it: common experience, no source.
const DAYS_DIFFER: f64 = 0.01;

/// That weighs so many degrees of freedom against what the season itself shows.
const DAYS_NU: f64 = 4.0;

/// A standard deviation from a median of absolute deviations is worth this part of the degrees of
/// freedom of one from squares: its efficiency (Rousseeuw and Croux 1993, "Alternatives to the median
/// absolute deviation", Journal of the American Statistical Association 88, 1273–1283).
const MAD_EFFICIENCY: f64 = 0.37;

/// Least session length at which a run is held against its own session alone.
const LEAST_IN_SESSION: usize = 3;

/// Tool, pack, setup, specimen of the tool, rig, whether they are check runs.
pub type Fellows<'a> = (&'a str, &'a str, &'a str, &'a str, &'a str, bool);

/// Fellows, date, day, unit of the pack.
type Key<'a> = (Fellows<'a>, &'a str, &'a str, &'a str);

/// A session: the runs of one group on one day with one unit of the pack.
#[derive(Debug)]
pub struct Session<'a> {
    /// What its runs have in common.
    pub fellows: Fellows<'a>,
    /// Day.
    pub day: &'a str,
    /// Unit of the pack.
    pub pack_specimen: &'a str,
    /// Its runs with their ln mean torque.
    pub runs: Vec<(usize, f64)>,
}

/// All runs that count, by session, and their scatter.
#[derive(Debug)]
pub struct Sessions<'a> {
    /// Sessions, those of one group next to each other, by day.
    pub all: Vec<Session<'a>>,
    /// Runs so far out that they were left out of the scatter.
    pub left_out: BTreeSet<usize>,
    scatter: RunScatter,
    /// How much sessions of one group differ besides.
    pub between: Scatter,
}

impl<'a> Sessions<'a> {
    /// `None` where there are too few repeated runs to say anything.
    pub fn of(evidence: &'a Evidence<'a>) -> Option<Self> {
        let mut sessions: BTreeMap<Key, Vec<(usize, f64)>> = BTreeMap::new();
        for (at, run, reduced) in evidence.counted() {
            if run.wrong_sign.is_some() || run.still_zero.is_some() {
                continue;
            }
            let fellows = (
                run.run.tool.as_str(),
                run.run.pack.as_str(),
                run.setup,
                run.run.specimen.as_deref().unwrap_or_default(),
                run.rig.map_or("", |rig| &rig.id),
                run.run.control.unwrap_or_default(),
            );
            let unit = run.run.pack_specimen.as_deref().unwrap_or_default();
            let date = run.day.map_or("", |day| &day.date);
            let day = run.run.day.as_str();
            let session = sessions.entry((fellows, date, day, unit)).or_default();
            session.push((at, reduced.log_mean));
        }
        let all: Vec<Session> = sessions
            .into_iter()
            .map(|((fellows, _, day, pack_specimen), runs)| Session {
                fellows,
                day,
                pack_specimen,
                runs,
            })
            .collect();
        let left_out = left_out(&all);
        let scatter = scatter(&all, &left_out, evidence);
        if scatter.pooled.nu < LEAST_NU {
            return None;
        }
        let mut sessions = Self {
            all,
            left_out,
            scatter,
            between: Scatter {
                variance: DAYS_DIFFER * DAYS_DIFFER,
                nu: DAYS_NU,
            },
        };
        sessions.between = sessions.between_sessions(evidence);
        Some(sessions)
    }

    /// The scatter of a tool's runs, held by that of the others.
    pub fn of_tool(&self, tool: &str, evidence: &Evidence) -> Scatter {
        let tools = &evidence.dataset.tools;
        let index = tools.iter().position(|other| other.id == tool);
        self.scatter.of_tool(index.unwrap_or(usize::MAX))
    }

    /// The ln mean torques of a session without those left out.
    pub fn kept(&self, session: &Session) -> Vec<f64> {
        let kept = session
            .runs
            .iter()
            .filter(|(at, _)| !self.left_out.contains(at));
        kept.map(|(_, value)| *value).collect()
    }

    /// Sessions of one group, group by group.
    pub fn groups(&self) -> impl Iterator<Item = &[Session<'a>]> {
        self.all.chunk_by(|a, b| a.fellows == b.fellows)
    }

    fn between_sessions(&self, evidence: &Evidence) -> Scatter {
        let (mut residuals, mut own, mut nu) = (Vec::new(), Vec::new(), 0.0);
        for group in self.groups() {
            let means: Vec<(f64, f64)> = group
                .iter()
                .filter_map(|session| {
                    let kept = self.kept(session);
                    let of_tool = self.of_tool(session.fellows.0, evidence);
                    let share = of_tool.variance / kept.len() as f64;
                    (!kept.is_empty()).then(|| (mean(&kept), share))
                })
                .collect();
            if means.len() < 2 {
                continue;
            }
            residuals.extend(differences(means.iter().map(|(mean, _)| *mean)));
            own.extend(means.iter().map(|(_, share)| *share));
            nu += means.len() as f64 - 1.0;
        }
        let nu = MAD_EFFICIENCY * nu;
        let sigma = robust_sigma(residuals.into_iter());
        let shown = (sigma * sigma - mean(&own)).max(0.0);
        let known = DAYS_DIFFER * DAYS_DIFFER;
        Scatter {
            variance: (DAYS_NU * known + nu * shown) / (DAYS_NU + nu),
            nu: DAYS_NU + nu,
        }
    }
}

/// Runs far from the median of their session, by the robust scale of all sessions.
fn left_out(sessions: &[Session]) -> BTreeSet<usize> {
    let residuals = |session: &Session| {
        let middle = median(session.runs.iter().map(|(_, value)| *value).collect());
        let count = session.runs.len() as f64;
        let wider = (count / (count - 1.0).max(1.0)).sqrt();
        let residual = move |(at, value): &(usize, f64)| (*at, wider * (value - middle));
        session.runs.iter().map(residual).collect::<Vec<_>>()
    };
    let long = |least: usize| {
        sessions
            .iter()
            .filter(move |session| session.runs.len() >= least)
    };
    let scale = |least: usize| -> Vec<f64> {
        let values = |session: &Session| differences(session.runs.iter().map(|(_, value)| *value));
        long(least).flat_map(values).collect()
    };
    let mut judged = scale(LEAST_IN_SESSION);
    if judged.is_empty() {
        judged = scale(2);
    }
    let sigma = robust_sigma(judged.into_iter()).max(1e-3);
    let far = long(2)
        .flat_map(residuals)
        .filter(|(_, residual)| residual.abs() > LEFT_OUT * sigma);
    far.map(|(at, _)| at).collect()
}

/// Differences of every two values over √2: each scatters as one value does, however few there are.
/// (Distances from the median do not: of three values one is the median, and its distance 0.)
fn differences(values: impl Iterator<Item = f64>) -> Vec<f64> {
    let values: Vec<f64> = values.collect();
    let mut found = Vec::new();
    for (at, one) in values.iter().enumerate() {
        let later = values.iter().skip(at + 1);
        found.extend(later.map(|other| (one - other) / std::f64::consts::SQRT_2));
    }
    found
}

fn scatter(sessions: &[Session], left_out: &BTreeSet<usize>, evidence: &Evidence) -> RunScatter {
    let tools = &evidence.dataset.tools;
    let values: Vec<(usize, Vec<Vec<f64>>)> = sessions
        .iter()
        .map(|session| {
            let kept = session.runs.iter().filter(|(at, _)| !left_out.contains(at));
            let kept = kept.map(|(_, value)| *value).collect();
            let index = tools.iter().position(|tool| tool.id == session.fellows.0);
            (index.unwrap_or(usize::MAX), vec![kept])
        })
        .collect();
    RunScatter::of(values.iter().map(|(tool, runs)| (*tool, runs.as_slice())))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::special::normal;
    use rand_pcg::Pcg32;
    use rand_pcg::rand_core::Rng;

    #[test]
    fn differences_scatter_as_one_value_does_however_few_there_are() {
        let mut random = Pcg32::new(5, 1);
        let mut normal =
            || normal::quantile((f64::from(random.next_u32()) + 0.5) / 4_294_967_296.0);
        for count in [2, 3, 5] {
            let sessions = (0..4000).flat_map(|_| {
                let values: Vec<f64> = (0..count).map(|_| 1.5 * normal()).collect();
                differences(values.into_iter())
            });
            let sigma = robust_sigma(sessions.collect::<Vec<_>>().into_iter());
            assert!((1.45..1.55).contains(&sigma), "{count}: {sigma}");
        }
    }
}
