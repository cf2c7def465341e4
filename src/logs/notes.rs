//! What is strange about a run that was read and reduced: nothing wrong with the text, but worth a
//! look before the figures are used.

use crate::problem::Problem;
use crate::run::reduce::{Reduction, Settings};
use crate::run::running_median::median;
use crate::run::samples::Samples;
use crate::run::zero::{LEAST_SAMPLES, ZeroKept};
pub use crate::units::figure::figure;
use serde::Serialize;

/// A negative torque deeper than this part of the largest is told.
const DEEP_PART: f64 = 0.1;

/// Lowest samples within this part of the range above the lowest are an offset, not a sign.
const OFFSET_PART: f64 = 0.1;

/// More samples in turn at the largest value than this part of all are told as clipped …
const CLIPPED_PART: f64 = 0.02;

/// … if there are at least so many.
const LEAST_CLIPPED: usize = 5;

/// A run whose first samples are above this part of the largest began under load.
const LOADED_PART: f64 = 0.05;

/// How many first samples are looked at.
const FIRST_SAMPLES: usize = 5;

/// A median interval between samples above this, in µs, hides peaks: below 100 samples a second.
const SLOW_US: f64 = 10_000.0;

/// A run longer than this, in s, has its time in another unit than was said, most likely.
const LONG_S: f64 = 600.0;

/// And one shorter than this, in s.
const BRIEF_S: f64 = 0.05;

/// Something strange about a run.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Note {
    /// A word for programs, the same in every version.
    pub code: &'static str,
    /// The note for people.
    pub sentence: String,
}

/// What is wrong if the torque has the wrong sign: it falls farther below zero than it rises above,
/// and its low level is not where the log begins, which would be an offset. `m` is the smoothed
/// torque of the samples in N·m.
pub fn wrong_sign(samples: &Samples, m: &[f64]) -> Option<Problem> {
    let largest = m.iter().copied().reduce(f64::max)?;
    let lowest = m.iter().copied().reduce(f64::min)?;
    let starts_low = first_level(samples) - lowest <= OFFSET_PART * (largest - lowest);
    if -lowest <= largest.max(0.0) || starts_low {
        return None;
    }
    let found = format!(
        "torque down to {} N·m and up to {} N·m",
        figure(lowest),
        figure(largest)
    );
    let problem = Problem::new("", found, "torque that rises above zero");
    Some(problem.hint("if its sign is reversed, give --inverted"))
}

/// What is strange about a reduced run.
pub fn notes(samples: &Samples, run: &Reduction, settings: &Settings) -> Vec<Note> {
    let torque = &samples.torque_nm;
    let largest = torque.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let notes = [
        negative(torque, run),
        clipped(torque, largest),
        loaded_start(samples, largest),
        no_quiet(run),
        zero_kept(run),
        slow(run),
        short(run, settings),
        duration(run),
    ];
    notes.into_iter().flatten().collect()
}

/// Samples far below zero.
fn negative(torque: &[f64], run: &Reduction) -> Option<Note> {
    let lowest = torque.iter().copied().fold(f64::INFINITY, f64::min) - run.zero_nm;
    (lowest < -DEEP_PART * run.largest_nm).then(|| Note {
        code: "negative",
        sentence: format!(
            "The lowest sample is {} N·m, the largest {} N·m: is the sign right, is the sensor sound?",
            figure(lowest),
            figure(run.largest_nm)
        ),
    })
}

/// Many samples in turn at the largest value, in N·m.
fn clipped(torque: &[f64], largest: f64) -> Option<Note> {
    let (clipped, count) = (longest_stretch(torque, largest), torque.len());
    let is_clipped = clipped >= LEAST_CLIPPED && clipped as f64 > CLIPPED_PART * count as f64;
    is_clipped.then(|| Note {
        code: "clipped",
        sentence: format!(
            "{clipped} of {count} samples in turn stand at the largest value, {} N·m: the record may be clipped.",
            figure(largest)
        ),
    })
}

/// A log that does not begin near zero; `largest` is its largest torque in N·m.
fn loaded_start(samples: &Samples, largest: f64) -> Option<Note> {
    let first = first_level(samples);
    (first.abs() > LOADED_PART * largest.abs()).then(|| Note {
        code: "loaded_start",
        sentence: format!(
            "The log begins at {} N·m: started under load, or an offset of the sensor.",
            figure(first)
        ),
    })
}

/// A run without a quiet part.
fn no_quiet(run: &Reduction) -> Option<Note> {
    run.no_quiet.then(|| Note {
        code: "no_quiet",
        sentence: "There is no quiet part before the onset: the first sample counts as the onset."
            .into(),
    })
}

/// A zero that was not taken away though nobody asked for that.
fn zero_kept(run: &Reduction) -> Option<Note> {
    let sentence = match run.zero_kept? {
        ZeroKept::NotFlat(change) => format!(
            "The torque changes by up to {} N·m before the onset, more than its noise explains: no zero was taken away.",
            figure(change)
        ),
        ZeroKept::FewSamples => format!(
            "Fewer than {LEAST_SAMPLES} samples lie before the onset: no zero was taken away."
        ),
        ZeroKept::Asked => return None,
    };
    Some(Note {
        code: "zero_kept",
        sentence,
    })
}

/// Too few samples a second.
fn slow(run: &Reduction) -> Option<Note> {
    (run.gap_us > SLOW_US).then(|| Note {
        code: "slow",
        sentence: format!(
            "At {:.0} samples a second the peaks of blows are missed: 100 or more are needed.",
            1e6 / run.gap_us
        ),
    })
}

