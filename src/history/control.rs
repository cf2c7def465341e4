//! The individuals chart of the control runs: has the rig drifted?
//!
//! Shewhart's chart of single values with moving ranges of two (NIST/SEMATECH e-Handbook of
//! Statistical Methods, 6.3.2.2).

/// Days that are needed before limits are drawn.
pub const LEAST_DAYS: usize = 5;

/// Half the distance of the limits in mean moving ranges: 3 ÷ d2, with d2 = 1.128 for two values.
const RANGES: f64 = 2.66;

/// Between which limits a day's control runs stay if nothing has changed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// The lower limit.
    pub low: f64,
    /// The mean of the days.
    pub mean: f64,
    /// The upper limit.
    pub high: f64,
}

impl Limits {
    /// The limits of one value a day, in order of time: mean ± 2.66 × mean absolute difference of
    /// successive days, in the values' own unit; `None` below five days.
    pub fn of(days: &[f64]) -> Option<Self> {
        if days.len() < LEAST_DAYS {
            return None;
        }
        let count = days.len() as f64;
        let ranges = days.iter().zip(days.iter().skip(1));
        let range = ranges.map(|(a, b)| (b - a).abs()).sum::<f64>() / (count - 1.0);
        let mean = days.iter().sum::<f64>() / count;
        Some(Self {
            low: mean - RANGES * range,
            mean,
            high: mean + RANGES * range,
        })
    }

    /// Whether a day's value lies within the limits, the last bits of the sums behind them aside.
    pub fn hold(&self, value: f64) -> bool {
        let rounding = 1e-12 * self.mean.abs();
        (self.low - rounding..=self.high + rounding).contains(&value)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn four_days_are_too_few() {
        assert_eq!(Limits::of(&[1.0, 2.0, 1.0, 2.0]), None);
        assert!(Limits::of(&[1.0, 2.0, 1.0, 2.0, 1.0]).is_some());
    }

    #[test]
    fn a_day_on_the_limit_is_within_it() {
        let limits = Limits::of(&[3.0; 5]);
        assert_eq!(limits.map(|limits| limits.hold(3.0)), Some(true));
        assert_eq!(limits.map(|limits| limits.hold(3.1)), Some(false));
        // Seven tenths summed and divided by seven are not a tenth to the last bit.
        let equal = Limits::of(&[0.1; 7]);
        assert_eq!(equal.map(|limits| limits.hold(0.1)), Some(true));
    }
}
