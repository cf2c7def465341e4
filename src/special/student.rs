//! Student's t distribution, for any number of degrees of freedom, whole or not.

use super::normal;
use std::f64::consts::FRAC_2_SQRT_PI;

/// The probability that a variable of Student's t distribution with `nu` degrees of freedom is at
/// most `t`.
///
/// Any `t`, and `nu` above 0, whole or not, ∞ being the standard normal distribution; NaN for a
/// NaN and for `nu` not above 0. Within 1e-14 of itself where it is above 1e-6, and within 5e-13 down to
/// 1e-300.
///
/// Regularised incomplete beta functions: I(ν/(ν + t²); ν/2, ½) is the probability beyond ±t,
/// I(t²/(ν + t²); ½, ν/2) the one within (Abramowitz and Stegun 26.7.1; DLMF 8.17.4).
pub fn distribution(t: f64, nu: f64) -> f64 {
    if t.is_nan() || nu.is_nan() || nu <= 0.0 {
        return f64::NAN;
    }
    if nu == f64::INFINITY {
        return normal::distribution(t);
    }
    if t.abs() < SPLIT {
        0.5 + Half::within(t.abs(), nu).probability().copysign(t)
    } else if t < 0.0 {
        Half::beyond(-t, nu).probability()
    } else {
        1.0 - Half::beyond(t, nu).probability()
    }
}

/// The value that a variable of Student's t distribution with `nu` degrees of freedom exceeds with
/// probability 1 − `p`.
///
/// −∞ at 0 and ∞ at 1; `nu` above 0, whole or not, ∞ being the standard normal distribution; NaN
/// for a NaN, for `p` outside of 0 to 1 and for `nu` not above 0. Within 1e-14 of itself for `p` from
/// 1e-50 up, also beside p = ½, where it passes zero; within 1e-13 from 1e-300 up. What would be
/// beyond the largest number is the largest number.
pub fn quantile(p: f64, nu: f64) -> f64 {
    if nu.is_nan() || nu <= 0.0 {
        return f64::NAN;
    }
    let normal = normal::quantile(p);
    if nu == f64::INFINITY || normal == 0.0 || !normal.is_finite() {
        return normal;
    }
    // From ½ up 1 − p is exact.
    exceeded(p.min(1.0 - p), nu, normal.abs()).copysign(normal)
}

/// Below this t the probability within ±t is computed and keeps its digits, from here up the one
/// beyond: x ≤ a/(a + b) for either continued fraction, whatever ν.
const SPLIT: f64 = 1.0;

/// A step this small, as a part of t, leaves an error of its square: less than the last bit.
const LAST_STEP: f64 = 1e-9;

/// No quantile that is a number takes ten steps: the bound is there so that none goes on for ever.
const MOST_STEPS: u32 = 30;

/// The t above 0 that is exceeded with probability `p` below ½: Newton's method between the
/// logarithms of t and of a probability, from the normal quantile, which lies short of t.
///
/// With f the density, f(ts)/f(t) falls with t for s > 1 and rises for s < 1; so does P/(t f(t)),
/// its integral over s; so between logarithms P against t bends one way only. Steps close in on t
/// from one side, after the first at the latest: nothing else is needed to hold them.
fn exceeded(p: f64, nu: f64, normal: f64) -> f64 {
    let far = p < Half::beyond(SPLIT, nu).probability();
    let mut t = if far { normal.max(SPLIT) } else { normal };
    for _ in 0..MOST_STEPS {
        let step = if far {
            Half::beyond(t, nu).log_over(p)
        } else {
            -Half::within(t, nu).log_over(0.5 - p)
        };
        t = (t * libm::exp(step)).min(f64::MAX);
        if step.abs() < LAST_STEP {
            break;
        }
    }
    t
}

/// A probability on one side of zero: `factor` · exp(`exponent`).
struct Half {
    factor: f64,
    exponent: f64,
    /// |d ln P / d ln t| = t f(t)/P.
    steepness: f64,
}

impl Half {
    /// From `t` up; good from t = 1 up.
    fn beyond(t: f64, nu: f64) -> Self {
        let point = Point::of(t, nu);
        Self::of(&point, fraction(0.5 * nu, 0.5, point.beyond, point.within))
    }

    /// From 0 to `t`; good up to t = 1.
    fn within(t: f64, nu: f64) -> Self {
        let point = Point::of(t, nu);
        Self::of(&point, fraction(0.5, 0.5 * nu, point.within, point.beyond))
    }

    /// Half of I = xᵃ yᵇ/(B(a, b) F), in which xᵃ yᵇ/B(a, b) is t f(t) either way.
    fn of(point: &Point, fraction: f64) -> Self {
        let steepness = 2.0 * fraction;
        Self {
            factor: point.factor / steepness,
            exponent: point.exponent,
            steepness,
        }
    }

    fn probability(&self) -> f64 {
        self.factor * libm::exp(self.exponent)
    }

    /// ln(P/`aim`) for each unit of ln t, also where P itself is too small for a number.
    fn log_over(&self, aim: f64) -> f64 {
        (libm::log(self.factor) - libm::log(aim) + self.exponent) / self.steepness
    }
}

