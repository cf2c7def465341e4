//! The instants of a window at which the runs of a pair are taken together: the closer, the earlier they
//! are, as curves rise most at first.

use std::sync::Arc;

/// How many steps the instants make of a window.
pub const STEPS: u32 = 384;

/// The cube of the number of the last instant.
const LAST: u32 = STEPS.pow(3);

/// When an instant of a window is, in s, by its number.
pub fn time_s(number: u32, window_s: f64) -> f64 {
    window_s * (f64::from(number.pow(3)) / f64::from(LAST))
}

/// When all of them are, in s; for all curves told at them.
pub fn times(window_s: f64) -> Arc<Vec<f64>> {
    Arc::new((0..=STEPS).map(|number| time_s(number, window_s)).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_instants_go_from_the_onset_to_the_end_of_the_window() {
        let times = times(5.0);
        assert_eq!((times[0], times[384]), (0.0, 5.0));
        assert!(times.is_sorted_by(|a, b| a < b));
        // An eighth of the window has passed at half of the instants.
        assert_eq!(times[192], 0.625);
    }
}
