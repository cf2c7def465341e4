//! Tools and packs that measured combinations link, and their mixed-model equations.

use super::Measured;
use crate::sort;
use crate::symmetric::{Factor, dot, quadratic, times};

/// Work grows with the cubes of a tool's packs and of a group's, added up. A field with more than this
/// is not estimated: as much as of 120 packs on one tool, some eighty times what 40 tools with ten packs each ask for.
const MOST_WORK: usize = 2 * 120 * 120 * 120;

/// Variances of the effects.
#[derive(Clone, Copy, Debug)]
pub(super) struct Variances {
    pub packs: f64,
    pub interaction: f64,
}

/// Sums over groups that say where the likelihood is largest: with P the inverse of the levels'
/// covariances on what the tools leave free (V⁻¹ − V⁻¹X(X′V⁻¹X)⁻¹X′V⁻¹), y the levels and b the packs'
/// effects.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Slopes {
    /// y′PPy.
    pub squares: f64,
    /// Trace of P.
    pub trace: f64,
    /// b′b.
    pub pack_squares: f64,
    /// How many of the packs' effects the data tell: their number less the trace of their
    /// covariances over their variance.
    pub pack_trace: f64,
}

/// The measured combinations of one tool.
#[derive(Debug)]
struct Tool {
    tool: usize,
    /// Indices of its packs in the group's.
    packs: Vec<usize>,
    levels: Vec<f64>,
    /// Covariances of their errors.
    errors: Vec<Vec<f64>>,
    /// P of this tool alone, the packs' effects taken as fixed.
    own: Vec<Vec<f64>>,
    /// What each level weighs in the tool's own.
    weights: Vec<f64>,
    /// Variance of the tool's level, were the packs' effects known.
    variance: f64,
}

/// Tools and packs that a chain of measured combinations links.
#[derive(Debug)]
pub(super) struct Group {
    packs: Vec<usize>,
    tools: Vec<Tool>,
    /// Effects of the packs.
    effects: Vec<f64>,
    /// Covariances of their errors.
    doubt: Vec<Vec<f64>>,
    /// Sum of the tools' P over the packs, and of their squares.
    told: Vec<Vec<f64>>,
    told_squares: Vec<Vec<f64>>,
}

/// The groups of a field; `None` if it is too large.
pub(super) fn linked(
    measured: &[Measured],
    covariance: impl Fn(usize, usize) -> f64,
) -> Option<Vec<Group>> {
    // Each tool with the indices of its combinations.
    let mut tools: Vec<(usize, Vec<usize>)> = Vec::new();
    for (index, one) in measured.iter().enumerate() {
        match tools.iter_mut().find(|(tool, _)| *tool == one.tool) {
            Some((_, own)) => own.push(index),
            None => tools.push((one.tool, vec![index])),
        }
    }
    // Groups as lists of packs and of tools; a tool joins all that hold one of its packs.
    let mut groups: Vec<(Vec<usize>, Vec<usize>)> = Vec::new();
    for (number, (_, own)) in tools.iter().enumerate() {
        let mut packs: Vec<usize> = own
            .iter()
            .filter_map(|&index| Some(measured.get(index)?.pack))
            .collect();
        let mut members = vec![number];
        groups.retain_mut(|(other_packs, other_members)| {
            let linked = other_packs.iter().any(|pack| packs.contains(pack));
            if linked {
                packs.append(other_packs);
                members.append(other_members);
            }
            !linked
        });
        sort::distinct(&mut packs);
        sort::distinct(&mut members);
        groups.push((packs, members));
    }
    let cube = |count: usize| count.saturating_pow(3);
    let of_tools = tools.iter().map(|(_, own)| cube(own.len()));
    let of_groups = groups.iter().map(|(packs, _)| cube(packs.len()));
    if of_tools.chain(of_groups).fold(0, usize::saturating_add) > MOST_WORK {
        return None;
    }
    let group = |(packs, members): (Vec<usize>, Vec<usize>)| {
        let tools = members.iter().filter_map(|&member| tools.get(member));
        let tools = tools.map(|(tool, own)| Tool::of(*tool, own, measured, &packs, &covariance));
        Group {
            tools: tools.collect(),
            packs,
            effects: Vec::new(),
            doubt: Vec::new(),
            told: Vec::new(),
            told_squares: Vec::new(),
        }
    };
    Some(groups.into_iter().map(group).collect())
}

