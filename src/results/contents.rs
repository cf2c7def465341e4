//! What a dataset offers.

use super::{Results, measured};
use crate::ask::contents::{Choice, Contents, JobChoice};
use crate::dataset::types::{Job, Tool};
use crate::history::editions::{Part, part_of};
use crate::sorted;
use crate::units::TorqueUnit;
use crate::words;
use crate::words::catalogue::Catalogue;

/// What the form asks in a file without jobs.
const DEFAULT_JOB: &str = "100 N·m";

/// The factor that is offered first for an aged fastener. Common practice, no source; the visitor
/// sets it, and the answer says that it was not measured.
const FIRST_FACTOR: f64 = 1.5;

/// From this many tools, or pairs of tool and pack, a tool is found by typing.
const LARGE: (usize, u64) = (40, 150);

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
        maker: None,
        mount: None,
        size: None,
    };
    let makers: Vec<Option<&String>> = dataset
        .tools
        .iter()
        .map(|tool| tool.maker.as_ref())
        .collect();
    let first_of_maker = |tool| makers.iter().position(|maker| *maker == tool);
    let tools = offered(&dataset.tools, &tools);
    let tools = tools.map(|tool| (first_of_maker(tool.maker.as_ref()), tool));
    let mut tools: Vec<(Option<usize>, &Tool)> = tools.collect();
    // Stable: within a maker they stand as in the file, the makers by their first tool.
    sorted::sort(&mut tools, |a, b| a.0.cmp(&b.0));
    let extent = measured::extent(results);
    let is_large = tools.len() >= LARGE.0 || extent.pairs >= LARGE.1;
    Contents {
        title: dataset.title.clone(),
        summary: dataset.summary.clone(),
        license: dataset.license.clone(),
        notice: words::notice(catalogue, dataset),
        unloaded: words::unloaded(catalogue, dataset.editions.last()),
        tools: tools
            .into_iter()
            .map(|(_, tool)| Choice {
                aka: tool.aka.clone(),
                maker: tool.maker.clone(),
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
        editions: words::measured::editions(catalogue, dataset),
        measured: words::measured::measured(catalogue, dataset, &extent),
        citation: words::measured::citation(catalogue, dataset),
        default_job: dataset
            .jobs
            .first()
            .map_or_else(|| DEFAULT_JOB.to_owned(), |job| job.id.clone()),
        first_factor: FIRST_FACTOR,
        is_large,
    }
}

/// A job of the file to choose.
pub(super) fn job_choice(catalogue: &Catalogue, job: &Job, unit: TorqueUnit) -> JobChoice {
    JobChoice {
        id: job.id.clone(),
        name: job.label.clone(),
        torque: words::job_torque(catalogue, job.torque_nm.figures(), unit),
        direction: job.direction,
    }
}

/// The elements of a list that are offered.
fn offered<'a, T>(list: &'a [T], offered: &'a [bool]) -> impl Iterator<Item = &'a T> {
    let marked = list.iter().zip(offered);
    marked.filter_map(|(element, offered)| offered.then_some(element))
}
