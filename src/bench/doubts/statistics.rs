//! Limits beyond which a value is strange, and what a ratio may mean.

use crate::run::running_median::median;
use crate::special::student;

/// How often each kind of doubt may be raised for nothing in a season, over all values that it looks
/// at (Bonferroni). Six kinds rest on such a limit; together they stay below a twentieth.
pub const FALSE_ALARMS: f64 = 0.005;

/// Median absolute deviation to standard deviation of a normal distribution: 1 ÷ Φ⁻¹(¾).
pub const SIGMA_PER_MAD: f64 = 1.482_602_218_505_602;

/// Beyond how many standard errors one of `count` values is strange: both tails of Student's t
/// distribution with `nu` degrees of freedom.
pub fn limit(count: usize, nu: f64) -> f64 {
    student::quantile(1.0 - FALSE_ALARMS / 2.0 / count.max(1) as f64, nu)
}

/// Robust standard deviation of residuals about zero, from the median of their sizes; 0 for none.
pub fn robust_sigma(residuals: impl Iterator<Item = f64>) -> f64 {
    SIGMA_PER_MAD * median(residuals.map(f64::abs).collect())
}

/// The mean; 0 for no values.
pub fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len().max(1) as f64
}

/// Ratios of units that are taken for each other, larger over smaller, and what each means.
const RATIOS: [(f64, &str); 4] = [
    (
        1.355_818,
        "1.356, the ratio of lbf·ft to N·m: one unit taken for the other",
    ),
    (
        9.806_65,
        "9.81, the ratio of kgf·m to N·m: one unit taken for the other",
    ),
    (
        10.0,
        "10: a decimal mark in the wrong place or a factor of the logger left out",
    ),
    (
        4.448_222,
        "4.448, the ratio of 1,000 lbf (kip) to kN: one unit taken for the other",
    ),
];

/// Whether a ratio, given as its natural logarithm, is within `tolerance` of one of units that are
/// taken for each other.
pub fn is_ratio_of_units(log_ratio: f64, tolerance: f64) -> bool {
    let near = |ratio: f64| (log_ratio.abs() - libm::log(ratio)).abs() <= tolerance;
    RATIOS.iter().any(|(ratio, _)| near(*ratio))
}

/// What a ratio, given as its natural logarithm with its standard error, may mean: every ratio of
/// units within three standard errors or 3 %, whichever is more, but at most 10 %.
pub fn unit_ratios(log_ratio: f64, error: f64) -> Option<String> {
    let tolerance = (3.0 * error).clamp(0.03, 0.1);
    let near = RATIOS
        .iter()
        .filter(|(ratio, _)| (log_ratio.abs() - libm::log(*ratio)).abs() <= tolerance);
    let near: Vec<String> = near
        .map(|(ratio, meaning)| {
            if log_ratio < 0.0 {
                format!("{:.3}, which is 1 ÷ {meaning}", 1.0 / ratio)
            } else {
                (*meaning).to_owned()
            }
        })
        .collect();
    if !near.is_empty() {
        return Some(format!("the ratio is near {}", near.join("; or near ")));
    }
    (log_ratio.abs() > libm::log(3.0))
        .then(|| "a unit, or a factor that the logger's block lacks".into())
}

/// A factor for people: two decimals, three below 0.2.
pub fn factor(log_ratio: f64) -> String {
    let ratio = libm::exp(log_ratio);
    match ratio {
        large if large >= 20.0 => format!("{large:.0}"),
        small if small < 0.2 => format!("{small:.4}"),
        _ => format!("{ratio:.3}"),
    }
}

/// A limit of logarithms as per cent, one decimal below 10 %.
pub fn percent(log: f64) -> String {
    let percent = 100.0 * (libm::exp(log.abs()) - 1.0);
    if percent < 10.0 {
        format!("{percent:.1} %")
    } else {
        format!("{percent:.0} %")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_ratio_of_units_is_named_and_another_is_not() {
        let named = |ratio: f64| unit_ratios(libm::log(ratio), 0.005).unwrap_or_default();
        assert!(named(1.36).contains("1.356, the ratio of lbf·ft"));
        assert!(named(0.735).contains("0.738, which is 1 ÷ 1.356"));
        assert!(named(4.5).contains("kip"));
        assert!(named(0.101).contains("9.81") && named(0.101).contains("10: a decimal"));
        assert_eq!(named(1.25), "");
        assert!(named(20.0).contains("factor"));
    }

    #[test]
    fn a_limit_grows_with_the_number_of_values() {
        // Both tails of one value: Φ⁻¹(0.9975).
        assert!((limit(1, f64::INFINITY) - 2.807_033_768).abs() < 1e-8);
        assert!(limit(100, f64::INFINITY) > 3.8 && limit(100, 10.0) > limit(100, f64::INFINITY));
    }

    #[test]
    fn one_wild_residual_leaves_the_robust_scale_alone() {
        let residuals = [1.0, -1.0, 0.5, -0.5, 1.5, 900.0];
        assert!(robust_sigma(residuals.into_iter()) < 2.0);
    }
}