impl Tool {
    fn of(
        tool: usize,
        indices: &[usize],
        measured: &[Measured],
        packs: &[usize],
        covariance: &impl Fn(usize, usize) -> f64,
    ) -> Self {
        let own = || indices.iter().filter_map(|&index| measured.get(index));
        Self {
            tool,
            packs: own()
                .filter_map(|one| packs.binary_search(&one.pack).ok())
                .collect(),
            levels: own().map(|one| one.level).collect(),
            errors: indices
                .iter()
                .map(|&a| indices.iter().map(|&b| covariance(a, b)).collect())
                .collect(),
            own: Vec::new(),
            weights: Vec::new(),
            variance: 0.0,
        }
    }

    /// The tool's own equations: with R the covariances of interactions and errors, its level is the
    /// mean weighted by R⁻¹.
    fn fit(&mut self, interaction: f64) -> Option<()> {
        let mut covariances = self.errors.clone();
        for (index, row) in covariances.iter_mut().enumerate() {
            *row.get_mut(index)? += interaction;
        }
        let mut inverse = Factor::of(&covariances)?.inverse();
        let sums: Vec<f64> = inverse.iter().map(|row| row.iter().sum()).collect();
        self.variance = 1.0 / sums.iter().sum::<f64>();
        self.weights = sums.iter().map(|sum| sum * self.variance).collect();
        for (row, sum) in inverse.iter_mut().zip(&sums) {
            for (entry, weight) in row.iter_mut().zip(&self.weights) {
                *entry -= sum * weight;
            }
        }
        self.own = inverse;
        Some(())
    }

    /// A figure of each of its packs.
    fn of_packs<'a>(&'a self, figures: &'a [f64]) -> impl Iterator<Item = f64> + 'a {
        self.packs
            .iter()
            .filter_map(|&pack| figures.get(pack).copied())
    }

    /// Its levels less the effects of their packs.
    fn without_packs(&self, effects: &[f64]) -> Vec<f64> {
        let levels = self.levels.iter().zip(self.of_packs(effects));
        levels.map(|(level, effect)| level - effect).collect()
    }

    /// A vector over its combinations as one over the group's packs.
    fn over_packs(&self, values: &[f64], count: usize) -> Vec<f64> {
        let mut spread = vec![0.0; count];
        for (&pack, value) in self.packs.iter().zip(values) {
            if let Some(entry) = spread.get_mut(pack) {
                *entry += value;
            }
        }
        spread
    }

    /// Adds a matrix over its combinations to one over the group's packs.
    fn add_to(&self, matrix: &mut [Vec<f64>], own: impl Fn(usize, usize) -> f64) {
        for (i, &pack) in self.packs.iter().enumerate() {
            let Some(row) = matrix.get_mut(pack) else {
                continue;
            };
            for (j, &other) in self.packs.iter().enumerate() {
                if let Some(entry) = row.get_mut(other) {
                    *entry += own(i, j);
                }
            }
        }
    }
}

impl Group {
    /// Combinations that tools and packs do not explain.
    pub fn free(&self) -> usize {
        let measured: usize = self.tools.iter().map(|tool| tool.levels.len()).sum();
        (measured + 1).saturating_sub(self.tools.len() + self.packs.len())
    }

    /// Solves the equations with these variances: (Z′PZ + 1/σ²) b = Z′Py, P the tools' own.
    pub fn fit(&mut self, variances: Variances) -> Option<()> {
        let count = self.packs.len();
        self.told = vec![vec![0.0; count]; count];
        self.told_squares = self.told.clone();
        let mut right = vec![0.0; count];
        for tool in &mut self.tools {
            tool.fit(variances.interaction)?;
            let row = |i: usize| tool.own.get(i).map_or(&[][..], Vec::as_slice);
            tool.add_to(&mut self.told, |i, j| {
                row(i).get(j).copied().unwrap_or_default()
            });
            tool.add_to(&mut self.told_squares, |i, j| dot(row(i), row(j)));
            let own = tool.over_packs(&times(&tool.own, &tool.levels), count);
            for (sum, own) in right.iter_mut().zip(own) {
                *sum += own;
            }
        }
        let mut left = self.told.clone();
        for (index, row) in left.iter_mut().enumerate() {
            *row.get_mut(index)? += 1.0 / variances.packs;
        }
        self.doubt = Factor::of(&left)?.inverse();
        self.effects = times(&self.doubt, &right);
        Some(())
    }

