//! The runs of a dataset that one field counts, by pair.

use super::Member;
use crate::IS_WHOLE;
use crate::dataset::summary::PairSummary;
use crate::history::editions::{Part, part_of, torque_factor};
use crate::query::resolved::Asked;
use crate::results::Results;
use crate::results::reduced::{Reduced, counted};
use crate::scatter::by_time::ByTime;
use crate::scatter::cells::Run;
use crate::scatter::shares::Shares;
use crate::sort;
use crate::typical::told::Told;
use crate::typical::{Combination, Counted};
use std::sync::Arc;

/// A field while it is gathered.
pub(super) struct Gathering {
    /// Its pairs with runs that count, by the indices of tool and pack.
    pub pairs: Vec<((usize, usize), Gathered)>,
    /// How many runs are set aside, by the same.
    pub set_aside: Vec<((usize, usize), u32)>,
    /// Lowest and highest air temperature of the days of the runs that count, in °C, where noted.
    pub ambient_c: Option<(f64, f64)>,
    /// The voltages that the runs of each pack of the file started with, in V.
    pub open_v: Vec<Vec<f64>>,
}

impl Gathering {
    /// Of the runs on the rig and in the edition asked for, in the setup at an index.
    pub fn of(results: &Results, asked: &Asked, setup: usize) -> Self {
        let dataset = &results.dataset;
        let mut gathering = Self {
            pairs: Vec::new(),
            set_aside: Vec::new(),
            ambient_c: None,
            open_v: vec![Vec::new(); dataset.packs.len()],
        };
        for (index, (run, reduced)) in dataset.runs.iter().zip(&results.runs).enumerate() {
            if (reduced.rig, reduced.setup) != (asked.rig_place, setup) {
                continue;
            }
            match part_of(run, asked.edition) {
                Part::None => {}
                Part::SetAside => {
                    let pair = (reduced.tool, reduced.pack);
                    sort::change(&mut gathering.set_aside, pair, |runs| *runs += 1);
                }
                Part::Counts => {
                    let factor = torque_factor(&dataset.editions, &run.day, asked.edition);
                    gathering.add(index, reduced, factor);
                    let day = dataset.days.get(reduced.day);
                    let ambient_c = day.and_then(|day| day.ambient_c);
                    gathering.ambient_c = widened(gathering.ambient_c, ambient_c);
                }
            }
        }
        gathering
    }

    /// Adds a run that counts, at an index of the file, its torque multiplied by a factor.
    fn add(&mut self, index: usize, run: &Reduced, factor: f64) {
        sort::change(&mut self.pairs, (run.tool, run.pack), |gathered| {
            sort::change(&mut gathered.specimens, run.specimen, |specimen| {
                specimen.counted.push(counted(run, factor));
                specimen.origins.push(run.origin(0));
            });
            gathered.runs.push(index);
        });
        if let Some(own) = self.open_v.get_mut(run.pack) {
            own.extend(run.buildup.open_v());
        }
    }
}

/// The counted runs of a pair while its field is gathered: those of each specimen, in the order of
/// the specimens, and their indices.
#[derive(Default)]
pub(super) struct Gathered {
    specimens: Vec<(usize, Specimen)>,
    runs: Vec<usize>,
}

/// The counted runs of a specimen, and what each has in common with others.
#[derive(Default)]
struct Specimen {
    counted: Vec<Counted>,
    origins: Vec<Run>,
}

impl Gathered {
    /// The pair at an index of its field, told at the instants of a window in s, `None` without a run.
    /// What stands in place of the runs' curves, if they have none, gives its typical curve.
    pub fn member(
        self,
        index: usize,
        (tool, pack): (usize, usize),
        instants_s: &Arc<Vec<f64>>,
        in_short: Option<&PairSummary>,
    ) -> Option<Member> {
        let mut origins = Vec::with_capacity(self.runs.len());
        let mut specimens = Vec::with_capacity(self.specimens.len());
        for (_, specimen) in self.specimens {
            let of_pair = |run| Run { pair: index, ..run };
            origins.extend(specimen.origins.into_iter().map(of_pair));
            specimens.push(specimen.counted);
        }
        let combination = match in_short {
            Some(pair) => Combination::of_told(specimens, &pair.told(), instants_s),
            None if IS_WHOLE => Combination::new(specimens, instants_s),
            None => Combination::of_told(specimens, &Told::default(), instants_s),
        };
        Some(Member {
            tool,
            pack,
            combination: combination?,
            shares: Shares::of_mean(&origins),
            by_time: ByTime::default(),
            nu: 0.0,
            origins,
            runs: self.runs,
            set_aside: 0,
        })
    }
}

/// A span with one more value in it, if there is one.
fn widened(span: Option<(f64, f64)>, value: Option<f64>) -> Option<(f64, f64)> {
    let Some(value) = value else {
        return span;
    };
    let (low, high) = span.unwrap_or((value, value));
    Some((low.min(value), high.max(value)))
}
