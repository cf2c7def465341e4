//! Several runs in one log, parted where the rig rests.

use super::logger_block::Split;
use crate::run::samples::Samples;

/// The runs of a log: each from the middle of the rest before it to the middle of the rest after.
///
/// The rig rests where the torque stays below `split.torque_nm` for `split.rest_s` or longer.
pub fn parts(samples: &Samples, split: Split) -> Vec<Samples> {
    let times = &samples.time_us;
    let active = samples.torque_nm.iter().enumerate();
    let active = active.filter(|(_, torque)| **torque >= split.torque_nm);
    let rest_us = split.rest_s * 1e6;
    let mut bounds = vec![0];
    let mut before: Option<usize> = None;
    for (at, _) in active {
        if let Some(before) = before
            && let (Some(&from), Some(&to)) = (times.get(before), times.get(at))
            && (to - from) as f64 >= rest_us
        {
            let middle = from + (to - from) / 2;
            bounds.push(times.partition_point(|&time| time <= middle));
        }
        before = Some(at);
    }
    if before.is_none() {
        return Vec::new();
    }
    bounds.push(times.len());
    let ranges = bounds.windows(2).filter_map(|pair| match pair {
        &[from, to] => Some(from..to),
        _ => None,
    });
    ranges.map(|range| part(samples, range)).collect()
}

fn part(samples: &Samples, range: std::ops::Range<usize>) -> Samples {
    let of = |series: &[f64]| series.get(range.clone()).unwrap_or_default().to_vec();
    Samples {
        time_us: samples
            .time_us
            .get(range.clone())
            .unwrap_or_default()
            .to_vec(),
        torque_nm: of(&samples.torque_nm),
        angle_deg: samples.angle_deg.as_deref().map(of),
        voltage_v: samples.voltage_v.as_deref().map(of),
        current_a: samples.current_a.as_deref().map(of),
        repeated: 0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn runs_are_parted_in_the_middle_of_long_rests() {
        let torque_nm = vec![0.0, 9.0, 1.0, 9.0, 0.0, 0.0, 0.0, 0.0, 8.0, 0.0];
        let samples = Samples {
            time_us: (0..10).map(|i| i * 1_000_000).collect(),
            angle_deg: Some(torque_nm.clone()),
            torque_nm,
            ..Samples::default()
        };
        let split = |rest_s| Split {
            torque_nm: 5.0,
            rest_s,
        };
        let two = parts(&samples, split(4.0));
        assert_eq!(two.len(), 2);
        assert_eq!(
            two[0].time_us,
            (0..6).map(|i| i * 1_000_000).collect::<Vec<_>>()
        );
        assert_eq!(two[1].torque_nm, [0.0, 0.0, 8.0, 0.0]);
        assert_eq!(two[1].angle_deg.as_ref().unwrap().len(), 4);
        assert_eq!(parts(&samples, split(6.0)).len(), 1);
        assert_eq!(parts(&samples, split(1.5)).len(), 3);
        assert!(
            parts(
                &samples,
                Split {
                    torque_nm: 50.0,
                    rest_s: 1.0
                }
            )
            .is_empty()
        );
    }
}
