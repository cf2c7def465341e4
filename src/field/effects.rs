//! How much specimens, pack specimens and days of a field differ: as published, or worked out of its
//! runs.

#[cfg(not(target_arch = "wasm32"))]
mod worked_out;

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

/// As [`of`], of the field that a question is about.
#[cfg(not(target_arch = "wasm32"))]
pub(crate) fn of_asked(results: &Results, asked: &Asked) -> Effects {
    of(results, &Field::of(results, asked), asked)
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
