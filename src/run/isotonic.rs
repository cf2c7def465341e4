//! The fit that cannot fall.

/// Steps to the N·m in which torque is pooled: quarters of a tenth. Files hold whole tenths; the
/// median of an even number of them and a zero between two leave halves and quarters.
const STEPS_PER_NM: f64 = 40.0;

/// A torque this near to a whole number of steps is that number: the rest is the rounding of `f64`.
const ON_A_STEP: f64 = 1e-6;

/// Non-decreasing least-squares fit, in N·m, with equal weights: isotonic regression by pooling
/// adjacent violators (Barlow, Bartholomew, Bremner and Brunk 1972; held against `scipy.optimize`).
///
/// A tightened joint does not give torque back, so what falls is noise. The fit never exceeds the
/// largest value. Torques of whole tenths are pooled as whole numbers, so that their sums are exact.
pub fn isotonic(torque_nm: &[f64]) -> Vec<f64> {
    // Blocks as (sum, count) in steps; every block's mean is above the one before.
    let mut blocks: Vec<(f64, usize)> = Vec::new();
    for &torque_nm in torque_nm {
        let mut block = (in_steps(torque_nm), 1);
        while let Some(&(sum, count)) = blocks.last()
            && sum / count as f64 >= block.0 / block.1 as f64
        {
            block = (sum + block.0, count + block.1);
            blocks.pop();
        }
        blocks.push(block);
    }
    let level = |(sum, count): (f64, usize)| {
        let torque_nm = sum / count as f64 / STEPS_PER_NM;
        std::iter::repeat_n(torque_nm, count)
    };
    blocks.into_iter().flat_map(level).collect()
}

fn in_steps(torque_nm: f64) -> f64 {
    let steps = torque_nm * STEPS_PER_NM;
    let whole = steps.round();
    if (steps - whole).abs() <= ON_A_STEP {
        whole
    } else {
        steps
    }
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

    #[test]
    fn whole_tenths_are_pooled_exactly() {
        // Plain sums of these are off in the last bits: three times 0.1 over 3 is not 0.1.
        for tenths in 1..=20_000 {
            let torque_nm = f64::from(tenths) / 10.0;
            assert_eq!(isotonic(&[torque_nm; 3]), [torque_nm; 3]);
            let around = [torque_nm + 0.3, torque_nm, torque_nm - 0.3];
            assert_eq!(isotonic(&around), [torque_nm; 3], "{around:?}");
        }
        // A zero taken away leaves the difference of two rounded numbers.
        assert_eq!(isotonic(&[650.3 - 0.2, 650.3 - 0.2]), [650.1; 2]);
    }
}
