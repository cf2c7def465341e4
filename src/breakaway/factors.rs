//! What tried nuts say of the factors of others: a posterior on a grid.
//!
//! The logarithm of a nut's factor is normal with mean μ and standard deviation τ; what a pair has built
//! up is seen with the standard deviation S of a further try. So the likelihood of a nut between two
//! ends is the difference of Φ there, at standard deviation √(τ² + S²), to the power 1/(1 + ½(k − 1)) for
//! k checks of one group: nuts of one wheel share their past (design effect of a correlation of ½: Kish
//! 1965, "Survey Sampling"). What is known beforehand of μ and ln τ is normal: friction theory and
//! common practice, no source. Weights stand on a grid, so nothing is taken for normal that is not.

use super::{Check, State};
use crate::reach::Prediction;
use crate::sort;
use crate::special::{normal, student};

/// μ stands at 33 even points within ± 4 standard deviations of what is known beforehand, ...
const MEANS: u32 = 33;
const MEAN_REACH: f64 = 4.0;

/// ... ln τ at 25 within ± 3.
const SPREADS: u32 = 25;
const SPREAD_REACH: f64 = 3.0;

/// Correlation of nuts of one group.
const CORRELATION: f64 = 0.5;

/// So many standard deviations from the means every nut is within.
const CERTAIN: f64 = 12.0;

/// Halvings of the range in which a factor is sought: past the last bit.
const HALVINGS: u32 = 64;

/// What is known of nuts beforehand: mean and standard deviation of μ and of ln τ.
struct Beforehand {
    mean: (f64, f64),
    log_spread: (f64, f64),
}

impl Beforehand {
    fn of(state: State) -> Self {
        match state {
            State::Fresh => Self {
                mean: (libm::log(0.80), 0.20),
                log_spread: (libm::log(0.15), 0.5),
            },
            State::Aged => Self {
                mean: (libm::log(1.30), 0.40),
                log_spread: (libm::log(0.25), 0.5),
            },
        }
    }
}

/// A point of the grid.
#[derive(Clone, Copy, Debug)]
struct Point {
    mean: f64,
    spread: f64,
    weight: f64,
}

/// The factors of nuts of one state.
///
/// # Guarantees
///
/// The weights of the grid's points sum to 1.
#[derive(Clone, Debug)]
pub struct Factors(Vec<Point>);

impl Factors {
    /// From nuts of one state that were tried, none or more; `None` where nothing on the grid could have
    /// given them.
    pub fn of(state: State, checks: &[Check]) -> Option<Self> {
        let mut groups: Vec<(usize, f64)> = Vec::new();
        for check in checks {
            sort::change(&mut groups, check.group, |count| *count += 1.0);
        }
        let power = |check: &Check| {
            let count = sort::find(&groups, &check.group).unwrap_or(1.0);
            1.0 / (1.0 + CORRELATION * (count - 1.0))
        };
        let powers: Vec<f64> = checks.iter().map(power).collect();
        let mut points = grid(&Beforehand::of(state));
        for point in &mut points {
            for (check, power) in checks.iter().zip(&powers) {
                point.weight += power * libm::log(likelihood(check, point));
            }
        }
        // Up to here weights are logarithms; taken from the largest, so that none vanishes for all.
        let largest = points
            .iter()
            .map(|point| point.weight)
            .fold(f64::NEG_INFINITY, f64::max);
        let mut sum = 0.0;
        for point in &mut points {
            point.weight = libm::exp(point.weight - largest);
            sum += point.weight;
        }
        for point in &mut points {
            point.weight /= sum;
        }
        sum.is_finite().then_some(Self(points))
    }

    /// Chance that a further try of a pair loosens a new nut. `lead` is the logarithm of the typical
    /// curve's torque at the end of the visitor's patience less that of the torque the nut was tightened
    /// to, loss included.
    pub fn chance(&self, lead: f64, further: &Prediction) -> f64 {
        let own = further.sd * further.sd;
        let chance = |point: &Point| {
            let variance = own + point.spread * point.spread;
            // Only S is estimated: Welch and Satterthwaite over one term.
            let nu = variance * variance / (own * own / further.nu);
            point.weight * student::distribution((lead - point.mean) / variance.sqrt(), nu)
        };
        self.0.iter().map(chance).sum()
    }

