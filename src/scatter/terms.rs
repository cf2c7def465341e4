//! The terms of a variance, one for each scatter that is estimated.

use super::{Scatter, welch_satterthwaite};

/// The terms of the variance of a sum over runs, one for each scatter that is estimated: its doubt
/// does not average out.
#[derive(Clone, Debug, PartialEq)]
pub struct Terms {
    /// Of specimens of tools.
    pub specimens: Scatter,
    /// Of specimens of packs.
    pub packs: Scatter,
    /// Of days.
    pub days: Scatter,
    /// Of runs, one for each estimate.
    pub runs: Vec<Scatter>,
}

impl Terms {
    /// The terms as a list.
    pub fn all(&self) -> Vec<Scatter> {
        let mut all = vec![self.specimens, self.packs, self.days];
        all.extend(&self.runs);
        all
    }

    /// The sum, with its degrees of freedom by Welch and Satterthwaite over the terms.
    pub fn total(&self) -> Scatter {
        let all = self.all();
        let variance = all.iter().map(|term| term.variance).sum();
        Scatter {
            variance,
            nu: welch_satterthwaite(variance, &all),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_estimate_is_one_term() {
        let scatter = |variance, nu| Scatter { variance, nu };
        let terms = Terms {
            specimens: scatter(4.0, 8.0),
            packs: scatter(2.0, 4.0),
            days: scatter(1.0, 2.0),
            runs: vec![scatter(3.0, 9.0), scatter(2.0, 4.0)],
        };
        let total = terms.total();
        assert_eq!(total.variance, 12.0);
        // 16/8 + 4/4 + 1/2 + 9/9 + 4/4 = 5.5.
        assert_eq!(total.nu, 144.0 / 5.5);
    }
}
