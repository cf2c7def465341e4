//! Absent and `null` mean the same.

use serde::{Deserialize, Deserializer};

/// Reads an absent or `null` value as the type's default.
pub(super) fn or_default<'de, D: Deserializer<'de>, T: Deserialize<'de> + Default>(
    from: D,
) -> Result<T, D::Error> {
    Ok(Option::<T>::deserialize(from)?.unwrap_or_default())
}
