//! The JSON Schema of the format.

/// The schema.
pub fn schema() -> String {
    String::new()
}
