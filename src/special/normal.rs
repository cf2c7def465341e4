//! The standard normal distribution.

use std::f64::consts::{FRAC_1_SQRT_2, FRAC_2_SQRT_PI, SQRT_2};

/// Φ(z), the probability that a standard normal variable is at most `z`.
///
/// Any `z`; NaN gives NaN. Within 5e-15 of itself from z = −5 up, within 2e-13 down to −37.5, where
/// the rounding of z/√2 tells; below, to the last bit of what is left. Φ(z) = erfc(−z/√2)/2 (DLMF
/// 7.2.2), so that the lower tail keeps its digits.
pub fn distribution(z: f64) -> f64 {
    0.5 * libm::erfc(-z * FRAC_1_SQRT_2)
}

/// φ(z), the density of a standard normal variable: exp(−z²/2)/√(2π).
///
/// Any `z`; NaN gives NaN.
pub fn density(z: f64) -> f64 {
    0.5 * FRAC_1_SQRT_2 * FRAC_2_SQRT_PI * libm::exp(-0.5 * z * z)
}

/// Φ⁻¹(p), the value that a standard normal variable exceeds with probability 1 − `p`.
///
/// −∞ at 0 and ∞ at 1; NaN outside of 0 to 1. Within 1e-15 of itself, also beside p = ½, where it
/// passes zero; below p = 2e-308, where p itself has fewer digits, as far as those go.
pub fn quantile(p: f64) -> f64 {
    if p < 0.5 {
        -SQRT_2 * upper(p)
    } else {
        // 1 − p is exact here.
        SQRT_2 * upper(1.0 - p)
    }
}

/// From here down the start is good for a small tail, from here up for the middle.
const TAIL: f64 = 0.25;

/// From either start three steps leave less than the last bit.
const STEPS: u32 = 3;

/// The x with erfc(x)/2 = `p`, for p up to ½, by Halley's method.
///
/// What is to vanish is erfc(x) − 2p in the tail and erf(x) − (1 − 2p) in the middle, whichever
/// loses no digits. The second derivative of either is −2x times the first (DLMF 7.10.1), so with
/// Newton's step u Halley's is u/(1 + x u).
fn upper(p: f64) -> f64 {
    if p == 0.0 {
        return f64::INFINITY;
    }
    let mut x = if p < TAIL {
        start_in_tail(p)
    } else {
        (1.0 - 2.0 * p) / FRAC_2_SQRT_PI
    };
    for _ in 0..STEPS {
        let excess = if p < TAIL {
            2.0 * p - libm::erfc(x)
        } else {
            libm::erf(x) - (1.0 - 2.0 * p)
        };
        let newton = excess / (FRAC_2_SQRT_PI * libm::exp(-x * x));
        x -= newton / (1.0 + x * newton);
    }
    x
}

/// Where to begin in the tail: Abramowitz and Stegun 26.2.23, off by less than 4.5e-4.
fn start_in_tail(p: f64) -> f64 {
    let t = (-2.0 * libm::log(p)).sqrt();
    let above = 2.515517 + t * (0.802853 + t * 0.010328);
    let below = 1.0 + t * (1.432788 + t * (0.189269 + t * 0.001308));
    (t - above / below) * FRAC_1_SQRT_2
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_middle_is_zero_and_the_ends_are_infinite() {
        assert_eq!(distribution(0.0), 0.5);
        assert_eq!(quantile(0.5).to_bits(), 0.0_f64.to_bits());
        assert_eq!(
            (quantile(0.0), quantile(1.0)),
            (f64::NEG_INFINITY, f64::INFINITY)
        );
        assert_eq!(distribution(f64::NEG_INFINITY), 0.0);
        assert_eq!(distribution(f64::INFINITY), 1.0);
    }

    #[test]
    fn the_density_is_the_slope_of_the_distribution() {
        assert!((density(0.0) - 0.398_942_280_401_432_7).abs() < 1e-16);
        for z in [-3.0, -1.0, 0.2, 2.5] {
            let slope = (distribution(z + 1e-4) - distribution(z - 1e-4)) / 2e-4;
            assert!((density(z) / slope - 1.0).abs() < 1e-7, "{z}");
        }
        assert_eq!(density(f64::INFINITY), 0.0);
    }

    #[test]
    fn what_is_no_probability_has_no_quantile() {
        for p in [
            f64::NAN,
            -1e-300,
            1.0 + 1e-15,
            f64::INFINITY,
            f64::NEG_INFINITY,
        ] {
            assert!(quantile(p).is_nan(), "{p}");
        }
        assert!(distribution(f64::NAN).is_nan());
    }

    #[test]
    fn the_two_tails_mirror_each_other() {
        for p in [0.01, 0.125, 0.25, 0.375, 0.499] {
            let exact = 1.0 - (1.0 - p);
            assert_eq!(quantile(exact), -quantile(1.0 - p));
        }
    }

    #[test]
    fn the_quantile_rises_without_a_break_from_the_smallest_number_to_one() {
        let mut before = f64::NEG_INFINITY;
        let mut p = 5e-324;
        while p < 1.0 {
            let z = quantile(p);
            assert!(z >= before && z.is_finite(), "{p}: {z} after {before}");
            before = z;
            p = (p * 1.01).max(p + 5e-324);
        }
    }
}
