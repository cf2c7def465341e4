//! How sure a place is: the 90 % interval of a rank, in closed form, for a whole field at once.
//!
//! Everyone in a field is a [`Level`]: a logarithm that rises along a course and is doubtful by a
//! standard error. Who comes to zero first is ahead. For a job the course is time until the window
//! ends, then torque below the job's, so that those that do not reach follow by their torque at the
//! window's end. For a measure the course is the measure itself, from the best down.
//!
//! At each node z for a standard normal error, everyone's own error being z standard errors, the
//! course goes to where its own level comes to zero; another is ahead there with probability
//! Φ((level + ρ z se) ÷ (se √(1 − ρ²))), ρ the correlation of the two errors.

use super::course::{CERTAIN_Z, COUNTED_Z, course};
use crate::special::hermite::{NODES, Node};
use crate::special::normal;

/// What takes part in a ranking, for its interval.
pub trait Level {
    /// The level at a point of the course. Does not fall along it.
    fn at(&self, course: f64) -> f64;

    /// The first point of the course at which the level is at least `level`.
    fn comes_to(&self, level: f64) -> f64;

    /// Standard error of the level, above 0.
    fn se(&self) -> f64;

    /// Covariance of the errors of this and another: of tools run on the same specimens; else 0.
    fn covariance(&self, other: &Self) -> f64;
}

/// Mean and standard deviation of a rank.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RankSpread {
    /// Mean rank.
    pub mean: f64,
    /// Its standard deviation.
    pub sd: f64,
}

/// Two-sided 90 % of a normal distribution, in standard deviations: its 0.95 quantile.
const NINETY_PERCENT: f64 = 1.645;

/// Two errors are never taken as one.
const LARGEST_CORRELATION: f64 = 0.999;

impl RankSpread {
    /// Lower and upper end of the 90 % interval: half a place wider, to whole places outward, wide
    /// enough to hold `rank`, within 1 and `of`.
    pub fn interval(&self, rank: u32, of: u32) -> (u32, u32) {
        let half = NINETY_PERCENT * self.sd + 0.5;
        let low = (self.mean - half).ceil().max(1.0).min(f64::from(of)) as u32;
        let high = (self.mean + half).floor().max(1.0).min(f64::from(of)) as u32;
        (low.min(rank), high.max(rank))
    }

    /// From mean and variance of the rank at every node.
    fn over_nodes(at: impl Fn(&Node) -> (f64, f64)) -> Self {
        let (mut mean, mut square, mut inner) = (0.0, 0.0, 0.0);
        for node in &NODES {
            let (node_mean, variance) = at(node);
            mean += node.weight * node_mean;
            square += node.weight * node_mean * node_mean;
            inner += node.weight * variance;
        }
        Self {
            mean,
            sd: (square - mean * mean + inner).max(0.0).sqrt(),
        }
    }
}

/// Correlation of the errors of two.
fn correlation<L: Level>(one: &L, other: &L) -> f64 {
    (one.covariance(other) / (one.se() * other.se())).min(LARGEST_CORRELATION)
}

/// Probability that `other` is ahead where `one`'s own error is `z` standard errors.
fn ahead<L: Level>(other: &L, course: f64, rho: f64, z: f64) -> f64 {
    let se = other.se();
    normal::distribution((other.at(course) + rho * z * se) / (se * (1.0 - rho * rho).sqrt()))
}

/// The spread of one's rank by the plain sum over everyone at every node.
pub fn plain<L: Level>(field: &[L], index: usize) -> Option<RankSpread> {
    let own = field.get(index)?;
    let others = || {
        field
            .iter()
            .enumerate()
            .filter(move |(other, _)| *other != index)
    };
    Some(RankSpread::over_nodes(|node| {
        let course = own.comes_to(-node.z * own.se());
        others().fold((1.0, 0.0), |(mean, variance), (_, other)| {
            let p = ahead(other, course, correlation(own, other), node.z);
            (mean + p, variance + p * (1.0 - p))
        })
    }))
}

/// How many have come to zero at a point of the course, and the variance of that number: neither
/// depends on who asks.
#[derive(Debug)]
struct Crowd {
    course: Vec<f64>,
    mean: Vec<f64>,
    variance: Vec<f64>,
}

impl Crowd {
    fn of<L: Level>(field: &[L]) -> Self {
        let comes_to = |one: &L| COUNTED_Z.map(|z| one.comes_to(z * one.se()));
        let course = course(field.iter().flat_map(comes_to));
        let mut crowd = Self {
            mean: vec![0.0; course.len()],
            variance: vec![0.0; course.len()],
            course,
        };
        for one in field {
            crowd.count(one);
        }
        crowd
    }

    fn count<L: Level>(&mut self, one: &L) {
        let (from, to) = (
            one.comes_to(-CERTAIN_Z * one.se()),
            one.comes_to(CERTAIN_Z * one.se()),
        );
        let first = self.course.partition_point(|&course| course < from);
        for ((&course, mean), variance) in self
            .course
            .iter()
            .zip(&mut self.mean)
            .zip(&mut self.variance)
            .skip(first)
        {
            let p = if course > to {
                1.0
            } else {
                normal::distribution(one.at(course) / one.se())
            };
            *mean += p;
            *variance += p * (1.0 - p);
        }
    }

