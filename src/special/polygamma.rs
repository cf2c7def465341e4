//! The logarithmic derivative of the gamma function and its derivative.

/// From here up the asymptotic series below leave less than the last bit.
const SERIES_FROM: f64 = 10.0;

/// Bernoulli numbers B₁₆, B₁₄, … B₂ (DLMF 24.2(iv)), with their indices.
const BERNOULLI: [(f64, f64); 8] = [
    (16.0, -3617.0 / 510.0),
    (14.0, 7.0 / 6.0),
    (12.0, -691.0 / 2730.0),
    (10.0, 5.0 / 66.0),
    (8.0, -1.0 / 30.0),
    (6.0, 1.0 / 42.0),
    (4.0, -1.0 / 30.0),
    (2.0, 1.0 / 6.0),
];

/// ψ(x), the derivative of ln Γ(x), for x from 0 up.
///
/// −∞ at 0, ∞ at ∞; NaN for a NaN and below 0. Within 4e-15 of itself or, beside its zero at 1.4616,
/// within 4e-15. The series DLMF 5.11.2, below 10 by the recurrence DLMF 5.5.2.
pub fn digamma(x: f64) -> f64 {
    if x.is_nan() || x < 0.0 {
        return f64::NAN;
    }
    let (mut x, mut sum) = (x.abs(), 0.0);
    while x < SERIES_FROM {
        sum -= 1.0 / x;
        x += 1.0;
    }
    sum + libm::log(x) - 0.5 / x - series(x, |index| 1.0 / index)
}

/// ψ′(x), the derivative of [`digamma`], for x from 0 up.
///
/// ∞ at 0, 0 at ∞; NaN for a NaN and below 0. Within 2e-15 of itself. The series DLMF 5.15.8, below
/// 10 by the recurrence DLMF 5.15.5.
pub fn trigamma(x: f64) -> f64 {
    if x.is_nan() || x < 0.0 {
        return f64::NAN;
    }
    let (mut x, mut sum) = (x, 0.0);
    while x < SERIES_FROM {
        sum += 1.0 / x / x;
        x += 1.0;
    }
    sum + (1.0 + 0.5 / x + series(x, |_| 1.0)) / x
}

/// The x with ψ′(x) = `y`, for y from 0 up.
///
/// ∞ at 0, 0 at ∞; NaN for a NaN and below 0. Within 2e-15 of itself. Newton's method on 1/ψ′,
/// which is convex, so that steps close in from one side: Smyth (2004), Statistical Applications in
/// Genetics and Molecular Biology 3(1), article 3, appendix.
pub fn inverse_trigamma(y: f64) -> f64 {
    /// Below, ψ′ is 1/(x − ½) to the last bit, and above, 1/x².
    const ENDS: (f64, f64) = (1e-8, 1e16);
    /// A step this small, of x, leaves an error of its square: less than the last bit.
    const LAST_STEP: f64 = 1e-9;
    /// No y takes this many steps: the bound is there so that none can go on for ever.
    const MOST_STEPS: u32 = 30;
    if y.is_nan() || y < 0.0 {
        return f64::NAN;
    }
    if y < ENDS.0 {
        return 1.0 / y.abs() + 0.5;
    }
    if y > ENDS.1 {
        return 1.0 / y.sqrt();
    }
    let mut x = if y < 1.0 {
        1.0 / y + 0.5
    } else {
        1.0 / y.sqrt()
    };
    for _ in 0..MOST_STEPS {
        let reached = trigamma(x);
        let step = reached * (1.0 - reached / y) / tetragamma(x);
        x += step;
        if step.abs() < LAST_STEP * x {
            break;
        }
    }
    x
}

/// ψ″(x) for x > 0: the series DLMF 5.15.9, below 10 by the recurrence DLMF 5.15.5.
fn tetragamma(x: f64) -> f64 {
    let (mut x, mut sum) = (x, 0.0);
    while x < SERIES_FROM {
        sum -= 2.0 / x / x / x;
        x += 1.0;
    }
    sum - (1.0 + 1.0 / x + series(x, |index| index + 1.0)) / x / x
}

/// Σ `factor`(n) Bₙ/xⁿ over even n, the small terms first.
fn series(x: f64, factor: impl Fn(f64) -> f64) -> f64 {
    let square = 1.0 / x / x;
    BERNOULLI
        .iter()
        .fold(0.0, |sum, &(n, b)| (sum + factor(n) * b) * square)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::{LN_2, PI};

    /// Euler's constant γ (DLMF 5.2.3).
    const EULER: f64 = 0.577_215_664_901_532_9;

    fn assert_part(got: f64, wanted: f64, part: f64) {
        let near = (got - wanted).abs() <= part * wanted.abs();
        assert!(near, "{got} is not {wanted} within {part} of it");
    }

    #[test]
    fn exact_values_are_met() {
        // DLMF 5.4.12, 5.4.13, 5.15.2, 5.15.3.
        assert_part(digamma(1.0), -EULER, 4e-15);
        assert_part(digamma(0.5), -EULER - 2.0 * LN_2, 4e-15);
        assert_part(trigamma(1.0), PI * PI / 6.0, 2e-15);
        assert_part(trigamma(0.5), PI * PI / 2.0, 2e-15);
    }

    #[test]
    fn the_series_meets_the_recurrence() {
        for x in [9.0, 9.5, 9.999_999, 10.0, 10.5] {
            assert_part(digamma(x + 1.0) - digamma(x), 1.0 / x, 1e-13);
            assert_part(trigamma(x) - trigamma(x + 1.0), 1.0 / x / x, 1e-13);
        }
    }

    #[test]
    fn the_derivative_is_the_slope() {
        let h = 1e-4;
        for x in [0.3, 1.0, 4.0, 9.9, 25.0] {
            let slope = (trigamma(x + h) - trigamma(x - h)) / (2.0 * h);
            assert_part(tetragamma(x), slope, 1e-6);
        }
    }

    #[test]
    fn the_inverse_undoes_the_function_and_falls_without_a_break() {
        let (mut y, mut before) = (1e-300, f64::INFINITY);
        while y < 1e300 {
            let x = inverse_trigamma(y);
            assert_part(trigamma(x), y, 4e-15);
            assert!(x <= before);
            before = x;
            y *= 1.1;
        }
    }

    #[test]
    fn the_ends_are_known() {
        for zero in [0.0, -0.0] {
            assert_eq!(digamma(zero), f64::NEG_INFINITY);
            assert_eq!(trigamma(zero), f64::INFINITY);
            assert_eq!(inverse_trigamma(zero), f64::INFINITY);
        }
        assert_eq!(digamma(f64::INFINITY), f64::INFINITY);
        assert_eq!(trigamma(f64::INFINITY), 0.0);
        assert_eq!(inverse_trigamma(f64::INFINITY), 0.0);
    }

    #[test]
    fn below_zero_there_is_no_value() {
        for x in [f64::NAN, f64::NEG_INFINITY, -1.5, -1.0, -5e-324] {
            assert!(digamma(x).is_nan());
            assert!(trigamma(x).is_nan());
            assert!(inverse_trigamma(x).is_nan());
        }
    }
}
