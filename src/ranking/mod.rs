//! Places in a field.

mod crowd;
pub mod interval;
pub mod order;
pub mod spread;
