//! Real nuts: what they broke away at, as a factor of the torque they were tightened to, from nuts that
//! somebody tried to loosen with a pair whose curve is known.
//!
//! A nut that came loose says that its breakaway torque was at most what the pair had built up by then;
//! one that did not, that it was more. [`outcome`] makes an interval of each, [`factors`] what a field
//! of them says of the next nut.

pub mod factors;
pub mod outcome;

/// What a nut has been through.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum State {
    /// Tightened shortly before.
    Fresh,
    /// Every other.
    Aged,
}

/// A nut that was tried.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Check {
    /// Where the logarithm of its factor lies.
    pub factor: outcome::Interval,
    /// Standard deviation of a further try of the pair, S, the calibration left out.
    pub sd: f64,
    /// Number of its group: checks of one date, fastener, tool and state, which share their past.
    pub group: usize,
}

/// From how many checks on a chance is told: fewer are only counted.
pub const LEAST_CHECKS: usize = 10;

/// From how many groups on.
pub const LEAST_GROUPS: usize = 3;

/// How many of the checks must have come loose.
pub const LEAST_LOOSE: usize = 4;

/// How many nuts of one state were tried.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Count {
    /// All.
    pub checks: usize,
    /// Groups they are of.
    pub groups: usize,
    /// Those that came loose.
    pub loose: usize,
}

impl Count {
    /// Of checks of one state.
    pub fn of(checks: &[Check]) -> Self {
        let mut groups: Vec<usize> = checks.iter().map(|check| check.group).collect();
        crate::sort::distinct(&mut groups);
        Self {
            checks: checks.len(),
            groups: groups.len(),
            loose: checks
                .iter()
                .filter(|check| check.factor.is_loose())
                .count(),
        }
    }

    /// Whether they are enough to tell a chance for a new nut and the factors of others.
    pub fn is_enough(&self) -> bool {
        self.checks >= LEAST_CHECKS && self.groups >= LEAST_GROUPS && self.loose >= LEAST_LOOSE
    }
}

/// The smallest and the largest factor at which nuts came loose, by what the pair had built up by then;
/// `None` if none did.
pub fn loose_at(checks: &[Check]) -> Option<(f64, f64)> {
    let loose = checks.iter().filter(|check| check.factor.is_loose());
    let at = loose.map(|check| libm::exp(check.factor.high));
    at.fold(None, |known: Option<(f64, f64)>, at| {
        Some(known.map_or((at, at), |(low, high)| (low.min(at), high.max(at))))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use outcome::Interval;

    fn check(high: f64, group: usize) -> Check {
        let low = high - 0.1;
        Check {
            factor: Interval { low, high },
            sd: 0.07,
            group,
        }
    }

    #[test]
    fn ten_checks_of_three_groups_four_of_them_loose_are_enough() {
        let held = f64::INFINITY;
        let count = |checks: usize, loose: usize, groups: usize| {
            let high = |index| if index < loose { 0.2 } else { held };
            let checks: Vec<Check> = (0..checks)
                .map(|index| check(high(index), index % groups))
                .collect();
            Count::of(&checks)
        };
        assert!(count(10, 4, 3).is_enough());
        assert!(!count(9, 4, 3).is_enough());
        assert!(!count(10, 3, 3).is_enough());
        assert!(!count(10, 10, 2).is_enough());
        let wanted = Count {
            checks: 10,
            groups: 3,
            loose: 4,
        };
        assert_eq!(count(10, 4, 3), wanted);
    }

    #[test]
    fn nuts_that_came_loose_are_told_by_what_had_been_built_up() {
        let checks = [check(0.0, 0), check(0.5, 0), check(f64::INFINITY, 0)];
        assert_eq!(loose_at(&checks), Some((1.0, libm::exp(0.5))));
        assert_eq!(loose_at(&checks[2..]), None);
    }
}
