//! A line with fewer points that looks the same.

/// How far a line may be from its curve, in CSS pixels.
const OFF_PX: f64 = 0.06;

/// Some of the points, so that lines through them are at most [`OFF_PX`] from all others: the point
/// farthest from the line between two is kept, and each side looked at again (Ramer 1972, Douglas and
/// Peucker 1973).
pub(super) fn thinned(points: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let (Some(first), Some(last)) = (points.first(), points.last()) else {
        return Vec::new();
    };
    let mut kept = vec![*first];
    // Ranges still to be looked at, the leftmost on top.
    let mut open = vec![(0, points.len().saturating_sub(1))];
    while let Some((from, to)) = open.pop() {
        match farthest(points, from, to) {
            Some(at) => open.extend([(at, to), (from, at)]),
            None => kept.extend(points.get(to).filter(|_| to > from)),
        }
    }
    if kept.len() == 1 {
        kept.push(*last);
    }
    kept
}

/// Which point between two is farthest from the line through them, if it is too far.
fn farthest(points: &[(f64, f64)], from: usize, to: usize) -> Option<usize> {
    let (&(ax, ay), &(bx, by)) = (points.get(from)?, points.get(to)?);
    let (dx, dy) = (bx - ax, by - ay);
    let length = (dx * dx + dy * dy).sqrt();
    let mut most = (OFF_PX, None);
    for at in from + 1..to {
        let &(x, y) = points.get(at)?;
        let off = if length > 0.0 {
            ((x - ax) * dy - (y - ay) * dx).abs() / length
        } else {
            // The outline ends where it began.
            ((x - ax) * (x - ax) + (y - ay) * (y - ay)).sqrt()
        };
        if off > most.0 {
            most = (off, Some(at));
        }
    }
    most.1
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_outline_that_ends_where_it_began_keeps_its_corners() {
        let corners = [(0.0, 0.0), (9.0, 0.0), (9.0, 9.0), (0.0, 0.0)];
        let side = |pair: &[(f64, f64)]| {
            let (from, to) = (pair[0], pair[1]);
            let at = move |part: f64| {
                (
                    from.0 + part * (to.0 - from.0),
                    from.1 + part * (to.1 - from.1),
                )
            };
            [at(0.0), at(0.25), at(0.5), at(0.75)]
        };
        let mut outline: Vec<(f64, f64)> = corners.windows(2).flat_map(side).collect();
        outline.push(corners[3]);
        assert_eq!(thinned(&outline), corners);
    }
}
