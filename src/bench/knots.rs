//! Runs as knots of their build-up curves in place of their series, where nothing but the knots is
//! asked for.
//!
//! A run with any problem of its own keeps its series, so that the problem is told as for a dataset
//! with samples.

use super::cache::KeptRun;
use super::series::Times;
use crate::dataset::check::bench::largest_factors;
use crate::dataset::check::{buildup, has_sound_samples};
use crate::dataset::indices::Indices;
use crate::dataset::pointer::Pointer;
use crate::dataset::read::Reading;
use crate::dataset::types::{BuildUp, Dataset, Run};
use crate::run::reduce::{Settings, reduce};
use crate::run::samples::Samples;
use rayon::prelude::*;

/// What is known of the days of a dataset: how runs are reduced, and the largest factor that
/// corrections multiply their torque by.
pub(super) struct OfDays {
    /// By identifier, in the dataset's order.
    days: Vec<(String, Option<Settings>, f64)>,
    digits: fn(f64) -> String,
}

impl OfDays {
    /// Of a dataset; `digits` prints a number exactly.
    pub fn of(dataset: &Dataset, digits: fn(f64) -> String) -> Self {
        let indices = Indices::of(dataset);
        let factors = largest_factors(dataset, &indices.days);
        let days = dataset.days.iter().map(|day| {
            let rig = match &day.rig {
                Some(id) => indices.rigs.get(id).and_then(|rig| dataset.rigs.get(rig)),
                None => dataset.rigs.first(),
            };
            let factor = indices.days.get(&day.id).and_then(|day| factors.get(day));
            let factor = factor.copied().unwrap_or(1.0);
            (day.id.clone(), rig.map(Settings::of), factor)
        });
        Self {
            days: days.collect(),
            digits,
        }
    }

    fn day(&self, run: &Run) -> Option<(&Settings, f64)> {
        let (_, settings, factor) = self.days.iter().find(|(day, ..)| *day == run.day)?;
        Some((settings.as_ref()?, *factor))
    }

    /// What the knots of a run depend on besides its log, its logger and the program: its part of the
    /// log, torque for each kN of tension, how its times are given, and how it is reduced. Nothing
    /// where its rig is not known.
    pub fn key(
        &self,
        run: &Run,
        part: &str,
        nm_per_kn: Option<f64>,
        times: Times,
    ) -> Option<String> {
        let (settings, _) = self.day(run)?;
        Some(format!("{part:?} {nm_per_kn:?} {times:?} {settings:?}"))
    }

    /// Puts knots in place of the series of a run, if it has no knots of its own and these have no
    /// problem; whether it did.
    pub fn put(&self, run: &mut Run, knots: BuildUp) -> bool {
        let Some((_, factor)) = self.day(run) else {
            return false;
        };
        let fits = run.buildup.is_none()
            && buildup::check(&Pointer::Top, &knots, factor, self.digits).is_empty();
        if fits {
            run.start_s = None;
            run.interval_s = None;
            run.time_us = None;
            run.torque_dnm = None;
            run.voltage_mv = None;
            run.current_ma = None;
            run.angle_ddeg = None;
            run.buildup = Some(knots);
        }
        fits
    }

    /// The knots of the series of a run, if they have no problem and its torque rises.
    pub fn of_series(&self, run: &Run) -> Option<BuildUp> {
        let (settings, _) = self.day(run)?;
        if !has_sound_samples(run, self.digits) {
            return None;
        }
        let reduction = reduce(&Samples::of_run(run)?.merged(), settings)?;
        Some(BuildUp::of(&reduction))
    }

    /// Puts the knots of its series in their place, if that can be done, and returns them with what
    /// they depend on.
    pub fn put_own(&self, run: &mut Run, key: &str) -> Option<KeptRun> {
        let knots = self.of_series(run)?;
        let kept = KeptRun {
            of: key.to_owned(),
            knots: knots.clone(),
        };
        self.put(run, knots).then_some(kept)
    }
}

/// Puts knots that are known already, in the order of the runs, in place of sound series.
pub(super) fn put_all(reading: &mut Reading, knots: Vec<Option<BuildUp>>) {
    let days = OfDays::of(&reading.dataset, reading.digits);
    let runs = reading.dataset.runs.par_iter_mut().zip(knots);
    runs.for_each(|(run, knots)| {
        if let Some(knots) = knots.filter(|_| has_sound_samples(run, days.digits)) {
            days.put(run, knots);
        }
    });
}
