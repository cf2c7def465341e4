//! The packs on one tool.

use crate::compare::data::{CompareVerdict, Panel, Ratio};
use serde::Serialize;

/// The packs run on one tool, the one with most torque first. Ratios are over the pack that the
/// others are held against. Absent figures are `null`.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Packs {
    /// Whether the data are made up.
    pub invented: bool,
    /// Identifier of the tool.
    pub tool: String,
    /// Identifier of the pack that the others are held against: the one asked for, else the
    /// lightest.
    pub against: Option<String>,
    /// Identifier of the rig.
    pub rig: String,
    /// Identifier of the setup.
    pub setup: String,
    /// The edition shown.
    pub edition: u32,
    /// Ratios within this many per cent are a match; fixed beforehand in the file.
    pub match_margin_percent: Option<f64>,
    /// The packs.
    pub packs: Vec<PackOnTool>,
    /// The packs in words; `null` with fewer than two.
    pub words: Option<Panel>,
}

/// A pack on a tool.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PackOnTool {
    /// Identifier of the pack.
    pub pack: String,
    /// Packs with the same number match each other or are alike as tested, every two of them, and no
    /// other pack.
    pub group: Option<u32>,
    /// Whether it matches every other of its group.
    pub group_matches: Option<bool>,
    /// Whether it matches the pack it is held against, by mean torque; `null` for that pack.
    pub verdict: Option<CompareVerdict>,
    /// Typical mean torque over the window in N·m.
    pub mean_torque_nm: f64,
    /// Ratio of typical mean torque, as tested: of these very packs; `null` for the pack the others are
    /// held against.
    pub mean_torque_ratio: Option<Ratio>,
    /// The same, of any packs of their kinds.
    pub mean_torque_ratio_of_kinds: Option<Ratio>,
    /// Counted runs.
    pub runs_used: u32,
    /// Mass of tool and pack in kg.
    pub mass_kg: Option<f64>,
    /// Price of tool and pack.
    pub price: Option<f64>,
    /// Currency of that price.
    pub currency: Option<String>,
    /// Nominal voltage × capacity in W·h.
    pub energy_wh: Option<f64>,
    /// Open-circuit voltage in V: mean over the field's runs with this pack.
    pub open_v: Option<f64>,
    /// Resistance in ohm, likewise.
    pub resistance_ohm: Option<f64>,
    /// The most power that the pack could give, at half its open-circuit voltage, in W.
    pub most_power_w: Option<f64>,
    /// Lowest loaded voltage of this pair's runs in V.
    pub lowest_v: Option<f64>,
    /// The same for each cell in series.
    pub lowest_v_per_cell: Option<f64>,
    /// Median energy of this pair's runs in J.
    pub energy_per_run_j: Option<f64>,
    /// Runs on one charge.
    pub runs_per_charge: Option<u32>,
}

/// What stands beside an answer, in words.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct Panels {
    /// The pair asked for beside each pair that the question names beside it.
    pub beside: Vec<Panel>,
    /// The packs on the tool asked for; `null` without a tool, or with fewer than two packs.
    pub packs: Option<Panel>,
}
