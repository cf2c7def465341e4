//! What a dataset has to choose from: tools and packs with a published run, the newest edition, the
//! job that is asked first.

use super::Results;
use super::reduced::Reduced;
use crate::dataset::types::{Dataset, Tool};
use crate::history::editions::{Part, part_of};
use crate::sort;

/// What the form asks in a file without jobs.
const DEFAULT_JOB: &str = "100 N·m";

/// Tools and packs with a published run, worked out once.
#[derive(Debug)]
pub(crate) struct Offered {
    /// Indices of tools, those of one maker together.
    pub tools: Vec<usize>,
    /// Indices of packs.
    pub packs: Vec<usize>,
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
pub(crate) fn tools(results: &Results) -> impl Iterator<Item = &Tool> {
    let places = results.offered.tools.iter();
    places.filter_map(|&index| results.dataset.tools.get(index))
}

/// The number of the newest edition.
pub(crate) fn newest_edition(dataset: &Dataset) -> u32 {
    let newest = dataset.editions.last();
    newest.map_or(0, |edition| edition.edition)
}

/// What the form asks when nothing has been chosen.
pub(crate) fn default_job(dataset: &Dataset) -> String {
    let first = dataset.jobs.first();
    first.map_or_else(|| DEFAULT_JOB.to_owned(), |job| job.id.clone())
}
