//! What an edition changes against an earlier one: plain data.

use crate::compare::data::Ratio;
use serde::Serialize;

/// What an edition changes against an earlier one.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Changes {
    /// The earlier edition.
    pub since: u32,
    /// The edition told of.
    pub edition: u32,
    /// Pairs with runs that count where the earlier edition had none.
    pub new_pairs: Vec<NewPair>,
    /// Pairs of both editions with further runs, or with another figure.
    pub changed: Vec<ChangedPair>,
    /// Pairs that have no run left that counts, with the figure of the earlier edition.
    pub gone: Vec<NewPair>,
    /// Runs set aside since.
    pub set_aside: Vec<SetAsideSince>,
    /// Corrections made since.
    pub corrections: Vec<CorrectionMade>,
    /// Places that moved, for each job of the file.
    pub places: Vec<Places>,
}

/// Typical mean torque over the window with its 90 % interval.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Figure {
    /// Typical mean torque in N·m.
    pub mean_torque_nm: f64,
    /// Lower end of its interval in N·m; `null` with too few runs.
    pub low_nm: Option<f64>,
    /// Upper end of its interval in N·m; `null` with too few runs.
    pub high_nm: Option<f64>,
    /// Runs that count.
    pub runs: usize,
}

/// A pair with its figure.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct NewPair {
    /// Identifier of the rig.
    pub rig: String,
    /// Identifier of the setup.
    pub setup: String,
    /// Identifier of the tool.
    pub tool: String,
    /// Identifier of the pack.
    pub pack: String,
    /// Name of tool and pack.
    pub label: String,
    /// Its figure.
    #[serde(flatten)]
    pub figure: Figure,
}

/// A pair of both editions.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ChangedPair {
    /// The pair with its figure in the edition told of.
    pub now: NewPair,
    /// Its figure in the earlier edition, as that edition had it.
    pub before: Figure,
    /// Runs that count now and did not then.
    pub runs_added: usize,
    /// Runs that counted then and are set aside now.
    pub runs_removed: usize,
    /// Mean torque of the added runs over that of the runs that counted before, both with the
    /// corrections of the edition told of; `null` if there are not both.
    pub added_over_before: Option<Ratio>,
    /// Whether the interval of that ratio does not hold 1; `null` with too few runs.
    pub beyond_scatter: Option<bool>,
}

/// A run set aside.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SetAsideSince {
    /// Its number in the notebook or file, from 1.
    pub run: usize,
    /// Identifier of the tool.
    pub tool: String,
    /// Identifier of the pack.
    pub pack: String,
    /// Identifier of the day.
    pub day: String,
    /// File of its log.
    pub log_file: Option<String>,
    /// Why.
    pub reason: String,
    /// The edition that sets it aside.
    pub edition: u32,
    /// Whether the earlier edition counted it.
    pub counted_before: bool,
}

/// A correction.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CorrectionMade {
    /// The edition that makes it.
    pub edition: u32,
    /// What was wrong and why.
    pub text: String,
    /// Tools beside which it is shown.
    pub tools: Vec<String>,
    /// Days whose runs the factor multiplies.
    pub days: Vec<String>,
    /// The factor, if there is one.
    pub torque_factor: Option<f64>,
}

/// Places of a job that moved.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Places {
    /// Identifier of the rig.
    pub rig: String,
    /// Identifier of the setup.
    pub setup: String,
    /// Identifier of the job.
    pub job: String,
    /// Required torque in N·m.
    pub required_torque_nm: f64,
    /// How many pairs have a place in both editions; places are counted among them.
    pub of: usize,
    /// The pairs among them whose place is another, best first.
    pub moved: Vec<Moved>,
}

/// A pair with two places.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Moved {
    /// Identifier of the tool.
    pub tool: String,
    /// Identifier of the pack.
    pub pack: String,
    /// Name of tool and pack.
    pub label: String,
    /// Place in the earlier edition.
    pub rank_before: u32,
    /// Place in the edition told of.
    pub rank: u32,
    /// 90 % interval of the earlier place.
    pub interval_before: Option<(u32, u32)>,
    /// 90 % interval of the place.
    pub interval: Option<(u32, u32)>,
    /// Whether the intervals do not overlap; `null` where there are not two.
    pub beyond_doubt: Option<bool>,
}