/// Where a t from 0 up lies, so written that no digits are lost on the way to 0, to ∞ or to large ν.
struct Point {
    /// ν/(ν + t²).
    beyond: f64,
    /// t²/(ν + t²).
    within: f64,
    /// t f(t) is `factor` · exp(`exponent`); the factor is √(t²/(ν + t²)) Γ((ν + 1)/2)/(Γ(ν/2) √π).
    factor: f64,
    /// ln (ν/(ν + t²))^(ν/2).
    exponent: f64,
}

impl Point {
    fn of(t: f64, nu: f64) -> Self {
        let ratio = t / nu.sqrt();
        let (beyond, within, root, log) = if ratio < 1.0 {
            let square = ratio * ratio;
            let sum = 1.0 + square;
            let log = libm::log1p(square);
            (1.0 / sum, square / sum, ratio / sum.sqrt(), log)
        } else {
            let square = 1.0 / ratio / ratio;
            let sum = 1.0 + square;
            let log = 2.0 * libm::log(ratio) + libm::log1p(square);
            (square / sum, 1.0 / sum, 1.0 / sum.sqrt(), log)
        };
        Self {
            beyond,
            within,
            factor: root * half_step(0.5 * nu) * (0.5 * FRAC_2_SQRT_PI),
            exponent: -0.5 * nu * log,
        }
    }
}

/// From here up six terms of the series of [`half_step`] leave less than 1e-16.
const SERIES_FROM: f64 = 15.0;

/// Γ(a + ½)/Γ(a), for a > 0.
///
/// The series DLMF 5.11.14, whose coefficients follow from the one of ln Γ(w + h), DLMF 5.11.8;
/// below 15 by the recurrence DLMF 5.5.1.
fn half_step(a: f64) -> f64 {
    const SERIES: [f64; 5] = [
        20_491_783.0 / 8_589_934_592.0,
        -174_317.0 / 134_217_728.0,
        631.0 / 524_288.0,
        -19.0 / 8_192.0,
        1.0 / 64.0,
    ];
    let (mut a, mut product) = (a, 1.0);
    while a < SERIES_FROM {
        product *= a / (a + 0.5);
        a += 1.0;
    }
    let w = a - 0.25;
    let square = 1.0 / w / w;
    let series = SERIES.iter().fold(0.0, |sum, term| (sum + term) * square);
    product * w.sqrt() * (1.0 + series)
}

/// The continued fraction of the incomplete beta function has ended when a term changes it by this
/// part.
const LAST_TERM: f64 = f64::EPSILON;

/// No ν from 1 up takes two hundred terms: the bound is there so that none goes on for ever.
const MOST_TERMS: u32 = 1_000;

