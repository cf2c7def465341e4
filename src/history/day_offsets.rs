//! What check runs show of each day: how far it is off, by which factor that is mended, and what is
//! left of the scatter of days.
//!
//! A day's offset is what its check runs differ by from those of all days, drawn towards 0 as far as
//! runs rather than days may have made it: o_d = λ_d (c̄_d − c̄), λ_d = s_d²/(s_d² + s_c²/n_d), with c̄ the
//! mean over days weighted by λ_d (best linear unbiased prediction: Henderson 1975, "Best linear
//! unbiased estimation and prediction under a selection model", Biometrics 31, 423–447). Scatters and
//! λ are always those of values without such factors. Means stay plain means: nothing is
//! corrected unless the file says so.

use super::check_days::CheckDay;

/// A factor is proposed where check runs show at least this part of what days differ by, ...
const LEAST_SHOWN: f64 = 0.5;

/// ... and the day is off by at least this, as a difference of logarithms.
const LEAST_OFFSET: f64 = 0.01;

/// What check runs show of a day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DayOffset {
    /// λ: which part of the day's own difference they show, from 0 to below 1.
    pub shown: f64,
    /// How far the day is off, as a difference of logarithms.
    pub log: f64,
    /// Variance left of the day's effect once it is corrected.
    pub variance_left: f64,
}

impl DayOffset {
    /// What torques of the day are to be multiplied by.
    pub fn factor(&self) -> f64 {
        libm::exp(-self.log)
    }

    /// Whether to propose that: check runs show half of the day's difference, and it is 1 % or more.
    pub fn is_worth_correcting(&self) -> bool {
        self.shown >= LEAST_SHOWN && self.log.abs() >= LEAST_OFFSET
    }
}

/// λ of a day with so many check runs: `day_variance` is s_d², `run_variance` s_c².
pub fn shown(day_variance: f64, run_variance: f64, runs: u32) -> f64 {
    day_variance / (day_variance + run_variance / f64::from(runs))
}

/// The offset of each day with check runs. `day_variance` is s_d², above 0; `run_variance` s_c², that of
/// check runs of one day.
pub fn day_offsets(days: &[CheckDay], day_variance: f64, run_variance: f64) -> Vec<DayOffset> {
    let part = |day: &CheckDay| shown(day_variance, run_variance, day.runs);
    let total: f64 = days.iter().map(part).sum();
    let mean = days.iter().map(|day| part(day) * day.log).sum::<f64>() / total;
    let offset = |day: &CheckDay| DayOffset {
        shown: part(day),
        log: part(day) * (day.log - mean),
        variance_left: day_variance * (1.0 - part(day)),
    };
    days.iter().map(offset).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn offsets_undo_themselves_where_runs_show_all() {
        let days = [0.02, -0.02, 0.005].map(|log| CheckDay { log, runs: 3 });
        let offsets = day_offsets(&days, 1e-4, 0.0);
        for (offset, log) in offsets.iter().zip([0.02, -0.02, 0.005]) {
            let off = log - 0.005 / 3.0;
            assert!((offset.log - off).abs() < 1e-15);
            assert!((offset.factor() * libm::exp(off) - 1.0).abs() < 1e-15);
            assert_eq!((offset.shown, offset.variance_left), (1.0, 0.0));
        }
        let worth = offsets.iter().map(DayOffset::is_worth_correcting);
        assert_eq!(worth.collect::<Vec<_>>(), [true, true, false]);
    }

    #[test]
    fn nothing_is_proposed_where_runs_show_less_than_half() {
        let days = [0.1, -0.1].map(|log| CheckDay { log, runs: 1 });
        let proposed = |run_variance| {
            let offsets = day_offsets(&days, 1e-4, run_variance);
            offsets.iter().all(DayOffset::is_worth_correcting)
        };
        assert!(proposed(0.99e-4) && !proposed(1.01e-4));
        assert!(day_offsets(&[], 1e-4, 1e-4).is_empty());
    }
}
