//! What was published when.

#[cfg(not(target_arch = "wasm32"))]
pub mod check_days;
pub mod control;
pub mod editions;
