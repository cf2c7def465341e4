//! What a dataset offers.

use super::reduced::Reduced;
use super::{Results, coverage};
use crate::dataset::types::{Dataset, Job, Tool};
use crate::history::editions::{Part, part_of};
use crate::query::contents::{Choice, Contents, JobChoice};
use crate::sort;
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

/// Tools and packs with a published run, worked out once.
#[derive(Debug)]
pub(super) struct Offered {
    /// Places of tools, those of one maker together.
    tools: Vec<usize>,
    /// Places of packs.
    packs: Vec<usize>,
}

impl Offered {
    pub fn of(dataset: &Dataset, runs: &[Reduced]) -> Self {
        let newest = newest_edition(dataset);
        let published = dataset.runs.iter().zip(runs);
        let published = published.filter(|(run, _)| part_of(run, newest) != Part::None);
        let (mut tools, mut packs): (Vec<usize>, Vec<usize>) =
            published.map(|(_, run)| (run.tool, run.pack)).unzip();
        for places in [&mut tools, &mut packs] {
            sort::distinct(places);
        }
        let makers = dataset.tools.iter().map(|tool| tool.maker.as_deref());
        let makers: Vec<Option<&str>> = makers.collect();
        let first_of_maker = |tool: usize| {
            let own = makers.get(tool);
            makers.iter().position(|maker| Some(maker) == own)
        };
        // Stable: within a maker they stand as in the file, the makers by their first tool.
        sort::sort(&mut tools, |a, b| {
            first_of_maker(*a).cmp(&first_of_maker(*b))
        });
        Self { tools, packs }
    }
}

/// The tools that `results` offers.
pub(super) fn tools(results: &Results) -> impl Iterator<Item = &Tool> {
    let places = results.offered.tools.iter();
    places.filter_map(|&place| results.dataset.tools.get(place))
}

/// A tool to choose.
pub(super) fn tool_choice(tool: &Tool) -> Choice {
    Choice {
        aka: tool.aka.clone(),
        maker: tool.maker.clone(),
        mount: Some(tool.pack_mount.clone()),
        size: tool.size,
        ..plain(&tool.id, &tool.name)
    }
}

fn plain(id: &str, name: &str) -> Choice {
    Choice {
        id: id.into(),
        name: name.into(),
        aka: Vec::new(),
        maker: None,
        mount: None,
        size: None,
    }
}

/// The number of the newest edition.
pub(super) fn newest_edition(dataset: &Dataset) -> u32 {
    let newest = dataset.editions.last();
    newest.map_or(0, |edition| edition.edition)
}

/// What the form asks when nothing has been chosen.
pub(super) fn default_job(dataset: &Dataset) -> String {
    let first = dataset.jobs.first();
    first.map_or_else(|| DEFAULT_JOB.to_owned(), |job| job.id.clone())
}

/// What `results` offers: tools and packs that have a published run, and everything else of the
/// file.
pub(super) fn contents(results: &Results) -> Contents {
    let (dataset, catalogue) = (&results.dataset, &results.catalogue);
    let packs = results.offered.packs.iter();
    let packs = packs.filter_map(|&place| dataset.packs.get(place));
    let extent = coverage::extent(results);
    let is_large = results.offered.tools.len() >= LARGE.0 || extent.pairs >= LARGE.1;
    Contents {
        title: dataset.title.clone(),
        summary: dataset.summary.clone(),
        license: dataset.license.clone(),
        notice: words::notice(catalogue, dataset),
        unloaded: words::unloaded(catalogue, dataset.editions.last()),
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
        editions: words::coverage::editions(catalogue, dataset),
        measured: words::coverage::measured(catalogue, dataset, &extent),
        citation: words::coverage::citation(catalogue, dataset),
        default_job: default_job(dataset),
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
