//! Distributions and functions of statistics, by plain arithmetic and `libm`: the same bits
//! natively and in WebAssembly.
//!
//! Every function takes every number, gives NaN where it has no value, and never fails. [`normal`]
//! and [`student`] are distribution functions and their inverses, [`normal_steps`] is the first told for
//! large sums, [`polygamma`] serves the
//! moderation of scatters, [`hermite`] averages over a normal variable. "DLMF" is the NIST Digital
//! Library of Mathematical Functions.

pub mod hermite;
pub mod normal;
pub mod normal_steps;
pub mod polygamma;
pub mod student;

#[cfg(test)]
mod tests {
    use super::{hermite, normal, polygamma, student};

    /// The same here, in WebAssembly and on every other machine: a change of any last bit of any
    /// function, or of `libm`, changes it.
    const CHECKSUM: u64 = 0x30b1_0888_27cc_4bd6;

    #[test]
    fn twenty_thousand_values_have_the_same_bits_everywhere() {
        // Eight values a round.
        const ROUNDS: u32 = 2_500;
        // FNV-1a over the bytes of the values.
        let mut sum = 0xcbf2_9ce4_8422_2325_u64;
        let mut add = |value: f64| {
            assert!(!value.is_nan());
            for byte in value.to_bits().to_le_bytes() {
                sum = (sum ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3);
            }
        };
        for round in 0..ROUNDS {
            // Over the round: p from 0 to 1 or down to 1e-300, others through their ranges.
            let part = (f64::from(round) + 0.5) / f64::from(ROUNDS);
            let (z, tail) = (40.0 * part - 30.0, libm::exp(-690.0 * part));
            let nu = libm::exp(12.0 * (part * 61.0).fract());
            let x = libm::exp(21.0 * part - 7.0);
            add(normal::distribution(z));
            add(normal::quantile(if round % 2 == 0 { part } else { tail }));
            add(student::distribution(z * (part * 7.0).fract(), nu));
            add(student::quantile(part, nu));
            add(student::quantile(tail, nu));
            add(polygamma::digamma(x));
            add(polygamma::trigamma(x));
            add(polygamma::inverse_trigamma(x));
        }
        for node in hermite::NODES {
            add(node.z);
            add(node.weight);
        }
        assert_eq!(sum, CHECKSUM, "{sum:#018x}");
    }
}
