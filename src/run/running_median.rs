//! The running median: takes out dips and spikes and leaves a rising curve as it is.

/// The median; the mean of the middle two for an even number, 0 for none.
pub fn median(mut values: Vec<f64>) -> f64 {
    crate::sort::numbers(&mut values);
    middle(values.len(), |index| values.get(index).copied())
}

/// The middle of `count` sorted values.
fn middle(count: usize, value: impl Fn(usize) -> Option<f64>) -> f64 {
    let half = count / 2;
    let at = |index: usize| value(index).unwrap_or(0.0);
    match count {
        0 => 0.0,
        odd if odd % 2 == 1 => at(half),
        _ => (at(half - 1) + at(half)) / 2.0,
    }
}

/// How many samples before and after a sample are in its window however far they are.
const NEIGHBOURS: usize = 2;

/// At each sample the median of all samples whose time is within half of `width_us` of its own,
/// limits included, together with the two samples before and the two after it; at the ends, of
/// those that exist.
///
/// Times strictly increase; a width of 0 is a median of five.
pub fn running_median(time_us: &[i64], values: &[f64], width_us: i64) -> Vec<f64> {
    let count = values.len().min(time_us.len());
    let near = |i: usize, j: usize| match (time_us.get(i), time_us.get(j)) {
        (Some(a), Some(b)) => 2 * (a - b).abs() <= width_us,
        _ => false,
    };
    let (mut from, mut to) = (0, 0);
    let mut window: Vec<i64> = Vec::new();
    let mut medians = Vec::with_capacity(count);
    for i in 0..count {
        while to < count && (to <= i + NEIGHBOURS || near(i, to)) {
            let leaves = from + NEIGHBOURS < i && !near(i, from);
            let left = values.get(from).filter(|_| leaves);
            replace(&mut window, left, values.get(to));
            from += usize::from(leaves);
            to += 1;
        }
        while from + NEIGHBOURS < i && !near(i, from) {
            replace(&mut window, values.get(from), None);
            from += 1;
        }
        medians.push(middle(window.len(), |index| window.get(index).map(number)));
    }
    medians
}

/// A number as a whole number that sorts as [`f64::total_cmp`] does. Comparing whole numbers takes
/// less time.
fn key(value: f64) -> i64 {
    ordered(value.to_bits() as i64)
}

fn number(key: &i64) -> f64 {
    f64::from_bits(ordered(*key) as u64)
}

/// Its own inverse: turns the bits of a negative number, all but the sign.
fn ordered(bits: i64) -> i64 {
    bits ^ ((bits >> 63) as u64 >> 1) as i64
}

/// Takes `old` out of the sorted keys and puts `new` in; one move of what stands between the two.
fn replace(window: &mut Vec<i64>, old: Option<&f64>, new: Option<&f64>) {
    let index = |window: &[i64], key: i64| window.partition_point(|&other| other < key);
    let old = old.map(|&old| index(window, key(old)));
    let Some(new) = new.map(|&new| key(new)) else {
        if let Some(old) = old.filter(|&old| old < window.len()) {
            window.remove(old);
        }
        return;
    };
    let to = index(window, new);
    match old {
        None => window.insert(to, new),
        Some(old) if old < to => {
            window.copy_within(old + 1..to, old);
            if let Some(last) = window.get_mut(to - 1) {
                *last = new;
            }
        }
        Some(old) => {
            window.copy_within(to..old, to + 1);
            if let Some(first) = window.get_mut(to) {
                *first = new;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_median_of_an_even_number_is_the_mean_of_the_middle_two() {
        assert_eq!(median(vec![4.0, 1.0, 3.0, 2.0]), 2.5);
        assert_eq!(median(vec![3.0, 1.0, 2.0]), 2.0);
        assert_eq!(median(Vec::new()), 0.0);
    }

    #[test]
    fn a_rising_line_stays_as_it_is_inside() {
        let time: Vec<i64> = (0..50).map(|i| i * 5000).collect();
        let line: Vec<f64> = (0..50).map(f64::from).collect();
        let smooth = running_median(&time, &line, 40_000);
        assert_eq!(smooth[4..46], line[4..46]);
        assert_eq!(
            smooth[0], 2.0,
            "at the end the median of the five samples that exist"
        );
    }

    #[test]
    fn every_median_is_that_of_its_window() {
        // Uneven times, equal values, both signs of zero and windows from 5 samples to all of them.
        let time: Vec<i64> = (0..300).map(|i| i * 700 + (i * i) % 613).collect();
        let values: Vec<f64> = (0..300i32)
            .map(|i| f64::from((i * 7_919) % 41 - 20) * if i % 3 == 0 { -0.5 } else { 1.0 })
            .collect();
        for width in [0, 2_000, 9_999, 60_000, 1_000_000] {
            let plain: Vec<f64> = (0..300)
                .map(|i| {
                    let near = |j: usize| {
                        2 * (time[i] - time[j]).abs() <= width || i.abs_diff(j) <= NEIGHBOURS
                    };
                    median((0..300).filter(|&j| near(j)).map(|j| values[j]).collect())
                })
                .collect();
            let bits = |medians: &[f64]| medians.iter().map(|m| m.to_bits()).collect::<Vec<_>>();
            let found = running_median(&time, &values, width);
            assert_eq!(bits(&found), bits(&plain), "{width}");
        }
    }

    #[test]
    fn the_limits_of_the_window_belong_to_it() {
        let time = [0, 10, 20, 30, 40, 50, 60];
        let values = [9.0, 9.0, 0.0, 0.0, 0.0, 9.0, 9.0];
        assert_eq!(running_median(&time, &values, 0)[3], 0.0, "five: 9 0 0 0 9");
        assert_eq!(
            running_median(&time, &values, 60)[3],
            9.0,
            "seven: 9 9 0 0 0 9 9"
        );
        assert_eq!(
            running_median(&time, &values, 59)[3],
            0.0,
            "the outer two are 30 away: not within 29.5"
        );
    }
}
