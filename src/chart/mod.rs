//! The chart of an answer: typical curves over time, and the torque that is needed.
//!
//! [`view`] says what stands where, words included, as plain data; [`draw`] draws its lines and
//! marks on any plotters backend and writes no text; `place` finds room for the words.

pub mod draw;
mod place;
pub mod view;
