//! What may be asked and what comes back: plain data.

pub mod answer;
pub mod contents;
pub mod question;
pub mod table;
