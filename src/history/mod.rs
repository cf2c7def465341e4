//! What was published when, and what check runs show of the days.

pub mod check_days;
pub mod day_offsets;
pub mod editions;
