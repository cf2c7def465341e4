//! What a dataset may hold, field by field. Every numeric field carries its unit in its name.
//!
//! Absent and `null` mean the same. Fields not named here are kept when a file is written again,
//! because a writer edits the document and never rebuilds it from these types.

mod bench;
mod run;
mod stock;

pub use bench::*;
pub use run::*;
pub use stock::*;

/// A whole dataset.
#[derive(Clone, Debug, Default, PartialEq)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
pub struct Dataset {
    /// `jobtorque/1`.
    pub format: String,
    /// Name of the results.
    pub title: String,
    /// What was measured, in a paragraph.
    pub summary: Option<String>,
    /// Who publishes the results.
    pub publisher: Option<String>,
    /// Where to write to.
    pub contact: Option<String>,
    /// Licence of the data, as an SPDX identifier or in words.
    pub license: String,
    /// True if the data are made up; says so on every view.
    pub invented: Option<bool>,
    /// Who paid, who gave or lent tools, which links earn money; "nobody" if so.
    pub disclosure: String,
    /// Two combinations match if they differ by no more than this, in per cent.
    pub match_margin_percent: Option<f64>,
    /// How long each job counts at least at the trigger where jobs on one charge are counted, in
    /// seconds; 2 if absent: common practice, no source.
    pub least_trigger_s: Option<f64>,
    /// Published states, oldest first; at least one.
    pub editions: Vec<Edition>,
    /// Rigs; the first is the standard; at least one.
    pub rigs: Vec<Rig>,
    /// How runs were made; the first is the standard.
    #[cfg_attr(
        not(target_arch = "wasm32"),
        schemars(default, with = "Option<Vec<Setup>>")
    )]
    pub setups: Vec<Setup>,
    /// Tools; at least one.
    pub tools: Vec<Tool>,
    /// Battery packs; at least one.
    pub packs: Vec<Pack>,
    /// Single tools and packs, how they were got.
    #[cfg_attr(
        not(target_arch = "wasm32"),
        schemars(default, with = "Option<Vec<Specimen>>")
    )]
    pub specimens: Vec<Specimen>,
    /// Days of runs; at least one.
    pub days: Vec<Day>,
    /// Runs; may be empty.
    pub runs: Vec<Run>,
    /// Jobs a visitor may pick.
    #[cfg_attr(
        not(target_arch = "wasm32"),
        schemars(default, with = "Option<Vec<Job>>")
    )]
    pub jobs: Vec<Job>,
    /// What came loose on real fasteners and what did not.
    #[cfg_attr(
        not(target_arch = "wasm32"),
        schemars(default, with = "Option<Vec<FieldCheck>>")
    )]
    pub field_checks: Vec<FieldCheck>,
    /// How much specimens, pack specimens and days differ, as `page` works it out of the runs. What
    /// stands here in a file that it did not write is passed over.
    #[cfg_attr(
        not(target_arch = "wasm32"),
        schemars(default, with = "Option<Vec<FieldScatter>>")
    )]
    pub scatter: Vec<FieldScatter>,
}
