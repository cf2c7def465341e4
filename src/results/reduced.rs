//! Every run of a dataset, reduced and thinned, its references looked up.

use crate::dataset::check::bench::largest_factors;
use crate::dataset::check::buildup;
use crate::dataset::indices::{ById, Indices};
use crate::dataset::pointer::Pointer;
use crate::dataset::read::Gaps;
use crate::dataset::summary::Summary;
use crate::dataset::types::{BuildUp, Dataset, Run};
use crate::problem::{Problem, Problems};
use crate::run::curve::Curve;
use crate::run::measures::Measures;
use crate::run::reduce::{Settings, reduce};
use crate::run::samples::Samples;
use crate::scatter::cells;
use crate::sort;
use crate::typical::Counted;
use std::sync::Arc;

/// A run of the dataset, reduced and thinned, its references looked up.
#[derive(Debug)]
pub(crate) struct Reduced {
    pub tool: usize,
    pub pack: usize,
    pub setup: usize,
    pub rig: usize,
    pub day: usize,
    /// Number of the specimen of its tool among those of all tools.
    pub specimen: usize,
    /// Number of the specimen of its pack among those of all packs.
    pub pack_specimen: usize,
    pub buildup: Arc<BuildUp>,
    pub curve: Arc<Curve>,
    pub measures: Measures,
}

impl Reduced {
    /// What the run has in common with others; `pair` is the number of its pair.
    pub fn origin(&self, pair: usize) -> cells::Run {
        cells::Run {
            tool: self.tool,
            pair,
            specimen: self.specimen,
            pack: self.pack_specimen,
            day: self.day,
        }
    }
}

/// A specimen: its tool or pack, and its mark; runs that name none are of one and the same.
type Specimen<'a> = (&'a str, Option<&'a str>);

/// What runs refer to.
struct References<'a> {
    indices: Indices<'a>,
    /// Specimens of tools with a run, sorted.
    specimens: Vec<Specimen<'a>>,
    /// Specimens of packs with a run, sorted.
    pack_specimens: Vec<Specimen<'a>>,
}

impl<'a> References<'a> {
    fn of(dataset: &'a Dataset) -> Self {
        let all = |of: fn(&Run) -> Specimen| {
            let mut all: Vec<Specimen> = dataset.runs.iter().map(of).collect();
            sort::distinct(&mut all);
            all
        };
        Self {
            indices: Indices::of(dataset),
            specimens: all(specimen),
            pack_specimens: all(pack_specimen),
        }
    }
}

fn specimen(run: &Run) -> Specimen<'_> {
    (&run.tool, run.specimen.as_deref())
}

fn pack_specimen(run: &Run) -> Specimen<'_> {
    (&run.pack, run.pack_specimen.as_deref())
}

/// Reduces every run that has no problem yet; adds a problem for each whose torque never rises, or
/// whose knots would not be taken from a published file. `digits` prints a number exactly.
pub(crate) fn runs(
    dataset: &Dataset,
    gaps: &Gaps,
    digits: fn(f64) -> String,
    problems: &mut Problems,
) -> Vec<Reduced> {
    if problems.is_full() {
        // Which runs have a problem is no longer known.
        return Vec::new();
    }
    let faulty = problems.iter().map(|problem| element_of(&problem.pointer));
    let mut faulty: Vec<String> = faulty.collect();
    sort::distinct(&mut faulty);
    let references = References::of(dataset);
    let factors = largest_factors(dataset, &references.indices.days);
    let mut runs = Vec::with_capacity(dataset.runs.len());
    for index in 0..dataset.runs.len() {
        let in_file = gaps.pointer("runs", index);
        if faulty.binary_search(&in_file.text()).is_ok() {
            continue;
        }
        match reduced(dataset, &references, index) {
            Some(Ok(run)) => {
                let factor = factors.get(run.day).copied().unwrap_or(1.0);
                let found = buildup::check(&Pointer::Top, &run.buildup, factor, digits);
                for problem in found.iter() {
                    problems.push(of_knots(&in_file, problem));
                }
                runs.push(run);
            }
            Some(Err(())) => {
                let found = "torque that never rises";
                let problem = Problem::new(
                    in_file.member("torque_dnm"),
                    found,
                    "torque above the onset level",
                );
                problems.push(problem.hint("leave the run out, or lower \"onset_nm\" of its rig"));
            }
            // A reference into a list with gaps, whose problems are known.
            None => {}
        }
    }
    runs
}

