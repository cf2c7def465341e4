//! The torque a job needs at the tool.

/// Required torque in N·m: job torque × condition factor ÷ (1 − loss between anvil and fastener).
///
/// `condition` is 1 for a fresh joint (friction theory says 0.6 to 0.95 of the tightening torque);
/// for an aged one a factor the visitor sets: common practice, no source. `loss_percent` is from 0
/// to below 100.
pub fn required_torque_nm(job_nm: f64, condition: f64, loss_percent: f64) -> f64 {
    job_nm * condition / (1.0 - loss_percent / 100.0)
}

/// Whether a typical curve that ends at `end_nm` and was at `earlier_nm` a tenth of the window
/// before is still rising: by more than 1 %.
pub fn is_still_rising(earlier_nm: f64, end_nm: f64) -> bool {
    end_nm > 1.01 * earlier_nm
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_loss_asks_for_more() {
        assert_eq!(required_torque_nm(650.0, 1.5, 0.0), 975.0);
        assert_eq!(required_torque_nm(100.0, 1.0, 50.0), 200.0);
    }
}
