//! Quantities with their unit in the type: a torque cannot be given where an energy is asked for.
//!
//! Inside, every quantity is one `f64` in its SI unit. Numbers go in and out by functions that name the unit.

mod angle;
pub mod constants;
#[cfg(not(target_arch = "wasm32"))]
pub mod figure;
mod power;
mod torque;
mod written;
mod written_near;
mod written_number;

pub use angle::Angle;
pub use power::{Duration, Energy, Power, RiseRate};
pub use torque::{EntryUnit, Torque, TorqueUnit};
pub use written::{LONGEST_WRITTEN_TORQUE, MOST_WRITTEN_DIGITS, ParseTorqueError, WrittenTorque};
pub use written_near::{torque_range, torques_near};
