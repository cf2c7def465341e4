//! One run of one log, reduced: what `reduce` prints and `chart` draws.

use super::{Failure, text};
use crate::logs::notes::{Note, clips, notes, wrong_sign};
use crate::problem::Problem;
use crate::run::reduce::{Reduction, Settings, reduce_smoothed, smoothed};
use crate::run::samples::Samples;

/// How a run is reduced where no rig says otherwise.
pub(super) const USUAL: Settings = Settings {
    smooth_us: 40_000,
    onset_nm: None,
    window_s: 5.0,
    keep_zero: false,
};

/// A run with what it reduces to.
pub(super) struct OneRun {
    /// Its samples, repeated time stamps merged.
    pub samples: Samples,
    pub run: Reduction,
    /// What is strange about it.
    pub notes: Vec<Note>,
}

impl OneRun {
    /// Reduces the samples of the log `name`, whose sensor clips at `clips_at_nm` if that is known.
    pub fn of(
        name: &str,
        samples: Samples,
        settings: &Settings,
        clips_at_nm: Option<f64>,
    ) -> Result<Self, Failure> {
        let refused = |problem| Failure::Data(text::problems(name, &[problem], 0));
        let samples = samples.merged();
        let torque_nm = smoothed(&samples, settings);
        if let Some(problem) = wrong_sign(&samples, &torque_nm) {
            return Err(refused(problem));
        }
        let run = reduce_smoothed(&samples, torque_nm, settings).ok_or_else(|| {
            let problem = Problem::new("", "torque that never rises", "a run");
            refused(
                problem
                    .hint("lower the onset level with --onset, or look at the column of torques"),
            )
        })?;
        let mut notes = notes(&samples, &run, settings);
        notes.extend(clips_at_nm.and_then(|at_nm| clips(&samples, at_nm)));
        Ok(Self {
            samples,
            run,
            notes,
        })
    }
}
