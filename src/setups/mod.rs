//! What another setup costs in torque.

pub mod data;
pub(crate) mod figures;
pub(crate) mod words;
