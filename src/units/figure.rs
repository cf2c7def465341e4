//! Figures in text for the person at the bench.

/// Four significant figures, at most four decimals: as much as a log can tell.
pub fn figure(value: f64) -> String {
    let decimals = match value.abs() {
        large if large >= 1000.0 => 0,
        large if large >= 100.0 => 1,
        large if large >= 10.0 => 2,
        large if large >= 1.0 => 3,
        _ => 4,
    };
    let text = format!("{value:.decimals$}");
    // No minus before a number that is printed as zero.
    let is_zero = text
        .trim_start_matches('-')
        .chars()
        .all(|c| c == '0' || c == '.');
    if is_zero {
        text.trim_start_matches('-').into()
    } else {
        text
    }
}
