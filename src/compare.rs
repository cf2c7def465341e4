//! Two combinations side by side: how far apart they are, whether they match, who leads and when.
//!
//! Everything is a difference of means of logarithms, so that a ratio has an interval. What two
//! means share cancels: the luck of specimens that both were run on.

use crate::run::LEAST_TIME_S;
use crate::scatter::terms::Terms;
use crate::scatter::{Scatter, welch_satterthwaite};
use crate::special::student;

/// Two-sided 90 %: the upper quantile.
const UPPER: f64 = 0.95;

/// A lead that is lost again counts if it lasts this long, in s.
const LEAST_LEAD_S: f64 = 0.1;

/// Leads are looked for at steps of this length, in s.
const LEAD_STEP_S: f64 = 0.01;

/// The mean of the logarithm of a number over the runs of a combination.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mean {
    /// The mean: over the runs of each specimen, then over specimens.
    pub log: f64,
    /// Scatter of runs about it.
    pub run: Scatter,
    /// Effective share of the runs, q = Σ(1/runs)/specimens².
    pub share: f64,
    /// Specimens of the tool behind it.
    pub specimens: usize,
}

impl Mean {
    /// Standard error and its degrees of freedom: se² = s_u²/m + s_r² q.
    pub fn standard_error(&self, specimen: Scatter) -> (f64, f64) {
        spread(&[
            scaled(specimen, 1.0 / self.specimens as f64),
            scaled(self.run, self.share),
        ])
    }
}

/// The difference of two logarithms, and how sure it is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Difference {
    /// The first less the second.
    pub log: f64,
    /// Standard deviation of it.
    pub sd: f64,
    /// Degrees of freedom of the standard deviation.
    pub nu: f64,
}

impl Difference {
    /// Of two means; `common` specimens are behind both.
    ///
    /// s_d² = se_a² + se_b² − 2 s_u² k/(m_a m_b), with degrees of freedom by Welch and
    /// Satterthwaite over the same terms (Welch 1947, "The generalization of 'Student's' problem
    /// when several different population variances are involved").
    pub fn of_means(a: &Mean, b: &Mean, specimen: Scatter, common: usize) -> Self {
        let specimens = not_shared(a, b, common);
        Self::new(a, b, scaled(specimen, specimens), (a.share, b.share))
    }

    /// Of a further try of each, on one specimen of one tool, or each on a specimen of its own.
    pub fn of_tries(a: &Mean, b: &Mean, specimen: Scatter, common: usize, one_tool: bool) -> Self {
        let fresh = if one_tool { 0.0 } else { 2.0 };
        let specimens = not_shared(a, b, common) + fresh;
        let shares = (1.0 + a.share, 1.0 + b.share);
        Self::new(a, b, scaled(specimen, specimens), shares)
    }

    /// A difference with the terms of its variance: of two pairs of these kinds of tools and packs, or,
    /// with [`Terms::as_tested`], of these very tools and packs.
    pub fn of_terms(log: f64, terms: &Terms) -> Self {
        let total = terms.total();
        Self {
            log,
            sd: total.variance.sqrt(),
            nu: total.nu,
        }
    }

    /// The mean over pairs of the difference between two ways of running each; `None` without a pair.
    ///
    /// It is a sum over runs with fixed weights, so its variance is that of the sum: with P pairs,
    /// s_u² Σ cov(pair, pair') ÷ P² + Σ s_r² q ÷ P² (propagation of independent effects, JCGM
    /// 100:2008, 5.1.2), with degrees of freedom by Welch and Satterthwaite. It speaks of the pairs
    /// that were run: how far the difference varies from pair to pair is not in it.
    pub fn over_pairs(pairs: &[PairedMeans], specimen: Scatter) -> Option<Self> {
        let count = pairs.len() as f64;
        let each = pairs
            .iter()
            .map(|pair| pair.means[0].log - pair.means[1].log);
        let luck = pairs
            .iter()
            .flat_map(|a| pairs.iter().map(|b| shared_luck(a, b)));
        let luck = luck.sum::<f64>().max(0.0) / (count * count);
        let mut parts = vec![scaled(specimen, luck)];
        // One estimate for the runs of several pairs is one term: its doubt does not average out.
        let mut runs: Vec<(Scatter, f64)> = Vec::new();
        for mean in pairs.iter().flat_map(|pair| &pair.means) {
            let share = mean.share / (count * count);
            match runs.iter_mut().find(|(run, _)| *run == mean.run) {
                Some((_, sum)) => *sum += share,
                None => runs.push((mean.run, share)),
            }
        }
        parts.extend(runs.iter().map(|(run, share)| scaled(*run, *share)));
        let (sd, nu) = spread(&parts);
        (!pairs.is_empty()).then(|| Self {
            log: each.sum::<f64>() / count,
            sd,
            nu,
        })
    }

