//! Places in a field.

pub mod interval;
pub mod order;
