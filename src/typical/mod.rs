//! The runs of a combination to its typical curve, and the best of three.
//!
//! The mean of a combination, of whatever, is the mean over the runs of each specimen, then the
//! plain mean over specimens. The typical curve is that mean of the logarithms of the runs' torques at
//! the [instants](crate::run::instants) of the window, as [`told`] has it.

use crate::IS_WHOLE;
use crate::dataset::types::BuildUp;
use crate::joint::JointLine;
use crate::run::crossing::first_us;
use crate::run::curve::Curve;
use crate::run::measures::Measures;
use crate::run::{LEAST_TIME_S, LEAST_TORQUE_NM};
use crate::tie::reaches;
use std::sync::Arc;
use told::Told;

pub mod told;

/// A run that counts, as the edition shown has it.
#[derive(Clone, Debug)]
pub struct Counted {
    /// Its build-up curve, corrections applied.
    pub curve: Arc<Curve>,
    /// Its measures, corrections applied.
    pub measures: Measures,
    /// Its largest sample in N·m, corrections applied.
    pub largest_nm: f64,
    /// Its published form, before corrections.
    pub buildup: Arc<BuildUp>,
}

/// The counted runs of one tool with one pack in one setup on one rig, by specimen of the tool.
///
/// # Guarantees
///
/// Once built by [`Combination::new`], at least one specimen, each with at least one run.
#[derive(Clone, Debug)]
pub struct Combination {
    specimens: Vec<Vec<Counted>>,
    /// The typical curve; of an estimate those whose shape it has, each with its weight, 1 together.
    typical: Vec<(Arc<Curve>, f64)>,
    /// Logarithm of a factor on every typical torque.
    log_factor: f64,
}

impl Combination {
    /// A combination of these runs by specimen, told at the [instants](crate::run::instants) of a window in
    /// s; `None` without a run. Specimens without a run are left out.
    pub fn new(specimens: Vec<Vec<Counted>>, instants_s: &Arc<Vec<f64>>) -> Option<Self> {
        let mut own = Self::of_told(specimens, &Told::default(), instants_s)?;
        let told = Told::of(&own.typical_at(instants_s));
        own.typical = vec![(Arc::new(told.curve(instants_s)), 1.0)];
        Some(own)
    }

    /// What is typical of the runs' torques at these times in s, none before the one before it, in N·m.
    fn typical_at(&self, times_s: &[f64]) -> Vec<f64> {
        let specimens = self.specimens.iter();
        let curves = specimens.map(|runs| runs.iter().map(|run| run.curve.torques_at(times_s)));
        let curves: Vec<Vec<Vec<f64>>> = curves.map(Iterator::collect).collect();
        let mut now: Vec<Vec<f64>> = curves.iter().map(|runs| vec![0.0; runs.len()]).collect();
        let at = |index: usize| {
            for (now, curves) in now.iter_mut().flatten().zip(curves.iter().flatten()) {
                *now = curves.get(index).copied().unwrap_or_default();
            }
            log_mean(&now, 0.0)
        };
        (0..times_s.len()).map(at).collect()
    }

    /// The same with a typical curve that was worked out before.
    pub fn of_told(
        mut specimens: Vec<Vec<Counted>>,
        told: &Told,
        instants_s: &Arc<Vec<f64>>,
    ) -> Option<Self> {
        specimens.retain(|runs| !runs.is_empty());
        (!specimens.is_empty()).then(|| Self {
            specimens,
            typical: vec![(Arc::new(told.curve(instants_s)), 1.0)],
            log_factor: 0.0,
        })
    }

