//! The dataset `jobtorque/1`: one static JSON file of measured runs and what is known about them.
//!
//! [`types`] says what a file may hold, [`read`] turns a document into those types and lists every
//! problem of shape, [`check`] lists every problem of meaning, [`mod@write`] makes the published form.

pub mod check;
#[cfg(not(target_arch = "wasm32"))]
pub mod json;
#[cfg(not(target_arch = "wasm32"))]
pub mod lines;
#[cfg(not(target_arch = "wasm32"))]
pub mod not_json;
pub mod place;
pub mod places;
pub mod read;
#[cfg(not(target_arch = "wasm32"))]
pub mod schema;
pub mod types;
#[cfg(not(target_arch = "wasm32"))]
pub mod write;

/// The value of a dataset's `format` field that this program reads and writes.
pub const FORMAT: &str = "jobtorque/1";

/// The most bytes of a dataset that are read: 256 MB.
pub const MOST_BYTES: usize = 256_000_000;

/// The most combinations (tool, pack, setup, rig) in one dataset.
pub const MOST_COMBINATIONS: usize = 5_000;

/// The most samples in one run.
pub const MOST_SAMPLES: usize = 60_000;

/// The most elements in any one list of the file other than samples.
pub const MOST_ELEMENTS: usize = 500_000;

/// The longest run, in microseconds: an hour.
pub const MOST_RUN_US: i64 = 3_600_000_000;

/// The largest torque, in tenths of a N·m: far above any tool, far below what sums can hold.
pub const MOST_TORQUE_DNM: u32 = 1_000_000;
