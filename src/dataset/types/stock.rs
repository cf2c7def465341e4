//! Tools, packs, specimens, jobs and checks on real fasteners.

use serde::{Deserialize, Serialize};

/// A tool.
#[derive(Clone, Debug, Default, PartialEq)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
pub struct Tool {
    /// Identifier, unique among tools.
    pub id: String,
    /// Name for people.
    pub name: String,
    /// Who makes it.
    pub maker: Option<String>,
    /// Other names it is sold under.
    #[cfg_attr(
        not(target_arch = "wasm32"),
        schemars(default, with = "Option<Vec<String>>")
    )]
    pub aka: Vec<String>,
    /// Size as the tester sorts it.
    pub size: Option<Size>,
    /// Shape of the drive.
    pub drive_shape: Option<String>,
    /// Size of the drive in millimetres.
    pub drive_mm: Option<f64>,
    /// A pack fits if its mount is equal.
    pub pack_mount: String,
    /// Mass without pack and socket, in kg.
    pub mass_kg: Option<f64>,
    /// Front of anvil to back of housing, without socket, in millimetres.
    pub length_mm: Option<f64>,
    /// Axis of the drive to the side of the housing, in millimetres.
    pub centre_to_side_mm: Option<f64>,
    /// The maker's stated tightening torque, in N·m.
    pub stated_tightening_nm: Option<f64>,
    /// The maker's stated loosening torque, in N·m.
    pub stated_loosening_nm: Option<f64>,
    /// When it was last sold, `YYYY-MM`.
    pub last_sold: Option<String>,
    /// True for a hand-turned calibrated wrench, which only check runs are made with.
    pub reference: Option<bool>,
    /// Prices without pack, dated.
    #[cfg_attr(
        not(target_arch = "wasm32"),
        schemars(default, with = "Option<Vec<Price>>")
    )]
    pub prices: Vec<Price>,
}

/// Size of a tool, as the tester sorts them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "lowercase")]
pub enum Size {
    /// Compact tools.
    Small,
    /// Tools between.
    Medium,
    /// The strongest tools.
    Large,
}

/// A price on a day.
#[derive(Clone, Debug, Default, PartialEq)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
pub struct Price {
    /// Amount in `currency`.
    pub amount: f64,
    /// ISO 4217 code.
    pub currency: String,
    /// Day, `YYYY-MM-DD`.
    pub date: String,
    /// Whether tax is included.
    pub tax_included: Option<bool>,
    /// Country or kind of shop.
    #[cfg_attr(not(target_arch = "wasm32"), schemars(rename = "where"))]
    pub place: Option<String>,
}

/// A battery pack.
#[derive(Clone, Debug, Default, PartialEq)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
pub struct Pack {
    /// Identifier, unique among packs.
    pub id: String,
    /// Name for people.
    pub name: String,
    /// Fits tools with the same mount.
    pub pack_mount: String,
    /// Nominal voltage in V.
    pub nominal_v: Option<f64>,
    /// Capacity in A·h.
    pub capacity_ah: Option<f64>,
    /// Cells inside.
    pub cells: Option<Cells>,
    /// Mass in kg.
    pub mass_kg: Option<f64>,
    /// Prices, dated.
    #[cfg_attr(
        not(target_arch = "wasm32"),
        schemars(default, with = "Option<Vec<Price>>")
    )]
    pub prices: Vec<Price>,
}

/// Cells of a pack.
#[derive(Clone, Debug, Default, PartialEq)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
pub struct Cells {
    /// Format, such as 18650, 21700 or pouch.
    pub format: Option<String>,
    /// Cells in series.
    pub series: Option<u32>,
    /// Strings in parallel: rows of cells.
    pub parallel: Option<u32>,
}

/// One physical tool or pack.
#[derive(Clone, Debug, Default, PartialEq)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
pub struct Specimen {
    /// Its tool, if it is one.
    pub tool: Option<String>,
    /// Its pack, if it is one.
    pub pack: Option<String>,
    /// Its mark among the specimens of that tool or pack.
    pub specimen: String,
    /// How it was got.
    pub got: Option<Got>,
    /// From whom.
    pub got_from: Option<String>,
    /// New or used.
    pub condition: Option<Condition>,
    /// Month of making, `YYYY-MM`.
    pub made: Option<String>,
    /// Last digits of the serial number; left out of the published form unless asked for.
    pub serial_ends: Option<String>,
}

/// How a specimen was got.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[cfg_attr(not(target_arch = "wasm32"), schemars(rename_all = "lowercase"))]
pub enum Got {
    /// Bought.
    Bought,
    /// Lent.
    Lent,
    /// Given.
    Given,
}

/// State of a specimen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[cfg_attr(not(target_arch = "wasm32"), schemars(rename_all = "lowercase"))]
pub enum Condition {
    /// New.
    New,
    /// Used.
    Used,
}

/// A job a visitor may pick.
#[derive(Clone, Debug, Default, PartialEq)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
pub struct Job {
    /// Identifier, unique among jobs.
    pub id: String,
    /// Name for people.
    pub label: String,
    /// Thread.
    pub fastener: Option<String>,
    /// Loosen or tighten.
    pub direction: Direction,
    /// Torque: one figure, or a range of two.
    pub torque_nm: TorqueRange,
    /// Which cautions the job needs.
    pub caution: Option<Caution>,
    /// Where the figure comes from.
    pub source: Option<String>,
}

/// One torque or a range of two, in N·m: written as a number, or as a list of one or two.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct TorqueRange(pub Vec<f64>);

impl TorqueRange {
    /// The figures, in N·m.
    pub fn figures(&self) -> &[f64] {
        &self.0
    }
}

#[cfg(not(target_arch = "wasm32"))]
impl schemars::JsonSchema for TorqueRange {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "TorqueRange".into()
    }

    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({
            "description": "One torque or a range of two, in N·m, the smaller first.",
            "anyOf": [
                { "type": "number" },
                { "type": "array", "items": { "type": "number" }, "minItems": 1, "maxItems": 2 },
            ],
        })
    }
}

/// Whether a fastener is to be loosened or tightened.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize, Serialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "lowercase")]
pub enum Direction {
    /// Loosen.
    #[default]
    Loosen,
    /// Tighten.
    Tighten,
}

/// Which cautions a job needs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "lowercase")]
pub enum Caution {
    /// A road wheel.
    Wheel,
}

/// What happened on a real fastener.
#[derive(Clone, Debug, Default, PartialEq)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
pub struct FieldCheck {
    /// Day, `YYYY-MM-DD`.
    pub date: Option<String>,
    /// Tool.
    pub tool: Option<String>,
    /// Pack.
    pub pack: Option<String>,
    /// Thread or name.
    pub fastener: Option<String>,
    /// State of the fastener.
    pub state: Option<String>,
    /// Torque it was tightened to, in N·m.
    pub installed_nm: Option<f64>,
    /// Whether it came loose.
    pub came_loose: Option<bool>,
    /// How long was tried, in seconds.
    pub tried_s: Option<f64>,
}
