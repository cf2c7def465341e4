//! The measured combinations of one rig and one setup in one edition. Nothing crosses fields.

use crate::dataset::types::{Rig, Setup};
use crate::history::editions::{Part, part_of, torque_factor};
use crate::joint::JointLine;
use crate::pack::usual_open_v;
use crate::query::resolved::Asked;
use crate::results::Results;
use crate::results::reduced::counted;
use crate::sort;
use crate::typical::{Combination, Counted};
use control::ControlDays;
use std::sync::Arc;

pub(crate) mod control;
pub(crate) mod estimated;
pub(crate) mod estimates;
pub(crate) mod intervals;
pub(crate) mod pair;
pub(crate) mod pair_figures;
pub(crate) mod uncertainty;

/// A field.
#[derive(Clone, Debug)]
pub(crate) struct Field {
    /// Length of a run that counts, in s.
    pub window_s: f64,
    /// The torque–angle line of the setup's joint.
    pub joint: Option<JointLine>,
    /// Whether the whole field can be scored by power: else every score is a rise rate, so that
    /// the two are never compared.
    pub scored_by_power: bool,
    /// What its rig's control runs say of its days.
    pub control: ControlDays,
    /// Lowest and highest air temperature of the days of counted runs, in °C, where noted.
    pub ambient_c: Option<(f64, f64)>,
    /// Measured combinations in the order of the file's tools and packs.
    pub members: Vec<Member>,
    /// The voltage that each pack of the file usually starts with, in V.
    pub usual_open_v: Vec<Option<f64>>,
    /// Runs set aside, by tool and pack.
    set_aside: Vec<((usize, usize), u32)>,
}

/// Which field a question is about.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct FieldOf {
    rig: usize,
    setup: usize,
    edition: u32,
}

impl FieldOf {
    pub fn of(asked: &Asked) -> Self {
        Self {
            rig: asked.rig_place,
            setup: asked.setup_place,
            edition: asked.edition,
        }
    }
}

/// A measured combination.
#[derive(Clone, Debug)]
pub(crate) struct Member {
    pub tool: usize,
    pub pack: usize,
    pub combination: Combination,
    /// Marks of the specimens of its tool, in the order of the combination's.
    pub specimens: Vec<Option<Arc<str>>>,
    /// Indices of its counted runs in the file.
    pub runs: Vec<usize>,
    pub set_aside: u32,
}

impl Member {
    /// Indices of its tool and its pack in the file.
    pub fn pair(&self) -> (usize, usize) {
        (self.tool, self.pack)
    }
}

/// The counted runs of a pair while a field is gathered: those of each specimen, in the order of
/// the specimens' names, and their indices.
#[derive(Default)]
struct Gathered<'a> {
    specimens: Vec<Option<&'a str>>,
    counted: Vec<Vec<Counted>>,
    runs: Vec<usize>,
}

impl<'a> Gathered<'a> {
    fn add(&mut self, specimen: Option<&'a str>, counted: Counted) {
        match self.specimens.binary_search(&specimen) {
            Ok(index) => {
                if let Some(runs) = self.counted.get_mut(index) {
                    runs.push(counted);
                }
            }
            Err(index) => {
                self.specimens.insert(index, specimen);
                self.counted.insert(index, vec![counted]);
            }
        }
    }
}

impl Field {
    /// The field asked for.
    pub fn of(results: &Results, asked: &Asked) -> Self {
        Self::in_setup(results, asked, asked.setup_place, &asked.setup)
    }

    /// The field asked for, in this setup, which has this index in the file.
    pub fn in_setup(results: &Results, asked: &Asked, setup_place: usize, setup: &Setup) -> Self {
        let dataset = &results.dataset;
        let mut pairs: Vec<((usize, usize), Gathered)> = Vec::new();
        let mut set_aside: Vec<((usize, usize), u32)> = Vec::new();
        let mut ambient_c: Option<(f64, f64)> = None;
        let mut open_v = vec![Vec::new(); dataset.packs.len()];
        for (index, (run, reduced)) in dataset.runs.iter().zip(&results.runs).enumerate() {
            if (reduced.rig, reduced.setup) != (asked.rig_place, setup_place) {
                continue;
            }
            let pair = (reduced.tool, reduced.pack);
            match part_of(run, asked.edition) {
                Part::None => {}
                Part::SetAside => sort::change(&mut set_aside, pair, |runs| *runs += 1),
                Part::Counts => {
                    let factor = torque_factor(&dataset.editions, &run.day, asked.edition);
                    sort::change(&mut pairs, pair, |gathered| {
                        let counted = counted(reduced, factor, asked.window_s);
                        gathered.add(run.specimen.as_deref(), counted);
                        gathered.runs.push(index);
                    });
                    let day = dataset.days.get(reduced.day);
                    ambient_c = widened(ambient_c, day.and_then(|day| day.ambient_c));
                    if let Some(own) = open_v.get_mut(reduced.pack) {
                        own.extend(reduced.buildup.open_v());
                    }
                }
            }
        }
        let members: Vec<Member> = pairs
            .into_iter()
            .filter_map(|((tool, pack), gathered)| {
                let combination = Combination::new(gathered.counted)?;
                let set_aside = sort::find(&set_aside, &(tool, pack)).unwrap_or_default();
                Some(Member {
                    tool,
                    pack,
                    combination,
                    specimens: marks(&gathered.specimens),
                    runs: gathered.runs,
                    set_aside,
                })
            })
            .collect();
        let joint = joint_line(&asked.rig, setup);
        Self {
            window_s: asked.window_s,
            control: ControlDays::of(results, asked.rig_place, asked.edition),
            scored_by_power: members
                .iter()
                .all(|member| member.combination.has_work(joint.as_ref())),
            joint,
            ambient_c,
            members,
            usual_open_v: open_v.into_iter().map(usual_open_v).collect(),
            set_aside,
        }
    }

    /// How many runs of a pair are set aside.
    pub fn set_aside(&self, pair: (usize, usize)) -> u32 {
        sort::find(&self.set_aside, &pair).unwrap_or_default()
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

/// Marks of specimens that outlive the dataset's borrow.
fn marks(specimens: &[Option<&str>]) -> Vec<Option<Arc<str>>> {
    let marks = specimens.iter();
    marks.map(|mark| mark.map(Arc::from)).collect()
}

/// The line of the joint that the setup names, or of the rig's first.
fn joint_line(rig: &Rig, setup: &Setup) -> Option<JointLine> {
    let joints = &rig.joints;
    let joint = match &setup.joint {
        Some(id) => joints.iter().find(|joint| &joint.id == id),
        None => joints.first(),
    }?;
    JointLine::new(joint.angle_deg.as_ref()?, joint.torque_nm.as_ref()?)
}
