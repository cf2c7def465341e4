//! Whether the samples before the onset are flat, so that their median may be taken as the zero.

use super::running_median::median;

/// Fewest samples before the onset from which a zero is taken.
pub const LEAST_SAMPLES: usize = 10;

/// A change of level below this part of the largest rise does not matter.
const LEAST_PART: f64 = 0.01;

/// A change of level below this many of its own standard errors is not told from noise. In white
/// noise fewer than 1 of 1,000 lead-ins of 10 samples or more are beyond it, with a correlation of
/// 0.3 from sample to sample fewer than 1 of 100.
const CLEAR_OF_NOISE: f64 = 5.0;

/// Standard error of a median of many normal values, in standard errors of their mean: √(π/2).
const MEDIAN_ERROR: f64 = 1.253_314_137_315_500_1;

/// Standard deviation of normal noise from the mean size of the differences between neighbours:
/// that mean is 2σ/√π.
const SIGMA_PER_DIFFERENCE: f64 = 0.886_226_925_452_758;

/// Why the zero was left as logged.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ZeroKept {
    /// The rig or the person asked for it.
    Asked,
    /// Fewer than [`LEAST_SAMPLES`] samples precede the onset.
    FewSamples,
    /// The level changes by so many N·m before the onset, up or down.
    NotFlat(f64),
}

/// How the level of a lead-in changes from its beginning to its end, and the standard error of that
/// change if the samples hold nothing but white noise about one level.
#[derive(Clone, Copy, Debug)]
struct Change {
    size_nm: f64,
    error_nm: f64,
}

/// How much the level changes within a lead-in, in N·m, if by more than its noise explains and by
/// more than 1 % of `rise_nm`, the largest rise; `None` if the lead-in is flat.
///
/// Two changes are looked at. A step: the difference between the medians of the first and of the
/// second half. A drift: Tukey's resistant line, which is the difference between the medians of the
/// first and of the last third, carried on over the whole lead-in (J. W. Tukey, Exploratory Data
/// Analysis, 1977). Medians pass over a bump, made while the socket is seated, that fills less than
/// half of a part. The noise is taken from differences between neighbouring samples, which neither a
/// step nor a drift enlarges by much. Times in microseconds, at least [`LEAST_SAMPLES`] of them.
pub fn change_nm(time_us: &[i64], torque_nm: &[f64], rise_nm: f64) -> Option<f64> {
    let noise = noise_nm(torque_nm);
    let changes = [step(torque_nm, noise), drift(time_us, torque_nm, noise)];
    let matters = |change: &Change| {
        change.size_nm > LEAST_PART * rise_nm && change.size_nm > CLEAR_OF_NOISE * change.error_nm
    };
    let changes = changes.into_iter().flatten().filter(matters);
    changes.map(|change| change.size_nm).reduce(f64::max)
}

/// Standard deviation of the noise, in N·m.
fn noise_nm(torque_nm: &[f64]) -> f64 {
    let differences = torque_nm.windows(2).map(|pair| match pair {
        [a, b] => (b - a).abs(),
        _ => 0.0,
    });
    let count = torque_nm.len().saturating_sub(1).max(1);
    SIGMA_PER_DIFFERENCE * differences.sum::<f64>() / count as f64
}

/// Standard error of the difference between the medians of two parts of `count` samples each.
fn error_nm(noise_nm: f64, count: usize) -> f64 {
    MEDIAN_ERROR * noise_nm * (2.0 / count as f64).sqrt()
}

fn step(torque_nm: &[f64], noise_nm: f64) -> Option<Change> {
    let half = torque_nm.len() / 2;
    let (first, last) = ends(torque_nm, half)?;
    Some(Change {
        size_nm: (median(last.to_vec()) - median(first.to_vec())).abs(),
        error_nm: error_nm(noise_nm, half),
    })
}

fn drift(time_us: &[i64], torque_nm: &[f64], noise_nm: f64) -> Option<Change> {
    let third = torque_nm.len() / 3;
    let (first, last) = ends(torque_nm, third)?;
    let (early, late) = ends(time_us, third)?;
    let middle = |times: &[i64]| median(times.iter().map(|&time| time as f64).collect());
    let whole = (time_us.last()? - time_us.first()?) as f64;
    // From the distance between the middles of the thirds to the whole lead-in.
    let carried = whole / (middle(late) - middle(early));
    Some(Change {
        size_nm: carried * (median(last.to_vec()) - median(first.to_vec())).abs(),
        error_nm: carried * error_nm(noise_nm, third),
    })
}

/// The first and the last `count` values.
fn ends<T>(values: &[T], count: usize) -> Option<(&[T], &[T])> {
    Some((
        values.get(..count)?,
        values.get(values.len().checked_sub(count)?..)?,
    ))
}

#[cfg(test)]
mod tests {
    use super::*;
    use rand_pcg::Pcg32;
    use rand_pcg::rand_core::{Rng, SeedableRng};

