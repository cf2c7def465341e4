//! What is sure of the verdict on two pairs of one tool before their difference is worked out.
//!
//! Two means over runs that are apart differ, as tested and of their kinds, with a variance of at least
//! the sum of what runs add to each, as they share no run; as tested, of at most that and what days add.
//! The degrees of freedom of a sum by Welch and Satterthwaite, V²/Σ(v²/ν), are at most those of all its
//! terms together (Cauchy and Schwarz).

use super::figures::Comparing;
use crate::field::Member;
use crate::scatter::shares::Factor;
use crate::sort;
use crate::special::student;
use std::ops::Range;

/// Two-sided 90 %: the upper quantile.
const UPPER: f64 = 0.95;

/// A bound that is missed by less than this decides nothing: far more than what is lost to rounding.
const ROUNDED: f64 = 1e-9;

/// Bounds on the verdicts on pairs of one tool, from figures of each alone.
pub(crate) struct Bounds {
    /// Half the width of the margin, as a logarithm; below 0 without one.
    margin: f64,
    /// Level of each, falling.
    levels: Vec<f64>,
    /// What runs add to the variance of each, ...
    runs: Vec<f64>,
    /// ... and the least of it.
    least_runs: f64,
    /// What each moves by for one standard deviation of each day's effect.
    days: Vec<Vec<(Factor, f64)>>,
    /// The smallest quantile of an interval.
    least_quantile: f64,
    /// Least degrees of freedom of the runs' scatter, and those of the days'.
    nu_of_runs: f64,
    nu_of_days: f64,
}

impl Bounds {
    /// Of the pairs of one tool, the one with most torque first.
    pub fn of(comparing: &Comparing, members: &[&Member]) -> Self {
        let uncertainty = comparing.study.uncertainty();
        let (scatters, tested) = (&uncertainty.scatters, uncertainty.scatters.as_tested());
        let run = comparing.study.mean_scatter();
        let (mut runs, mut nu_of_runs, mut together) = (Vec::new(), f64::INFINITY, 0.0_f64);
        for member in members {
            let terms = member.shares.terms(scatters, |tool| run.of_tool(tool));
            runs.push(terms.runs.iter().map(|term| term.variance).sum());
            let nu = terms.runs.iter().map(|term| term.nu);
            nu_of_runs = nu.fold(nu_of_runs, f64::min);
            together = together.max(terms.all().iter().map(|term| term.nu).sum());
        }
        let days = members.iter().map(|member| member.shares.loadings(&tested));
        let margin = comparing
            .margin_percent()
            .filter(|_| !uncertainty.too_few());
        let level = |member: &&Member| libm::log(member.combination.mean_nm());
        Self {
            margin: margin.map_or(-1.0, |percent| libm::log1p(percent / 100.0)),
            levels: members.iter().map(level).collect(),
            least_runs: runs.iter().copied().fold(f64::INFINITY, f64::min),
            runs,
            least_quantile: student::quantile(UPPER, together),
            nu_of_runs,
            nu_of_days: scatters.day.nu,
            days: days.collect(),
        }
    }

    /// Those that may be alike with `i`, itself among them: an interval that lies within the margin
    /// leaves less of it for the difference.
    pub fn near(&self, i: usize) -> Range<usize> {
        let own = self.levels.get(i).zip(self.runs.get(i));
        let radius = own.map_or(-1.0, |(_, runs)| {
            self.margin - self.least_quantile * (runs + self.least_runs).sqrt() + ROUNDED
        });
        let Some((level, _)) = own.filter(|_| radius > 0.0) else {
            return i..i + 1;
        };
        let from = |bound: f64| self.levels.partition_point(|&other| other > bound);
        from(level + radius)..from(level - radius)
    }

    /// Whether two surely are not alike: with what runs add to their interval it leaves the margin.
    pub fn surely_not_alike(&self, i: usize, j: usize) -> bool {
        let of = |i: usize| self.levels.get(i).zip(self.runs.get(i));
        let apart = of(i).zip(of(j)).map(|((a, one), (b, other))| {
            (a - b).abs() + self.least_quantile * (one + other).sqrt()
        });
        apart.is_none_or(|apart| apart > self.margin + ROUNDED)
    }

    /// The most that days add to the variance of a difference of two of these: what both have alike
    /// cancels.
    fn most_of_days(&self, of: &[usize]) -> f64 {
        // Of each day the least, the most and how many have it.
        let mut days: Vec<(Factor, (f64, f64, usize))> = Vec::new();
        for (day, own) in of.iter().filter_map(|&i| self.days.get(i)).flatten() {
            sort::change(&mut days, *day, |(least, most, count)| {
                let first = *count == 0;
                *least = if first { *own } else { least.min(*own) };
                *most = most.max(*own);
                *count += 1;
            });
        }
        let range = |(_, (least, most, count)): &(Factor, (f64, f64, usize))| {
            most - if *count == of.len() { *least } else { 0.0 }
        };
        days.iter().map(|day| range(day) * range(day)).sum()
    }

    /// Whether every two of these are surely alike: within the margin as tested, and of their kinds no
    /// interval leaves 1 out.
    pub fn surely_alike(&self, of: &[usize]) -> bool {
        let told = |of: &[usize], figures: &[f64]| {
            let figures = of.iter().filter_map(|&i| figures.get(i).copied());
            let none = (f64::INFINITY, f64::NEG_INFINITY);
            figures.fold(none, |(least, most), own| (least.min(own), most.max(own)))
        };
        let ((low, high), (_, runs)) = (told(of, &self.levels), told(of, &self.runs));
        let apart = high - low + ROUNDED;
        let days = self.most_of_days(of);
        // Days are at most this part of the variance, and runs at most all of it.
        let part = days / (2.0 * self.least_runs + days);
        let nu = 1.0 / (1.0 / self.nu_of_runs + part * part / self.nu_of_days);
        let half = student::quantile(UPPER, nu) * (2.0 * runs + days).sqrt();
        apart + half < self.margin && apart < self.least_quantile * (2.0 * self.least_runs).sqrt()
    }
}
