//! What may be asked and what comes back: plain data.

pub mod answer;
pub mod bolt;
pub mod choices;
pub mod column;
pub mod compare;
pub mod contents;
pub mod narrow;
pub mod passage;
pub mod question;
pub mod runs;
pub mod setups;
pub mod table;
pub mod taken;
