//! The scatters of a field worked out of its runs.

use super::{Asked, Assumed, Effects, Field, FieldScatter, Results};
use crate::history::editions::{controls, torque_factor, torque_factor_before_checks};
use crate::problem::Problem;
use crate::query::question::Question;
use crate::results::reduced::Reduced;
use crate::run::LEAST_TORQUE_NM;
use crate::scatter::cells::{Cells, Run};
use crate::sort;

impl Results {
    /// The scatters of every field with runs that count, as a file stores them.
    ///
    /// # Errors
    ///
    /// As [`Results::study`](crate::study::Study), for an edition, a rig or a setup that is not there.
    pub fn scatter(&self) -> Result<Vec<FieldScatter>, Problem> {
        let dataset = &self.dataset;
        let mut all = Vec::new();
        for edition in &dataset.editions {
            for rig in &dataset.rigs {
                for setup in &dataset.setups {
                    let asked = Asked::of(
                        self,
                        &Question {
                            rig: Some(rig.id.clone()),
                            setup: Some(setup.id.clone()),
                            edition: Some(edition.edition),
                            ..Question::default()
                        },
                    )?;
                    all.extend(stored(self, &asked));
                }
            }
        }
        Ok(all)
    }
}

/// The scatters of one field; `None` where no run counts.
fn stored(results: &Results, asked: &Asked) -> Option<FieldScatter> {
    let field = Field::of(results, asked);
    (!field.members.is_empty()).then(|| FieldScatter {
        rig: asked.rig.id.clone(),
        setup: asked.setup.id.clone(),
        edition: asked.edition,
        ..super::of(results, &field, asked).stored()
    })
}

/// The scatters by the runs of a field that count and the check runs of its rig and setup; `None`
/// where no two runs were made in one way.
pub fn effects(
    results: &Results,
    field: &Field,
    asked: &Asked,
    assumed: [Assumed; 3],
) -> Option<Effects> {
    let members = || field.members.iter();
    let counted: Vec<Run> = members()
        .flat_map(|member| member.origins.clone())
        .collect();
    let logs =
        members().flat_map(|member| member.combination.log_values(&|run| run.measures.mean_nm));
    let before_checks = |(log, run): (f64, &Run)| log - by_checks(results, run.day, asked.edition);
    let mut values: Vec<f64> = logs.zip(&counted).map(before_checks).collect();
    let (checks, of_checks): (Vec<Run>, Vec<f64>) =
        check_runs(results, field, asked).into_iter().unzip();
    values.extend(of_checks);
    let cells = Cells::of(&counted, &checks);
    let runs = cells.run_scatter(&values);
    if runs.pooled.nu <= 0.0 {
        return None;
    }
    let means = cells.means(&values, |run| {
        let of_reference = reference_variance(results, field, asked, run.tool);
        of_reference.unwrap_or_else(|| runs.of_tool(run.tool).variance)
    });
    Effects::of(&means, assumed)
}

/// Logarithm of the factors on a day's torque that check runs gave: scatters are those of values
/// without them.
fn by_checks(results: &Results, day: usize, edition: u32) -> f64 {
    let (editions, days) = (&results.dataset.editions, &results.dataset.days);
    days.get(day).map_or(0.0, |day| {
        let before = torque_factor_before_checks(editions, &day.id, edition);
        libm::log(torque_factor(editions, &day.id, edition) / before)
    })
}

/// The variance of a reference check's own readings; `None` of any other tool.
fn reference_variance(results: &Results, field: &Field, asked: &Asked, tool: usize) -> Option<f64> {
    if !results.is_reference(tool) {
        return None;
    }
    let mut series = field.checks.series.iter();
    let own = series.find(|series| (series.of.0, series.of.1) == (asked.setup_place, tool));
    own?.run_variance
}

/// The check runs made in the setup asked for, each with ln mean torque. Those of a pair are of one
/// pair more.
fn check_runs(results: &Results, field: &Field, asked: &Asked) -> Vec<(Run, f64)> {
    let dataset = &results.dataset;
    let mut pairs: Vec<(usize, usize)> = Vec::new();
    let mut checks = Vec::new();
    for (run, reduced) in dataset.runs.iter().zip(&results.runs) {
        let here = (reduced.rig, reduced.setup) == (asked.rig_place, asked.setup_place);
        if !here || !controls(run, asked.edition) {
            continue;
        }
        let factor = torque_factor_before_checks(&dataset.editions, &run.day, asked.edition);
        let mean_nm = (reduced.measures.mean_nm * factor).max(LEAST_TORQUE_NM);
        pairs.push((reduced.tool, reduced.pack));
        checks.push((reduced, libm::log(mean_nm)));
    }
    sort::distinct(&mut pairs);
    let numbered = |(reduced, log): (&Reduced, f64)| {
        let pair = pairs.binary_search(&(reduced.tool, reduced.pack)).ok()?;
        Some((reduced.origin(field.members.len() + pair), log))
    };
    checks.into_iter().filter_map(numbered).collect()
}
