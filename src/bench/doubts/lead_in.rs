//! Doubts about the lead-in of a run: its zero and how quiet it is before the onset.

use super::doubt::Doubt;
use super::evidence::{Reduced, RunEvidence, about};
use super::statistics::robust_sigma;
use crate::logs::notes::figure;
use crate::run::running_median::median;
use crate::run::zero::ZeroKept;

/// A drift of the lead-in below this many of its standard errors is not told from noise. Stricter
/// than where the zero is taken: here each run of a season is judged.
const CLEAR_OF_NOISE: f64 = 7.0;

/// A drift matters if it would change the torque by this part of the largest over the run.
const DRIFT_PART: f64 = 0.05;

/// Fewest samples in a third of the lead-in from which a drift is taken.
const LEAST_THIRD: usize = 5;

/// Standard error of a median of many normal values, in standard errors of their mean: √(π/2).
const MEDIAN_ERROR: f64 = 1.253_314_137_315_500_1;

/// The doubt about the lead-in of a run; where the run is told as started under load, its lead-in is
/// not told as missing too.
pub(super) fn doubt(run: &RunEvidence, reduced: &Reduced, is_loaded: bool) -> Option<Doubt> {
    let reduction = reduced.reduction.as_ref();
    let no_quiet = reduction.is_some_and(|reduction| reduction.no_quiet);
    match reduction.and_then(|reduction| reduction.zero_kept) {
        Some(ZeroKept::NotFlat(change)) => Some(about("zero-not-flat", run).says(
            format!(
                "The torque changes by up to {} N·m before the onset, so no zero was taken away",
                figure(change)
            ),
            "a lead-in that is flat within its noise and 1 % of the largest rise",
            "the zero of the amplifier drifts, or the socket was seated while the log ran",
        )),
        None if let Some((per_s, window_nm)) = drift(run, reduced) => {
            Some(about("zero-not-flat", run).says(
                format!(
                    "The zero drifts by {} N·m a second before the onset, {} N·m over the run",
                    figure(per_s),
                    figure(window_nm)
                ),
                "less than 5 % of the largest torque over the run",
                "the zero of the amplifier drifts",
            ))
        }
        Some(ZeroKept::FewSamples) if !is_loaded => Some(about("no-lead-in", run).says(
            "Fewer than ten samples lie before the onset, so no zero was taken away",
            "a quiet lead-in of ten samples or more",
            "the log was started under load or too late",
        )),
        _ if no_quiet && !is_loaded => Some(about("no-lead-in", run).says(
            "There is no quiet part before the onset",
            "a quiet lead-in of ten samples or more",
            "the log was started under load or too late",
        )),
        _ => None,
    }
}

/// Slope of the lead-in in N·m a second and what it comes to over the run in N·m, if it is clear of
/// the noise and matters: the line through the medians of the first and of the last third (Tukey's
/// resistant line).
fn drift(run: &RunEvidence, reduced: &Reduced) -> Option<(f64, f64)> {
    let samples = run.samples.as_ref()?;
    let reduction = reduced.reduction.as_ref()?;
    let before = samples
        .time_us
        .partition_point(|&time| (time as f64) < reduction.onset_us);
    let (times, torque) = (
        samples.time_us.get(..before)?,
        samples.torque_nm.get(..before)?,
    );
    let third = before / 3;
    if third < LEAST_THIRD {
        return None;
    }
    let differences = torque.windows(2).filter_map(|pair| match pair {
        [a, b] => Some(b - a),
        _ => None,
    });
    let noise = robust_sigma(differences) / std::f64::consts::SQRT_2;
    let of = |values: &[f64]| median(values.to_vec());
    let change = of(torque.get(before - third..)?) - of(torque.get(..third)?);
    let error = MEDIAN_ERROR * noise * (2.0 / third as f64).sqrt();
    let apart_us = times.get(before - third / 2 - 1)? - times.get(third / 2)?;
    let per_s = change / (apart_us as f64 / 1e6);
    let window_nm = per_s * run.rig.map_or(5.0, |rig| rig.window_s());
    let clear = noise > 0.0 && change.abs() > CLEAR_OF_NOISE * error;
    (clear && window_nm.abs() > DRIFT_PART * reduced.largest_nm).then_some((per_s, window_nm))
}

#[cfg(test)]
mod tests {
    use super::super::tests::Case;

    #[test]
    fn a_drifting_zero_is_told_and_a_constant_offset_is_not() {
        let mut case = Case::default();
        for (i, dnm) in case.run(4).iter_mut().enumerate() {
            *dnm += i as i32;
        }
        assert!(
            case.names().contains(&"zero-not-flat"),
            "{:?}",
            case.names()
        );
        // 16 N·m a second, less than 1 % of the largest torque within the lead-in.
        let at = Case::default().first_of(3, 3);
        let mut case = Case::default();
        for (i, dnm) in case.run(at).iter_mut().enumerate() {
            *dnm += (0.8 * i as f64).round() as i32;
        }
        assert!(
            case.names().contains(&"zero-not-flat"),
            "{:?}",
            case.names()
        );
        let mut case = Case::default();
        case.run(4).iter_mut().for_each(|dnm| *dnm += 60);
        assert_eq!(case.names(), [""; 0]);
    }
}