    /// Adds this group's sums.
    pub fn add_slopes(&self, slopes: &mut Slopes) {
        for tool in &self.tools {
            let left = times(&tool.own, &tool.without_packs(&self.effects));
            slopes.squares += dot(&left, &left);
            let diagonal = tool.own.iter().enumerate();
            slopes.trace += diagonal.filter_map(|(i, row)| row.get(i)).sum::<f64>();
        }
        let traces = self.doubt.iter().zip(&self.told).zip(&self.told_squares);
        for ((doubt, told), squares) in traces {
            slopes.trace -= dot(doubt, squares);
            slopes.pack_trace += dot(doubt, told);
        }
        slopes.pack_squares += dot(&self.effects, &self.effects);
    }

    /// How many combinations of its tools and packs were not measured.
    pub fn not_measured(&self) -> usize {
        let measured: usize = self.tools.iter().map(|tool| tool.packs.len()).sum();
        self.tools.len() * self.packs.len() - measured
    }

    /// Level of a combination that was not measured, and the variance of its error without the
    /// interaction of its own.
    pub fn predict(&self, tool: usize, pack: usize) -> Option<(f64, f64)> {
        let tool = self.tools.iter().find(|one| one.tool == tool)?;
        let pack = self.packs.binary_search(&pack).ok()?;
        if tool.packs.contains(&pack) {
            return None;
        }
        let level = dot(&tool.weights, &tool.without_packs(&self.effects));
        let mut away: Vec<f64> = tool
            .over_packs(&tool.weights, self.packs.len())
            .iter()
            .map(|weight| -weight)
            .collect();
        *away.get_mut(pack)? += 1.0;
        Some((
            level + self.effects.get(pack)?,
            tool.variance + quadratic(&self.doubt, &away),
        ))
    }

    /// Adds the squares, and their number, of what measured levels differ by from estimates that
    /// leave them out, where tool and pack were each run with others: (Py)ᵢ ÷ Pᵢᵢ, the variances as
    /// they are (Dubrule 1983, "Cross validation of kriging in a unique neighborhood", Mathematical
    /// Geology 15, 687–699).
    pub fn leave_one_out(&self, (sum, number): &mut (f64, f64)) {
        let count = self.packs.len();
        let mut runs = vec![0_u32; count];
        for &pack in self.tools.iter().flat_map(|tool| &tool.packs) {
            if let Some(runs) = runs.get_mut(pack) {
                *runs += 1;
            }
        }
        for tool in self.tools.iter().filter(|tool| tool.packs.len() > 1) {
            let left = times(&tool.own, &tool.without_packs(&self.effects));
            let rows = tool.own.iter().zip(&tool.packs).zip(left).enumerate();
            for (index, ((row, &pack), left)) in rows {
                if runs.get(pack).is_none_or(|&runs| runs < 2) {
                    continue;
                }
                let told = quadratic(&self.doubt, &tool.over_packs(row, count));
                let own = row.get(index).copied().unwrap_or_default() - told;
                *sum += (left / own) * (left / own);
                *number += 1.0;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every tool with every pack.
    fn full(tools: usize, packs: usize) -> Vec<Measured> {
        let of_tool = |tool| {
            (0..packs).map(move |pack| Measured {
                tool,
                pack,
                level: 6.0,
            })
        };
        (0..tools).flat_map(of_tool).collect()
    }

    #[test]
    fn a_field_is_taken_up_to_its_bound_whether_few_tools_have_many_packs_or_many_have_some() {
        for (tools, packs, taken) in [
            (1, 120, true),
            (1, 121, false),
            (215, 25, true),
            (225, 25, false),
            (40, 10, true),
        ] {
            let groups = linked(&full(tools, packs), |_, _| 1e-4);
            assert_eq!(groups.is_some(), taken, "{tools} × {packs}");
        }
    }

    #[test]
    fn what_was_not_measured_of_linked_tools_and_packs_is_counted() {
        let mut measured = full(4, 3);
        // Two pairs nobody ran, and a tool with a pack of its own that no other link reaches.
        measured.retain(|one| !matches!((one.tool, one.pack), (0, 2) | (3, 0)));
        measured.push(Measured {
            tool: 9,
            pack: 9,
            level: 6.0,
        });
        let groups = linked(&measured, |_, _| 1e-4).unwrap();
        let counted: usize = groups.iter().map(Group::not_measured).sum();
        assert_eq!(counted, 2);
    }
}
