//! A drawn line with as few points as an eye can tell.

/// How far the line may pass a point that is left out, up or down, in CSS pixels. A screen shows two or
/// three pixels of its own for each of these.
pub(super) const OFF_PX: f64 = 0.1;

/// Those of the points of a line, in rising order of x, between which straight lines pass every other point
/// within [`OFF_PX`]: from each the longest that does. The first and the last stay, and so does one that
/// `is_fixed`.
///
/// Whether a line from one point passes all that follow, the slopes tell that every one of them leaves
/// open (the sector method of Sklansky and Gonzalez, 1980, from memory).
pub(super) fn thinned(
    points: &[(f64, f64)],
    is_fixed: impl Fn((f64, f64)) -> bool,
) -> Vec<(f64, f64)> {
    let mut all = points.iter().copied();
    let Some(mut from) = all.next() else {
        return Vec::new();
    };
    let mut kept = vec![from];
    let mut open = Slopes::ALL;
    let mut before = from;
    for point in all {
        if point == before {
            continue;
        }
        if is_fixed(before) && before != from || !open.hold(from, point) {
            kept.push(before);
            from = before;
            open = Slopes::ALL;
        }
        open.narrow(from, point);
        before = point;
    }
    if before != from {
        kept.push(before);
    }
    kept
}

/// The slopes of lines from a point that pass all points since within [`OFF_PX`].
struct Slopes {
    least: f64,
    most: f64,
}

impl Slopes {
    const ALL: Self = Self {
        least: f64::NEG_INFINITY,
        most: f64::INFINITY,
    };

    fn hold(&self, from: (f64, f64), to: (f64, f64)) -> bool {
        (self.least..=self.most).contains(&slope(from, to, 0.0))
    }

    fn narrow(&mut self, from: (f64, f64), to: (f64, f64)) {
        self.least = self.least.max(slope(from, to, -OFF_PX));
        self.most = self.most.min(slope(from, to, OFF_PX));
    }
}

/// The slope of the line from one point to so far below another.
fn slope(from: (f64, f64), to: (f64, f64), below: f64) -> f64 {
    (to.1 + below - from.1) / (to.0 - from.0)
}

#[cfg(all(test, not(target_arch = "wasm32")))]
mod tests {
    use super::super::tests::on_line;
    use super::*;

    /// A curve that rises in blows of uneven height, as a wrench does.
    fn blows() -> Vec<(f64, f64)> {
        let mut height = 400.0;
        let fall = |i: u32| f64::from(i * 7919 % 13) / f64::from(3 + i / 20);
        (0..500)
            .map(|i| {
                if i % 5 == 0 {
                    height -= fall(i);
                }
                (f64::from(2 * i), height)
            })
            .collect()
    }

    #[test]
    fn no_point_is_off_by_more_than_is_said_and_most_are_left_out() {
        let points = blows();
        let kept = thinned(&points, |_| false);
        for &point in &points {
            let off = on_line(&kept, point.0) - point.1;
            assert!(off.abs() <= OFF_PX + 1e-9, "{point:?} {off}");
        }
        assert!(kept.iter().all(|point| points.contains(point)));
        assert_eq!((kept.first(), kept.last()), (points.first(), points.last()));
        assert!(kept.len() < points.len() / 2, "{} points", kept.len());
    }

    #[test]
    fn of_a_straight_line_its_ends_stay_and_what_is_fixed() {
        let line: Vec<(f64, f64)> = (0..9).map(|i| (f64::from(i), f64::from(3 * i))).collect();
        assert_eq!(thinned(&line, |_| false), [(0.0, 0.0), (8.0, 24.0)]);
        let fixed = thinned(&line, |point| point == (3.0, 9.0));
        assert_eq!(fixed, [(0.0, 0.0), (3.0, 9.0), (8.0, 24.0)]);
    }

    #[test]
    fn a_corner_stays_where_it_is() {
        let corner = [(0.0, 9.0), (1.0, 9.0), (2.0, 9.0), (2.0, 5.0), (4.0, 5.0)];
        assert_eq!(
            thinned(&corner, |_| false),
            [(0.0, 9.0), (2.0, 9.0), (2.0, 5.0), (4.0, 5.0)]
        );
    }

    #[test]
    fn one_point_and_none_stay_what_they_are() {
        assert_eq!(thinned(&[], |_| true), []);
        assert_eq!(thinned(&[(1.0, 2.0)], |_| false), [(1.0, 2.0)]);
    }
}
