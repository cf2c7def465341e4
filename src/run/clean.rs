//! The running median: takes out dips and spikes and leaves a rising curve as it is.

/// The median; the mean of the middle two for an even number, 0 for none.
pub fn median(mut values: Vec<f64>) -> f64 {
    values.sort_unstable_by(f64::total_cmp);
    middle(&values)
}

fn middle(sorted: &[f64]) -> f64 {
    let half = sorted.len() / 2;
    let at = |place: usize| sorted.get(place).copied().unwrap_or(0.0);
    match sorted.len() {
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
    let mut window: Vec<f64> = Vec::new();
    let mut medians = Vec::with_capacity(count);
    for i in 0..count {
        while to < count && (to <= i + NEIGHBOURS || near(i, to)) {
            insert(&mut window, values.get(to));
            to += 1;
        }
        while from + NEIGHBOURS < i && !near(i, from) {
            remove(&mut window, values.get(from));
            from += 1;
        }
        medians.push(middle(&window));
    }
    medians
}

fn insert(window: &mut Vec<f64>, value: Option<&f64>) {
    if let Some(&value) = value {
        let place = window.partition_point(|other| other.total_cmp(&value).is_lt());
        window.insert(place, value);
    }
}

fn remove(window: &mut Vec<f64>, value: Option<&f64>) {
    if let Some(&value) = value {
        let place = window.partition_point(|other| other.total_cmp(&value).is_lt());
        if place < window.len() {
            window.remove(place);
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