    fn new(a: &Mean, b: &Mean, specimen: Scatter, shares: (f64, f64)) -> Self {
        // One estimate for both runs' scatter is one term: its doubt does not average out.
        let (sd, nu) = if a.run == b.run {
            spread(&[specimen, scaled(a.run, shares.0 + shares.1)])
        } else {
            spread(&[specimen, scaled(a.run, shares.0), scaled(b.run, shares.1)])
        };
        Self {
            log: a.log - b.log,
            sd,
            nu,
        }
    }

    /// The 90 % interval, lower and upper end.
    pub fn interval(&self) -> (f64, f64) {
        let half = self.sd * student::quantile(UPPER, self.nu);
        (self.log - half, self.log + half)
    }

    /// Probability that the first is the larger. With equal scatters s and a difference of d·s
    /// between two tries whose means are known, Φ(d/√2).
    pub fn chance(&self) -> f64 {
        student::distribution(self.log / self.sd, self.nu)
    }
}

/// A pair that was run in two ways, such as two setups.
#[derive(Clone, Debug)]
pub struct PairedMeans<'a> {
    /// Its tool.
    pub tool: usize,
    /// Its means in the two ways.
    pub means: [Mean; 2],
    /// Marks of the specimens of its tool that were run in each way.
    pub specimens: [Vec<Option<&'a str>>; 2],
}

/// The covariance of two pairs' differences between two ways, in units of the specimen scatter's
/// variance: Σ ±k/(m m'), k the specimens that two means have in common, m and m' those of each.
fn shared_luck(a: &PairedMeans, b: &PairedMeans) -> f64 {
    if a.tool != b.tool {
        return 0.0;
    }
    let mut sum = 0.0;
    for (i, own) in a.specimens.iter().enumerate() {
        for (j, other) in b.specimens.iter().enumerate() {
            let common = own.iter().filter(|mark| other.contains(mark)).count();
            let sign = if i == j { 1.0 } else { -1.0 };
            sum += sign * common as f64 / (own.len() * other.len()) as f64;
        }
    }
    sum
}

/// What part of the specimen scatter stays in a difference of means: 1/m_a + 1/m_b − 2k/(m_a m_b).
fn not_shared(a: &Mean, b: &Mean, common: usize) -> f64 {
    let (of_a, of_b, common) = (a.specimens as f64, b.specimens as f64, common as f64);
    (of_a + of_b - 2.0 * common) / (of_a * of_b)
}

fn scaled(scatter: Scatter, factor: f64) -> Scatter {
    Scatter {
        variance: scatter.variance * factor,
        ..scatter
    }
}

/// Standard deviation of a sum, and its degrees of freedom.
fn spread(parts: &[Scatter]) -> (f64, f64) {
    let variance: f64 = parts.iter().map(|part| part.variance).sum();
    (variance.sqrt(), welch_satterthwaite(variance, parts))
}

/// Whether two are alike.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Equivalence {
    /// The whole interval of their ratio lies within the margin: at most one pair in twenty that
    /// truly differs by the margin passes (Schuirmann 1987, two one-sided tests).
    Match,
    /// The interval does not hold 1.
    Differ,
    /// Neither.
    Undecided,
}

