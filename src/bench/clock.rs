//! When in its day a run was made, as the notebook has it.

/// Seconds since midnight of a clock such as `14:05` or `14:05:30`, or of seconds as they stand;
/// `None` if it is neither.
pub fn seconds(clock: &str) -> Option<f64> {
    const DAY: f64 = 86_400.0;
    let parts: Vec<&str> = clock.split(':').collect();
    let whole = |text: &str, below: u32| -> Option<f64> {
        let digits =
            (1..=2).contains(&text.len()) && text.bytes().all(|byte| byte.is_ascii_digit());
        let number: u32 = text.parse().ok().filter(|_| digits)?;
        (number < below).then_some(f64::from(number))
    };
    match parts.as_slice() {
        [seconds] => {
            let seconds = seconds.replace(',', ".").parse().ok();
            seconds.filter(|seconds| (0.0..DAY).contains(seconds))
        }
        [hours, minutes] => Some(whole(hours, 24)? * 3600.0 + whole(minutes, 60)? * 60.0),
        [hours, minutes, seconds] => {
            Some(whole(hours, 24)? * 3600.0 + whole(minutes, 60)? * 60.0 + whole(seconds, 60)?)
        }
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::seconds;

    #[test]
    fn a_clock_is_seconds_since_midnight() {
        assert_eq!(seconds("14:05"), Some(50_700.0));
        assert_eq!(seconds("0:00:07"), Some(7.0));
        assert_eq!(seconds("340"), Some(340.0));
        assert_eq!(seconds("1,5"), Some(1.5));
        for wrong in [
            "24:00", "12:60", "2 pm", "-1", "1:2:3:4", "12:", "NaN", "86400",
        ] {
            assert_eq!(seconds(wrong), None, "{wrong}");
        }
    }
}
