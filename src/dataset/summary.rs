//! A published dataset in short: what every answer of one of its editions needs, and no run's curve.
//!
//! The runs stand in it without their knots, so that what they have in common, which count and what is
//! noted of them is read as in the whole dataset. In place of the knots it holds each run's measures,
//! the typical curve of each pair and how much its runs differ.

use super::packed::value::packed_objects;
use super::types::Dataset;

/// What stands in place of the runs' curves.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Summary {
    /// The number of the edition.
    pub edition: u32,
    /// Mean torque of each run of the dataset over its window, in thousandths of a N·m, without
    /// corrections.
    pub mean_mnm: Vec<i32>,
    /// Early torque of each, the same.
    pub early_mnm: Vec<i32>,
    /// The fields of the edition whose runs have no angle of their own.
    pub fields: Vec<FieldSummary>,
}

/// The pairs of one field.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct FieldSummary {
    /// Identifier of its rig.
    pub rig: String,
    /// Identifier of its setup.
    pub setup: String,
    /// Its pairs in the order of the dataset's tools, then of its packs.
    pub pairs: Vec<PairSummary>,
}

/// The runs of one pair that count, corrections applied.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PairSummary {
    /// Its typical curve at the window's end in tenths of a N·m ...
    pub end_dnm: u32,
    /// ... and on the way there, as [`Told`](crate::typical::told::Told) has it.
    pub rises: Vec<u32>,
    /// How much its runs differ by time, as [`ByTime`](crate::scatter::by_time::ByTime) stores it.
    pub roots: Vec<u32>,
}

/// A dataset in short: its runs without knots, and what stands in place of them.
#[derive(Debug)]
pub struct InShort {
    /// The dataset. Each run has a build-up of its first and its last knot alone.
    pub dataset: Dataset,
    /// What stands in place of the others.
    pub summary: Summary,
}

packed_objects! {
    Summary { edition, mean_mnm, early_mnm, fields }
    FieldSummary { rig, setup, pairs }
    PairSummary { end_dnm, rises, roots }
    InShort { dataset, summary }
}