    /// One whose typical torques have the shape that several combinations have in common, each
    /// specimen of each counting alike, scaled to `torque_nm` at `time_s`: an estimate. What its
    /// runs show one by one is not scaled. `None` without a combination.
    pub fn shaped_like<'b>(
        others: impl Iterator<Item = &'b Self>,
        time_s: f64,
        torque_nm: f64,
    ) -> Option<Self> {
        let (mut specimens, mut typical) = (Vec::new(), Vec::new());
        for other in others {
            let weight = other.specimen_count() as f64;
            let own = other.typical.iter();
            typical.extend(own.map(|(curve, part)| (curve.clone(), part * weight)));
            specimens.extend(other.specimens.iter().cloned());
        }
        let all = specimens.len() as f64;
        for (_, weight) in &mut typical {
            *weight /= all;
        }
        let mut shaped = Self {
            specimens,
            typical,
            log_factor: 0.0,
        };
        shaped.log_factor = libm::log(torque_nm) - shaped.log_torque_at(time_s);
        (all > 0.0).then_some(shaped)
    }

    /// All runs.
    pub fn runs(&self) -> impl Iterator<Item = &Counted> {
        self.specimens.iter().flatten()
    }

    /// Number of specimens with a counted run.
    pub fn specimen_count(&self) -> usize {
        self.specimens.len()
    }

    /// The mean of `figure`: over the runs of each specimen, then over specimens.
    fn mean(&self, figure: &dyn Fn(&Counted) -> f64) -> f64 {
        mean(
            self.specimens
                .iter()
                .map(|runs| mean(runs.iter().map(figure))),
        )
    }

    /// The mean logarithm of a torque.
    pub fn log_of(&self, torque_nm: &dyn Fn(&Counted) -> f64) -> f64 {
        self.mean(&|run| libm::log(torque_nm(run).max(LEAST_TORQUE_NM))) + self.log_factor
    }

    /// The exponential of the mean logarithm of a torque.
    fn log_mean(&self, torque_nm: &dyn Fn(&Counted) -> f64) -> f64 {
        let specimens = self.specimens.iter();
        let torques = specimens.map(|runs| runs.iter().map(torque_nm).collect());
        log_mean(&torques.collect::<Vec<_>>(), self.log_factor)
    }

    /// The typical curve at an instant, in N·m, at least [`LEAST_TORQUE_NM`].
    pub fn torque_at(&self, time_s: f64) -> f64 {
        match self.typical.as_slice() {
            [(curve, _)] if self.log_factor == 0.0 => curve.torque_at(time_s).max(LEAST_TORQUE_NM),
            _ => libm::exp(self.log_torque_at(time_s)),
        }
    }

    /// The logarithm of the typical curve at an instant.
    pub fn log_torque_at(&self, time_s: f64) -> f64 {
        let curves = self.typical.iter();
        let log = |(curve, weight): &(Arc<Curve>, f64)| weight * curve.log_torque_at(time_s);
        curves.map(log).sum::<f64>() + self.log_factor
    }

    /// The same at these times in s, none before the one before it.
    pub fn log_torques_at(&self, times_s: &[f64]) -> Vec<f64> {
        let mut all = vec![0.0; times_s.len()];
        for (curve, weight) in &self.typical {
            for (sum, log) in all.iter_mut().zip(curve.log_torques_at(times_s)) {
                *sum += weight * log;
            }
        }
        all.iter_mut().for_each(|log| *log += self.log_factor);
        all
    }

    /// The logarithm of a torque of every run.
    pub fn log_values(&self, torque_nm: &dyn Fn(&Counted) -> f64) -> Vec<f64> {
        let value = |run: &Counted| libm::log(torque_nm(run).max(LEAST_TORQUE_NM));
        self.runs().map(value).collect()
    }

    /// The first whole microsecond at which the typical curve [reaches] `torque_nm`, in seconds:
    /// 0 if it begins there, `None` if it does not get there within `window_s`.
    pub fn time_to(&self, torque_nm: f64, window_s: f64) -> Option<f64> {
        let (start_nm, end_nm) = (self.torque_at(0.0), self.torque_at(window_s));
        if reaches(start_nm, torque_nm) {
            return Some(0.0);
        }
        if !reaches(end_nm, torque_nm) {
            return None;
        }
        // A curve shaped like several is there after the first of them and before the last one, scaled as
        // it is.
        let of_curves_nm = torque_nm / libm::exp(self.log_factor);
        let (mut first_s, mut last_s) = (window_s, 0.0_f64);
        for (curve, _) in &self.typical {
            let own_s = curve.time_to(of_curves_nm, window_s).unwrap_or(window_s);
            (first_s, last_s) = (first_s.min(own_s), last_s.max(own_s));
        }
        let about_us = [(first_s * 1e6) as u64, (last_s * 1e6).ceil() as u64];
        let ends = [(0, start_nm), ((window_s * 1e6).round() as u64, end_nm)];
        let at = |us: u64| self.torque_at(us as f64 / 1e6);
        let reached = first_us(torque_nm, ends, about_us, &at);
        Some((reached as f64 / 1e6).min(window_s))
    }

    /// Typical peak torque in N·m.
    pub fn peak_nm(&self) -> f64 {
        self.log_mean(&|run| run.measures.peak_nm)
    }

    /// Typical mean torque in N·m.
    pub fn mean_nm(&self) -> f64 {
        self.log_mean(&|run| run.measures.mean_nm)
    }

    /// Typical early torque in N·m.
    pub fn early_nm(&self) -> f64 {
        self.log_mean(&|run| run.measures.early_nm)
    }

    /// Largest sample of all runs in N·m.
    pub fn largest_nm(&self) -> f64 {
        self.runs()
            .map(|run| run.largest_nm)
            .fold(f64::NEG_INFINITY, f64::max)
    }

    /// Whether work can be told: every run has its own angle, or the joint has a line.
    pub fn has_work(&self, joint: Option<&JointLine>) -> bool {
        joint.is_some() || self.all_turn()
    }

    fn all_turn(&self) -> bool {
        IS_WHOLE && self.runs().all(|run| run.curve.has_turn())
    }

    /// Work to a torque in J. If every run has a logged angle, the mean over the runs that reach
    /// it (`None` if none does), otherwise that of the joint's line.
    pub fn work_to_j(
        &self,
        torque_nm: f64,
        joint: Option<&JointLine>,
        window_s: f64,
    ) -> Option<f64> {
        if !self.all_turn() {
            return Some(joint?.work_to(torque_nm).joules);
        }
        let work = |run: &Counted| {
            run.curve
                .turned_work_j(run.curve.time_to(torque_nm, window_s)?)
        };
        let specimens: Vec<f64> = self
            .specimens
            .iter()
            .map(|runs| runs.iter().filter_map(work).collect::<Vec<f64>>())
            .filter(|works| !works.is_empty())
            .map(|works| mean(works.into_iter()))
            .collect();
        (!specimens.is_empty()).then(|| mean(specimens.into_iter()))
    }

    /// The best-of-three score: the mean of the best over all subsets of three runs, within each
    /// specimen with at least three, then the mean over those specimens. `None` without such one.
    ///
    /// Exact for any distribution: in rising order the i-th of n values is the best of
    /// C(i−1, 2) of the C(n, 3) subsets.
    pub fn best_of_three(&self, score: &dyn Fn(&Counted) -> f64) -> Option<f64> {
        let scores: Vec<f64> = self
            .specimens
            .iter()
            .filter(|runs| runs.len() >= 3)
            .map(|runs| {
                let mut scores: Vec<f64> = runs.iter().map(score).collect();
                crate::sort::numbers(&mut scores);
                let best_of = |i: usize| (i * i.saturating_sub(1) / 2) as f64;
                let subsets: f64 = (0..scores.len()).map(best_of).sum();
                scores
                    .iter()
                    .enumerate()
                    .map(|(i, score)| best_of(i) / subsets * score)
                    .sum()
            })
            .collect();
        (!scores.is_empty()).then(|| mean(scores.into_iter()))
    }
}

