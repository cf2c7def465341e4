//! Pairs nobody ran, estimated from those of the same tool and of the same pack.
//!
//! The level that is estimated is that of the question, as every question has its own number: the
//! torque when the visitor's patience ends says whether a job is within reach, that at the window's
//! end scales the typical curve, whose shape is that of the tool's other packs.

use super::Field;
use super::estimated::Estimated;
use super::uncertainty::Uncertainty;
use crate::estimate::{Measured, Model};
use crate::query::resolved::Asked;
use crate::scatter::shares::Shares;
use crate::sort;
use crate::typical::Combination;

/// A list of a whole field holds no estimates if there are more than this: they would bury what was
/// measured.
const MOST_OF_A_FIELD: usize = 150;

/// What a field says about pairs nobody ran.
#[derive(Debug)]
pub(crate) struct Estimates {
    end: Model,
    /// For the end of the visitor's patience, where that comes before the window's.
    within: Option<Model>,
}

impl Estimates {
    /// `None` where the field has too few runs or pairs to say.
    pub fn of(field: &Field, uncertainty: &Uncertainty, within_s: f64) -> Option<Self> {
        if uncertainty.too_few() {
            return None;
        }
        let within = (within_s < field.window_s).then_some(within_s);
        Some(Self {
            end: model(field, uncertainty, field.window_s)?,
            within: match within {
                Some(within_s) => Some(model(field, uncertainty, within_s)?),
                None => None,
            },
        })
    }

    fn within(&self) -> &Model {
        self.within.as_ref().unwrap_or(&self.end)
    }

    /// How far such estimates were off on measured pairs, in per cent.
    pub fn off_by_percent(&self) -> f64 {
        100.0 * self.within().off_by
    }

    /// A pair, if it was not measured and can be estimated. It fits: measured pairs do, and a chain of
    /// them links its tool and its pack.
    pub fn pair(&self, field: &Field, tool: usize, pack: usize) -> Option<Estimated> {
        let end = self.end.estimate(tool, pack)?;
        let of_tool = field.members.iter().filter(|member| member.tool == tool);
        let of_pack = field.members.iter().filter(|member| member.pack == pack);
        Some(Estimated {
            tool,
            pack,
            pack_effect: Shares::of_pack_effect(of_pack.map(|member| &member.shares)),
            combination: Combination::shaped_like(
                of_tool.map(|member| &member.combination),
                field.window_s,
                libm::exp(end.level),
            )?,
            end: end.scatter,
            within: self.within().estimate(tool, pack)?,
        })
    }

    /// Every pair asked for that can be estimated, in the order of the file's tools and packs.
    pub fn all(&self, field: &Field, asked: &Asked) -> Vec<Estimated> {
        let is_of_field = (asked.tool, asked.pack) == (None, None);
        if is_of_field && self.end.not_measured() > MOST_OF_A_FIELD {
            return Vec::new();
        }
        let mut tools: Vec<usize> = field.members.iter().map(|member| member.tool).collect();
        let mut packs: Vec<usize> = field.members.iter().map(|member| member.pack).collect();
        for places in [&mut tools, &mut packs] {
            sort::distinct(places);
        }
        let pairs = tools
            .iter()
            .flat_map(|&tool| packs.iter().map(move |&pack| (tool, pack)));
        let asked_for = pairs.filter(|&(tool, pack)| asked.matches(tool, pack));
        asked_for
            .filter_map(|(tool, pack)| self.pair(field, tool, pack))
            .collect()
    }
}

/// The model of a field's typical torques at an instant. The interaction known beforehand is as
/// large as the scatter of runs.
fn model(field: &Field, uncertainty: &Uncertainty, time_s: f64) -> Option<Model> {
    let run = field.scatter_at(&mut |_| time_s);
    let measured: Vec<Measured> = field
        .members
        .iter()
        .map(|member| Measured {
            tool: member.tool,
            pack: member.pack,
            level: member.combination.log_torque_at(time_s),
        })
        .collect();
    let members = &field.members;
    let covariance = |one: usize, other: usize| match (members.get(one), members.get(other)) {
        (Some(member), _) if one == other => {
            let run = run.of_tool(member.tool);
            uncertainty.of_mean(run, member).variance
        }
        (Some(member), Some(other)) => {
            let scatters = &uncertainty.scatters;
            member.shares.covariance(&other.shares, scatters)
        }
        _ => 0.0,
    };
    Model::of(&measured, covariance, run.pooled.variance)
}
