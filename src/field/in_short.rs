//! A dataset put in short, natively, when it is published.

use super::Field;
use crate::dataset::FORMAT_IN_SHORT;
use crate::dataset::summary::{FieldSummary, InShort, PairSummary, Summary};
use crate::dataset::types::{BuildUp, Dataset, Exclusion, Run};
use crate::problem::Problem;
use crate::query::question::Question;
use crate::query::resolved::Asked;
use crate::results::Results;
use crate::run::instants::times;
use crate::run::measures::Measures;
use crate::typical::told::Told;

impl Results {
    /// These results in short for an edition; they are those of the dataset `published`, in its published
    /// form.
    ///
    /// # Errors
    ///
    /// As [`Results::study`](crate::study::Study), of a rig, a setup or an edition that is not there.
    pub fn put_in_short(&self, published: &Dataset, edition: u32) -> Result<InShort, Problem> {
        let measures = |of: fn(&Measures) -> f64| -> Vec<i32> {
            let runs = self.runs.iter();
            runs.map(|run| (of(&run.measures) * 1e3).round() as i32)
                .collect()
        };
        let mut fields = Vec::new();
        for rig in &self.dataset.rigs {
            for setup in &self.dataset.setups {
                let asked = Asked::of(
                    self,
                    &Question {
                        rig: Some(rig.id.clone()),
                        setup: Some(setup.id.clone()),
                        edition: Some(edition),
                        ..Question::default()
                    },
                )?;
                let pairs = pairs(&Field::of(self, &asked));
                fields.extend(pairs.map(|pairs| FieldSummary {
                    rig: rig.id.clone(),
                    setup: setup.id.clone(),
                    pairs,
                }));
            }
        }
        let scatter = published.scatter.iter();
        Ok(InShort {
            dataset: Dataset {
                scatter: scatter
                    .filter(|scatter| scatter.edition == edition)
                    .cloned()
                    .collect(),
                ..without_notes(published)
            },
            summary: Summary {
                edition,
                mean_mnm: measures(|run| run.mean_nm),
                early_mnm: measures(|run| run.early_nm),
                fields,
            },
        })
    }
}

/// The pairs of a field; `None` where a run has an angle of its own, on which its work is.
fn pairs(field: &Field) -> Option<Vec<PairSummary>> {
    let mut runs = field
        .members
        .iter()
        .flat_map(|member| member.combination.runs());
    if runs.any(|run| run.curve.has_turn()) {
        return None;
    }
    let times = times(field.window_s);
    let pairs = field.members.iter().map(|member| {
        let torque_nm = |time_s: &f64| member.combination.torque_at(*time_s);
        let torques = times.iter().map(torque_nm).collect::<Vec<f64>>();
        let Told { end_dnm, rises } = Told::of(&torques);
        PairSummary {
            end_dnm,
            rises,
            roots: member.by_time.stored(),
        }
    });
    Some(pairs.collect())
}

/// A dataset without the texts that only the page of results shows, and without the runs' curves.
fn without_notes(dataset: &Dataset) -> Dataset {
    let mut short = Dataset {
        format: FORMAT_IN_SHORT.into(),
        summary: None,
        publisher: None,
        contact: None,
        disclosure: String::new(),
        runs: dataset.runs.iter().map(run_in_short).collect(),
        ..dataset.clone()
    };
    for edition in &mut short.editions {
        edition.note = None;
        let corrections = edition.corrections.iter_mut();
        corrections.for_each(|correction| correction.text.clear());
    }
    for rig in &mut short.rigs {
        rig.calibrations
            .iter_mut()
            .for_each(|calibration| calibration.note = None);
        rig.joints
            .iter_mut()
            .for_each(|joint| joint.lubricant = None);
    }
    for day in &mut short.days {
        (day.note, day.operator) = (None, None);
    }
    for specimen in &mut short.specimens {
        (specimen.made, specimen.serial_ends) = (None, None);
    }
    for tool in &mut short.tools {
        (tool.drive_shape, tool.drive_mm, tool.centre_to_side_mm) = (None, None, None);
    }
    short
}

/// A run with its first and its last knot alone, and with nothing that its own curve is needed for.
fn run_in_short(run: &Run) -> Run {
    let buildup = run.buildup.as_ref().map(|buildup| BuildUp {
        step: ends(&buildup.step),
        rise_dnm: ends(&buildup.rise_dnm),
        samples: 0,
        zero_dnm: 0,
        turn_ddeg: None,
        resistance_uohm: None,
        lowest_mv: None,
        ..buildup.clone()
    });
    Run {
        at_s: None,
        bolt_use: None,
        log: None,
        excluded: run.excluded.as_ref().map(|excluded| Exclusion {
            reason: String::new(),
            ..excluded.clone()
        }),
        buildup,
        ..run.clone()
    }
}

/// The first of some growths, and the sum of the others.
fn ends<T: Copy + std::iter::Sum>(growth: &[T]) -> Vec<T> {
    match growth.split_first() {
        Some((first, rest)) if !rest.is_empty() => vec![*first, rest.iter().copied().sum()],
        _ => growth.to_vec(),
    }
}
