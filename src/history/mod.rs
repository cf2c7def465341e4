//! What was published when.

pub mod editions;
