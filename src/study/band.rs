//! The band that 90 of 100 tries stay in about a typical curve.

use super::job::JobStudy;
use crate::field::estimated::Estimated;
use crate::scatter::Scatter;
use crate::typical::Combination;

impl JobStudy<'_> {
    /// The band that 90 of 100 tries of the pair asked for stay in about its typical curve: time in
    /// s, lower and upper torque in N·m. Empty where no single pair is asked for, or there are too
    /// few runs to say.
    pub fn band(&self) -> Vec<(f64, f64, f64)> {
        let single = self.asked().tool.is_some() && self.asked().pack.is_some();
        let Some((_, member)) = self.matching().next().filter(|_| single) else {
            return Vec::new();
        };
        let uncertainty = self.study.uncertainty();
        if uncertainty.too_few() {
            return Vec::new();
        }
        self.band_about(&member.combination, member.tool, |run| {
            uncertainty.band(run, member)
        })
    }

    /// As [`JobStudy::band`], about an estimate.
    pub fn band_of_estimate(&self, estimated: &Estimated) -> Vec<(f64, f64, f64)> {
        self.band_about(&estimated.combination, estimated.tool, |run| {
            self.study.uncertainty().band_of_estimate(run, estimated)
        })
    }

    /// A band about a typical curve; `half` is half its width with a run scatter of its tool.
    fn band_about(
        &self,
        combination: &Combination,
        tool: usize,
        half: impl Fn(Scatter) -> f64,
    ) -> Vec<(f64, f64, f64)> {
        let scatter = self.study.band_scatter().iter();
        scatter
            .map(|(time_s, scatter)| {
                let factor = libm::exp(half(scatter.of_tool(tool)));
                let typical_nm = combination.torque_at(*time_s);
                (*time_s, typical_nm / factor, typical_nm * factor)
            })
            .collect()
    }
}