impl Equivalence {
    /// By the interval of a difference of logarithms and the margin in per cent, fixed beforehand;
    /// without a margin nothing matches.
    pub fn of((low, high): (f64, f64), margin_percent: Option<f64>) -> Self {
        let within = |percent: f64| {
            let margin = libm::log1p(percent / 100.0);
            -margin <= low && high <= margin
        };
        if margin_percent.is_some_and(within) {
            Self::Match
        } else if low > 0.0 || high < 0.0 {
            Self::Differ
        } else {
            Self::Undecided
        }
    }
}

/// Groups of what matches: in each, every two match, and none matches anything outside. What
/// matches only some of its neighbours is in no group, since there is no honest place to cut.
///
/// `matches(i, j)` is asked for i < j < `count`. Groups have at least two.
pub fn groups(count: usize, matches: impl Fn(usize, usize) -> bool) -> Vec<Vec<usize>> {
    let alike = |i: usize, j: usize| i == j || matches(i.min(j), i.max(j));
    let circle = |i: usize| (0..count).filter(|&j| alike(i, j)).collect();
    let circles: Vec<Vec<usize>> = (0..count).map(circle).collect();
    let closed = |own: &Vec<usize>| own.iter().all(|&j| circles.get(j) == Some(own));
    circles
        .iter()
        .enumerate()
        .filter(|(i, own)| own.len() > 1 && own.first() == Some(i) && closed(own))
        .map(|(_, own)| own.clone())
        .collect()
}

/// A time to a job, with the ends of its 90 % interval, in s.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct JobTime {
    /// The typical curve's time.
    pub time_s: f64,
    /// The earlier end.
    pub low_s: f64,
    /// The later end; `None` if the job may not be reached.
    pub high_s: Option<f64>,
}

/// The ratio of two times, with the ends of its 90 % interval.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TimeRatio {
    /// The first time over the second.
    pub ratio: f64,
    /// Lower end; `None` if the second may not reach the job.
    pub low: Option<f64>,
    /// Upper end; `None` if the first may not reach the job.
    pub high: Option<f64>,
}

impl TimeRatio {
    /// Of two times whose errors have this correlation. A curve bends, so a time's own interval is
    /// lopsided: the ratio's is put together of the squares of the distances to the ends (Zou and
    /// Donner 2008, "Construction of confidence limits about effect measures"; Zou 2007 for
    /// correlated estimates).
    pub fn of(a: &JobTime, b: &JobTime, correlation: f64) -> Self {
        let log = |time_s: f64| libm::log(time_s.max(LEAST_TIME_S));
        let (log_a, log_b) = (log(a.time_s), log(b.time_s));
        let across = |own: f64, other: f64| {
            (own * own + other * other - 2.0 * correlation * own * other)
                .max(0.0)
                .sqrt()
        };
        let difference = log_a - log_b;
        let low = b
            .high_s
            .map(|high_s| difference - across(log_a - log(a.low_s), log(high_s) - log_b));
        let high = a
            .high_s
            .map(|high_s| difference + across(log(high_s) - log_a, log_b - log(b.low_s)));
        Self {
            ratio: libm::exp(difference),
            low: low.map(libm::exp),
            high: high.map(libm::exp),
        }
    }
}

/// From when on which of two curves leads.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lead {
    /// When the lead begins, in s.
    pub from_s: f64,
    /// Whether the first curve has it.
    pub first: bool,
}