    /// Noise of standard deviation 1 in which each value holds `part` of the one before it.
    fn noise(random: &mut Pcg32, count: usize, part: f64) -> Vec<f64> {
        let mut value = 0.0;
        let mut next = || {
            // Twelve uniform values less six: normal but for the farthest tails.
            let sum: f64 = (0..12)
                .map(|_| f64::from(random.next_u32()) / 4_294_967_296.0)
                .sum();
            value = part * value + (1.0 - part * part).sqrt() * (sum - 6.0);
            value
        };
        (0..count + 30).map(|_| next()).skip(30).collect()
    }

    fn times(count: usize) -> Vec<i64> {
        (0..count as i64).map(|i| 5_000 * i).collect()
    }

    /// 60 samples that alternate by ±1 N·m; `added` in N·m to each by its number.
    fn alternating(added: impl Fn(usize) -> f64) -> Vec<f64> {
        let sign = |i: usize| if i.is_multiple_of(2) { 1.0 } else { -1.0 };
        (0..60).map(|i| sign(i) + added(i)).collect()
    }

    /// By hand: neighbours differ by 2 N·m, so the noise is 1.77 N·m. Five standard errors of a step
    /// are 2.9 N·m, of a drift carried on over the whole lead-in 5.2 N·m, and a step of 3.2 N·m looks
    /// like a drift of 4.7 N·m.
    #[test]
    fn a_step_that_is_no_drift_is_seen() {
        let step_nm = alternating(|i| if i < 30 { 0.0 } else { 3.2 });
        let change_nm = change_nm(&times(60), &step_nm, 100.0).unwrap();
        assert!((change_nm - 3.2).abs() < 1e-9, "{change_nm}");
    }

    /// By hand: over halves a drift of 6 N·m is a step of 3 N·m less what the noise of the medians
    /// adds, over thirds carried on it is about 6 N·m, more than its five standard errors.
    #[test]
    fn a_drift_is_carried_on_over_the_whole_lead_in() {
        let drift_nm = alternating(|i| 0.12 * i as f64);
        let change_nm = change_nm(&times(60), &drift_nm, 100.0).unwrap();
        assert!((6.0..8.0).contains(&change_nm), "{change_nm}");
    }

    /// How many of 2,000 lead-ins are not flat, every change above the noise taken to matter.
    fn not_flat(count: usize, part: f64, added: impl Fn(f64) -> f64) -> usize {
        let mut random = Pcg32::seed_from_u64(count as u64 + (100.0 * part) as u64);
        let times = times(count);
        let lead_in = |random: &mut Pcg32| -> Vec<f64> {
            let noise = noise(random, count, part).into_iter().enumerate();
            noise
                .map(|(i, noise)| noise + added((i as f64 + 0.5) / count as f64))
                .collect()
        };
        (0..2_000)
            .filter(|_| change_nm(&times, &lead_in(&mut random), 0.0).is_some())
            .count()
    }

    #[test]
    fn a_quiet_lead_in_is_flat_in_ninety_nine_of_a_hundred() {
        for count in [10, 12, 15, 20, 50, 200] {
            let (white, correlated) =
                (not_flat(count, 0.0, |_| 0.0), not_flat(count, 0.3, |_| 0.0));
            assert!(white <= 2, "{count} samples: {white} of 2,000");
            assert!(correlated <= 20, "{count} samples: {correlated} of 2,000");
        }
    }

    #[test]
    fn a_step_or_a_drift_clear_of_the_noise_is_not_flat() {
        for count in [20, 50, 200] {
            let size = 12.0 * MEDIAN_ERROR * (2.0 / (count / 3) as f64).sqrt();
            for at in [0.3, 0.5, 0.7] {
                let stepped = not_flat(count, 0.0, |x| if x > at { size } else { 0.0 });
                assert!(stepped > 1_980, "{count} samples, {at}: {stepped} of 2,000");
            }
            let drifting = not_flat(count, 0.0, |x| -1.5 * size * x);
            assert!(drifting > 1_980, "{count} samples: {drifting} of 2,000");
        }
    }

    #[test]
    fn a_change_below_one_per_cent_of_the_rise_does_not_matter() {
        let torque: Vec<f64> = (0..40).map(|i| if i < 20 { 0.0 } else { 0.99 }).collect();
        assert_eq!(change_nm(&times(40), &torque, 150.0), None);
        // The line through the outer thirds makes half as much again of a step in the middle.
        assert!(change_nm(&times(40), &torque, 120.0).is_some());
    }

    #[test]
    fn a_bump_from_seating_the_socket_is_passed_over() {
        for at in [2, 13, 25, 37] {
            let mut torque = vec![0.0; 48];
            torque[at..at + 6].copy_from_slice(&[4.0, 12.0, 20.0, 20.0, 12.0, 4.0]);
            assert_eq!(change_nm(&times(48), &torque, 200.0), None, "{at}");
        }
    }
}
