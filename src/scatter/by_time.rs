//! How much the runs of a pair differ at any instant of the window.

use crate::run::instants::{STEPS, time_s};

/// Runs are held against each other at every so many of the [instants](crate::run::instants).
const EVERY: u32 = 8;

/// Roots are whole numbers of this part.
const PART: f64 = 1e-4;

/// The sum of squares of a pair's runs, as logarithms of torque about the means of their cells, at
/// instants of the window; it runs straight between them. Its root would be too small in between, where
/// runs differ from instant to instant.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ByTime {
    /// The root of each in hundredths of a per cent, at every eighth instant from the onset to the window's end.
    roots: Vec<u32>,
}

/// When runs are held against each other, in s.
pub fn times(window_s: f64) -> impl Iterator<Item = f64> {
    (0..=STEPS / EVERY).map(move |step| time_s(step * EVERY, window_s))
}

impl ByTime {
    /// From the sums of squares at [`times`].
    pub fn of(squares: impl Iterator<Item = f64>) -> Self {
        let root = |squares: f64| (squares.sqrt() / PART).round() as u32;
        Self {
            roots: squares.map(root).collect(),
        }
    }

    /// From what is stored: the growth of the roots, those that lessen by 2g − 1 and all others by 2g.
    pub fn of_stored(growth: &[u32]) -> Self {
        let mut root = 0_u32;
        let roots = growth.iter().map(|growth| {
            let by = growth.div_ceil(2);
            root = match growth % 2 {
                0 => root.saturating_add(by),
                _ => root.saturating_sub(by),
            };
            root
        });
        Self {
            roots: roots.collect(),
        }
    }

    /// As [`ByTime::of_stored`] reads it.
    pub fn stored(&self) -> Vec<u32> {
        let before = std::iter::once(&0).chain(&self.roots);
        let growth = self.roots.iter().zip(before);
        growth
            .map(|(root, before)| match root.checked_sub(*before) {
                Some(more) => 2 * more,
                None => 2 * (before - root) - 1,
            })
            .collect()
    }

    /// The roots in hundredths of a per cent.
    pub fn roots(&self) -> &[u32] {
        &self.roots
    }

    /// The sum of squares at `at_s` of a window of `window_s`, both in s.
    pub fn squares_at(&self, at_s: f64, window_s: f64) -> f64 {
        let told_s = |step: u32| time_s(step * EVERY, window_s);
        let (mut step, mut after) = (0, STEPS / EVERY);
        while after - step > 1 {
            let middle = step.midpoint(after);
            if told_s(middle) <= at_s {
                step = middle;
            } else {
                after = middle;
            }
        }
        let (from_s, to_s) = (told_s(step), told_s(after));
        let squares = |step: u32| {
            let root = self.roots.get(step as usize).copied();
            let root = f64::from(root.unwrap_or_default()) * PART;
            root * root
        };
        let share = ((at_s - from_s) / (to_s - from_s)).min(1.0);
        squares(step) + (squares(after) - squares(step)) * share
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn squares_run_straight_between_the_instants() {
        let by_time = ByTime::of(times(8.0).map(|time_s| 0.01 * time_s));
        for at_s in [0.0, 0.001, 0.37, 1.0, 5.5, 8.0] {
            let squares = by_time.squares_at(at_s, 8.0);
            assert!((squares - 0.01 * at_s).abs() < 6e-5, "{at_s}: {squares}");
        }
        assert_eq!(by_time.squares_at(8.0, 8.0), by_time.squares_at(9.0, 8.0));
    }

    #[test]
    fn what_is_stored_comes_back() {
        let by_time = ByTime::of([0.0, 4e-4, 1e-4, 1e-4, 0.5].into_iter());
        assert_eq!(by_time.roots(), [0, 200, 100, 100, 7071]);
        assert_eq!(by_time.stored(), [0, 400, 199, 0, 13_942]);
        assert_eq!(ByTime::of_stored(&by_time.stored()), by_time);
    }
}