/// A run that ends within its window.
fn short(run: &Reduction, settings: &Settings) -> Option<Note> {
    run.short.then(|| Note {
        code: "short",
        sentence: format!(
            "The run is short: the log ends or the torque falls before the window of {} s has passed.",
            settings.window_s
        ),
    })
}

/// A run far longer or shorter than runs are.
fn duration(run: &Reduction) -> Option<Note> {
    let duration_s = (run.last_us as f64 - run.onset_us) / 1e6;
    (!(BRIEF_S..=LONG_S).contains(&duration_s)).then(|| Note {
        code: "duration",
        sentence: format!(
            "The run lasts {} s from its onset: is the unit of time right?",
            figure(duration_s)
        ),
    })
}

/// That samples reach the torque at which the sensor clips, in N·m.
pub fn clips(samples: &Samples, at_nm: f64) -> Option<Note> {
    let count = samples.torque_nm.iter().filter(|torque| **torque >= at_nm);
    let (count, all) = (count.count(), samples.torque_nm.len());
    let at = figure(at_nm);
    (count > 0).then(|| Note {
        code: "clips",
        sentence: format!("{count} of {all} samples reach {at} N·m, at which the sensor clips."),
    })
}

/// The level at which a log begins, in N·m.
fn first_level(samples: &Samples) -> f64 {
    median(
        samples
            .torque_nm
            .iter()
            .copied()
            .take(FIRST_SAMPLES)
            .collect(),
    )
}

/// How many values in turn are this one.
fn longest_stretch(values: &[f64], value: f64) -> usize {
    let stretches = values.chunk_by(|a, b| a == b);
    let of_value = stretches.filter(|stretch| stretch.first() == Some(&value));
    of_value.map(<[f64]>::len).max().unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::run::reduce::{reduce, smoothed};

    const SETTINGS: Settings = Settings {
        smooth_us: 40_000,
        onset_nm: None,
        window_s: 1.0,
        keep_zero: false,
    };

    /// Half a second of a lead-in, a rise to 300 N·m within half a second, a second on top; with a
    /// ripple of 2 N·m.
    fn samples(level: impl Fn(f64) -> f64) -> Samples {
        let at = |i: i64| {
            let time_s = i as f64 * 0.005;
            let shape = ((time_s - 0.5) / 0.5).clamp(0.0, 1.0);
            level(300.0 * shape + [0.0, 1.3, -0.9, 0.4, 2.0, -2.0, -0.8][i as usize % 7])
        };
        Samples {
            time_us: (0..400).map(|i| i * 5000).collect(),
            torque_nm: (0..400).map(at).collect(),
            ..Samples::default()
        }
    }

    fn codes(samples: &Samples) -> Vec<&'static str> {
        assert_eq!(wrong_sign(samples, &smoothed(samples, &SETTINGS)), None);
        let run = reduce(samples, &SETTINGS).unwrap();
        notes(samples, &run, &SETTINGS)
            .iter()
            .map(|note| note.code)
            .collect()
    }

    fn cut(samples: &Samples, from: usize, to: usize, every: usize) -> Samples {
        Samples {
            time_us: samples.time_us[from..to]
                .iter()
                .copied()
                .step_by(every)
                .collect(),
            torque_nm: samples.torque_nm[from..to]
                .iter()
                .copied()
                .step_by(every)
                .collect(),
            ..Samples::default()
        }
    }

    #[test]
    fn a_sound_run_has_no_notes() {
        assert_eq!(codes(&samples(|torque| torque)), [""; 0]);
        assert_eq!(
            codes(&samples(|torque| torque + 12.0)),
            [""; 0],
            "an offset of 4 %"
        );
    }

    #[test]
    fn a_reversed_sign_is_refused_and_an_offset_is_not() {
        for wrong in [
            samples(|torque| -torque),
            samples(|torque| 20.0 - torque),
            cut(&samples(|torque| -torque), 150, 400, 1),
        ] {
            let problem = wrong_sign(&wrong, &smoothed(&wrong, &SETTINGS)).unwrap();
            assert!(problem.message.contains("--inverted"), "{problem}");
        }
        assert_eq!(codes(&samples(|torque| torque - 400.0)), ["loaded_start"]);
        // Started under load and let go at the end.
        let mut loaded = cut(&samples(|torque| torque), 180, 400, 1);
        loaded.torque_nm[200..].fill(0.0);
        assert_eq!(wrong_sign(&loaded, &smoothed(&loaded, &SETTINGS)), None);
    }

    #[test]
    fn what_is_strange_is_noted() {
        let sound = samples(|torque| torque);
        assert_eq!(codes(&samples(|torque| torque.min(250.0))), ["clipped"]);
        assert_eq!(codes(&cut(&sound, 0, 400, 3)), ["slow"]);
        assert_eq!(codes(&cut(&sound, 0, 250, 1)), ["short"]);
        assert_eq!(codes(&cut(&sound, 94, 400, 1)), ["zero_kept"]);
        assert_eq!(
            codes(&cut(&sound, 150, 400, 1)),
            ["loaded_start", "zero_kept"]
        );
        let mut slow = sound.clone();
        slow.time_us.iter_mut().for_each(|time| *time *= 1000);
        assert!(codes(&slow).contains(&"duration"));
        let mut deep = sound.clone();
        deep.torque_nm[390] = -40.0;
        assert_eq!(codes(&deep), ["negative"]);
        let mut sloping = sound;
        for (i, torque) in sloping.torque_nm.iter_mut().enumerate().take(100) {
            *torque += 0.1 * i as f64;
        }
        assert_eq!(codes(&sloping), ["zero_kept"]);
    }
}
