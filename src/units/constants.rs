//! The defining constants that every conversion is built from. All are exact by definition.

/// One avoirdupois pound in kilograms: international yard and pound agreement, 1959.
pub const POUND_KG: f64 = 0.453_592_37;

/// Standard gravity in metres per second squared: 3rd General Conference on Weights and Measures, 1901.
pub const STANDARD_GRAVITY_M_PER_S2: f64 = 9.806_65;

/// One inch in metres: international yard and pound agreement, 1959.
pub const INCH_M: f64 = 0.025_4;

/// One foot in metres: international yard and pound agreement, 1959.
pub const FOOT_M: f64 = 0.304_8;

/// One pound-force in newtons: the pound times standard gravity.
pub const POUND_FORCE_N: f64 = POUND_KG * STANDARD_GRAVITY_M_PER_S2;

/// One pound-force foot in newton metres.
pub const POUND_FORCE_FOOT_NM: f64 = POUND_FORCE_N * FOOT_M;

/// One pound-force inch in newton metres.
pub const POUND_FORCE_INCH_NM: f64 = POUND_FORCE_N * INCH_M;

/// One kilogram-force metre in newton metres: one kilogram times standard gravity, at one metre.
pub const KILOGRAM_FORCE_METRE_NM: f64 = STANDARD_GRAVITY_M_PER_S2;

/// One mechanical horsepower in watts: 550 foot pounds-force each second (NIST SP 811, B.8).
/// The metric horsepower is another unit, 1.4 % smaller, and is not used here.
pub const MECHANICAL_HORSEPOWER_W: f64 = 550.0 * POUND_FORCE_FOOT_NM;

#[cfg(test)]
mod tests {
    use super::*;

    fn assert_relative(got: f64, wanted: f64, tolerance: f64) {
        assert!(
            (got / wanted - 1.0).abs() <= tolerance,
            "{got} is not {wanted} within {tolerance}"
        );
    }

    #[test]
    fn exact_constants_are_the_defined_ones() {
        // U-01, U-03: international yard and pound agreement 1959. U-02, U-07: SI Brochure.
        assert_eq!(POUND_KG, 0.453_592_37);
        assert_eq!(STANDARD_GRAVITY_M_PER_S2, 9.806_65);
        assert_eq!((INCH_M, FOOT_M), (0.025_4, 0.304_8));
        assert_eq!(KILOGRAM_FORCE_METRE_NM, 9.806_65);
        assert_relative(FOOT_M / INCH_M, 12.0, 1e-15);
    }

    #[test]
    fn derived_constants_match_published_values() {
        // U-04: U-01 × U-02, scipy.constants.lbf.
        assert_relative(POUND_FORCE_N, 4.448_221_615_260_5, 1e-12);
        // U-05: U-04 × U-03; NIST SP 811 B.8 prints 1.355 818.
        assert_relative(POUND_FORCE_FOOT_NM, 1.355_817_948_331_4, 1e-12);
        // U-06: U-05 / 12; NIST SP 811 B.8 prints 0.112 984 8.
        assert_relative(POUND_FORCE_INCH_NM, 0.112_984_829_027_617, 1e-12);
        // U-08: U-06 / 16, one ounce-force inch.
        assert_relative(POUND_FORCE_INCH_NM / 16.0, 7.061_551_814e-3, 1e-9);
        // U-09: inverse of U-05 and U-06.
        assert_relative(1.0 / POUND_FORCE_FOOT_NM, 0.737_562_149_277, 1e-11);
        assert_relative(1.0 / POUND_FORCE_INCH_NM, 8.850_745_791_33, 1e-11);
        // U-10, U-11: U-04 / 645.16 mm², scipy.constants.psi.
        let psi_pa = POUND_FORCE_N / (INCH_M * INCH_M);
        assert_relative(psi_pa, 6_894.757_293_168, 1e-12);
        assert_relative(1_000.0 * psi_pa / 1e6, 6.894_757_293, 1e-9);
        // U-12: scipy.constants.hp; NIST SP 811 B.8 prints 745.6999.
        assert_relative(MECHANICAL_HORSEPOWER_W, 745.699_871_582_270, 1e-12);
        // U-13: the metric horsepower, 75 kgf·m/s, is another unit (NIST SP 811 B.8 prints 735.4988).
        let metric_horsepower_w = 75.0 * KILOGRAM_FORCE_METRE_NM;
        assert_eq!(metric_horsepower_w, 735.498_75);
        assert_relative(
            MECHANICAL_HORSEPOWER_W / metric_horsepower_w - 1.0,
            0.0139,
            0.01,
        );
        // U-14: U-05 each second.
        assert_relative(MECHANICAL_HORSEPOWER_W / 550.0, 1.355_817_948, 1e-9);
    }
}
