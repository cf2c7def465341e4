//! When two values that were worked out count as equal: a last bit decides nothing.

/// Values that differ by less than this part of the larger are a tie.
pub const TIE: f64 = 1e-9;

/// Whether a torque in N·m counts as reaching a needed one: not below it by more than a tie. Every
/// comparison of a needed torque with a curve is made here.
pub fn reaches(torque_nm: f64, needed_nm: f64) -> bool {
    torque_nm >= needed_nm - TIE * needed_nm.abs()
}

/// Whether `a` is larger than `b` by more than a tie.
pub fn is_larger(a: f64, b: f64) -> bool {
    a > b && a - b >= TIE * a.abs().max(b.abs())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_last_bit_neither_reaches_nor_misses() {
        let below = f64::from_bits(650.0_f64.to_bits() - 1);
        assert!(reaches(below, 650.0) && reaches(650.0, below) && reaches(650.0, 650.0));
        assert!(reaches(650.0 * (1.0 - 0.9e-9), 650.0));
        assert!(!reaches(650.0 * (1.0 - 1.1e-9), 650.0));
        assert!(reaches(0.0, 0.0) && !reaches(0.0, 1.0));
    }

    #[test]
    fn a_tie_is_no_difference() {
        assert!(is_larger(2.0, 1.0) && !is_larger(1.0, 2.0) && !is_larger(1.0, 1.0));
        assert!(!is_larger(1.0 + 1e-10, 1.0) && is_larger(1.0 + 2e-9, 1.0));
        assert!(is_larger(-1.0, -2.0) && is_larger(1e-300, 0.0) && !is_larger(0.0, 0.0));
    }
}
