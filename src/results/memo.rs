//! Figures kept from the last questions.

use std::sync::{Arc, Mutex, PoisonError};

/// So many are kept.
const KEPT: usize = 8;

/// The last figures, each with what it depends on.
#[derive(Debug)]
pub(super) struct Memo<K, V>(Mutex<Vec<(K, Arc<V>)>>);

impl<K, V> Default for Memo<K, V> {
    fn default() -> Self {
        Self(Mutex::new(Vec::new()))
    }
}

impl<K: PartialEq, V> Memo<K, V> {
    /// What depends on `wanted`, worked out by `work` if it is not among the last.
    pub fn of(&self, wanted: K, work: impl FnOnce() -> V) -> Arc<V> {
        let mut last = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((_, kept)) = last.iter().find(|(known, _)| *known == wanted) {
            return kept.clone();
        }
        let value = Arc::new(work());
        if last.len() == KEPT {
            last.remove(0);
        }
        last.push((wanted, value.clone()));
        value
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_last_eight_are_kept() {
        let memo = Memo::default();
        for wanted in 0..10 {
            assert_eq!(*memo.of(wanted, || 10 * wanted), 10 * wanted);
        }
        // The first two are gone: worked out again, they are what they are now.
        assert_eq!(*memo.of(2, || 0), 20);
        assert_eq!(*memo.of(9, || 0), 90);
        assert_eq!(*memo.of(1, || 0), 0);
    }
}
