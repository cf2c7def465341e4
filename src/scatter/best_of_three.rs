//! How much a best-of-three score scatters.

/// Variance of the best-of-three score of n ≥ 3 values of a standard normal variable: of the largest of
/// three (Harter 1961), else by simulation.
pub fn variance_of_best_of_three(runs: usize) -> f64 {
    match runs {
        0..=3 => 0.559,
        4 => 0.392,
        5 => 0.303,
        6 => 0.248,
        7 => 0.210,
        8 => 0.182,
        more => 1.45 / more as f64,
    }
}

#[cfg(test)]
mod tests {
    use super::variance_of_best_of_three;
    use crate::special::normal;
    use rand_pcg::{Pcg32, rand_core::Rng};

    /// Scores drawn for each number of runs: their variance has a standard error of 0.3 %.
    const DRAWN: u32 = 200_000;

    #[test]
    fn the_best_of_three_scatters_as_scores_that_are_drawn() {
        let mut drawn = Pcg32::new(20_260_302, 7);
        for (runs, part) in [
            (3, 0.01),
            (4, 0.01),
            (5, 0.01),
            (6, 0.01),
            (8, 0.01),
            (12, 0.03),
        ] {
            let (mut sum, mut squares) = (0.0, 0.0);
            for _ in 0..DRAWN {
                let uniform = || (f64::from(drawn.next_u32()) + 0.5) / 4_294_967_296.0;
                let mut values: Vec<f64> = std::iter::repeat_with(uniform)
                    .take(runs)
                    .map(normal::quantile)
                    .collect();
                values.sort_unstable_by(f64::total_cmp);
                // The i-th of them, from 0, is the best of i(i − 1)/2 threes.
                let best = values.iter().enumerate();
                let best = best.map(|(i, value)| (i * i.saturating_sub(1) / 2) as f64 * value);
                let score = best.sum::<f64>() / (runs * (runs - 1) * (runs - 2) / 6) as f64;
                sum += score;
                squares += score * score;
            }
            let mean = sum / f64::from(DRAWN);
            let variance = squares / f64::from(DRAWN) - mean * mean;
            let told = variance_of_best_of_three(runs);
            assert!(
                (told / variance - 1.0).abs() < part,
                "{runs}: {told} for {variance}"
            );
        }
    }
}
