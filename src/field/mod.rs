//! The measured combinations of one rig and one setup in one edition. Nothing crosses fields.

use crate::IS_WHOLE;
use crate::dataset::summary::{FieldSummary, PairSummary};
use crate::dataset::types::{Rig, Setup};
use crate::history::editions::{Part, part_of, torque_factor};
use crate::joint::JointLine;
use crate::pack::usual_open_v;
use crate::query::resolved::Asked;
use crate::results::Results;
use crate::results::reduced::counted;
use crate::scatter::by_time::{ByTime, times};
use crate::scatter::cells::{Cells, Run};
use crate::scatter::run::RunScatter;
use crate::scatter::shares::Shares;
use crate::sort;
use crate::typical::told::Told;
use crate::typical::{Combination, Counted};
use check_runs::CheckRuns;

pub(crate) mod check_runs;
pub(crate) mod effects;
pub(crate) mod estimated;
pub(crate) mod estimates;
#[cfg(not(target_arch = "wasm32"))]
pub(crate) mod in_short;
pub(crate) mod intervals;
pub(crate) mod pair;
pub(crate) mod pair_figures;
pub(crate) mod told_curves;
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
    /// What its rig's check runs say of its days.
    pub checks: CheckRuns,
    /// Lowest and highest air temperature of the days of counted runs, in °C, where noted.
    pub ambient_c: Option<(f64, f64)>,
    /// Measured combinations in the order of the file's tools and packs.
    pub members: Vec<Member>,
    /// Its runs, in the order of the members made, sorted into cells.
    cells: Cells,
    /// The voltage that each pack of the file usually starts with, in V.
    pub usual_open_v: Vec<Option<f64>>,
    /// Runs set aside, by tool and pack.
    set_aside: Vec<((usize, usize), u32)>,
    /// Whether its runs have curves of their own.
    pub has_curves: bool,
    /// Whether its pairs have typical curves: those of runs, or what stands in place of these.
    pub has_typical: bool,
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
    /// What each of its counted runs has in common with others, in the combination's order.
    pub origins: Vec<Run>,
    /// The shares of its mean.
    pub shares: Shares,
    /// How much its runs differ at any instant.
    pub by_time: ByTime,
    /// The degrees of freedom of that.
    pub nu: f64,
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
/// the specimens, and their indices.
#[derive(Default)]
struct Gathered {
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
    /// The pair at an index of its field over a window in s, `None` without a run. What stands in place of
    /// the runs' curves, if they have none, gives its typical curve.
    fn member(
        self,
        index: usize,
        (tool, pack): (usize, usize),
        window_s: f64,
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
            Some(pair) => Combination::of_told(specimens, &pair.told(), window_s),
            None if IS_WHOLE => Combination::new(specimens, window_s),
            None => Combination::of_told(specimens, &Told::default(), window_s),
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

impl Field {
    /// The field asked for.
    pub fn of(results: &Results, asked: &Asked) -> Self {
        Self::in_setup(results, asked, asked.setup_place, &asked.setup)
    }

    /// The field asked for, in this setup, which has this index in the file.
    pub fn in_setup(results: &Results, asked: &Asked, setup_place: usize, setup: &Setup) -> Self {
        let dataset = &results.dataset;
        let mut gathered: Vec<((usize, usize), Gathered)> = Vec::new();
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
                    sort::change(&mut gathered, pair, |gathered| {
                        sort::change(&mut gathered.specimens, reduced.specimen, |specimen| {
                            specimen.counted.push(counted(reduced, factor));
                            specimen.origins.push(reduced.origin(0));
                        });
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
        let in_short = results.summary_of(&asked.rig.id, &setup.id);
        let member = |(index, (pair, gathered)): (usize, (_, Gathered))| {
            let in_short = in_short.and_then(|field| field.pairs.get(index));
            let member = gathered.member(index, pair, asked.window_s, in_short)?;
            Some(Member {
                set_aside: sort::find(&set_aside, &pair).unwrap_or_default(),
                ..member
            })
        };
        let members = gathered.into_iter().enumerate().filter_map(member);
        let mut members: Vec<Member> = members.collect();
        let origins = members.iter().flat_map(|member| &member.origins);
        let origins: Vec<Run> = origins.copied().collect();
        let cells = Cells::of(&origins, &[]);
        match in_short {
            Some(field) => take_by_time(&mut members, &cells, field),
            None if IS_WHOLE => tell_by_time(&mut members, &cells, asked.window_s),
            None => {}
        }
        let joint = joint_line(&asked.rig, setup);
        Self {
            window_s: asked.window_s,
            checks: CheckRuns::of(results, asked.rig_place, asked.edition),
            scored_by_power: members
                .iter()
                .all(|member| member.combination.has_work(joint.as_ref())),
            joint,
            ambient_c,
            cells,
            members,
            usual_open_v: open_v.into_iter().map(usual_open_v).collect(),
            set_aside,
            has_curves: !results.is_in_short(),
            has_typical: !results.is_in_short() || in_short.is_some(),
        }
    }

    /// Scatter of runs about the means of their cells in the logarithm of a measure.
    pub fn scatter_of(&self, measure_nm: impl Fn(&Counted) -> f64) -> RunScatter {
        let members = self.members.iter();
        let values = members.flat_map(|member| member.combination.log_values(&measure_nm));
        self.cells.run_scatter(&values.collect::<Vec<f64>>())
    }

    /// The same in the logarithm of the torque at a time in s that each member has of its own.
    pub fn scatter_at(&self, mut time_s: impl FnMut(&Member) -> f64) -> RunScatter {
        RunScatter::of_sums(self.members.iter().map(|member| {
            let squares = member.by_time.squares_at(time_s(member), self.window_s);
            (member.tool, (squares, member.nu))
        }))
    }

    /// How many runs of a pair are set aside.
    pub fn set_aside(&self, pair: (usize, usize)) -> u32 {
        sort::find(&self.set_aside, &pair).unwrap_or_default()
    }
}

/// Works out how much the runs of each member differ.
fn tell_by_time(members: &mut [Member], cells: &Cells, window_s: f64) {
    let told = times(window_s).map(|time_s| {
        let torque_nm = |run: &Counted| run.curve.torque_at(time_s);
        let of_members = members.iter();
        let values = of_members.flat_map(|member| member.combination.log_values(&torque_nm));
        cells.squares_of_pairs(members.len(), &values.collect::<Vec<f64>>())
    });
    let told: Vec<Vec<(f64, f64)>> = told.collect();
    for (index, member) in members.iter_mut().enumerate() {
        let own = || told.iter().filter_map(|sums| sums.get(index));
        member.by_time = ByTime::of(own().map(|(squares, _)| *squares));
        member.nu = own().next().map_or(0.0, |(_, nu)| *nu);
    }
}

/// Takes from what stands in place of the runs' curves how much those of each member differ.
fn take_by_time(members: &mut [Member], cells: &Cells, field: &FieldSummary) {
    let runs = members.iter().map(|member| member.runs.len()).sum();
    let sums = cells.squares_of_pairs(members.len(), &vec![0.0; runs]);
    for ((member, pair), (_, nu)) in members.iter_mut().zip(&field.pairs).zip(sums) {
        member.by_time = ByTime::of_stored(&pair.roots);
        member.nu = nu;
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

/// The line of the joint that the setup names, or of the rig's first.
fn joint_line(rig: &Rig, setup: &Setup) -> Option<JointLine> {
    let joints = &rig.joints;
    let joint = match &setup.joint {
        Some(id) => joints.iter().find(|joint| &joint.id == id),
        None => joints.first(),
    }?;
    JointLine::new(joint.angle_deg.as_ref()?, joint.torque_nm.as_ref()?)
}
