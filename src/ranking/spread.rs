//! How sure a place is, where specimens, packs and days are behind several levels at once: the 90 %
//! interval of a rank, in closed form.
//!
//! Everyone in a field is a [`Doubtful`] level: a logarithm that rises along a course. Who comes to
//! zero first is ahead. For a job the course is time until the window ends, then torque below the
//! job's, so that those that do not reach follow by their torque at the window's end. For a measure
//! the course is the measure itself, from the best down.
//!
//! At each node z for a standard normal error, c's own error being z standard errors, the course goes
//! to where c's level comes to zero. With x_d the level of another there in its standard errors,
//! a_d = φ(x_d)/se_d what its chance to be ahead moves by for its error, C the covariances of errors
//! and λ_df what d's error moves by for one standard deviation of factor f, K the others of c's tool:
//!
//! mean = 1 + Σ Φ(x_d) over those not in K + Σ p_d over K + (z/se_c)(L − Σ a_d C_cd over K),
//!
//! variance = U + max(−0.9 U, Σ_f (A_f² − B_f) − (L² − Σ a_d² C_cd² over K)/se_c²),
//!
//! where p_d = Φ((level + ρ z se_d) ÷ (se_d √(1 − ρ²))), ρ = C_cd/(se_c se_d), U = Σ p(1 − p),
//! A_f = Σ a_d λ_df, B_f = Σ a_d² λ_df² and L = Σ_f λ_cf A_f = Σ a_d C_cd: to first order in the errors of
//! others. Against errors drawn at random (`tests/outside/spread.py`) the mean is within 0.04 of a place
//! in usual fields and 0.15 where packs are far apart, the standard deviation within a tenth of itself
//! or 0.05. Where nearly all of an error is shared it is not as near: of
//! two levels with a correlation of 0.7 the mean is off by up to 0.06, with 0.9 by up to 0.2.

use super::crowd::Crowd;
use super::level::{AtNode, Both, Entry, Shared, steepness};
pub use super::level::{Doubt, Doubtful};
use crate::scatter::shares::Factor;
use crate::sort;
use crate::special::hermite::NODES;
use crate::special::normal_steps::NormalSteps;
use crate::special::{normal, student};

/// Mean and standard deviation of a rank.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spread {
    /// Mean rank.
    pub mean: f64,
    /// Its standard deviation.
    pub sd: f64,
    /// Degrees of freedom of the level's standard error.
    pub nu: f64,
}

/// Upper quantile of a two-sided interval of 90 %.
const UPPER: f64 = 0.95;

impl Spread {
    /// Lower and upper end of the 90 % interval, mean ± t standard deviations to whole places inward,
    /// wide enough to hold `rank`, within 1 and `of`.
    pub fn interval(&self, rank: u32, of: u32) -> (u32, u32) {
        let half = student::quantile(UPPER, self.nu) * self.sd;
        let low = (self.mean - half).ceil().max(1.0).min(f64::from(of)) as u32;
        let high = (self.mean + half).floor().max(1.0).min(f64::from(of)) as u32;
        (low.min(rank), high.max(rank))
    }
}

/// The levels of a field.
pub struct Entries<'l> {
    entries: Vec<Entry<'l>>,
    /// How many factors there are.
    factors: usize,
}

impl<'l> Entries<'l> {
    /// Of these levels.
    pub fn of<L: Doubtful>(levels: &'l [L]) -> Self {
        let level = |level: &'l L| -> &'l dyn Doubtful { level };
        Self::of_levels(&levels.iter().map(level).collect::<Vec<_>>())
    }

    /// The same, compiled once for all kinds of levels.
    fn of_levels(levels: &[&'l dyn Doubtful]) -> Self {
        let mut factors: Vec<Factor> = Vec::new();
        for level in levels {
            factors.extend(level.doubt().loadings.iter().map(|(factor, _)| *factor));
        }
        sort::distinct(&mut factors);
        let number = |(factor, loading): &(Factor, f64)| {
            Some((factors.binary_search(factor).ok()?, *loading))
        };
        let entry = |&level: &&'l dyn Doubtful| Entry {
            level,
            loadings: level.doubt().loadings.iter().filter_map(number).collect(),
        };
        Self {
            entries: levels.iter().map(entry).collect(),
            factors: factors.len(),
        }
    }

