//! Logs in every shape that a logger's block can describe read back as they were written, and changed
//! inputs of every kind are read or refused.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing
)]

mod channels;
mod choices;
mod decimal;
mod fuzz;
mod mutate;
mod shape;
mod shapes;
mod sound;
mod times;
mod units;

/// A number that an environment variable says, or another one.
fn said(name: &str, or: u64) -> u64 {
    match std::env::var(name) {
        Ok(text) => text
            .parse()
            .unwrap_or_else(|_| panic!("{name} is no number: {text}")),
        Err(_) => or,
    }
}