/// The F of I(x; a, b) = xᵃ yᵇ/(B(a, b) F), y = 1 − x, for x up to a/(a + b).
///
/// The even part (DLMF 1.12(iv)) of the continued fraction DLMF 8.17.22, by the method of Lentz
/// (1976), Applied Optics 15, 668. The even part takes half the terms, and written with y = 1 − x,
/// given, not subtracted, it keeps its digits where x is nearly 1. For x up to a/(a + b) nothing
/// that is divided by comes near zero.
fn fraction(a: f64, b: f64, x: f64, y: f64) -> f64 {
    let lead = a * y - b * x + 1.0;
    let mut value = a / (a + 1.0) * lead;
    let (mut above, mut below) = (value, 0.0);
    for n in (1..MOST_TERMS).map(f64::from) {
        let odd = a + 2.0 * n - 1.0;
        let numerator = n * ((b - n) * x / odd) * ((a + n - 1.0) / odd * ((a + b + n - 1.0) * x));
        let denominator =
            n + n * ((b - n) * x / odd) + (a + n) / (odd + 2.0) * (lead + n * (1.0 + y));
        below = 1.0 / (denominator + numerator * below);
        above = denominator + numerator / above;
        let change = above * below;
        value *= change;
        if (change - 1.0).abs() < LAST_TERM {
            break;
        }
    }
    value
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::PI;

    const DEGREES: [f64; 9] = [1.0, 1.3, 2.0, 5.0, 29.9, 1e3, 1e5, 4e7, 1e300];

    fn assert_part(got: f64, wanted: f64, part: f64) {
        let near = (got - wanted).abs() <= part * wanted.abs();
        assert!(near, "{got} is not {wanted} within {part} of it");
    }

    #[test]
    fn one_degree_of_freedom_is_an_arc_tangent() {
        for t in [-1e200, -1e9, -40.0, -2.0, -1.0, -0.999, -0.1, 0.0, 0.5, 3.0] {
            let tail = if t < 0.0 {
                libm::atan(-1.0 / t) / PI
            } else {
                0.5 + libm::atan(t) / PI
            };
            assert_part(distribution(t, 1.0), tail, 1e-13);
        }
    }

    #[test]
    fn two_degrees_of_freedom_are_a_square_root() {
        for p in [1e-300, 1e-20, 0.01, 0.2, 0.22, 0.4, 0.499] {
            // t = (2p − 1)/√(2p(1 − p)).
            let t = (2.0 * p - 1.0) / f64::sqrt(2.0 * p * (1.0 - p));
            assert_part(quantile(p, 2.0), t, 1e-13);
        }
    }

    #[test]
    fn the_gamma_quotient_meets_its_exact_values_and_itself() {
        assert_part(half_step(0.5), 1.0 / PI.sqrt(), 2e-15);
        assert_part(half_step(1.0), PI.sqrt() / 2.0, 2e-15);
        // Γ(a + ½)/Γ(a) times Γ(a + 1)/Γ(a + ½) is a: on either side of the seam, and across.
        for a in [0.5, 3.2, 14.4, 14.6, 14.99, 15.0, 40.0, 5e4, 1e12] {
            assert_part(half_step(a) * half_step(a + 0.5), a, 5e-15);
        }
    }

    #[test]
    fn many_degrees_of_freedom_lead_to_the_normal_distribution() {
        // The density is φ(t)(1 + (t⁴ − 2t² − 1)/(4ν) + …), and so the tail
        // Φ(−t) + φ(t)(t³ + t)/(4ν) + ….
        for t in [0.3_f64, 0.999, 1.0, 2.0, 5.0] {
            let density = libm::exp(-t * t / 2.0) / (2.0 * PI).sqrt();
            for nu in [1e10, 1e12, 1e16] {
                let first = density * (t * t * t + t) / (4.0 * nu);
                let wanted = normal::distribution(-t) + first;
                assert_part(distribution(-t, nu), wanted, 2e-14);
            }
        }
        assert_eq!(
            distribution(-1.5, f64::INFINITY),
            normal::distribution(-1.5)
        );
        assert_eq!(quantile(0.9, f64::INFINITY), normal::quantile(0.9));
    }

    #[test]
    fn the_quantile_undoes_the_distribution_function() {
        for nu in DEGREES {
            for p in [
                1e-290, 1e-30, 1e-3, 0.1, 0.159, 0.25, 0.4, 0.499, 0.5, 0.7, 0.95,
            ] {
                assert_part(distribution(quantile(p, nu), nu), p, 1e-12);
            }
        }
    }

    #[test]
    fn the_quantile_rises_without_a_break_from_the_smallest_number_to_one() {
        for nu in DEGREES {
            let mut before = f64::NEG_INFINITY;
            let mut p = 5e-324;
            while p < 1.0 {
                let t = quantile(p, nu);
                assert!(
                    t >= before && t.is_finite(),
                    "{nu}, {p}: {t} after {before}"
                );
                before = t;
                p = (p * 1.1).max(p + 5e-324);
            }
        }
    }

    #[test]
    fn both_sides_of_the_split_agree() {
        for nu in DEGREES {
            let (within, beyond) = (Half::within(SPLIT, nu), Half::beyond(SPLIT, nu));
            assert_part(within.probability() + beyond.probability(), 0.5, 1e-14);
        }
    }

    #[test]
    fn the_middle_is_a_half_and_the_ends_are_infinite() {
        for nu in [1.0, 2.7, 1e300, f64::INFINITY] {
            assert_eq!((distribution(0.0, nu), quantile(0.5, nu)), (0.5, 0.0));
            assert_eq!(distribution(f64::NEG_INFINITY, nu), 0.0);
            assert_eq!(distribution(f64::INFINITY, nu), 1.0);
            assert_eq!(quantile(0.0, nu), f64::NEG_INFINITY);
            assert_eq!(quantile(1.0, nu), f64::INFINITY);
        }
    }

    /// Values of scipy 1.17.1 (`scipy.stats.t`): moderation can leave less than one degree of freedom.
    #[test]
    fn less_than_one_degree_of_freedom_is_a_distribution_too() {
        for (nu, at, value) in [
            (0.2, -3.0, 0.3014130265175631),
            (0.2, 2.0, 0.673607416822579),
            (0.39, 0.5, 0.6108701291552352),
            (0.39, 2.0, 0.7482155126722554),
            (0.8, -3.0, 0.12622282480337066),
            (0.8, 0.5, 0.6397932006057052),
        ] {
            assert!((distribution(at, nu) - value).abs() < 1e-12, "{nu} {at}");
        }
        for (nu, p, value) in [
            (0.2, 0.95, 24026.51498839531),
            (0.39, 0.6, 0.44064161900612714),
            (0.39, 0.95, 129.72740721617123),
            (0.8, 0.95, 9.786604471347834),
        ] {
            assert!((quantile(p, nu) / value - 1.0).abs() < 1e-10, "{nu} {p}");
        }
    }

    #[test]
    fn what_is_no_probability_or_no_degrees_of_freedom_has_no_value() {
        for nu in [f64::NAN, f64::NEG_INFINITY, -3.0, 0.0] {
            assert!(distribution(0.5, nu).is_nan() && quantile(0.5, nu).is_nan());
        }
        for p in [
            f64::NAN,
            f64::NEG_INFINITY,
            -1e-9,
            1.0 + 1e-9,
            f64::INFINITY,
        ] {
            assert!(quantile(p, 3.0).is_nan());
        }
        assert!(distribution(f64::NAN, 3.0).is_nan());
    }
}
