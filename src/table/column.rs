//! The figure of a column in a row.

use super::data::Row;
use crate::query::column::Column;

impl Column {
    /// The figure that a row is sorted by; nothing where there is none, and for the pair, which is
    /// sorted by its name.
    pub fn figure(self, row: &Row) -> Option<f64> {
        let reached = |figure: &f64| *figure > 0.0;
        match self {
            Self::Place => row.rank.map(f64::from),
            Self::Pair => None,
            Self::Value => row.value,
            Self::Chance => row.reach_probability,
            Self::Time => row.time_to_job_s,
            Self::Power => row.average_power_w.filter(reached),
            Self::RiseRate => row.rise_rate_nm_per_s.filter(reached),
            Self::BestPower => row.best_of_three_power_w.filter(reached),
            Self::BestRiseRate => row.best_of_three_rise_rate_nm_per_s.filter(reached),
            Self::Mean => Some(row.mean_torque_nm),
            Self::Early => Some(row.early_torque_nm),
            Self::Nineteen => row.torque_19_of_20_nm,
            Self::Peak => row.peak_torque_nm,
            Self::Stated => Some(row.peak_torque_nm? / row.stated_torque_nm?),
            Self::Mass => row.mass_kg,
            Self::Length => row.length_mm,
            Self::Price => row.price,
            Self::Tested => Some(row.runs_used.into()),
        }
    }
}
