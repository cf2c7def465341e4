//! Gauss–Hermite quadrature for the standard normal distribution.

/// A node and its weight.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Node {
    /// Where the function is taken.
    pub z: f64,
    /// How much it counts; the weights of all nodes sum to 1.
    pub weight: f64,
}

/// Fifteen nodes in rising order: for a standard normal variable Z, E f(Z) = Σ weight · f(z), exact
/// for polynomials up to degree 29.
///
/// The nodes are the zeros of the Hermite polynomial He₁₅, the weights 14!/(15 He₁₄(z)²) (DLMF 3.5(v)
/// with He for H, 18.3, 18.9(i)). Computed with mpmath to fifty digits and rounded once; numpy's
/// `hermite_e.hermegauss(15)` agrees within 3e-15.
pub const NODES: [Node; 15] = [
    Node {
        z: -6.363947888829839,
        weight: 8.58964989963327e-10,
    },
    Node {
        z: -5.190093591304781,
        weight: 5.975419597920605e-07,
    },
    Node {
        z: -4.1962077112690155,
        weight: 5.642146405189017e-05,
    },
    Node {
        z: -3.2890824243987664,
        weight: 0.0015673575035499562,
    },
    Node {
        z: -2.432436827009758,
        weight: 0.017365774492137605,
    },
    Node {
        z: -1.6067100690287297,
        weight: 0.0894177953998444,
    },
    Node {
        z: -0.799129068324548,
        weight: 0.23246229360973222,
    },
    Node {
        z: 0.0,
        weight: 0.31825951825951826,
    },
    Node {
        z: 0.799129068324548,
        weight: 0.23246229360973222,
    },
    Node {
        z: 1.6067100690287297,
        weight: 0.0894177953998444,
    },
    Node {
        z: 2.432436827009758,
        weight: 0.017365774492137605,
    },
    Node {
        z: 3.2890824243987664,
        weight: 0.0015673575035499562,
    },
    Node {
        z: 4.1962077112690155,
        weight: 5.642146405189017e-05,
    },
    Node {
        z: 5.190093591304781,
        weight: 5.975419597920605e-07,
    },
    Node {
        z: 6.363947888829839,
        weight: 8.58964989963327e-10,
    },
];

#[cfg(test)]
mod tests {
    use super::*;

    /// E f(Z) by the nodes.
    fn mean(f: impl Fn(f64) -> f64) -> f64 {
        NODES.iter().map(|node| node.weight * f(node.z)).sum()
    }

    #[test]
    fn moments_up_to_degree_twenty_nine_are_exact() {
        // E Z²ᵏ = 1 · 3 · 5 ⋯ (2k − 1), odd moments 0.
        let mut moment = 1.0;
        for k in 0..15 {
            let even = mean(|z| (0..2 * k).fold(1.0, |power, _| power * z));
            assert!(
                (even / moment - 1.0).abs() < 1e-14,
                "{k}: {even} is not {moment}"
            );
            let odd = mean(|z| (0..2 * k + 1).fold(1.0, |power, _| power * z));
            assert!(odd.abs() < 1e-14 * moment.max(1.0) * 64.0, "{k}: {odd}");
            moment *= f64::from(2 * k + 1);
        }
    }

    #[test]
    fn degree_thirty_is_beyond_them() {
        // The error of n nodes on zⁿ⁺ⁿ is n! (DLMF 3.5(v)): 15! of 29!! here.
        let power = mean(|z| (0..30).fold(1.0, |power, _| power * z));
        let moment: f64 = (0..15).map(|k| f64::from(2 * k + 1)).product();
        let factorial: f64 = (1..=15).map(f64::from).product();
        assert!((power + factorial - moment).abs() < 1e-13 * moment);
    }

    #[test]
    fn nodes_rise_and_mirror_each_other() {
        assert!(NODES.is_sorted_by(|a, b| a.z < b.z));
        for (node, mirror) in NODES.iter().zip(NODES.iter().rev()) {
            assert_eq!((node.z, node.weight), (-mirror.z, mirror.weight));
        }
    }

    #[test]
    fn the_mean_of_an_exponential_is_as_known() {
        // E exp(sZ) = exp(s²/2).
        assert!((mean(|z| libm::exp(0.5 * z)) / libm::exp(0.125) - 1.0).abs() < 1e-14);
    }
}
