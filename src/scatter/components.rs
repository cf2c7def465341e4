//! One-way sums of squares: within groups and between them.

/// Sums of squares of grouped values.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Components {
    /// Squares of differences from the group's mean.
    pub within_ss: f64,
    /// Values less groups.
    pub within_df: f64,
    /// Squares of differences of the groups' means from the grand mean, times the groups' sizes.
    pub between_ss: f64,
    /// Groups less one.
    pub between_df: f64,
}

impl Components {
    /// The sums of squares of groups; empty ones are passed over. Values are first taken from one
    /// of them, so that leading digits they all share cost nothing.
    pub fn of(groups: &[Vec<f64>]) -> Self {
        let Some(&origin) = groups.iter().flatten().next() else {
            return Self::default();
        };
        let mut means = Vec::with_capacity(groups.len());
        let mut components = Self::default();
        for group in groups.iter().filter(|group| !group.is_empty()) {
            let count = group.len() as f64;
            let mean = group.iter().map(|value| value - origin).sum::<f64>() / count;
            components.within_ss += squares(group.iter().map(|value| value - origin - mean));
            components.within_df += count - 1.0;
            means.push((mean, count));
        }
        let total: f64 = means.iter().map(|(_, count)| count).sum();
        let grand = means.iter().map(|(mean, count)| mean * count).sum::<f64>() / total;
        components.between_ss = means
            .iter()
            .map(|(mean, count)| count * (mean - grand) * (mean - grand))
            .sum();
        components.between_df = means.len() as f64 - 1.0;
        components
    }

    /// Variance within groups.
    pub fn within_variance(&self) -> f64 {
        self.within_ss / self.within_df
    }

    /// F: the variance between groups over that within.
    pub fn f(&self) -> f64 {
        self.between_ss / self.between_df / self.within_variance()
    }
}

/// Sum of squares of differences whose mean is nearly zero, corrected for what is left of it.
fn squares(differences: impl Iterator<Item = f64>) -> f64 {
    let (mut sum, mut squares, mut count) = (0.0, 0.0, 0.0);
    for difference in differences {
        sum += difference;
        squares += difference * difference;
        count += 1.0;
    }
    squares - sum * sum / count
}
