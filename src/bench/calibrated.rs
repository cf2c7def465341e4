//! Bolt tension to torque, by the calibrations of a rig.

use crate::dataset::types::{Dataset, Run};
use crate::problem::{Problem, quoted};
use crate::run::samples::Samples;

/// Torque in N·m for each kN of tension, by the calibration in force on the run's day; nothing where
/// torque was logged, or the run's day is not known.
pub(super) fn nm_per_kn(
    tension: bool,
    run: &Run,
    dataset: &Dataset,
) -> Result<Option<f64>, Problem> {
    if !tension {
        return Ok(None);
    }
    let Some(day) = dataset.days.iter().find(|day| day.id == run.day) else {
        return Ok(None);
    };
    let rig = match &day.rig {
        Some(id) => dataset.rigs.iter().find(|rig| &rig.id == id),
        None => dataset.rigs.first(),
    };
    let Some(rig) = rig else { return Ok(None) };
    let nm_per_kn = rig
        .calibration_on(&day.date)
        .and_then(|calibration| calibration.nm_per_kn);
    if nm_per_kn.is_some() {
        return Ok(nm_per_kn);
    }
    let found = format!(
        "bolt tension in kN, and no \"nm_per_kn\" in force on {}",
        quoted(&day.date)
    );
    let wanted = format!(
        "a calibration of the rig {} with \"nm_per_kn\"",
        quoted(&rig.id)
    );
    Err(Problem::new("", found, wanted))
}

/// Samples with their torque multiplied: from kN to N·m.
pub(super) fn scaled(samples: &Samples, nm_per_kn: f64) -> Samples {
    let mut samples = samples.clone();
    samples
        .torque_nm
        .iter_mut()
        .for_each(|torque| *torque *= nm_per_kn);
    samples
}