impl Counted {
    /// Average power to a torque in W: work on the run's own angle, or else on the joint's line,
    /// over its time; 0 if not reached, `None` where there is no work.
    pub fn power_to_w(
        &self,
        torque_nm: f64,
        joint: Option<&JointLine>,
        window_s: f64,
    ) -> Option<f64> {
        if !self.curve.has_turn() && joint.is_none() {
            return None;
        }
        let Some(time_s) = self.curve.time_to(torque_nm, window_s) else {
            return Some(0.0);
        };
        let work = self
            .curve
            .turned_work_j(time_s)
            .or_else(|| Some(joint?.work_to(torque_nm).joules))?;
        Some(work / time_s.max(LEAST_TIME_S))
    }

    /// Rise rate to a torque in N·m/s: the torque over its time; 0 if not reached.
    pub fn rise_rate_to(&self, torque_nm: f64, window_s: f64) -> f64 {
        self.curve
            .time_to(torque_nm, window_s)
            .map_or(0.0, |time_s| torque_nm / time_s.max(LEAST_TIME_S))
    }
}

/// The exponential of the mean logarithm of torques by specimen in N·m, times exp(`log_factor`). Equal
/// torques, and a single one, come back exactly without a factor: exp(ln x) may differ from x in the last
/// bit.
fn log_mean(specimens: &[Vec<f64>], log_factor: f64) -> f64 {
    let torque_nm = |torque_nm: &f64| torque_nm.max(LEAST_TORQUE_NM);
    let mut all = specimens.iter().flatten().map(torque_nm);
    let first = all.next().unwrap_or(LEAST_TORQUE_NM);
    if log_factor == 0.0 && all.all(|other| other == first) {
        return first;
    }
    let log = |runs: &Vec<f64>| mean(runs.iter().map(|nm| libm::log(torque_nm(nm))));
    libm::exp(mean(specimens.iter().map(log)) + log_factor)
}

/// The mean of at least one value.
fn mean(values: impl Iterator<Item = f64>) -> f64 {
    let (sum, count) = values.fold((0.0, 0_u32), |(sum, count), value| (sum + value, count + 1));
    sum / f64::from(count.max(1))
}
