//! The check runs of each rig by day.

pub mod data;
mod figures;
