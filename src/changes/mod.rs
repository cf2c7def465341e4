//! What an edition changes against an earlier one.

pub mod data;
mod figures;
pub mod words;
