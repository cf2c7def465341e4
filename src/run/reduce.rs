//! Samples to build-up curve.

use super::curve::Curve;
use super::electrical::Electrical;
use super::isotonic::isotonic;
use super::onset::{Onset, find};
use super::running_median::{median, running_median};
use super::samples::{Samples, microseconds};
use super::zero::{LEAST_SAMPLES, ZeroKept, change_nm};
use crate::dataset::types::Rig;

/// How a run is reduced.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Settings {
    /// Width of the running median in microseconds.
    pub smooth_us: i64,
    /// Onset level above the quiet level in N·m; 2 % of the largest rise if absent.
    pub onset_nm: Option<f64>,
    /// Length of a run that counts, in seconds.
    pub window_s: f64,
    /// Keep the torque's zero as logged, even where the samples before the onset are flat.
    pub keep_zero: bool,
}

impl Settings {
    /// The settings of a rig.
    pub fn of(rig: &Rig) -> Self {
        Self {
            smooth_us: microseconds(rig.smooth_s()),
            onset_nm: rig.onset_nm,
            window_s: rig.window_s(),
            keep_zero: rig.keep_zero(),
        }
    }
}

/// A run, reduced, before thinning.
#[derive(Clone, Debug)]
pub struct Reduction {
    /// The onset on the log's own clock, in microseconds.
    pub onset_us: f64,
    /// The zero taken away, in N·m; 0 if it was kept.
    pub zero_nm: f64,
    /// Why the zero was kept as logged; `None` if it was taken away.
    pub zero_kept: Option<ZeroKept>,
    /// The end on the log's own clock: the first sample at which the smoothed torque is largest.
    pub end_us: i64,
    /// The last sample on the log's own clock.
    pub last_us: i64,
    /// Largest sample less the zero, in N·m.
    pub largest_nm: f64,
    /// Samples after merging.
    pub samples: usize,
    /// Median interval between samples, in microseconds.
    pub gap_us: f64,
    /// The interval every sample keeps to, in microseconds, if there is one.
    pub tick_us: Option<u32>,
    /// Whether the log ends or the torque falls for good before the window has passed.
    pub short: bool,
    /// Whether no sample lies below the onset level.
    pub no_quiet: bool,
    /// Times of the curve's samples on the log's own clock, in microseconds.
    pub time_us: Vec<i64>,
    /// H(0) in N·m.
    pub start_nm: f64,
    /// H at those samples, in N·m.
    pub torque_nm: Vec<f64>,
    /// Degrees turned since the onset at those samples: growth of the angle's running maximum.
    pub turn_deg: Option<Vec<f64>>,
    /// What voltage and current say.
    pub electrical: Electrical,
}

/// Below this part of the largest torque a run has been let go.
const LET_GO: f64 = 0.5;

/// Reduces merged samples; `None` if the torque never rises above the onset level.
pub fn reduce(samples: &Samples, settings: &Settings) -> Option<Reduction> {
    reduce_smoothed(samples, smoothed(samples, settings), settings)
}

/// The smoothed torque of merged samples, in N·m.
pub fn smoothed(samples: &Samples, settings: &Settings) -> Vec<f64> {
    running_median(&samples.time_us, &samples.torque_nm, settings.smooth_us)
}

/// As [`reduce`], where `m` is what [`smoothed`] gives for these samples and settings.
pub fn reduce_smoothed(
    samples: &Samples,
    mut m: Vec<f64>,
    settings: &Settings,
) -> Option<Reduction> {
    let largest = m.iter().copied().reduce(f64::max)?;
    let end = m.iter().position(|&m| m >= largest)?;
    let quiet = m.get(..=end)?.iter().copied().reduce(f64::min)?;
    let first_onset = find(&samples.time_us, m.get(..=end)?, quiet, settings.onset_nm)?;
    let before = samples
        .time_us
        .partition_point(|&time| (time as f64) < first_onset.time_us);
    let zero_kept = zero_kept(samples, before, largest - quiet, settings);
    let (zero_nm, onset) = match zero_kept {
        Some(_) => (0.0, first_onset),
        None => zeroed(samples, &mut m, end, before, settings)?,
    };

    let range = onset.first..=end;
    let torque_nm = isotonic(m.get(range.clone())?);
    let start_nm = onset.level_nm.min(*torque_nm.first()?);
    let last_us = *samples.time_us.last()?;
    let largest_sample = samples.torque_nm.iter().copied().reduce(f64::max)?;
    Some(Reduction {
        onset_us: onset.time_us,
        zero_nm,
        zero_kept,
        end_us: *samples.time_us.get(end)?,
        last_us,
        largest_nm: largest_sample - zero_nm,
        samples: samples.time_us.len(),
        gap_us: samples.median_gap_us(),
        tick_us: samples.tick_us(),
        short: is_short(samples, &m, &onset, settings.window_s),
        no_quiet: !onset.quiet,
        time_us: samples.time_us.get(range.clone())?.to_vec(),
        start_nm,
        torque_nm,
        turn_deg: samples
            .angle_deg
            .as_ref()
            .and_then(|angle| turned(samples, angle, &onset, range)),
        electrical: Electrical::of(samples, onset.time_us, end),
    })
}

