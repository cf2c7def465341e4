//! Places in a field.

pub mod order;
