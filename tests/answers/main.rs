//! Answers to questions about the invented dataset and about edits of it, through the one door that
//! the command line and the page use.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing
)]

mod bolts;
mod brief;
mod charge;
mod checks;
mod choices;
mod compare;
mod days;
mod demo;
mod echoed;
mod editions;
mod fields;
mod golden;
mod jobs;
mod lists;
mod nuts;
mod filter;
mod in_short;
mod packed;
mod pairs;
mod places;
mod plain;
mod products;
mod published;
mod required;
mod runs;
mod setups;
mod study;
mod ties;
mod told;
mod typed;
mod warnings;
