//! Samples to the whole-numbered series of a dataset.

use crate::dataset::types::Run;
use crate::problem::Problem;
use crate::run::samples::{Samples, microseconds};

/// How a run's times are given.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Times {
    /// By start and interval where sampling is even, one by one elsewhere.
    AsSampled,
    /// One by one, whatever start is given besides.
    Listed {
        /// Start in seconds.
        start_s: Option<f64>,
    },
    /// By start, 0 if absent, and interval, in seconds; they must give the log's times.
    Even {
        /// Start in seconds.
        start_s: Option<f64>,
        /// Interval in seconds.
        interval_s: f64,
    },
}

/// Puts samples into a run as series: tenths of N·m and of degrees, mV, mA, microseconds.
///
/// # Errors
///
/// If a value is too large, or `times` are not those of the samples.
pub fn attach(run: &mut Run, samples: &Samples, times: Times) -> Result<(), Problem> {
    run.torque_dnm = Some(whole(&samples.torque_nm, 10.0, "torque")?);
    let optional = |series: &Option<Vec<f64>>, scale, what| {
        series
            .as_ref()
            .map(|series| whole(series, scale, what))
            .transpose()
    };
    run.angle_ddeg = optional(&samples.angle_deg, 10.0, "angle")?;
    run.voltage_mv = optional(&samples.voltage_v, 1000.0, "voltage")?;
    run.current_ma = optional(&samples.current_a, 1000.0, "current")?;
    let even = match times {
        Times::Listed { start_s } => {
            run.start_s = start_s;
            None
        }
        Times::AsSampled => {
            even(&samples.time_us).map(|(start_s, interval_s)| (Some(start_s), interval_s))
        }
        Times::Even {
            start_s,
            interval_s,
        } => {
            if !gives(start_s.unwrap_or(0.0), interval_s, &samples.time_us) {
                let found = format!(
                    "an interval of {interval_s} s that does not give the times of the log"
                );
                return Err(Problem::new("", found, "the log's own, or nothing"));
            }
            Some((start_s, interval_s))
        }
    };
    match even {
        Some((start_s, interval_s)) => (run.start_s, run.interval_s) = (start_s, Some(interval_s)),
        None => run.time_us = Some(samples.time_us.clone()),
    }
    Ok(())
}

fn whole(series: &[f64], scale: f64, what: &str) -> Result<Vec<i32>, Problem> {
    let mut numbers = Vec::with_capacity(series.len());
    for value in series {
        let number = (value * scale).round();
        if number.is_nan() || number.abs() > f64::from(i32::MAX) {
            let found = format!("the {what} {value}");
            return Err(
                Problem::new("", found, "a smaller one").hint("look at its unit and factor")
            );
        }
        numbers.push(number as i32);
    }
    Ok(numbers)
}

/// Start and interval in seconds, if they give these times to the microsecond.
pub fn even(times: &[i64]) -> Option<(f64, f64)> {
    const MOST_START_US: u64 = 1_000_000_000_000;
    const MOST_INTERVAL_US: i64 = 60_000_000;
    let &[first, second, ..] = times else {
        return None;
    };
    let interval = second.checked_sub(first)?;
    let fits = first.unsigned_abs() <= MOST_START_US && (1..=MOST_INTERVAL_US).contains(&interval);
    let (start_s, interval_s) = (first as f64 / 1e6, interval as f64 / 1e6);
    (fits && gives(start_s, interval_s, times)).then_some((start_s, interval_s))
}

fn gives(start_s: f64, interval_s: f64, times: &[i64]) -> bool {
    let mut numbered = times.iter().enumerate();
    numbered.all(|(i, &time)| microseconds(start_s + i as f64 * interval_s) == time)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(time_us: &[i64], times: Times) -> Result<Run, Problem> {
        let samples = Samples {
            time_us: time_us.to_vec(),
            torque_nm: time_us.iter().map(|_| 1.25).collect(),
            voltage_v: Some(time_us.iter().map(|_| 20.4567).collect()),
            ..Samples::default()
        };
        let mut run = Run::default();
        attach(&mut run, &samples, times).map(|()| run)
    }

    #[test]
    fn even_times_are_told_by_start_and_interval() {
        let run = of(&[-100, 400, 900], Times::AsSampled).unwrap();
        assert_eq!(
            (run.start_s, run.interval_s, run.time_us),
            (Some(-0.0001), Some(0.0005), None)
        );
        assert_eq!(run.torque_dnm, Some(vec![13, 13, 13]));
        assert_eq!(run.voltage_mv, Some(vec![20457; 3]));
        for listed in [&[0, 5, 11][..], &[0, 0, 0], &[7]] {
            let run = of(listed, Times::AsSampled).unwrap();
            assert_eq!(
                (run.interval_s, run.time_us.as_deref()),
                (None, Some(listed))
            );
        }
        assert_eq!(
            of(&[0, 5, 10], Times::Listed { start_s: None })
                .unwrap()
                .time_us,
            Some(vec![0, 5, 10])
        );
    }

    #[test]
    fn a_given_interval_must_give_the_times() {
        let third = Times::Even {
            start_s: None,
            interval_s: 1.0 / 3.0,
        };
        let run = of(&[0, 333_333, 666_667], third).unwrap();
        assert_eq!((run.start_s, run.interval_s), (None, Some(1.0 / 3.0)));
        assert!(of(&[0, 333_333, 666_666], third).is_err());
    }

    #[test]
    fn a_value_too_large_is_refused() {
        let samples = Samples {
            time_us: vec![0],
            torque_nm: vec![3e8],
            ..Samples::default()
        };
        let problem = attach(&mut Run::default(), &samples, Times::AsSampled).unwrap_err();
        assert!(
            problem.message.contains("the torque 300000000"),
            "{problem}"
        );
    }
}