/// Who leads when: every lead that lasts at least 0.1 s, or to the window's end. A crossing is
/// where one follows another. `ahead` is positive where the first curve is the higher one, at a
/// time in s.
pub fn leads(window_s: f64, ahead: impl Fn(f64) -> f64) -> Vec<Lead> {
    let steps = (window_s / LEAD_STEP_S).ceil() as u32;
    let micro = |step: u32| (window_s * 1e6 * f64::from(step) / f64::from(steps)).round() as u64;
    let sign = |micro: u64| {
        let ahead = ahead(micro as f64 / 1e6);
        (ahead != 0.0).then_some(ahead > 0.0)
    };
    let mut stretches: Vec<(u64, bool)> = Vec::new();
    for step in 0..=steps {
        let Some(first) = sign(micro(step)) else {
            continue;
        };
        match stretches.last() {
            Some((_, leader)) if *leader == first => {}
            Some(_) => {
                let before = micro(step.saturating_sub(1));
                stretches.push((
                    begin(before, micro(step), |at| sign(at) == Some(first)),
                    first,
                ));
            }
            None => stretches.push((0, first)),
        }
    }
    let ends = stretches.iter().skip(1).map(|(from, _)| *from);
    let least = (LEAST_LEAD_S * 1e6) as u64;
    let lasting: Vec<(u64, bool)> = stretches
        .iter()
        .zip(ends.chain([u64::MAX]))
        .filter(|((from, _), end)| end - from >= least)
        .map(|(stretch, _)| *stretch)
        .collect();
    let mut leads: Vec<Lead> = Vec::new();
    for (from, first) in lasting {
        if leads.last().is_none_or(|last| last.first != first) {
            leads.push(Lead {
                from_s: from as f64 / 1e6,
                first,
            });
        }
    }
    leads
}

/// The first whole microsecond after `before` at which `holds`, which it does at `after`.
fn begin(mut before: u64, mut after: u64, holds: impl Fn(u64) -> bool) -> u64 {
    while after - before > 1 {
        let middle = before.midpoint(after);
        if holds(middle) {
            after = middle;
        } else {
            before = middle;
        }
    }
    after
}

#[cfg(test)]
mod tests {
    use super::*;

    fn scatter(percent: f64, nu: f64) -> Scatter {
        Scatter {
            variance: percent * percent / 1e4,
            nu,
        }
    }

    fn mean(log: f64, runs: f64, specimens: usize) -> Mean {
        Mean {
            log,
            run: scatter(2.0, 40.0),
            share: 1.0 / runs,
            specimens,
        }
    }

    #[test]
    fn the_luck_of_specimens_in_common_cancels() {
        let (a, b, specimen) = (mean(0.1, 3.0, 2), mean(0.0, 3.0, 2), scatter(5.0, 4.0));
        let same = Difference::of_means(&a, &b, specimen, 2);
        // Two specimens of each, both in common: 0.02 √(1/3 + 1/3) is left, on the runs alone.
        assert!((same.sd - 0.02 * (2.0_f64 / 3.0).sqrt()).abs() < 1e-15);
        assert!((same.nu - 40.0).abs() < 1e-9);
        // One of two in common: s_u² (1/2 + 1/2 − 2/4) = s_u²/2 stays.
        let half = Difference::of_means(&a, &b, specimen, 1);
        let wanted = (0.0025_f64 / 2.0 + 0.0004 * 2.0 / 3.0).sqrt();
        assert!((half.sd - wanted).abs() < 1e-15);
        let none = Difference::of_means(&a, &b, specimen, 0);
        let wanted = (0.0025_f64 + 0.0004 * 2.0 / 3.0).sqrt();
        assert!((none.sd - wanted).abs() < 1e-15);
    }

    #[test]
    fn tries_on_one_tool_do_not_differ_by_its_specimen() {
        let (a, b, specimen) = (mean(0.1, 4.0, 1), mean(0.0, 4.0, 1), scatter(3.0, 5.0));
        let one = Difference::of_tries(&a, &b, specimen, 1, true);
        assert!((one.sd - (2.0_f64 * 0.0004 * 1.25).sqrt()).abs() < 1e-15);
        let two = Difference::of_tries(&a, &b, specimen, 0, false);
        let wanted = (2.0_f64 * 0.0004 * 1.25 + 4.0 * 0.0009).sqrt();
        assert!((two.sd - wanted).abs() < 1e-15);
        assert!(two.chance() < one.chance() && two.chance() > 0.5);
    }

