//! The first whole microsecond at which a torque that does not fall reaches a needed one.

use crate::tie::reaches;

/// Every so many steps the bracket is halved, so that a curve of any shape takes at most so many times
/// the steps of halving alone.
const HALVED_AT_EVERY: u32 = 4;

/// The first whole microsecond at which `torque_nm` [reaches] `needed_nm`, in N·m.
///
/// `ends` are an instant in µs at which it does not and a later one at which it does, each with the
/// torque there. `about_us` are looked at first: if the crossing is between them and they are near,
/// few steps are left. What comes out does not depend on them, as microseconds are whole and the
/// torque does not fall.
///
/// False position between the ends of the bracket; when one end moves twice, the other's weight is
/// lessened (Anderson and Björck 1973, BIT 13, 253).
pub fn first_us(
    needed_nm: f64,
    ends: [(u64, f64); 2],
    about_us: [u64; 2],
    torque_nm: &dyn Fn(u64) -> f64,
) -> u64 {
    let [mut short, mut reached] = ends.map(|(us, nm)| (us, (needed_nm - nm).abs()));
    let mut about = about_us.into_iter();
    let (mut steps, mut last) = (0_u32, None);
    while reached.0 - short.0 > 1 {
        let guess = about.next().unwrap_or_else(|| {
            steps += 1;
            if steps.is_multiple_of(HALVED_AT_EVERY) {
                return short.0.midpoint(reached.0);
            }
            let part = short.1 / (short.1 + reached.1);
            short.0 + ((reached.0 - short.0) as f64 * part) as u64
        });
        let us = guess.max(short.0 + 1).min(reached.0 - 1);
        let nm = torque_nm(us);
        let is_there = reaches(nm, needed_nm);
        let (moved, other) = if is_there {
            (&mut reached, &mut short)
        } else {
            (&mut short, &mut reached)
        };
        let weight = (needed_nm - nm).abs();
        if last == Some(is_there) {
            let less = 1.0 - weight / moved.1;
            other.1 *= if less > 0.0 { less } else { 0.5 };
        }
        *moved = (us, weight);
        last = Some(is_there);
    }
    reached.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use std::cell::Cell;

    const END_US: u64 = 5_000_000;

    /// The crossing by halving alone.
    fn by_halving(needed_nm: f64, torque_nm: &dyn Fn(u64) -> f64) -> u64 {
        let (mut short, mut reached) = (0, END_US);
        while reached - short > 1 {
            let middle = short.midpoint(reached);
            if reaches(torque_nm(middle), needed_nm) {
                reached = middle;
            } else {
                short = middle;
            }
        }
        reached
    }

    /// The crossing, and how often the torque was asked for.
    fn counted(needed_nm: f64, about_us: [u64; 2], torque_nm: &dyn Fn(u64) -> f64) -> (u64, u32) {
        let calls = Cell::new(0);
        let ends = [0, END_US].map(|us| (us, torque_nm(us)));
        let first = first_us(needed_nm, ends, about_us, &|us| {
            calls.set(calls.get() + 1);
            torque_nm(us)
        });
        (first, calls.get())
    }

    #[test]
    fn a_smooth_curve_takes_less_than_half_the_steps_of_halving() {
        // Halving takes log₂ of 5,000,000 steps: 22 or 23.
        let curve = |us: u64| 600.0 * (1.0 - libm::exp(-(us as f64) / 8e5));
        for needed_nm in [20.0, 300.0, 500.0, 590.0, 598.0] {
            let first = by_halving(needed_nm, &curve);
            let about_us = [first * 4 / 5, first * 5 / 4];
            let (found, calls) = counted(needed_nm, about_us, &curve);
            assert_eq!(found, first);
            assert!(calls <= 10, "{needed_nm}: {calls}");
            // And where one curve is all there is, hardly any.
            let (found, calls) = counted(needed_nm, [first - 1, first], &curve);
            assert_eq!((found, calls), (first, 2));
        }
    }

    proptest! {
        #[test]
        fn any_curve_is_crossed_where_halving_crosses_it(
            points in prop::collection::vec((1_u64..400_000, 0.0_f64..200.0, 0_u8..3), 1..40),
            needed_nm in 0.5_f64..900.0,
            about_us in [0..=END_US, 0..=END_US],
        ) {
            // Points that rise, stay or jump within a microsecond.
            let (mut at_us, mut nm, mut knots) = (0, 0.0, vec![(0, 0.0)]);
            for (step_us, rise_nm, kind) in points {
                at_us += if kind == 2 { 1 } else { step_us };
                nm += if kind == 0 { 0.0 } else { rise_nm };
                knots.push((at_us, nm));
            }
            knots.push((at_us + 1, 1000.0));
            let curve = |us: u64| {
                let after = knots.partition_point(|knot| knot.0 <= us);
                let (a, Some(b)) = (knots[after - 1], knots.get(after)) else {
                    return 1000.0;
                };
                a.1 + (b.1 - a.1) * ((us - a.0) as f64 / (b.0 - a.0) as f64)
            };
            prop_assume!(!reaches(curve(0), needed_nm) && reaches(curve(END_US), needed_nm));
            let (found, calls) = counted(needed_nm, about_us, &curve);
            prop_assert_eq!(found, by_halving(needed_nm, &curve));
            prop_assert!(calls <= 2 + HALVED_AT_EVERY * 23, "{}", calls);
        }
    }
}
