//! The logger of logs that `unbundle` wrote.

/// With what the identifiers of the loggers begin that read what `unbundle` wrote; they are no part of
/// the dataset.
pub const UNBUNDLED: &str = "unbundled";
