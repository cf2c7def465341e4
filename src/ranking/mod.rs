//! Places in a field.

mod course;
mod crowd;
mod level;
pub mod order;
pub mod spread;
pub mod steps;
