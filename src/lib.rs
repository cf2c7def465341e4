//! Measured torque curves of cordless impact wrenches become an honest answer: this tool, this
//! pack, this job: within reach or not, how fast, how sure.
//!
//! One core, thin shells. The core knows no browser, no file system, no clock and no language;
//! what it needs comes as an argument. One way leads through it: samples → build-up curve in knots
//! → [`results::Results`] → answer → words and chart → shell. Below, the modules in reading order;
//! each may use those above it, never those below, and a test holds that.
//!
//! # One answer
//!
//! The bytes of a dataset and a text catalogue become [`Results`](results::Results): read, checked,
//! and each run reduced to its build-up curve. A [`Question`](query::question::Question) opens a
//! [`Study`](study::Study), which works out the field, its scatter and the places once. Answer,
//! chart, table and comparison are read from it.
//!
//! ```
//! use jobtorque::query::verdict::Verdict;
//! use jobtorque::query::question::Question;
//! use jobtorque::results::Results;
//! use jobtorque::text::catalogue::Catalogue;
//!
//! # fn main() -> Result<(), Box<dyn std::error::Error>> {
//! let texts: Catalogue = serde_json::from_slice(&std::fs::read("www/texts/en.json")?)?;
//! let results = Results::read(&std::fs::read("data/demo.json")?, texts)
//!     // Every problem of the file, each with its position and what would be right.
//!     .map_err(|problems| problems.iter().map(|one| format!("{one}\n")).collect::<String>())?;
//! let question = Question {
//!     tool: Some("sorrel-18-medium".into()),
//!     pack: Some("two-row-8-0".into()),
//!     job: Some("650 N·m".into()),
//!     ..Question::default()
//! };
//! let study = results.study(&question)?;
//! let answer = study.answer()?;
//! assert_eq!(answer.required_torque_nm, 650.0);
//! assert_eq!(answer.verdict, Some(Verdict::WithinReach));
//! assert!(answer.time_to_job_s < Some(answer.window_s));
//! assert!(answer.sentence.contains("650 N·m"));
//! # Ok(())
//! # }
//! ```

#![cfg_attr(
    test,
    allow(
        clippy::unwrap_used,
        clippy::expect_used,
        clippy::panic,
        clippy::indexing_slicing
    )
)]

/// Whether this is all of the core. The visitor's first module is made without it: what only the whole
/// can answer is a problem there, which the page takes to the whole.
pub(crate) const IS_WHOLE: bool = cfg!(feature = "whole");

// Plain data.
pub mod sort;
pub mod escape;
pub mod units;
pub mod problem;
pub mod cells;
pub mod dataset;
// Sums, no words.
pub mod tie;
pub mod special;
pub mod symmetric;
pub mod leaps;
pub mod run;
pub mod joint;
pub mod bolt;
pub mod pack;
pub mod typical;
pub mod scatter;
pub mod reach;
pub mod breakaway;
pub mod ranking;
pub mod estimate;
pub mod history;
// A dataset and a question to it.
pub mod text;
pub mod results;
pub mod contents;
pub mod query;
pub mod field;
pub mod setups;
pub mod nuts;
pub mod study;
// Answers: each folder holds what comes back, how it is worked out and how it is said.
pub mod table;
pub mod answer;
pub mod compare;
pub mod packs;
pub mod alternatives;
pub mod runs;
#[cfg(not(target_arch = "wasm32"))]
pub mod changes;
#[cfg(not(target_arch = "wasm32"))]
pub mod drift;
// Showing.
pub mod export;
#[cfg(not(target_arch = "wasm32"))]
pub mod tables;
#[cfg(not(target_arch = "wasm32"))]
pub mod plan;
pub mod chart;
#[cfg(not(target_arch = "wasm32"))]
pub mod picture;
// Shells.
#[cfg(feature = "logs")]
pub mod logs;
#[cfg(all(feature = "logs", not(target_arch = "wasm32")))]
pub mod bench;
#[cfg(target_arch = "wasm32")]
pub mod web;
#[cfg(not(target_arch = "wasm32"))]
pub mod site;
#[cfg(all(feature = "logs", not(target_arch = "wasm32")))]
pub mod cli;
