//! What a dataset offers.

use super::Results;
use crate::ask::contents::{Choice, Contents, JobChoice};
use crate::history::editions::{Part, part_of};
use crate::units::TorqueUnit;
use crate::words;

/// What the form asks in a file without jobs.
const DEFAULT_JOB: &str = "100 N·m";

/// What `results` offers: tools and packs that have a published run, and everything else of the
/// file.
pub(super) fn contents(results: &Results) -> Contents {
    let (dataset, catalogue) = (&results.dataset, &results.catalogue);
    let newest = results.newest_edition();
    let published = dataset.runs.iter().zip(&results.runs);
    let published = published.filter(|(run, _)| part_of(run, newest) != Part::None);
    let mut tools = vec![false; dataset.tools.len()];
    let mut packs = vec![false; dataset.packs.len()];
    for (_, run) in published {
        for (list, place) in [(&mut tools, run.tool), (&mut packs, run.pack)] {
            if let Some(offered) = list.get_mut(place) {
                *offered = true;
            }
        }
    }
    let plain = |id: &str, name: &str| Choice {
        id: id.into(),
        name: name.into(),
        aka: Vec::new(),
        mount: None,
        size: None,
    };
    Contents {
        title: dataset.title.clone(),
        summary: dataset.summary.clone(),
        disclosure: dataset.disclosure.clone(),
        license: dataset.license.clone(),
        publisher: dataset.publisher.clone(),
        notice: words::notice(catalogue, dataset),
        edition: words::edition(catalogue, dataset.editions.last()),
        tools: offered(&dataset.tools, &tools)
            .map(|tool| Choice {
                aka: tool.aka.clone(),
                mount: Some(tool.pack_mount.clone()),
                size: tool.size,
                ..plain(&tool.id, &tool.name)
            })
            .collect(),
        packs: offered(&dataset.packs, &packs)
            .map(|pack| Choice {
                mount: Some(pack.pack_mount.clone()),
                ..plain(&pack.id, &pack.name)
            })
            .collect(),
        jobs: dataset
            .jobs
            .iter()
            .map(|job| JobChoice {
                id: job.id.clone(),
                name: job.label.clone(),
                torque: words::job_torque(
                    catalogue,
                    job.torque_nm.figures(),
                    TorqueUnit::NewtonMetre,
                ),
                direction: job.direction,
            })
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
        editions: dataset
            .editions
            .iter()
            .rev()
            .map(|edition| edition.edition)
            .collect(),
        default_job: dataset
            .jobs
            .first()
            .map_or_else(|| DEFAULT_JOB.to_owned(), |job| job.id.clone()),
    }
}

/// The elements of a list that are offered.
fn offered<'a, T>(list: &'a [T], offered: &'a [bool]) -> impl Iterator<Item = &'a T> {
    let marked = list.iter().zip(offered);
    marked.filter_map(|(element, offered)| offered.then_some(element))
}
