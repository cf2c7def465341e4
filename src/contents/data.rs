//! What a dataset offers to choose from.

use crate::dataset::types::{Direction, Size};
use crate::problem::Offer;
use crate::text::passage::Passage;
use serde::Serialize;

/// What there is to choose from, and what stands above and below every view.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct Contents {
    /// Name of the results.
    pub title: String,
    /// What was measured.
    pub summary: Option<String>,
    /// Licence of the data.
    pub license: String,
    /// Says that the data are made up, if they are.
    pub notice: Option<String>,
    /// Said where newer results do not load and these are shown.
    pub unloaded: String,
    /// Tools with a published run, in the standard field or any other, those of one maker together.
    pub tools: Vec<Choice>,
    /// Packs likewise.
    pub packs: Vec<Choice>,
    /// Jobs of the file.
    pub jobs: Vec<JobChoice>,
    /// Setups.
    pub setups: Vec<Choice>,
    /// Rigs.
    pub rigs: Vec<Choice>,
    /// Editions, newest first.
    pub editions: Vec<EditionTold>,
    /// How it was measured, and who paid.
    pub measured: Vec<Passage>,
    /// How to cite the newest edition, and its licence.
    pub citation: Vec<String>,
    /// What the form asks when nothing has been chosen: the first job of the file, or 100 N·m.
    pub default_job: String,
    /// The condition factor that is offered first where a fastener is no longer fresh.
    pub first_factor: f64,
    /// Whether there are so many tools or pairs that one is found by typing rather than by looking.
    pub is_large: bool,
}

/// An edition in words.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct EditionTold {
    /// Its number.
    pub edition: u32,
    /// Its name: number and date.
    pub name: String,
    /// What it brought, and what it corrected.
    pub lines: Vec<String>,
    /// The warning beside a result that it corrected.
    pub corrected: String,
    /// Says that a newer one is out, if it is.
    pub outdated: Option<String>,
}

/// One thing to choose.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct Choice {
    /// Its identifier.
    pub id: String,
    /// Its name for people.
    pub name: String,
    /// Other names it goes by.
    pub aka: Vec<String>,
    /// Who makes it, for tools.
    pub maker: Option<String>,
    /// Mount of its packs, for tools and packs.
    pub mount: Option<String>,
    /// Size, for tools.
    pub size: Option<Size>,
}

/// A job of the file.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct JobChoice {
    /// Its identifier.
    pub id: String,
    /// Its name for people.
    pub name: String,
    /// Its torque in words, in newton metres where no other unit is asked for.
    pub torque: String,
    /// Loosen or tighten.
    pub direction: Direction,
}

/// What someone who is typing may mean.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct Found {
    /// Jobs, those of the file once by each name, with their torques in the unit of the question.
    pub jobs: Vec<Offer>,
    /// Tools.
    pub tools: Vec<Choice>,
}
