//! Random numbers that are the same on every machine: a seeded PCG, plain arithmetic and `libm`.

use rand_pcg::{Pcg32, rand_core::Rng};

/// Step between the starting states of neighbouring streams: 2⁶⁴ divided by the golden ratio, odd,
/// so that no two streams start close together.
const STATE_STEP: u64 = 0x9e37_79b9_7f4a_7c15;

/// The generator number `index` of the family `seed`.
///
/// PCG-XSH-RR with 64 bits of state and 32 of output (O'Neill 2014), stream `index`, starting state
/// `mix(seed + index · STATE_STEP)`. Streams that differ in their number alone are correlated; the
/// mixing keeps them apart.
pub fn stream(seed: u64, index: u64) -> Pcg32 {
    Pcg32::new(
        mix(seed.wrapping_add(index.wrapping_mul(STATE_STEP))),
        index,
    )
}

/// Scatters the bits of a number: the finishing step of splitmix64 (Steele, Lea and Flood 2014).
fn mix(number: u64) -> u64 {
    let number = (number ^ (number >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    let number = (number ^ (number >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    number ^ (number >> 31)
}

/// Uniform from `low` up to but not `high`: the top 53 bits of 64, as many as a number holds.
pub fn between(rng: &mut impl Rng, low: f64, high: f64) -> f64 {
    /// One part of 2⁵³.
    const ONE_PART: f64 = 1.0 / 9_007_199_254_740_992.0;
    low + (high - low) * (rng.next_u64() >> 11) as f64 * ONE_PART
}

/// Standard normal (Box and Muller 1958; the second of each pair is not used).
pub fn normal(rng: &mut impl Rng) -> f64 {
    let radius = (-2.0 * libm::log(1.0 - between(rng, 0.0, 1.0))).sqrt();
    radius * libm::cos(core::f64::consts::TAU * between(rng, 0.0, 1.0))
}

/// A factor around 1 whose logarithm has the standard deviation `scatter`.
pub fn factor(rng: &mut impl Rng, scatter: f64) -> f64 {
    libm::exp(scatter * normal(rng))
}
