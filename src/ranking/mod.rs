//! Places in a field.

mod course;
mod crowd;
pub mod interval;
mod level;
pub mod order;
pub mod spread;
