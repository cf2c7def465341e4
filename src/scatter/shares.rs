//! Shares: what part of a sum over runs each specimen, pack specimen and day is behind, and the one
//! rule for the variance of such a sum.
//!
//! The logarithm y of a run is that of its pair, plus effects of its tool specimen (s_u), its pack
//! specimen (s_p) and its day (s_d), plus one of the run itself (s_r). For Σ ω y over runs with any
//! weights ω (a mean, a difference of two, a mean of differences) let w be the sum of ω over the runs
//! with a specimen, a pack specimen or a day. Effects are independent, so the variance of the sum is
//!
//! s_u² Σ w² + s_p² Σ w² + Σ v w² + Σ s_r² Σ ω²
//!
//! over tool specimens, pack specimens, days and tools (JCGM 100:2008, 5.1.2). What two means have in
//! common cancels in their difference because its weights do. v is s_d², or what is left of it on a day
//! that check runs corrected.

use super::Scatter;
use super::best_of_three::variance_of_best_of_three;
use super::cells::Run;
use super::effects::Effects;
use super::terms::Terms;
use crate::sort;

/// What several runs may have in common.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Factor {
    /// A specimen of a tool.
    Specimen(usize),
    /// A specimen of a pack.
    Pack(usize),
    /// A day.
    Day(usize),
}

/// Numbers of what a further try is made with: no run counted so far has them.
const FURTHER: [usize; 2] = [usize::MAX, usize::MAX - 1];

/// The scatters of specimens, pack specimens and days.
#[derive(Clone, Debug, PartialEq)]
pub struct Scatters {
    /// Of specimens of one tool, s_u².
    pub specimen: Scatter,
    /// Of specimens of one pack, s_p².
    pub pack: Scatter,
    /// Of days, s_d².
    pub day: Scatter,
    /// Variance left on each day that check runs corrected, sorted by day.
    pub corrected_days: Vec<(usize, f64)>,
}

impl Scatters {
    /// Those of a field, no day of which is corrected.
    pub fn of(effects: &Effects) -> Self {
        Self {
            specimen: effects.specimen.scatter,
            pack: effects.pack.scatter,
            day: effects.day.scatter,
            corrected_days: Vec::new(),
        }
    }

    /// Of these very tools and packs, as tested: days and runs only.
    pub fn as_tested(&self) -> Self {
        Self {
            specimen: self.specimen.scaled(0.0),
            pack: self.pack.scaled(0.0),
            ..self.clone()
        }
    }

    /// Variance of the effect of a specimen, a pack specimen or a day.
    pub fn variance(&self, factor: Factor) -> f64 {
        match factor {
            Factor::Specimen(_) => self.specimen.variance,
            Factor::Pack(_) => self.pack.variance,
            Factor::Day(day) => sort::find(&self.corrected_days, &day).unwrap_or(self.day.variance),
        }
    }
}

/// The shares of a sum over runs.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Shares {
    /// w of each factor, sorted by factor.
    factors: Vec<(Factor, f64)>,
    /// Σ ω² over the runs of each tool, sorted by tool.
    runs: Vec<(usize, f64)>,
}

impl Shares {
    /// Of runs with their weights; the runs are apart from each other.
    pub fn of(runs: impl IntoIterator<Item = (Run, f64)>) -> Self {
        let mut shares = Self::default();
        for (run, weight) in runs {
            shares.add_factors(&run, weight);
            sort::change(&mut shares.runs, run.tool, |sum| *sum += weight * weight);
        }
        shares
    }

    /// Of the mean of a pair: over the runs of each specimen, then over specimens, so that a run
    /// weighs 1/(m n), m the specimens and n the runs of its own. Nothing without a run.
    pub fn of_mean(runs: &[Run]) -> Self {
        Self::of(weighted(runs, 1))
    }

    /// Of the best of three of a pair: the mean over its specimens with at least three runs, each run
    /// of one weighing the same for what runs have in common; Σ b(n)/m² stands in for Σ ω².
    pub fn of_best_of_three(runs: &[Run]) -> Self {
        let weighted: Vec<(Run, f64)> = weighted(runs, 3).collect();
        let mut shares = Self::default();
        for (run, weight) in weighted {
            shares.add_factors(&run, weight);
            // n runs of one specimen, each 1/(m n), together give b(n)/m².
            let count = runs_like(runs, &run);
            let part = weight * weight * count as f64 * variance_of_best_of_three(count);
            sort::change(&mut shares.runs, run.tool, |sum| *sum += part);
        }
        shares
    }

    /// Of a further try less the sum that foretells it: with another specimen of the tool, another pack
    /// specimen, on another day.
    pub fn of_further_try(&self, tool: usize) -> Self {
        let [further, _] = FURTHER;
        let run = Run {
            tool,
            pair: further,
            specimen: further,
            pack: further,
            day: further,
        };
        Self::combined([(-1.0, self), (1.0, &Self::of([(run, 1.0)]))])
    }