    /// The factor that this share of nuts stays below, from above 0 to below 1.
    pub fn factor(&self, share: f64) -> f64 {
        let ends = self.0.iter().map(|point| {
            let far = CERTAIN * point.spread;
            (point.mean - far, point.mean + far)
        });
        let (mut low, mut high) = ends.fold((0.0_f64, 0.0_f64), |(low, high), (a, b)| {
            (low.min(a), high.max(b))
        });
        for _ in 0..HALVINGS {
            let middle = low + (high - low) / 2.0;
            if self.share_below(middle) < share {
                low = middle;
            } else {
                high = middle;
            }
        }
        libm::exp(high)
    }

    /// The share of nuts whose factor has at most this logarithm.
    fn share_below(&self, log: f64) -> f64 {
        let below =
            |point: &Point| point.weight * normal::distribution((log - point.mean) / point.spread);
        self.0.iter().map(below).sum()
    }
}

/// The points with the logarithms of what they weigh beforehand.
fn grid(known: &Beforehand) -> Vec<Point> {
    let even = |count: u32, reach: f64| {
        (0..count).map(move |step| reach * (2.0 * f64::from(step) / f64::from(count - 1) - 1.0))
    };
    let point = |(u, v): (f64, f64)| Point {
        mean: known.mean.0 + known.mean.1 * u,
        spread: libm::exp(known.log_spread.0 + known.log_spread.1 * v),
        weight: -0.5 * (u * u + v * v),
    };
    even(MEANS, MEAN_REACH)
        .flat_map(|u| even(SPREADS, SPREAD_REACH).map(move |v| (u, v)))
        .map(point)
        .collect()
}

/// Of a nut between its two ends.
fn likelihood(check: &Check, point: &Point) -> f64 {
    let sd = (point.spread * point.spread + check.sd * check.sd).sqrt();
    let (low, high) = (
        (check.factor.low - point.mean) / sd,
        (check.factor.high - point.mean) / sd,
    );
    // In the lower tail, where small chances keep their digits.
    if low > 0.0 {
        normal::distribution(-low) - normal::distribution(-high)
    } else {
        normal::distribution(high) - normal::distribution(low)
    }
}

#[cfg(test)]
mod tests {
    use super::super::outcome::Interval;
    use super::*;

    fn check(low: f64, high: f64, group: usize) -> Check {
        Check {
            factor: Interval { low, high },
            sd: 0.06,
            group,
        }
    }

    #[test]
    fn without_a_check_factors_are_what_is_known_beforehand() {
        for (state, half) in [(State::Fresh, 0.8), (State::Aged, 1.3)] {
            let factors = Factors::of(state, &[]).unwrap();
            let sum: f64 = factors.0.iter().map(|point| point.weight).sum();
            assert!((sum - 1.0).abs() < 1e-12);
            assert!((factors.factor(0.5) - half).abs() < 1e-9);
            assert_eq!(factors.0.len(), 825);
        }
    }

    #[test]
    fn a_group_weighs_less_than_as_many_nuts_apart() {
        let nuts = |groups: usize| -> Vec<Check> {
            (0..8).map(|nut| check(0.7, 0.8, nut % groups)).collect()
        };
        let half = |groups| Factors::of(State::Aged, &nuts(groups)).unwrap().factor(0.5);
        assert!(1.3 < half(1) && half(1) < half(4) && half(4) < half(8));
        // Eight of one group are as good as 16/9 of a nut.
        let one = Factors::of(State::Aged, &nuts(8)[..1]).unwrap().factor(0.5);
        let two = Factors::of(State::Aged, &nuts(8)[..2]).unwrap().factor(0.5);
        assert!(one < half(1) && half(1) < two);
    }

    #[test]
    fn nuts_that_held_raise_the_factors_and_lower_the_chance() {
        let further = Prediction { sd: 0.07, nu: 9.0 };
        let chance = |checks: &[Check]| {
            let factors = Factors::of(State::Fresh, checks).unwrap();
            (factors.factor(0.95), factors.chance(0.0, &further))
        };
        let (none, held) = (chance(&[]), chance(&[check(0.0, f64::INFINITY, 0)]));
        assert!(held.0 > none.0 && held.1 < none.1);
    }

    #[test]
    fn a_nut_far_beyond_what_is_known_keeps_its_digits() {
        // Eleven standard deviations of the widest point above its mean, where 1 − Φ is 0.
        let factors = Factors::of(State::Fresh, &[check(8.0, 8.1, 0)]).unwrap();
        assert!(factors.factor(0.5) > 1.0);
    }

    #[test]
    fn what_nothing_on_the_grid_gives_says_nothing() {
        assert!(Factors::of(State::Fresh, &[check(1e6, f64::INFINITY, 0)]).is_none());
        assert!(Factors::of(State::Fresh, &[check(f64::NAN, 0.0, 0)]).is_none());
    }
}
