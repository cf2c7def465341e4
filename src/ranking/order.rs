//! Who stands before whom: rank = 1 + the number strictly better.

use crate::sort;
use crate::tie::is_larger;

/// What a combination is ranked by.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Standing {
    /// It reaches the job; a shorter time in seconds is better.
    Time(f64),
    /// It reaches the job or has a measure; a larger value is better.
    Score(f64),
    /// It does not reach the job; a larger torque at the window's end in N·m is better.
    Short(f64),
    /// It cannot be ranked.
    None,
}

impl Standing {
    /// Class, and a key that is smaller for the better.
    fn key(self) -> (u8, f64) {
        match self {
            Self::Time(time_s) => (0, time_s),
            Self::Score(score) => (0, -score),
            Self::Short(torque_nm) => (1, -torque_nm),
            Self::None => (2, 0.0),
        }
    }
}

/// The order of a field.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Order {
    /// Rank of each, from 1, ties sharing one; `None` for those that cannot be ranked.
    pub ranks: Vec<Option<u32>>,
    /// Indices from best to worst, the unranked last; ties in the order given.
    pub best_first: Vec<usize>,
    /// How many are ranked.
    pub of: u32,
}

/// Ranks a field.
pub fn order(field: &[Standing]) -> Order {
    let key = |index: usize| field.get(index).map_or((2, 0.0), |standing| standing.key());
    let best_first = sort::order(field.len(), &|i, j| {
        let (a, b) = (key(i), key(j));
        a.0.cmp(&b.0).then(a.1.total_cmp(&b.1))
    });
    let better = |than: (u8, f64)| best_first.partition_point(|&i| is_better(key(i), than));
    let rank = |key: (u8, f64)| 1 + better(key) as u32;
    let ranks = field
        .iter()
        .map(|&standing| (standing != Standing::None).then(|| rank(standing.key())))
        .collect();
    let of = field
        .iter()
        .filter(|&&standing| standing != Standing::None)
        .count() as u32;
    Order {
        ranks,
        best_first,
        of,
    }
}

/// Whether `a` is strictly better than `b`: by more than a tie's difference.
fn is_better(a: (u8, f64), b: (u8, f64)) -> bool {
    match a.0.cmp(&b.0) {
        std::cmp::Ordering::Equal => is_larger(b.1, a.1),
        class => class.is_lt(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn those_that_do_not_reach_follow() {
        let field = [
            Standing::Short(500.0),
            Standing::Time(2.0),
            Standing::None,
            Standing::Short(600.0),
            Standing::Time(1.0),
        ];
        let order = order(&field);
        assert_eq!(order.ranks, [Some(4), Some(2), None, Some(3), Some(1)]);
        assert_eq!(order.best_first, [4, 1, 3, 0, 2]);
        assert_eq!(order.of, 4);
    }

    #[test]
    fn ties_share_a_rank_and_the_next_is_counted_from_all_before() {
        let field = [
            Standing::Score(3.0),
            Standing::Score(2.0),
            Standing::Score(2.0 + 1e-10),
            Standing::Score(1.0),
        ];
        assert_eq!(order(&field).ranks, [Some(1), Some(2), Some(2), Some(4)]);
    }
}
