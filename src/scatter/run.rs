//! Run scatter: pooled over a field, and moderated for each tool.
//!
//! Some tools are less consistent than others, but three runs cannot say so alone: each tool's own
//! scatter is held by what the others show (empirical Bayes: Smyth 2004, "Linear models and
//! empirical Bayes methods for assessing differential expression in microarray experiments").

use super::components::Components;
use super::{LEAST_VARIANCE, Scatter};
use crate::sort;
use crate::special::polygamma::{digamma, inverse_trigamma, trigamma};

/// Fewest tools with repeated runs from which tools are told apart.
const LEAST_TOOLS: usize = 3;

/// The run scatter of a field, for one question.
#[derive(Clone, Debug)]
pub struct RunScatter {
    /// Over all tools.
    pub pooled: Scatter,
    /// Each tool's own.
    tools: Vec<(usize, Scatter)>,
    /// What tools have in common, if they can be told apart.
    prior: Option<Scatter>,
}

impl RunScatter {
    /// From the values of each combination: its tool, and its runs' values by specimen.
    pub fn of<'a>(combinations: impl Iterator<Item = (usize, &'a [Vec<f64>])>) -> Self {
        Self::of_sums(combinations.map(|(tool, specimens)| {
            let components = Components::of(specimens);
            (tool, (components.within_ss, components.within_df))
        }))
    }

    /// From sums of squares with their degrees of freedom, each of runs of one tool.
    pub fn of_sums(of: impl Iterator<Item = (usize, (f64, f64))>) -> Self {
        let mut sums: Vec<(usize, (f64, f64))> = Vec::new();
        for (tool, own) in of {
            sort::change(&mut sums, tool, |(squares, nu)| {
                *squares += own.0;
                *nu += own.1;
            });
        }
        let (squares, nu) = sums
            .iter()
            .fold((0.0, 0.0), |all, (_, one)| (all.0 + one.0, all.1 + one.1));
        let pooled = Scatter {
            variance: (squares / nu).max(LEAST_VARIANCE),
            nu,
        };
        sums.retain(|(_, (_, nu))| *nu > 0.0);
        let own = |(tool, (squares, nu)): (usize, (f64, f64))| {
            let variance = (squares / nu).max(LEAST_VARIANCE);
            (tool, Scatter { variance, nu })
        };
        let tools: Vec<(usize, Scatter)> = sums.into_iter().map(own).collect();
        let prior = prior(&tools);
        Self {
            pooled,
            tools,
            prior,
        }
    }

    /// The scatter of a tool's runs, moderated; the pooled one where tools cannot be told apart.
    pub fn of_tool(&self, tool: usize) -> Scatter {
        let Some(prior) = self.prior else {
            return self.pooled;
        };
        let own = sort::find(&self.tools, &tool).unwrap_or(Scatter {
            variance: 0.0,
            nu: 0.0,
        });
        let nu = prior.nu + own.nu;
        Scatter {
            variance: (prior.nu * prior.variance + own.nu * own.variance) / nu,
            nu: nu.min(self.pooled.nu),
        }
    }
}

/// The scatter that tools have in common and the degrees of freedom it is worth: `None` if there
/// are too few tools, or they differ no more than chance lets them.
fn prior(tools: &[(usize, Scatter)]) -> Option<Scatter> {
    if tools.len() < LEAST_TOOLS {
        return None;
    }
    let count = tools.len() as f64;
    let centred =
        |own: &Scatter| libm::log(own.variance) - digamma(own.nu / 2.0) + libm::log(own.nu / 2.0);
    let mean = tools.iter().map(|(_, own)| centred(own)).sum::<f64>() / count;
    let spread = tools
        .iter()
        .map(|(_, own)| (centred(own) - mean) * (centred(own) - mean))
        .sum::<f64>()
        / (count - 1.0);
    let expected = tools
        .iter()
        .map(|(_, own)| trigamma(own.nu / 2.0))
        .sum::<f64>()
        / count;
    let v = spread - expected;
    if v <= 0.0 {
        return None;
    }
    let nu = 2.0 * inverse_trigamma(v);
    let variance = libm::exp(mean + digamma(nu / 2.0) - libm::log(nu / 2.0));
    Some(Scatter { variance, nu })
}
