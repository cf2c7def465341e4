//! The fit that cannot fall.

/// Non-decreasing least-squares fit with equal weights: isotonic regression by pooling adjacent
/// violators (Barlow, Bartholomew, Bremner and Brunk 1972; held against `scipy.optimize`).
///
/// A tightened joint does not give torque back, so what falls is noise. The fit never exceeds the
/// largest value.
pub fn isotonic(values: &[f64]) -> Vec<f64> {
    // Blocks as (sum, count); every block's mean is above the one before.
    let mut blocks: Vec<(f64, usize)> = Vec::new();
    for &value in values {
        let mut block = (value, 1);
        while let Some(&(sum, count)) = blocks.last()
            && sum / count as f64 >= block.0 / block.1 as f64
        {
            block = (sum + block.0, count + block.1);
            blocks.pop();
        }
        blocks.push(block);
    }
    let level = |(sum, count): (f64, usize)| std::iter::repeat_n(sum / count as f64, count);
    blocks.into_iter().flat_map(level).collect()
}

#[cfg(test)]
mod tests {
    use super::isotonic;

    #[test]
    fn violators_are_pooled() {
        assert_eq!(isotonic(&[1.0, 3.0, 2.0, 4.0]), [1.0, 2.5, 2.5, 4.0]);
        assert_eq!(isotonic(&[5.0, 4.0, 3.0]), [4.0; 3]);
        assert!(isotonic(&[]).is_empty());
    }
}
