//! The points of a field's course at which all of it is counted once.

use crate::sort;

/// How many points there are at most.
const COUNTED_AT: usize = 512;

/// The course is counted from where the field comes to zero with its error at these standard errors.
pub(super) const COUNTED_Z: [f64; 7] = [-3.0, -2.0, -1.0, 0.0, 1.0, 2.0, 3.0];

/// Beyond this many standard errors one has come to zero for certain, or certainly not.
pub(super) const CERTAIN_Z: f64 = 6.0;

/// Points from where the field comes to zero, given in any order: evenly between them when sorted, so
/// that a small field is counted as finely as a large one.
pub(super) fn course(comes_to: impl Iterator<Item = f64>) -> Vec<f64> {
    let mut sorted: Vec<f64> = comes_to.filter(|course| course.is_finite()).collect();
    sort::numbers(&mut sorted);
    let last = sorted.len().saturating_sub(1) as f64;
    let between = |i: usize| {
        let at = i as f64 * last / (COUNTED_AT - 1) as f64;
        let (below, above) = (*sorted.get(at as usize)?, *sorted.get(at.ceil() as usize)?);
        Some(below + (above - below) * at.fract())
    };
    let mut course: Vec<f64> = (0..COUNTED_AT).filter_map(between).collect();
    course.dedup();
    course
}
