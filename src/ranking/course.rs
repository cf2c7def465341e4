//! The points of a field's course at which all of it is counted once.

use crate::sort;

/// A field is counted at so many points for all its levels together, but at so many at least and at most:
/// the smaller the field, the finer.
const COUNTED_IN_ALL: usize = 32_768;
const LEAST_COUNTED_AT: usize = 512;
const MOST_COUNTED_AT: usize = 2048;

/// The course is counted from where the field comes to zero with its error at these standard errors.
pub(super) const COUNTED_Z: [f64; 7] = [-3.0, -2.0, -1.0, 0.0, 1.0, 2.0, 3.0];

/// Beyond this many standard errors one has come to zero for certain, or certainly not.
pub(super) const CERTAIN_Z: f64 = 6.0;

/// Points from where the levels of a field come to zero, given in any order: evenly between them when
/// sorted. `levels` is their number.
pub(super) fn course(levels: usize, comes_to: impl Iterator<Item = f64>) -> Vec<f64> {
    let points = COUNTED_IN_ALL / levels.max(1);
    let points = points.clamp(LEAST_COUNTED_AT, MOST_COUNTED_AT);
    let mut sorted: Vec<f64> = comes_to.filter(|course| course.is_finite()).collect();
    sort::numbers(&mut sorted);
    let last = sorted.len().saturating_sub(1) as f64;
    let between = |i: usize| {
        let at = i as f64 * last / (points - 1) as f64;
        let (below, above) = (*sorted.get(at as usize)?, *sorted.get(at.ceil() as usize)?);
        Some(below + (above - below) * at.fract())
    };
    let mut course: Vec<f64> = (0..points).filter_map(between).collect();
    course.dedup();
    course
}
