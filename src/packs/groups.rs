//! Groups of packs that match one another.

use std::ops::Range;

/// What is known of which two match.
pub trait Matching {
    /// Whether two match; asked for i < j.
    fn matches(&self, i: usize, j: usize) -> bool;

    /// What may match `i`, itself among them: whatever is outside surely does not.
    fn near(&self, i: usize) -> Range<usize>;

    /// Whether every two of these, in rising order, surely match.
    fn surely_all(&self, of: &[usize]) -> bool;
}

/// Groups of what matches among `count`: in each, every two match, and none matches anything outside.
/// What matches only some of its neighbours is in no group, since there is no honest place to cut.
/// Groups have at least two.
///
/// One element's matches settle all of them: they are a group with it, or none of them is in one. So
/// few elements have to be looked at whole, where most are in no group or surely match.
pub fn groups(count: usize, of: &dyn Matching) -> Vec<Vec<usize>> {
    let mut groups = Vec::new();
    let (mut settled, mut inside) = (vec![false; count], vec![false; count]);
    for i in 0..count {
        if settled.get(i) != Some(&false) {
            continue;
        }
        let alike = |&j: &usize| i == j || of.matches(i.min(j), i.max(j));
        let own: Vec<usize> = of.near(i).filter(alike).collect();
        mark(&mut settled, &own, true);
        // What matches one before it has been settled without it.
        if own.len() > 1 && own.first() == Some(&i) {
            mark(&mut inside, &own, true);
            if is_closed(&own, &inside, of) {
                groups.push(own.clone());
            }
            mark(&mut inside, &own, false);
        }
    }
    groups
}

fn mark(marks: &mut [bool], of: &[usize], mark: bool) {
    for &index in of {
        if let Some(own) = marks.get_mut(index) {
            *own = mark;
        }
    }
}