    /// The spread of one's rank by the plain sum over everyone at every node; `None` where there is no
    /// such place.
    pub fn spread(&self, index: usize) -> Option<Spread> {
        let own = self.entries.get(index)?;
        let others = || {
            self.entries
                .iter()
                .enumerate()
                .filter(move |(other, _)| *other != index)
        };
        let with: Vec<Both> = others().map(|(_, other)| own.with(other)).collect();
        Some(self.over_nodes(own, &|z, course| {
            let mut at = AtNode::default();
            let mut sums = vec![0.0; self.factors];
            let (mut squares, mut own_sum, mut of_kin) = (0.0, 0.0, (0.0, 0.0));
            for ((_, other), both) in others().zip(&with) {
                let covariance = both.covariance;
                let errors = other.errors_at(course);
                let steep = steepness(errors, other.doubt().se);
                for (factor, loading) in &other.loadings {
                    if let Some(sum) = sums.get_mut(*factor) {
                        *sum += steep * loading;
                    }
                    squares += steep * loading * steep * loading;
                }
                own_sum += steep * covariance;
                if other.doubt().tool == own.doubt().tool {
                    of_kin.0 += steep * covariance;
                    of_kin.1 += steep * covariance * steep * covariance;
                    at.add(normal::distribution(both.left_of(errors, z)));
                } else {
                    at.add(normal::distribution(errors));
                }
            }
            let se = own.doubt().se;
            let together: f64 = sums.iter().map(|sum| sum * sum).sum();
            at.shared = Shared {
                with_own: own_sum - of_kin.0,
                with_each_other: together - squares - (own_sum * own_sum - of_kin.1) / (se * se),
            };
            at
        }))
    }

    /// The spread of everyone's rank: each reads its nodes off the crowd, within a tenth of a place of
    /// the plain sum in fields of fifty. Φ and φ are told at steps: that moves mean and deviation by
    /// less than a ten-thousandth of a place in a thousand.
    pub fn spreads(&self) -> Vec<Spread> {
        self.spreads_with(&NormalSteps::new())
    }

    fn spreads_with(&self, steps: &NormalSteps) -> Vec<Spread> {
        let crowd = Crowd::of(&self.entries, self.factors, steps);
        let mut kin: Vec<(usize, Vec<usize>)> = Vec::new();
        for (index, one) in self.entries.iter().enumerate() {
            sort::change(&mut kin, one.doubt().tool, |own| own.push(index));
        }
        let spread = |(index, own): (usize, &Entry<'l>)| {
            let at = kin.binary_search_by_key(&own.doubt().tool, |(tool, _)| *tool);
            let of_tool = at.ok().and_then(|at| kin.get(at));
            let others = of_tool.into_iter().flat_map(|(_, own)| own);
            let kin: Vec<(usize, Both)> = others
                .filter(|other| **other != index)
                .filter_map(|&other| Some((other, own.with(self.entries.get(other)?))))
                .collect();
            self.over_nodes(own, &|z, course| {
                let (ahead, apart) = crowd.at(course);
                let shared = crowd.shared(&self.entries, index, &kin, course);
                let mut at = AtNode {
                    ahead,
                    apart,
                    shared,
                };
                at.take(steps.distribution(own.errors_at(course)));
                for (other, both) in &kin {
                    if let Some(other) = self.entries.get(*other) {
                        let errors = other.errors_at(course);
                        at.take(steps.distribution(errors));
                        at.add(steps.distribution(both.left_of(errors, z)));
                    }
                }
                at
            })
        };
        self.entries.iter().enumerate().map(spread).collect()
    }

    /// The spread of one's rank from what the others come to at every node.
    fn over_nodes(&self, own: &Entry, at: &dyn Fn(f64, f64) -> AtNode) -> Spread {
        let (mut mean, mut square, mut inner) = (0.0, 0.0, 0.0);
        for node in &NODES {
            let se = own.doubt().se;
            let course = own.level.comes_to(-node.z * se);
            let (own_mean, variance) = at(node.z, course).moments(node.z, se, self.entries.len());
            mean += node.weight * own_mean;
            square += node.weight * own_mean * own_mean;
            inner += node.weight * variance;
        }
        Spread {
            mean,
            sd: (square - mean * mean + inner).max(0.0).sqrt(),
            nu: own.doubt().nu,
        }
    }
}

#[cfg(test)]
mod tests;