/// The runs of published results, all of which have knots. Takes the knots out of the dataset.
///
/// # Errors
///
/// Names the first run whose knots make no curve, or that refers to what is not there.
pub(crate) fn published(dataset: &mut Dataset) -> Result<Vec<Reduced>, Problem> {
    let mut taken: Vec<Option<BuildUp>> = Vec::with_capacity(dataset.runs.len());
    for run in &mut dataset.runs {
        taken.push(run.buildup.take().filter(BuildUp::is_curve));
    }
    let references = References::of(dataset);
    let mut runs = Vec::with_capacity(taken.len());
    for (index, (run, buildup)) in dataset.runs.iter().zip(taken).enumerate() {
        let found = buildup.and_then(|buildup| looked_up(dataset, &references, run, buildup));
        runs.push(found.ok_or_else(|| {
            let pointer = Pointer::Top.element("runs", index);
            let found = "a run that no curve can be drawn of";
            Problem::new(pointer, found, "a run as `jobtorque page` writes it")
        })?);
    }
    Ok(runs)
}

/// Takes the measures of runs that have no curves from what stands in place of these.
///
/// # Errors
///
/// Where there are not as many measures as runs.
pub(crate) fn take_measures(runs: &mut [Reduced], summary: &Summary) -> Result<(), Problem> {
    let [means, earlies] = [&summary.mean_mnm, &summary.early_mnm];
    if [means.len(), earlies.len()] != [runs.len(); 2] {
        let wanted = "the measures of each run";
        return Err(Problem::new("", "measures of fewer or more runs", wanted));
    }
    for (run, (mean, early)) in runs.iter_mut().zip(means.iter().zip(earlies)) {
        run.measures = Measures {
            mean_nm: f64::from(*mean) / 1e3,
            early_nm: f64::from(*early) / 1e3,
            ..run.measures
        };
    }
    Ok(())
}

/// A problem of the knots that the samples of the run at `pointer` reduce to.
#[cold]
fn of_knots(pointer: &Pointer, problem: &Problem) -> Problem {
    Problem::new(
        pointer,
        format!(
            "samples that reduce to {} in \"{}\"",
            problem.found,
            problem.pointer.trim_start_matches('/')
        ),
        problem.wanted.as_str(),
    )
}

/// The list element that a pointer leads into: its first two parts.
fn element_of(pointer: &str) -> String {
    pointer.split('/').take(3).collect::<Vec<_>>().join("/")
}

/// The index of the element with an identifier; without one, of the first.
fn or_first(indices: &ById, id: Option<&str>) -> Option<usize> {
    id.map_or(Some(0), |id| indices.get(id))
}

/// The run at `index`: `None` if it refers to what is not there, an error if its torque never
/// rises.
fn reduced(
    dataset: &Dataset,
    references: &References,
    index: usize,
) -> Option<Result<Reduced, ()>> {
    let indices = &references.indices;
    let run = dataset.runs.get(index)?;
    let buildup = match &run.buildup {
        Some(buildup) => buildup.clone(),
        None => {
            let day = dataset.days.get(indices.days.get(run.day.as_str())?)?;
            let rig = or_first(&indices.rigs, day.rig.as_deref())?;
            let rig = dataset.rigs.get(rig)?;
            match reduce(&Samples::of_run(run)?.merged(), &Settings::of(rig)) {
                Some(reduction) => BuildUp::of(&reduction),
                None => return Some(Err(())),
            }
        }
    };
    looked_up(dataset, references, run, buildup).map(Ok)
}

/// A run with its knots: `None` if it refers to what is not there. Without a setup it is of the
/// first, a day without a rig on the first.
fn looked_up(
    dataset: &Dataset,
    references: &References,
    run: &Run,
    buildup: BuildUp,
) -> Option<Reduced> {
    let indices = &references.indices;
    let day_index = indices.days.get(run.day.as_str())?;
    let day = dataset.days.get(day_index)?;
    let rig_index = or_first(&indices.rigs, day.rig.as_deref())?;
    let rig = dataset.rigs.get(rig_index)?;
    let curve = buildup.curve();
    Some(Reduced {
        tool: indices.tools.get(run.tool.as_str())?,
        pack: indices.packs.get(run.pack.as_str())?,
        setup: or_first(&indices.setups, run.setup.as_deref())?,
        rig: rig_index,
        day: day_index,
        specimen: references.specimens.binary_search(&specimen(run)).ok()?,
        pack_specimen: references
            .pack_specimens
            .binary_search(&pack_specimen(run))
            .ok()?,
        measures: Measures::of(&curve, rig.window_s()).rounded(),
        buildup: Arc::new(buildup),
        curve: Arc::new(curve),
    })
}

/// A run as an edition has it: its torque multiplied by the edition's factor.
pub(crate) fn counted(reduced: &Reduced, factor: f64) -> Counted {
    let largest_nm = f64::from(reduced.buildup.largest_dnm) / 10.0;
    if factor == 1.0 {
        return Counted {
            curve: reduced.curve.clone(),
            measures: reduced.measures,
            largest_nm,
            buildup: reduced.buildup.clone(),
        };
    }
    Counted {
        curve: Arc::new(reduced.curve.scaled(factor)),
        measures: reduced.measures.scaled(factor),
        largest_nm: largest_nm * factor,
        buildup: reduced.buildup.clone(),
    }
}