    /// What is behind the effect of a pack, from the shares of its measured pairs: the mean share of
    /// each pack specimen and day. Tool specimens are behind effects of tools, runs behind errors.
    pub fn of_pack_effect<'s>(pairs: impl IntoIterator<Item = &'s Self>) -> Self {
        let pairs: Vec<&Self> = pairs.into_iter().collect();
        let part = 1.0 / pairs.len() as f64;
        let mut shares = Self::combined(pairs.into_iter().map(|pair| (part, pair)));
        let is_behind = |factor: &Factor| !matches!(factor, Factor::Specimen(_));
        shares.factors.retain(|(factor, _)| is_behind(factor));
        shares.runs.clear();
        shares
    }

    /// Of a further try of one pair less that of another, on one day: each with another tool specimen
    /// and another pack specimen than those tested, the same for both where they are of one tool or
    /// one pack. `one` and `other` are runs of the two. Less the difference of the two means, which
    /// foretells it, this is what the difference of two tries may be off by.
    pub fn of_further_tries(one: &Run, other: &Run, one_pack: bool) -> Self {
        let [first, second] = FURTHER;
        let own = |of: &Run, specimen, pack| Run {
            specimen,
            pack,
            day: first,
            ..*of
        };
        let specimen = if one.tool == other.tool {
            first
        } else {
            second
        };
        let pack = if one_pack { first } else { second };
        Self::of([
            (own(one, first, first), 1.0),
            (own(other, specimen, pack), -1.0),
        ])
    }

    /// Of a weighted sum of sums over runs that are apart from each other.
    pub fn combined<'s>(parts: impl IntoIterator<Item = (f64, &'s Self)>) -> Self {
        let mut shares = Self::default();
        for (weight, part) in parts {
            for (factor, own) in &part.factors {
                sort::change(&mut shares.factors, *factor, |sum| *sum += weight * own);
            }
            for (tool, own) in &part.runs {
                sort::change(&mut shares.runs, *tool, |sum| *sum += weight * weight * own);
            }
        }
        shares
    }

    /// Of the difference of two sums over runs that are apart from each other.
    pub fn less(&self, other: &Self) -> Self {
        Self::combined([(1.0, self), (-1.0, other)])
    }

    /// Share of a factor; 0 of one that is behind no run.
    pub fn of_factor(&self, factor: Factor) -> f64 {
        sort::find(&self.factors, &factor).unwrap_or_default()
    }

    /// Σ ω² over all runs: the effective share q of a mean.
    pub fn of_runs(&self) -> f64 {
        self.runs.iter().map(|(_, share)| share).sum()
    }

    /// What the sum moves by for one standard deviation of each factor's effect.
    pub fn loadings(&self, scatters: &Scatters) -> Vec<(Factor, f64)> {
        let loading =
            |&(factor, share): &(Factor, f64)| (factor, share * scatters.variance(factor).sqrt());
        self.factors.iter().map(loading).collect()
    }

    /// Covariance of two sums over runs that are apart from each other: of what they have in common.
    pub fn covariance(&self, other: &Self, scatters: &Scatters) -> f64 {
        let common = |(factor, share): &(Factor, f64)| {
            let others = sort::find(&other.factors, factor)?;
            Some(scatters.variance(*factor) * share * others)
        };
        self.factors.iter().filter_map(common).sum()
    }

    /// The terms of the variance; `run` is the run scatter of a tool.
    pub fn terms(&self, scatters: &Scatters, run: impl Fn(usize) -> Scatter) -> Terms {
        let mut terms = Terms {
            specimens: scatters.specimen.scaled(0.0),
            packs: scatters.pack.scaled(0.0),
            days: scatters.day.scaled(0.0),
            runs: Vec::new(),
        };
        for &(factor, share) in &self.factors {
            let term = match factor {
                Factor::Specimen(_) => &mut terms.specimens,
                Factor::Pack(_) => &mut terms.packs,
                Factor::Day(_) => &mut terms.days,
            };
            term.variance += scatters.variance(factor) * share * share;
        }
        // Tools that cannot be told apart have one estimate between them, which is one term.
        let mut runs: Vec<(Scatter, f64)> = Vec::new();
        for &(tool, share) in &self.runs {
            let own = run(tool);
            match runs.iter_mut().find(|(known, _)| *known == own) {
                Some((_, sum)) => *sum += share,
                None => runs.push((own, share)),
            }
        }
        terms.runs = runs.into_iter().map(|(own, sum)| own.scaled(sum)).collect();
        terms
    }

    fn add_factors(&mut self, run: &Run, weight: f64) {
        for factor in [
            Factor::Specimen(run.specimen),
            Factor::Pack(run.pack),
            Factor::Day(run.day),
        ] {
            sort::change(&mut self.factors, factor, |sum| *sum += weight);
        }
    }
}

