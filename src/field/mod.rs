//! The measured combinations of one rig and one setup in one edition. Nothing crosses fields.

use crate::IS_WHOLE;
use crate::dataset::summary::FieldSummary;
use crate::dataset::types::{Rig, Setup};
use crate::joint::JointLine;
use crate::pack::usual_open_v;
use crate::query::resolved::Asked;
use crate::results::Results;
use crate::run::instants;
use crate::scatter::by_time::{ByTime, times};
use crate::scatter::cells::{Cells, Run};
use crate::scatter::run::RunScatter;
use crate::scatter::shares::Shares;
use crate::sort;
use crate::typical::{Combination, Counted};
use check_runs::CheckRuns;
use gathered::{Gathered, Gathering};

pub(crate) mod check_runs;
pub(crate) mod effects;
pub(crate) mod estimated;
pub(crate) mod estimates;
mod gathered;
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

impl Field {
    /// The field asked for.
    pub fn of(results: &Results, asked: &Asked) -> Self {
        Self::in_setup(results, asked, asked.setup_place, &asked.setup)
    }

    /// The field asked for, in this setup, which has this index in the file.
    pub fn in_setup(results: &Results, asked: &Asked, setup_place: usize, setup: &Setup) -> Self {
        let of = Gathering::of(results, asked, setup_place);
        let in_short = results.summary_of(&asked.rig.id, &setup.id);
        let instants_s = instants::times(asked.window_s);
        let member = |(index, (pair, gathered)): (usize, (_, Gathered))| {
            let in_short = in_short.and_then(|field| field.pairs.get(index));
            let member = gathered.member(index, pair, &instants_s, in_short)?;
            Some(Member {
                set_aside: sort::find(&of.set_aside, &pair).unwrap_or_default(),
                ..member
            })
        };
        let members = of.pairs.into_iter().enumerate().filter_map(member);
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
            ambient_c: of.ambient_c,
            cells,
            members,
            usual_open_v: of.open_v.into_iter().map(usual_open_v).collect(),
            set_aside: of.set_aside,
            has_curves: !results.is_in_short(),
            has_typical: !results.is_in_short() || in_short.is_some(),
        }
    }

    /// Scatter of runs about the means of their cells in the logarithm of a measure.
    pub fn scatter_of(&self, measure_nm: &dyn Fn(&Counted) -> f64) -> RunScatter {
        self.cells
            .run_scatter(&log_values(&self.members, measure_nm))
    }

    /// The same in the logarithm of the torque at a time in s that each member has of its own.
    pub fn scatter_at(&self, time_s: &mut dyn FnMut(&Member) -> f64) -> RunScatter {
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

/// The logarithm of a torque of every run of some members.
fn log_values(members: &[Member], torque_nm: &dyn Fn(&Counted) -> f64) -> Vec<f64> {
    let mut values = Vec::new();
    for member in members {
        values.extend(member.combination.log_values(torque_nm));
    }
    values
}

/// Works out how much the runs of each member differ.
fn tell_by_time(members: &mut [Member], cells: &Cells, window_s: f64) {
    let times: Vec<f64> = times(window_s).collect();
    let runs = members.iter().flat_map(|member| member.combination.runs());
    let logs: Vec<Vec<f64>> = runs.map(|run| run.curve.log_torques_at(&times)).collect();
    let told = (0..times.len()).map(|index| {
        let values = logs.iter().filter_map(|run| run.get(index)).copied();
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

/// The line of the joint that the setup names, or of the rig's first.
fn joint_line(rig: &Rig, setup: &Setup) -> Option<JointLine> {
    let joints = &rig.joints;
    let joint = match &setup.joint {
        Some(id) => joints.iter().find(|joint| &joint.id == id),
        None => joints.first(),
    }?;
    JointLine::new(joint.angle_deg.as_ref()?, joint.torque_nm.as_ref()?)
}
