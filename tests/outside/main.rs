//! The program against values from outside: standards, handbooks, definitions, and fixtures that
//! `make.py` writes with numpy and scipy. `NOT-ASSERTED.md` names the check values without a test.
//!
//! Each test goes through functions that the program itself uses. Times agree to 1e-9 s, all other
//! figures to 1e-9 of themselves, unless another tolerance is stated with its reason.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing
)]

mod bolts;
mod check_values;
mod close;
mod compared;
mod days;
mod effects;
mod estimates;
mod fields;
mod known;
mod made;
mod measured;
mod nist;
mod nuts;
mod packs;
mod ranks;
mod reductions;
mod scatter;
mod setups;
mod shares;
mod special;
mod spread;
mod statistics;
mod thinning;
mod tried;
mod typical;
mod uncertainty;
mod units;
mod variances;
mod work;