/// Runs of the specimens with at least `least` of them, each weighing 1/(m n).
fn weighted(runs: &[Run], least: usize) -> impl Iterator<Item = (Run, f64)> + '_ {
    let mut specimens: Vec<(usize, usize)> = Vec::new();
    for run in runs {
        sort::change(&mut specimens, run.specimen, |count| *count += 1);
    }
    specimens.retain(|(_, count)| *count >= least);
    runs.iter().filter_map(move |run| {
        let count = sort::find(&specimens, &run.specimen)?;
        Some((*run, 1.0 / (specimens.len() * count) as f64))
    })
}

/// How many of the runs are of the specimen of one.
fn runs_like(runs: &[Run], own: &Run) -> usize {
    runs.iter()
        .filter(|run| run.specimen == own.specimen)
        .count()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn run(specimen: usize, pack: usize, day: usize) -> Run {
        Run {
            tool: specimen / 10,
            pair: 0,
            specimen,
            pack,
            day,
        }
    }

    fn scatter(variance: f64, nu: f64) -> Scatter {
        Scatter { variance, nu }
    }

    fn scatters() -> Scatters {
        Scatters {
            specimen: scatter(0.0012, 7.5),
            pack: scatter(0.0005, 4.2),
            day: scatter(0.00015, 5.1),
            corrected_days: vec![(4, 0.00005)],
        }
    }

    #[test]
    fn a_sum_has_the_variance_of_its_covariances() {
        // Three runs with weights, written out: the variance is ω′ V ω.
        let runs = [
            (run(1, 1, 4), 0.5),
            (run(1, 2, 5), 0.7),
            (run(12, 2, 4), -1.2),
        ];
        let own = |a: &Run, b: &Run| {
            let same = |is: bool, variance: f64| if is { variance } else { 0.0 };
            same(a.specimen == b.specimen, 0.0012)
                + same(a.pack == b.pack, 0.0005)
                + same(a.day == b.day, if a.day == 4 { 0.00005 } else { 0.00015 })
                + same(a == b, if a.tool == 0 { 0.0006 } else { 0.0009 })
        };
        let wanted: f64 = runs
            .iter()
            .flat_map(|(a, of_a)| runs.iter().map(move |(b, of_b)| of_a * of_b * own(a, b)))
            .sum();
        let terms = Shares::of(runs).terms(&scatters(), |tool| {
            scatter(if tool == 0 { 0.0006 } else { 0.0009 }, 30.0)
        });
        assert!((terms.total().variance - wanted).abs() < 1e-18);
        assert_eq!(terms.runs.len(), 2);
    }

    #[test]
    fn one_estimate_for_two_tools_is_one_term() {
        let of = |variance: f64| {
            Shares::of([(run(1, 1, 1), 1.0), (run(11, 1, 1), -1.0)]).terms(&scatters(), |tool| {
                scatter(variance * tool as f64 + 1e-4, 20.0)
            })
        };
        assert_eq!((of(0.0).runs.len(), of(1e-5).runs.len()), (1, 2));
        // Nothing but specimens and runs differs: pack and day cancel.
        assert_eq!((of(0.0).packs.variance, of(0.0).days.variance), (0.0, 0.0));
    }

    #[test]
    fn the_best_of_three_rests_on_specimens_with_three_runs() {
        let runs = [
            run(1, 1, 1),
            run(1, 1, 1),
            run(1, 1, 2),
            run(2, 1, 2),
            run(2, 1, 2),
            run(3, 2, 3),
            run(3, 2, 3),
            run(3, 2, 3),
            run(3, 2, 3),
        ];
        let shares = Shares::of_best_of_three(&runs);
        assert_eq!(shares.of_factor(Factor::Specimen(2)), 0.0);
        assert_eq!(shares.of_factor(Factor::Specimen(3)), 0.5);
        assert!((shares.of_factor(Factor::Day(2)) - 1.0 / 6.0).abs() < 1e-15);
        assert!((shares.of_runs() - (0.559 + 0.392) / 4.0).abs() < 1e-15);
        assert_eq!(Shares::of_best_of_three(&runs[3..5]), Shares::default());
    }

    #[test]
    fn tries_of_one_tool_and_of_one_pack_share_them() {
        let terms = |one: usize, other: usize, one_pack| {
            let further = Shares::of_further_tries(&run(one, 1, 1), &run(other, 2, 1), one_pack);
            let terms = further.terms(&scatters(), |_| scatter(0.0006, 30.0));
            (
                terms.specimens.variance,
                terms.packs.variance,
                terms.days.variance,
            )
        };
        assert_eq!(terms(1, 2, false), (0.0, 0.001, 0.0));
        assert_eq!(terms(1, 12, true), (0.0024, 0.0, 0.0));
    }
}
