//! Groups of packs that match one another.

/// Groups of what matches: in each, every two match, and none matches anything outside. What
/// matches only some of its neighbours is in no group, since there is no honest place to cut.
///
/// `matches(i, j)` is asked for i < j < `count`. Groups have at least two.
pub fn groups(count: usize, matches: impl Fn(usize, usize) -> bool) -> Vec<Vec<usize>> {
    let alike = |i: usize, j: usize| i == j || matches(i.min(j), i.max(j));
    let circle = |i: usize| (0..count).filter(|&j| alike(i, j)).collect();
    let circles: Vec<Vec<usize>> = (0..count).map(circle).collect();
    let closed = |own: &Vec<usize>| own.iter().all(|&j| circles.get(j) == Some(own));
    circles
        .iter()
        .enumerate()
        .filter(|(i, own)| own.len() > 1 && own.first() == Some(i) && closed(own))
        .map(|(_, own)| own.clone())
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_group_is_whole_or_none() {
        let pairs = |list: &'static [(usize, usize)]| move |i, j| list.contains(&(i, j));
        assert_eq!(groups(4, pairs(&[(0, 1), (2, 3)])), [[0, 1], [2, 3]]);
        assert_eq!(groups(3, pairs(&[(0, 1), (0, 2), (1, 2)])), [[0, 1, 2]]);
        // 0 matches 1 and 1 matches 2, yet 0 does not match 2.
        assert!(groups(3, pairs(&[(0, 1), (1, 2)])).is_empty());
        assert_eq!(groups(5, pairs(&[(0, 1), (1, 2), (3, 4)])), [[3, 4]]);
        assert_eq!(groups(3, pairs(&[(0, 2)])), [[0, 2]]);
        assert!(groups(1, pairs(&[])).is_empty() && groups(0, pairs(&[])).is_empty());
    }
}
