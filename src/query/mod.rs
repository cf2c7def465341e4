//! What may be asked and what comes back: plain data.

pub mod answer;
pub mod bolt;
#[cfg(not(target_arch = "wasm32"))]
pub mod changes;
pub mod choices;
pub mod column;
pub mod compare;
pub mod contents;
#[cfg(not(target_arch = "wasm32"))]
pub mod drift;
pub mod filter;
pub mod passage;
pub mod question;
pub mod runs;
pub mod setups;
pub mod table;
pub mod export;
