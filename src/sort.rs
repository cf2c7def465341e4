//! Sorting and looking up. The standard library makes its own anew for every type, which would be
//! a seventh of the visitor's module; here the sorting is compiled once, for indices of elements.

use std::cmp::Ordering;

/// The indices of `count` elements in the order of `compare`; what compares equal stays as it was.
pub fn order(count: usize, compare: &dyn Fn(usize, usize) -> Ordering) -> Vec<usize> {
    let mut order: Vec<usize> = (0..count).collect();
    let mut sorted = 1;
    while sorted < count {
        let mut merged = Vec::with_capacity(count);
        for pair in order.chunks(2 * sorted) {
            let (left, right) = pair.split_at(sorted.min(pair.len()));
            merge(left, right, compare, &mut merged);
        }
        order = merged;
        sorted *= 2;
    }
    order
}

/// Adds two sorted lists to `merged` as one, of equal ones those of the left first.
fn merge(
    mut left: &[usize],
    mut right: &[usize],
    compare: &dyn Fn(usize, usize) -> Ordering,
    merged: &mut Vec<usize>,
) {
    while let (Some((&a, after_a)), Some((&b, after_b))) = (left.split_first(), right.split_first())
    {
        if compare(a, b) == Ordering::Greater {
            merged.push(b);
            right = after_b;
        } else {
            merged.push(a);
            left = after_a;
        }
    }
    merged.extend_from_slice(left);
    merged.extend_from_slice(right);
}

/// Sorts numbers in the total order of IEEE 754.
pub fn numbers(numbers: &mut [f64]) {
    // Natively by the library, whose own sorting is quicker and too large for the visitor's module.
    // Numbers that compare equal are the same, so both give the same.
    #[cfg(not(target_arch = "wasm32"))]
    numbers.sort_unstable_by(f64::total_cmp);
    #[cfg(target_arch = "wasm32")]
    sort(numbers, f64::total_cmp);
}

/// Sorts a list; what compares equal stays as it was.
pub fn sort<T>(list: &mut [T], compare: impl Fn(&T, &T) -> Ordering) {
    let order = order(list.len(), &|a, b| match (list.get(a), list.get(b)) {
        (Some(a), Some(b)) => compare(a, b),
        _ => Ordering::Equal,
    });
    arrange(list, order);
}

/// Puts a list in an order of its indices.
pub fn arrange<T>(list: &mut [T], order: Vec<usize>) {
    for (index, other) in swaps(order) {
        list.swap(index, other);
    }
}

/// The swaps, one after the other, that put a list in an order of its indices.
fn swaps(mut order: Vec<usize>) -> Vec<(usize, usize)> {
    let mut swaps = Vec::with_capacity(order.len());
    for index in 0..order.len() {
        let mut from = order.get(index).copied().unwrap_or(index);
        // What stood at a place that is filled by now went where that place's own element came from.
        while from < index {
            from = order.get(from).copied().unwrap_or(index);
        }
        if let Some(swapped) = order.get_mut(index) {
            *swapped = from;
        }
        swaps.push((index, from));
    }
    swaps
}

/// Sorts a list and keeps one of those that are equal.
pub fn distinct<T: Ord>(list: &mut Vec<T>) {
    sort(list, T::cmp);
    list.dedup();
}

/// Updates the value at `key` in a list sorted by its keys, inserting a default first if it is absent.
pub fn change<K: Ord, V: Default>(list: &mut Vec<(K, V)>, key: K, change: impl FnOnce(&mut V)) {
    match list.binary_search_by(|(known, _)| known.cmp(&key)) {
        Ok(at) => {
            if let Some((_, value)) = list.get_mut(at) {
                change(value);
            }
        }
        Err(at) => {
            let mut value = V::default();
            change(&mut value);
            list.insert(at, (key, value));
        }
    }
}

/// What belongs to `key` in a list sorted by its keys.
pub fn find<K: Ord, V: Copy>(list: &[(K, V)], key: &K) -> Option<V> {
    let at = list.binary_search_by(|(known, _)| known.cmp(key)).ok()?;
    list.get(at).map(|(_, value)| *value)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn sorting_is_stable_as_the_standard_library_s_is(
            mut list in prop::collection::vec((0_u8..9, any::<u32>()), 0..200),
        ) {
            let mut theirs = list.clone();
            theirs.sort_by_key(|(key, _)| *key);
            sort(&mut list, |a, b| a.0.cmp(&b.0));
            prop_assert_eq!(list, theirs);
        }

        #[test]
        fn a_list_sorted_by_keys_is_a_map(
            numbers in prop::collection::vec((0_u8..40, 0_u32..100), 0..200),
        ) {
            let mut theirs = std::collections::BTreeMap::new();
            let mut list: Vec<(u8, u32)> = Vec::new();
            for (key, number) in numbers {
                *theirs.entry(key).or_default() += number;
                change(&mut list, key, |sum| *sum += number);
            }
            for key in 0..40 {
                prop_assert_eq!(find(&list, &key), theirs.get(&key).copied());
            }
            let mut keys: Vec<u8> = list.iter().rev().chain(&list).map(|(key, _)| *key).collect();
            distinct(&mut keys);
            prop_assert_eq!(keys, theirs.into_keys().collect::<Vec<_>>());
        }
    }
}
