//! What voltage and current of a run say about its pack.

use super::running_median::running_median;
use super::samples::Samples;

/// The current must span this part of its largest value, or the line is not to be trusted.
const LEAST_SPAN: f64 = 0.2;

/// Electrical figures of one run; what its log cannot say is absent.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Electrical {
    /// Open-circuit voltage in V.
    pub open_v: Option<f64>,
    /// Resistance of the pack in ohm.
    pub resistance_ohm: Option<f64>,
    /// Lowest loaded voltage in V: the smallest running median of five samples.
    pub lowest_v: Option<f64>,
    /// Energy ∫ V·I dt from the onset to the end in J, by trapezoids.
    pub energy_j: Option<f64>,
}

impl Electrical {
    /// The figures of a log whose run goes from `onset_us` to the sample `end`.
    pub fn of(samples: &Samples, onset_us: f64, end: usize) -> Self {
        let Some(voltage) = &samples.voltage_v else {
            return Self::default();
        };
        let lowest_v = running_median(&samples.time_us, voltage, 0)
            .into_iter()
            .reduce(f64::min);
        let Some(current) = &samples.current_a else {
            return Self {
                lowest_v,
                ..Self::default()
            };
        };
        let line = source_line(voltage, current);
        Self {
            open_v: line.map(|(open, _)| open),
            resistance_ohm: line.map(|(_, resistance)| resistance),
            lowest_v,
            energy_j: Some(energy(&samples.time_us, voltage, current, onset_us, end)),
        }
    }
}

/// Open-circuit voltage and resistance from the least-squares line V = V₀ − R·I.
fn source_line(voltage: &[f64], current: &[f64]) -> Option<(f64, f64)> {
    let largest = current.iter().copied().reduce(f64::max)?;
    let smallest = current.iter().copied().reduce(f64::min)?;
    if largest - smallest < LEAST_SPAN * largest {
        return None;
    }
    let count = current.len() as f64;
    let mean_i = current.iter().sum::<f64>() / count;
    let mean_v = voltage.iter().sum::<f64>() / count;
    let spread: f64 = current.iter().map(|i| (i - mean_i) * (i - mean_i)).sum();
    let shared: f64 = current
        .iter()
        .zip(voltage)
        .map(|(i, v)| (i - mean_i) * (v - mean_v))
        .sum();
    let resistance = -shared / spread;
    (resistance >= 0.0).then_some((mean_v + resistance * mean_i, resistance))
}

/// ∫ V·I dt from the onset, where power is taken on the line between samples, to the sample `end`.
fn energy(time_us: &[i64], voltage: &[f64], current: &[f64], onset_us: f64, end: usize) -> f64 {
    let points: Vec<(f64, f64)> = time_us
        .iter()
        .zip(voltage.iter().zip(current))
        .map(|(&t, (v, i))| (t as f64, v * i))
        .take(end + 1)
        .collect();
    let mut joules = 0.0;
    for pair in points.windows(2) {
        let &[(mut from, mut power), (to, after)] = pair else {
            continue;
        };
        if to <= onset_us {
            continue;
        }
        if from < onset_us {
            power += (after - power) * ((onset_us - from) / (to - from));
            from = onset_us;
        }
        joules += (to - from) * 1e-6 * (power + after) / 2.0;
    }
    joules
}
