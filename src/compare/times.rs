//! The ratio of two times to a job.

use crate::run::LEAST_TIME_S;

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

#[cfg(test)]
mod tests {
    use super::*;

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
