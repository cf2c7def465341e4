//! What only the samples show: a reversed sign, several runs in one log.

use super::super::logger_block::Split;
use super::super::split::parts;
use super::said::Said;
use super::{Look, Open};
use crate::logs::notes::{figure, wrong_sign};
use crate::run::reduce::{Settings, smoothed};
use crate::run::samples::Samples;

/// The rig rests where the torque is below this part of the largest rise.
const REST_PART: f64 = 0.1;

/// Rests shorter than this, in s, are dips of one run.
const LEAST_REST_S: f64 = 2.0;

const SETTINGS: Settings = Settings {
    smooth_us: 40_000,
    onset_nm: None,
    window_s: 5.0,
    keep_zero: false,
};

/// Asks what the samples leave open.
pub(super) fn of_samples(look: &mut Look, said: &Said) {
    let Some(logged) = &look.logged else { return };
    let key = if logged.tension { "tension" } else { "torque" };
    let samples = logged.samples.clone().merged();
    let mut open = Vec::new();
    let m = smoothed(&samples, &SETTINGS);
    if !said.has(key) && wrong_sign(&samples, &m).is_some() {
        let value = look.block.iter().find(|(other, _)| other == key);
        let column = value.map_or("…", |(_, value)| value.as_str());
        let lowest = samples
            .torque_nm
            .iter()
            .copied()
            .fold(f64::INFINITY, f64::min);
        let largest = samples
            .torque_nm
            .iter()
            .copied()
            .fold(f64::NEG_INFINITY, f64::max);
        let line = |inverted| format!("{key} = {{ column = {column}, inverted = {inverted} }}");
        open.push(Open {
            question: format!(
                "It falls to {} and rises to {}: is its sign reversed?",
                figure(lowest),
                figure(largest)
            ),
            readings: vec![
                (
                    format!("reversed: it rises to {}", figure(-lowest)),
                    line(true),
                ),
                (
                    format!("as it stands: it rises to {}", figure(largest)),
                    line(false),
                ),
            ],
        });
    }
    if !said.has("split") && open.is_empty() {
        open.extend(several_runs(&samples, m));
    }
    look.open = open;
}

/// Whether a log holds one run or several; `m` is its smoothed torque in N·m.
fn several_runs(samples: &Samples, m: Vec<f64>) -> Option<Open> {
    let lowest = m.iter().copied().reduce(f64::min)?;
    let largest = m.iter().copied().reduce(f64::max)?;
    let level = lowest + REST_PART * (largest - lowest);
    let smoothed = Samples {
        torque_nm: m,
        angle_deg: None,
        voltage_v: None,
        current_a: None,
        ..samples.clone()
    };
    let split = Split {
        torque_nm: level,
        rest_s: LEAST_REST_S,
    };
    let count = parts(&smoothed, split).len();
    if count < 2 || level <= 0.0 {
        return None;
    }
    let shortest = shortest_rest_s(&smoothed, level)?;
    // Half of the shortest rest, rounded down to one figure, parts them all.
    let digits = libm::floor(libm::log10(shortest / 2.0));
    let unit = libm::pow(10.0, digits);
    let rest_s = libm::floor(shortest / 2.0 / unit) * unit;
    let level = libm::ceil(level);
    Some(Open {
        question: format!(
            "The torque rests {} for {} s or more.",
            if count == 2 {
                "once".into()
            } else {
                format!("{} times", count - 1)
            },
            figure(shortest)
        ),
        readings: vec![
            (
                format!("{count} runs"),
                format!("split = {{ torque_nm = {level}, rest_s = {rest_s} }}"),
            ),
            ("one run with pauses".into(), "split = \"no\"".into()),
        ],
    })
}

/// The shortest rest between runs, in s.
fn shortest_rest_s(samples: &Samples, level: f64) -> Option<f64> {
    let all = samples.time_us.iter().zip(&samples.torque_nm);
    let active: Vec<i64> = all
        .filter(|(_, torque)| **torque >= level)
        .map(|(time, _)| *time)
        .collect();
    let rests = active.windows(2).filter_map(|pair| match pair {
        &[from, to] => Some((to - from) as f64 / 1e6),
        _ => None,
    });
    rests.filter(|rest| *rest >= LEAST_REST_S).reduce(f64::min)
}
