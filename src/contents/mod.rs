//! What a dataset offers to choose from, and how it was measured.

mod coverage;
pub mod data;
pub(crate) mod figures;
pub mod words;

use crate::IS_WHOLE;
use crate::results::Results;
use crate::results::offered::{default_job, tools};
use crate::text;
use crate::units::TorqueUnit;
use data::{Choice, Contents};
use figures::{job_choice, plain, tool_choice};

/// The factor that is offered first for an aged fastener. Common practice, no source; the visitor
/// sets it, and the answer says that it was not measured.
pub(crate) const FIRST_FACTOR: f64 = 1.5;

/// From this many tools, or pairs of tool and pack, a tool is found by typing.
const LARGE: (usize, u64) = (40, 150);

impl Results {
    /// What there is to choose from.
    pub fn contents(&self) -> Contents {
        contents(self)
    }
}

/// What `results` offers: tools and packs that have a published run, and everything else of the
/// file.
fn contents(results: &Results) -> Contents {
    let (dataset, catalogue) = (&results.dataset, &results.catalogue);
    let packs = results.offered.packs.iter();
    let packs = packs.filter_map(|&index| dataset.packs.get(index));
    let extent = coverage::extent(results);
    let is_large = results.offered.tools.len() >= LARGE.0 || extent.pairs >= LARGE.1;
    // The first part of a page shows nothing of how it was measured, nor could it: it reads no notes.
    let told = IS_WHOLE && !results.is_in_short();
    Contents {
        title: dataset.title.clone(),
        summary: dataset.summary.clone(),
        license: dataset.license.clone(),
        notice: text::notice(catalogue, dataset),
        unloaded: text::unloaded(catalogue, dataset.editions.last()),
        tools: tools(results).map(tool_choice).collect(),
        packs: packs
            .map(|pack| Choice {
                mount: Some(pack.pack_mount.clone()),
                ..plain(&pack.id, &pack.name)
            })
            .collect(),
        jobs: dataset
            .jobs
            .iter()
            .map(|job| job_choice(catalogue, job, TorqueUnit::NewtonMetre))
            .collect(),
        setups: dataset
            .setups
            .iter()
            .map(|setup| plain(&setup.id, &setup.name))
            .collect(),
        rigs: dataset
            .rigs
            .iter()
            .map(|rig| plain(&rig.id, rig.name.as_deref().unwrap_or(&rig.id)))
            .collect(),
        editions: words::editions(catalogue, dataset, told),
        measured: if told {
            words::measured(catalogue, dataset, &extent)
        } else {
            Vec::new()
        },
        citation: if told {
            words::citation(catalogue, dataset)
        } else {
            Vec::new()
        },
        default_job: default_job(dataset),
        first_factor: FIRST_FACTOR,
        is_large,
    }
}
