//! How much specimens, pack specimens and days of a field differ: as published, or worked out of its
//! runs.

use super::Field;
use crate::dataset::types::{Condition, FieldScatter};
use crate::query::resolved::Asked;
use crate::results::Results;
use crate::scatter::effects::{Assumed, Effects};

/// The scatters of the field asked for. The numbers are those that a published file holds, rounded,
/// whichever file they come from.
pub(crate) fn of(results: &Results, field: &Field, asked: &Asked) -> Effects {
    let assumed = assumed(results, field, asked);
    let published = results
        .dataset
        .scatter
        .iter()
        .find(|scatter| is_of(scatter, asked));
    let published = published.map(|scatter| Effects::of_stored(scatter, assumed));
    #[cfg(not(target_arch = "wasm32"))]
    let published = published.or_else(|| {
        let worked_out = worked_out::effects(results, field, asked, assumed)?;
        Some(Effects::of_stored(&worked_out.stored(), assumed))
    });
    published.unwrap_or_else(|| Effects::of_assumed(assumed))
}

fn is_of(scatter: &FieldScatter, asked: &Asked) -> bool {
    let own = (&scatter.rig, &scatter.setup, scatter.edition);
    own == (&asked.rig.id, &asked.setup.id, asked.edition)
}

/// What is assumed beforehand of specimens, pack specimens and days.
fn assumed(results: &Results, field: &Field, asked: &Asked) -> [Assumed; 3] {
    let rig = &asked.rig;
    [
        Assumed::specimens(rig.unit_to_unit_percent),
        Assumed::packs(rig.pack_to_pack_percent, has_used_pack(results, field)),
        Assumed::days(rig.day_to_day_percent),
    ]
}

/// Whether a pack that was run in the field is stated to be used.
fn has_used_pack(results: &Results, field: &Field) -> bool {
    let dataset = &results.dataset;
    let specimens = dataset.specimens.iter();
    let mut used = specimens.filter(|own| own.condition == Some(Condition::Used));
    used.any(|own| {
        let mut runs = field.members.iter().flat_map(|member| &member.runs);
        own.pack.is_some()
            && runs.any(|run| {
                dataset.runs.get(*run).is_some_and(|run| {
                    own.pack.as_ref() == Some(&run.pack)
                        && run.pack_specimen.as_ref() == Some(&own.specimen)
                })
            })
    })
}

#[cfg(not(target_arch = "wasm32"))]
mod worked_out {
    use super::{Asked, Assumed, Effects, Field, FieldScatter, Results};
    use crate::history::editions::{controls, torque_factor};
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
        let members = field.members.iter();
        let counted: Vec<Run> = members.flat_map(|member| member.origins.clone()).collect();
        let members = field.members.iter();
        let mut values: Vec<f64> = members
            .flat_map(|member| member.combination.log_values(&|run| run.measures.mean_nm))
            .collect();
        let (checks, of_checks): (Vec<Run>, Vec<f64>) =
            check_runs(results, field, asked).into_iter().unzip();
        values.extend(of_checks);
        let cells = Cells::of(&counted, &checks);
        let runs = cells.run_scatter(&values);
        if runs.pooled.nu <= 0.0 {
            return None;
        }
        let means = cells.means(&values, |run| runs.of_tool(run.tool).variance);
        Effects::of(&means, assumed)
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
            let factor = torque_factor(&dataset.editions, &run.day, asked.edition);
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
}
