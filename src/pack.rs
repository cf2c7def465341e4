//! What a charge lasts for.

/// Jobs per charge, rounded down: 3,600 × nominal voltage × capacity ÷ (median over runs of energy
/// per run ÷ its duration to the end, × typical time to the job). `None` if no run logged its
/// energy or the job takes no time.
///
/// `runs` holds energy in J and duration to the end in s of each run that logged its energy.
pub fn jobs_per_charge(
    nominal_v: f64,
    capacity_ah: f64,
    runs: &[(f64, f64)],
    time_to_job_s: f64,
) -> Option<u32> {
    let powers: Vec<f64> = runs
        .iter()
        .filter(|(_, duration_s)| *duration_s > 0.0)
        .map(|(energy_j, duration_s)| energy_j / duration_s)
        .collect();
    if powers.is_empty() {
        return None;
    }
    let power_w = crate::run::clean::median(powers);
    let jobs = 3600.0 * nominal_v * capacity_ah / (power_w * time_to_job_s);
    (jobs.is_finite() && jobs >= 0.0).then_some(jobs as u32)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn energy_is_voltage_times_capacity() {
        // 18 V × 5.0 A·h = 90 W·h = 324 kJ by definition; at 500 W a job of 1.3 s takes 650 J.
        assert_eq!(jobs_per_charge(18.0, 5.0, &[(2500.0, 5.0)], 1.3), Some(498));
        assert_eq!(jobs_per_charge(18.0, 5.0, &[], 1.3), None);
        assert_eq!(jobs_per_charge(18.0, 5.0, &[(2500.0, 5.0)], 0.0), None);
    }
}
