//! What a pack gives under load, and what a charge lasts for.

use crate::run::running_median::median;

/// Runs per charge, rounded down: nominal voltage × capacity ÷ median energy per run in J. `None`
/// without a run that logged its energy.
pub fn runs_per_charge(energy_wh: f64, energy_per_run_j: Option<f64>) -> Option<u32> {
    rounded_down(3600.0 * energy_wh / energy_per_run_j?)
}

/// How long each job counts at least at the trigger, in s, where the file says nothing else: starting,
/// seating and letting go take their time however light the job. Common practice, no source.
pub const LEAST_TRIGGER_S: f64 = 2.0;

/// Jobs per charge, rounded down: 3,600 × nominal voltage × capacity ÷ (median over runs of energy
/// per run ÷ its duration to the end, × time of a job). The time of a job is the typical time to it,
/// but at least `least_trigger_s`. `None` if no run logged its energy.
///
/// `runs` holds energy in J and duration to the end in s of each run that logged its energy.
pub fn jobs_per_charge(
    energy_wh: f64,
    runs: &[(f64, f64)],
    time_to_job_s: f64,
    least_trigger_s: f64,
) -> Option<u32> {
    let powers: Vec<f64> = runs
        .iter()
        .filter(|(_, duration_s)| *duration_s > 0.0)
        .map(|(energy_j, duration_s)| energy_j / duration_s)
        .collect();
    if powers.is_empty() {
        return None;
    }
    let job_s = time_to_job_s.max(least_trigger_s);
    rounded_down(3600.0 * energy_wh / (median(powers) * job_s))
}

fn rounded_down(count: f64) -> Option<u32> {
    (count.is_finite() && count >= 0.0).then_some(count as u32)
}

/// Energy of a full charge in W·h: nominal voltage in V × capacity in A·h, by definition.
pub fn energy_wh(nominal_v: f64, capacity_ah: f64) -> f64 {
    nominal_v * capacity_ah
}

/// Voltage of each of the cells in series, in V. 18 V of five cells, 3.6 V each, and "20 V" of five,
/// 4.0 V each, are one and the same pack.
pub fn per_cell(voltage_v: f64, series: u32) -> Option<f64> {
    (series > 0).then(|| voltage_v / f64::from(series))
}

/// The most power in W that a source gives: V²/(4R), at half its open-circuit voltage (maximum power
/// theorem). `None` without a resistance.
pub fn most_power_w(open_v: f64, resistance_ohm: f64) -> Option<f64> {
    (resistance_ohm > 0.0).then(|| open_v * open_v / (4.0 * resistance_ohm))
}

/// A pack that starts this part below its siblings was not full. A full cell rests at about 4.1 V, so
/// this is some 50 mV a cell: about a twentieth of the charge, and four times what full packs differ
/// by from run to run.
const NOT_FULL: f64 = 0.012;

/// Siblings without which nothing is usual.
const LEAST_SIBLINGS: usize = 4;

/// The open-circuit voltage that runs of one pack usually start with, in V: the median; `None` with
/// fewer than four runs that logged it.
pub fn usual_open_v(open_v: Vec<f64>) -> Option<f64> {
    (open_v.len() >= LEAST_SIBLINGS).then(|| median(open_v))
}

/// Whether a pack was not full at the start of a run, by what its siblings start with.
pub fn is_not_full(open_v: f64, usual_open_v: f64) -> bool {
    open_v < usual_open_v * (1.0 - NOT_FULL)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn energy_is_voltage_times_capacity() {
        // 18 V × 5.0 A·h = 90 W·h = 324 kJ by definition; at 500 W a job of 2.6 s takes 1,300 J.
        let energy_wh = energy_wh(18.0, 5.0);
        assert_eq!(energy_wh, 90.0);
        let jobs = |runs: &[(f64, f64)], time_s| jobs_per_charge(energy_wh, runs, time_s, 2.0);
        assert_eq!(jobs(&[(2500.0, 5.0)], 2.6), Some(249));
        assert_eq!(jobs(&[], 2.6), None);
        // A shorter one counts 2 s, 1,000 J.
        assert_eq!(jobs(&[(2500.0, 5.0)], 1.3), Some(324));
        assert_eq!(jobs(&[(2500.0, 5.0)], 0.0), Some(324));
        assert_eq!(runs_per_charge(energy_wh, Some(2501.0)), Some(129));
        assert_eq!(runs_per_charge(energy_wh, None), None);
        assert_eq!(runs_per_charge(energy_wh, Some(0.0)), None);
    }

    #[test]
    fn a_pack_is_not_full_by_its_siblings() {
        let usual_v = usual_open_v(vec![20.5, 20.4, 20.6, 20.5, 19.0]).unwrap();
        assert_eq!(usual_v, 20.5);
        assert!(is_not_full(20.25, usual_v) && !is_not_full(20.26, usual_v));
        assert_eq!(usual_open_v(vec![20.5; 3]), None);
    }

    #[test]
    fn a_source_without_resistance_has_no_most_power() {
        assert_eq!(most_power_w(18.0, 0.0), None);
    }
}
