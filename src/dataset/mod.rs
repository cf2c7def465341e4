//! The dataset `jobtorque/1`: one static JSON file of measured runs and what is known about them.
//!
//! [`types`] says what a file may hold, [`read`] turns a document into those types and lists every
//! problem of shape, [`check`] lists every problem of meaning, [`limits`] holds the limits of both,
//! [`mod@write`] makes the published form, [`summary`] is that in short, and [`packed`] holds both as the
//! bytes that a page reads.

pub mod check;
#[cfg(not(target_arch = "wasm32"))]
pub mod drafts;
#[cfg(not(target_arch = "wasm32"))]
pub mod json;
#[cfg(not(target_arch = "wasm32"))]
pub mod json_positions;
pub mod limits;
#[cfg(not(target_arch = "wasm32"))]
pub mod not_json;
pub mod not_text;
pub mod indices;
pub mod packed;
pub mod pointer;
pub mod read;
#[cfg(not(target_arch = "wasm32"))]
pub mod schema;
#[cfg(not(target_arch = "wasm32"))]
pub mod fields_table;
pub mod types;
pub mod summary;
#[cfg(not(target_arch = "wasm32"))]
pub mod write;

/// The value of a dataset's `format` field that this program reads and writes.
pub const FORMAT: &str = "jobtorque/1";

/// The format of a dataset in short.
pub const FORMAT_IN_SHORT: &str = "jobtorque/1 in short";

/// The member that holds the mark of published results: which version of the program wrote them, and
/// a hash that shows whether they were changed.
pub const MARK: &str = "jobtorque";

/// What every mark begins with.
pub const MARK_START: &str = "Jobtorque ";

pub use limits::{MOST_BYTES, MOST_COMBINATIONS, MOST_ELEMENTS, MOST_KNOTS, MOST_SAMPLES};