    #[test]
    fn a_match_lies_within_the_margin_as_a_factor() {
        let within = libm::log1p(0.03);
        assert_eq!(
            Equivalence::of((-within, within), Some(3.0)),
            Equivalence::Match
        );
        assert_eq!(
            Equivalence::of((0.001, within), Some(3.0)),
            Equivalence::Match
        );
        assert_eq!(
            Equivalence::of((-within - 1e-9, within), Some(3.0)),
            Equivalence::Undecided
        );
        assert_eq!(
            Equivalence::of((0.001, 0.0299), Some(3.0)),
            Equivalence::Differ
        );
        assert_eq!(Equivalence::of((0.01, 0.2), Some(3.0)), Equivalence::Differ);
        assert_eq!(Equivalence::of((-0.2, -0.01), None), Equivalence::Differ);
        assert_eq!(
            Equivalence::of((-0.001, 0.001), None),
            Equivalence::Undecided
        );
    }

    #[test]
    fn a_group_is_whole_or_none() {
        let pairs = |list: &'static [(usize, usize)]| move |i, j| list.contains(&(i, j));
        assert_eq!(groups(4, pairs(&[(0, 1), (2, 3)])), [[0, 1], [2, 3]]);
        assert_eq!(groups(3, pairs(&[(0, 1), (0, 2), (1, 2)])), [[0, 1, 2]]);
        // 0 matches 1 and 1 matches 2, yet 0 does not match 2.
        assert!(groups(3, pairs(&[(0, 1), (1, 2)])).is_empty());
        assert_eq!(groups(5, pairs(&[(0, 1), (1, 2), (3, 4)])), [[3, 4]]);
        assert_eq!(groups(3, pairs(&[(0, 2)])), [[0, 2]]);
        assert!(groups(1, pairs(&[])).is_empty() && groups(0, pairs(&[])).is_empty());
    }

    #[test]
    fn leads_that_last() {
        let at = |from_s: f64, first| Lead { from_s, first };
        assert_eq!(
            leads(5.0, |t| 1.8 - t),
            [at(0.0, true), at(1.800_001, false)]
        );
        // Lost for 60 ms only; then for 160 ms.
        let dip =
            |from: f64, to: f64| move |t: f64| if (from..to).contains(&t) { -1.0 } else { 1.0 };
        assert_eq!(leads(5.0, dip(1.0, 1.06)), [at(0.0, true)]);
        let lost = leads(5.0, dip(1.0, 1.16));
        assert_eq!(lost, [at(0.0, true), at(1.0, false), at(1.16, true)]);
        // To the end is for good, however late.
        assert_eq!(leads(5.0, dip(4.97, 6.0)), [at(0.0, true), at(4.97, false)]);
        assert!(leads(5.0, |_| 0.0).is_empty());
        // Level at first.
        assert_eq!(leads(5.0, |t| (t - 0.5).max(0.0)), [at(0.0, true)]);
    }

    #[test]
    fn a_ratio_of_times() {
        let time = |time_s: f64, low_s, high_s| JobTime {
            time_s,
            low_s,
            high_s,
        };
        let exact = time(2.0, 2.0, Some(2.0));
        let ratio = TimeRatio::of(&time(1.0, 0.8, Some(1.5)), &exact, 0.0);
        assert!((ratio.ratio - 0.5).abs() < 1e-15);
        assert!((ratio.low.unwrap() - 0.4).abs() < 1e-15);
        assert!((ratio.high.unwrap() - 0.75).abs() < 1e-15);
        let open = TimeRatio::of(&time(1.0, 0.8, None), &exact, 0.0);
        assert_eq!((open.low.is_some(), open.high), (true, None));
        // What both share cancels where the curves are alike.
        let one = time(1.0, 0.8, Some(1.25));
        let shared = TimeRatio::of(&one, &one, 1.0);
        assert!((shared.low.unwrap() - 1.0).abs() < 1e-12);
        assert!((shared.high.unwrap() - 1.0).abs() < 1e-12);
    }
}