/// Whether each of the matches of the first of them matches all of them and nothing else; `inside`
/// tells them from others. The last first: it is the farthest from the first.
fn is_closed(own: &[usize], inside: &[bool], of: &dyn Matching) -> bool {
    let sure = of.surely_all(own);
    let (Some(first), Some(last)) = (own.first(), own.last()) else {
        return true;
    };
    own.iter().skip(1).rev().all(|&i| {
        let near = of.near(i);
        let right = |j: usize| match inside.get(j) {
            // The first was looked at, and what comes after has been here before.
            Some(true) => sure || j == *first || j >= i || of.matches(j, i),
            _ => !of.matches(i.min(j), i.max(j)),
        };
        near.contains(first) && near.contains(last) && near.into_iter().all(right)
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use std::cell::Cell;

    /// The same by its definition, from every two.
    fn plain(count: usize, matches: impl Fn(usize, usize) -> bool) -> Vec<Vec<usize>> {
        let alike = |i: usize, j: usize| i == j || matches(i.min(j), i.max(j));
        let circle = |i: usize| (0..count).filter(|&j| alike(i, j)).collect();
        let circles: Vec<Vec<usize>> = (0..count).map(circle).collect();
        let closed = |own: &Vec<usize>| own.iter().all(|&j| circles[j] == *own);
        let own = circles.iter().enumerate();
        let own = own.filter(|(i, own)| own.len() > 1 && own[0] == *i && closed(own));
        own.map(|(_, own)| own.clone()).collect()
    }

    /// Matches of which nothing is known beforehand.
    struct Any<'m>(usize, &'m dyn Fn(usize, usize) -> bool);

    impl Matching for Any<'_> {
        fn matches(&self, i: usize, j: usize) -> bool {
            assert!(i < j);
            self.1(i, j)
        }

        fn near(&self, _: usize) -> Range<usize> {
            0..self.0
        }

        fn surely_all(&self, _: &[usize]) -> bool {
            false
        }
    }

    /// Levels that fall; two match if they are less than 1 apart.
    struct Falling {
        levels: Vec<f64>,
        calls: Cell<usize>,
    }

    impl Falling {
        fn of(mut levels: Vec<f64>) -> Self {
            levels.sort_by(|a, b| b.total_cmp(a));
            let calls = Cell::default();
            Self { levels, calls }
        }

        fn are_near(&self, i: usize, j: usize) -> bool {
            (self.levels[i] - self.levels[j]).abs() < 1.0
        }
    }

    impl Matching for Falling {
        fn matches(&self, i: usize, j: usize) -> bool {
            self.calls.set(self.calls.get() + 1);
            self.are_near(i, j)
        }

        fn near(&self, i: usize) -> Range<usize> {
            let from = |radius: f64| {
                let level = self.levels[i] + radius;
                self.levels.partition_point(|&other| other > level)
            };
            from(1.0)..from(-1.0)
        }

        fn surely_all(&self, of: &[usize]) -> bool {
            self.are_near(of[0], of[of.len() - 1])
        }
    }

    #[test]
    fn a_group_is_whole_or_none() {
        let of = |count, list: &'static [(usize, usize)]| {
            groups(count, &Any(count, &|i, j| list.contains(&(i, j))))
        };
        assert_eq!(of(4, &[(0, 1), (2, 3)]), [[0, 1], [2, 3]]);
        assert_eq!(of(3, &[(0, 1), (0, 2), (1, 2)]), [[0, 1, 2]]);
        // 0 matches 1 and 1 matches 2, yet 0 does not match 2.
        assert!(of(3, &[(0, 1), (1, 2)]).is_empty());
        assert_eq!(of(5, &[(0, 1), (1, 2), (3, 4)]), [[3, 4]]);
        assert_eq!(of(3, &[(0, 2)]), [[0, 2]]);
        assert!(of(1, &[]).is_empty() && of(0, &[]).is_empty());
    }

    #[test]
    fn the_work_grows_with_the_number_and_not_with_its_square() {
        // All alike; a chain; far from each other; groups of ten: matches asked for.
        type Level = fn(usize) -> f64;
        let shapes: [(Level, usize); 4] = [
            (|i| i as f64 * 1e-6, 1),
            (|i| i as f64 * 0.4, 0),
            (|i| i as f64 * 2.0, 0),
            (|i| (i / 10) as f64 * 3.0, 50),
        ];
        for (shape, (level, of_five_hundred)) in shapes.into_iter().enumerate() {
            let calls = |count: usize| {
                let falling = Falling::of((0..count).map(level).collect());
                let groups = groups(count, &falling);
                (groups.len(), falling.calls.get())
            };
            let ((groups, few), (_, many)) = (calls(500), calls(2000));
            assert_eq!(groups, of_five_hundred, "{shape}");
            assert!(many <= 4 * few + 4, "{shape}: {few} and {many}");
            assert!(many <= 2 * 2000, "{shape}: {many}");
        }
    }

    proptest! {
        #[test]
        fn groups_are_those_of_every_two(
            count in 0_usize..24,
            matched in prop::collection::vec(any::<bool>(), 24 * 24),
            of_blocks in any::<bool>(),
            blocks in prop::collection::vec(0_u8..6, 24),
        ) {
            // Blocks that match, in each of which a few do not.
            let matches = |i: usize, j: usize| {
                let own = matched[24 * i + j];
                if of_blocks { blocks[i] == blocks[j] && (own || !i.is_multiple_of(3)) } else { own }
            };
            prop_assert_eq!(groups(count, &Any(count, &matches)), plain(count, matches));
        }

        #[test]
        fn what_is_known_beforehand_changes_nothing(
            levels in prop::collection::vec(0.0_f64..30.0, 0..60),
        ) {
            let falling = Falling::of(levels);
            let count = falling.levels.len();
            let plain = plain(count, |i, j| falling.are_near(i, j));
            prop_assert_eq!(groups(count, &falling), plain);
        }
    }
}