    /// Mean and variance of the number that has come to zero.
    fn at(&self, course: f64) -> (f64, f64) {
        let after = self.course.partition_point(|&counted| counted <= course);
        let point = |i: usize| {
            Some((
                *self.course.get(i)?,
                *self.mean.get(i)?,
                *self.variance.get(i)?,
            ))
        };
        match (after.checked_sub(1).and_then(point), point(after)) {
            (Some(a), Some(b)) => {
                let part = (course - a.0) / (b.0 - a.0);
                (a.1 + part * (b.1 - a.1), a.2 + part * (b.2 - a.2))
            }
            (Some((_, mean, variance)), None) | (None, Some((_, mean, variance))) => {
                (mean, variance)
            }
            (None, None) => (0.0, 0.0),
        }
    }
}

/// The spread of everyone's rank: each reads its nodes off the crowd, its own share and that of
/// those whose errors are not independent of its own taken away, and the latter put back as they are.
pub fn field_at_once<L: Level>(field: &[L]) -> Vec<RankSpread> {
    let crowd = Crowd::of(field);
    let spread = |(index, own): (usize, &L)| {
        let kin: Vec<(&L, f64)> = field
            .iter()
            .enumerate()
            .filter(|(other, _)| *other != index)
            .map(|(_, other)| (other, correlation(own, other)))
            .filter(|(_, rho)| *rho != 0.0)
            .collect();
        RankSpread::over_nodes(|node| {
            let course = own.comes_to(-node.z * own.se());
            let (mut mean, mut variance) = crowd.at(course);
            let mut change = |p: f64, sign: f64| {
                mean += sign * p;
                variance += sign * p * (1.0 - p);
            };
            change(ahead(own, course, 0.0, 0.0), -1.0);
            for &(other, rho) in &kin {
                change(ahead(other, course, 0.0, 0.0), -1.0);
                change(ahead(other, course, rho, node.z), 1.0);
            }
            (1.0 + mean.max(0.0), variance.max(0.0))
        })
    };
    field.iter().enumerate().map(spread).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A curve that rises to its end as 1 − exp(−t).
    struct Curve {
        end: f64,
        se: f64,
        tool: usize,
    }

    const WINDOW: f64 = 5.0;

    impl Curve {
        fn told(&self, time: f64) -> f64 {
            self.end + libm::log(1.0 - libm::exp(-time - 0.01))
        }
    }

    impl Level for Curve {
        fn at(&self, course: f64) -> f64 {
            self.told(course.min(WINDOW)) + (course - WINDOW).max(0.0)
        }

        fn comes_to(&self, level: f64) -> f64 {
            if self.told(WINDOW) < level {
                return WINDOW + level - self.told(WINDOW);
            }
            (-libm::log(1.0 - libm::exp(level - self.end)) - 0.01).max(0.0)
        }

        fn se(&self) -> f64 {
            self.se
        }

        fn covariance(&self, other: &Self) -> f64 {
            if self.tool == other.tool {
                0.6 * self.se * other.se
            } else {
                0.0
            }
        }
    }

    /// A field whose ends spread about `middle`, three combinations to a tool.
    fn field(count: usize, middle: f64) -> Vec<Curve> {
        let part = |i: usize, prime: usize| (i * prime % 101) as f64 / 101.0;
        let curve = |i| Curve {
            end: middle + 0.8 * (part(i, 37) - 0.5),
            se: 0.02 + 0.03 * part(i, 53),
            tool: i / 3,
        };
        (0..count).map(curve).collect()
    }

    #[test]
    fn the_field_at_once_is_the_plain_sum_within_a_tenth_of_a_place() {
        for middle in [2.0, 0.3, -0.2] {
            let field = field(45, middle);
            for (index, spread) in field_at_once(&field).iter().enumerate() {
                let plain = plain(&field, index).unwrap();
                assert!(
                    (spread.mean - plain.mean).abs() < 0.1,
                    "{middle}, {index}: {spread:?} {plain:?}"
                );
                assert!(
                    (spread.sd - plain.sd).abs() < 0.1,
                    "{middle}, {index}: {spread:?} {plain:?}"
                );
            }
        }
    }

    #[test]
    fn mean_ranks_add_up() {
        let field = field(45, 0.3);
        let sum: f64 = field_at_once(&field).iter().map(|spread| spread.mean).sum();
        assert!((sum - 45.0 * 46.0 / 2.0).abs() < 1.0, "{sum}");
    }

    #[test]
    fn an_interval_holds_its_rank_and_stays_in_the_field() {
        let spread = RankSpread { mean: 1.2, sd: 4.0 };
        assert_eq!(spread.interval(1, 9), (1, 8));
        assert_eq!(RankSpread { mean: 5.0, sd: 0.0 }.interval(8, 9), (5, 8));
        assert_eq!(RankSpread { mean: 1.0, sd: 0.0 }.interval(1, 1), (1, 1));
    }

    /// Prints how long a field of a thousand takes by both ways: not a check, a measurement.
    #[test]
    #[ignore = "a measurement, by `cargo test --release -- --ignored --nocapture a_thousand`"]
    fn a_thousand_at_once_against_the_plain_sum() {
        let field = field(1000, 0.3);
        let start = std::time::Instant::now();
        let at_once = field_at_once(&field);
        let fast = start.elapsed();
        let start = std::time::Instant::now();
        let plain: Vec<RankSpread> = (0..field.len())
            .filter_map(|index| plain(&field, index))
            .collect();
        let slow = start.elapsed();
        let off = at_once
            .iter()
            .zip(&plain)
            .map(|(a, b)| (a.mean - b.mean).abs())
            .fold(0.0, f64::max);
        println!("at once {fast:?}, plain {slow:?}, means at most {off:.2} places apart");
    }
}
