//! Figures kept from the last questions.

use std::sync::{Arc, Mutex, PoisonError};

/// So many are kept, those asked for last: the places of a pair in as many editions.
const KEPT: usize = 16;

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
        if let Some(at) = last.iter().position(|(known, _)| *known == wanted) {
            let kept = last.remove(at);
            let value = kept.1.clone();
            last.push(kept);
            return value;
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
    fn those_asked_for_last_are_kept() {
        let memo = Memo::default();
        for wanted in 0..KEPT {
            assert_eq!(*memo.of(wanted, || 10 * wanted), 10 * wanted);
        }
        // The first is asked for again, so the second gives way to a new one.
        assert_eq!(*memo.of(0, || 1), 0);
        assert_eq!(*memo.of(KEPT, || 7), 7);
        assert_eq!(*memo.of(0, || 1), 0);
        assert_eq!(*memo.of(2, || 1), 20);
        assert_eq!(*memo.of(1, || 1), 1);
    }
}
