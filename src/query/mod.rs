//! What may be asked, checked against a dataset: names looked up, limits held.

pub mod bolt;
pub mod condition;
pub mod filter;
pub(crate) mod names;
mod offers;
mod options;
mod overlay;
pub mod question;
pub(crate) mod resolved;
pub mod verdict;
mod written;
