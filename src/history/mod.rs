//! What was published when.

pub mod control;
pub mod editions;