/// Why the zero is kept, if it is, with so many samples before the onset.
fn zero_kept(
    samples: &Samples,
    before: usize,
    rise_nm: f64,
    settings: &Settings,
) -> Option<ZeroKept> {
    if settings.keep_zero {
        return Some(ZeroKept::Asked);
    }
    if before < LEAST_SAMPLES {
        return Some(ZeroKept::FewSamples);
    }
    let (time_us, torque_nm) = (
        samples.time_us.get(..before)?,
        samples.torque_nm.get(..before)?,
    );
    change_nm(time_us, torque_nm, rise_nm).map(ZeroKept::NotFlat)
}

/// Takes the median of the samples before the onset away from `m` and finds the onset once more
/// with a quiet level of 0.
fn zeroed(
    samples: &Samples,
    m: &mut [f64],
    end: usize,
    before: usize,
    settings: &Settings,
) -> Option<(f64, Onset)> {
    let zero = median(samples.torque_nm.get(..before)?.to_vec());
    for m in m.iter_mut() {
        *m -= zero;
    }
    Some((
        zero,
        find(&samples.time_us, m.get(..=end)?, 0.0, settings.onset_nm)?,
    ))
}

/// Whether the log ends (by more than one median interval) or the torque falls for good below half
/// of its largest value before the window has passed.
fn is_short(samples: &Samples, m: &[f64], onset: &Onset, window_s: f64) -> bool {
    let window_ends = onset.time_us + window_s * 1e6;
    let log_ends = samples
        .time_us
        .last()
        .is_some_and(|&last| (last as f64) < window_ends - samples.median_gap_us());
    let largest = m.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let let_go = m
        .iter()
        .rposition(|&m| m >= LET_GO * largest)
        .and_then(|held| samples.time_us.get(held + 1));
    log_ends || let_go.is_some_and(|&time| (time as f64) < window_ends)
}

/// Growth of the angle's running maximum since the onset, at the samples of `range`.
fn turned(
    samples: &Samples,
    angle_deg: &[f64],
    onset: &Onset,
    range: std::ops::RangeInclusive<usize>,
) -> Option<Vec<f64>> {
    let mut largest = f64::NEG_INFINITY;
    let running: Vec<f64> = angle_deg
        .iter()
        .map(|&angle| {
            largest = largest.max(angle);
            largest
        })
        .collect();
    let (after, to) = (
        *samples.time_us.get(onset.first)? as f64,
        *running.get(onset.first)?,
    );
    let at_onset = match onset.first.checked_sub(1) {
        Some(before) => {
            let (time, from) = (*samples.time_us.get(before)? as f64, *running.get(before)?);
            from + (to - from) * ((onset.time_us - time) / (after - time))
        }
        None => to,
    };
    Some(
        running
            .get(range)?
            .iter()
            .map(|angle| angle - at_onset)
            .collect(),
    )
}

impl Reduction {
    /// The build-up curve before thinning.
    pub fn curve(&self) -> Curve {
        let time_s = self
            .time_us
            .iter()
            .map(|&time| (time as f64 - self.onset_us) / 1e6)
            .collect();
        let turn_rad = self
            .turn_deg
            .as_ref()
            .map(|turn| turn.iter().map(|turn| turn.to_radians()).collect());
        Curve::new(self.start_nm, time_s, self.torque_nm.clone(), turn_rad)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A flat lead-in of 40 samples at 12 N·m, then a rise to 112 N·m.
    fn offset() -> Samples {
        let level = |i: i64| 12.0 + (i as f64 - 40.0).clamp(0.0, 100.0);
        Samples {
            time_us: (0..200).map(|i| i * 5_000).collect(),
            torque_nm: (0..200).map(level).collect(),
            ..Samples::default()
        }
    }

    #[test]
    fn a_rig_says_whether_the_zero_is_kept() {
        let reduced = |keep_zero| {
            let rig = Rig {
                keep_zero,
                ..Rig::default()
            };
            let run = reduce(&offset(), &Settings::of(&rig)).unwrap();
            (run.zero_nm, run.zero_kept)
        };
        assert_eq!(reduced(None), (12.0, None));
        assert_eq!(reduced(Some(false)), (12.0, None));
        assert_eq!(reduced(Some(true)), (0.0, Some(ZeroKept::Asked)));
    }
}
