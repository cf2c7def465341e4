//! What a dataset may hold, field by field. Every numeric field carries its unit in its name.
//!
//! Absent and `null` mean the same. Fields not named here are kept when a file is written again,
//! because a writer edits the document and never rebuilds it from these types.

use serde::{Deserialize, Deserializer, Serialize};

/// Reads an absent or `null` value as the type's default.
fn or_default<'de, D: Deserializer<'de>, T: Deserialize<'de> + Default>(
    from: D,
) -> Result<T, D::Error> {
    Ok(Option::<T>::deserialize(from)?.unwrap_or_default())
}

/// A whole dataset.
#[derive(Clone, Debug, Default)]
#[cfg_attr(not(target_arch = "wasm32"), derive(Deserialize, schemars::JsonSchema))]
pub struct Dataset {
    /// `jobtorque/1`.
    pub format: String,
    /// Name of the results.
    pub title: String,
    /// What was measured, in a paragraph.
    pub summary: Option<String>,
    /// Who publishes the results.
    pub publisher: Option<String>,
    /// Where to write to.
    pub contact: Option<String>,
    /// Licence of the data, as an SPDX identifier or in words.
    pub license: String,
    /// True if the data are made up; says so on every view.
    pub invented: Option<bool>,
    /// Who paid, who gave or lent tools, which links earn money; "nobody" if so.
    pub disclosure: String,
    /// Two combinations match if they differ by no more than this, in per cent.
    pub match_margin_percent: Option<f64>,
    /// Published states, oldest first; at least one.
    pub editions: Vec<Edition>,
    /// Rigs; the first is the standard; at least one.
    pub rigs: Vec<Rig>,
    /// How runs were made; the first is the standard.
    #[cfg_attr(
        not(target_arch = "wasm32"),
        serde(default),
        schemars(with = "Option<Vec<Setup>>")
    )]
    pub setups: Vec<Setup>,
    /// Tools; at least one.
    pub tools: Vec<Tool>,
    /// Battery packs; at least one.
    pub packs: Vec<Pack>,
    /// Single tools and packs, how they were got.
    #[cfg_attr(
        not(target_arch = "wasm32"),
        serde(default),
        schemars(with = "Option<Vec<Specimen>>")
    )]
    pub specimens: Vec<Specimen>,
    /// Days of runs; at least one.
    pub days: Vec<Day>,
    /// Runs; may be empty.
    pub runs: Vec<Run>,
    /// Jobs a visitor may pick.
    #[cfg_attr(
        not(target_arch = "wasm32"),
        serde(default),
        schemars(with = "Option<Vec<Job>>")
    )]
    pub jobs: Vec<Job>,
    /// What came loose on real fasteners and what did not.
    #[cfg_attr(
        not(target_arch = "wasm32"),
        serde(default),
        schemars(with = "Option<Vec<FieldCheck>>")
    )]
    pub field_checks: Vec<FieldCheck>,
}

/// A published state of the results.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
pub struct Edition {
    /// Its number; numbers rise through the list.
    pub edition: u32,
    /// Day of publication, `YYYY-MM-DD`.
    pub date: String,
    /// What is new.
    pub note: Option<String>,
    /// Corrections of earlier results.
    #[serde(default, deserialize_with = "or_default")]
    #[cfg_attr(
        not(target_arch = "wasm32"),
        schemars(with = "Option<Vec<Correction>>")
    )]
    pub corrections: Vec<Correction>,
}

/// A correction that an edition makes.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
pub struct Correction {
    /// What was wrong and why.
    pub text: String,
    /// Tools beside which the correction is shown.
    #[serde(default, deserialize_with = "or_default")]
    #[cfg_attr(not(target_arch = "wasm32"), schemars(with = "Option<Vec<String>>"))]
    pub tools: Vec<String>,
    /// Days whose runs the factor multiplies.
    #[serde(default, deserialize_with = "or_default")]
    #[cfg_attr(not(target_arch = "wasm32"), schemars(with = "Option<Vec<String>>"))]
    pub days: Vec<String>,
    /// Multiplies the torque of every run of `days` from this edition on.
    pub torque_factor: Option<f64>,
}

/// A test rig.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
pub struct Rig {
    /// Identifier, unique among rigs.
    pub id: String,
    /// Name for people.
    pub name: Option<String>,
    /// What the torque is worked out from.
    pub torque_from: TorqueFrom,
    /// Length of a run that counts, from the onset, in seconds; 5 if absent.
    pub window_s: Option<f64>,
    /// Onset level above the quiet level, in N·m; 2 % of the largest rise if absent.
    pub onset_nm: Option<f64>,
    /// Width of the running median, in seconds; 0.04 if absent.
    pub smooth_s: Option<f64>,
    /// How much tools of one model are known to differ beforehand, one standard deviation in per cent.
    pub unit_to_unit_percent: Option<f64>,
    /// Calibrations, dated.
    #[serde(default, deserialize_with = "or_default")]
    #[cfg_attr(
        not(target_arch = "wasm32"),
        schemars(with = "Option<Vec<Calibration>>")
    )]
    pub calibrations: Vec<Calibration>,
    /// Joints the rig can hold; the first is the standard.
    #[serde(default, deserialize_with = "or_default")]
    #[cfg_attr(not(target_arch = "wasm32"), schemars(with = "Option<Vec<Joint>>"))]
    pub joints: Vec<Joint>,
}

impl Rig {
    /// Length of a run that counts, τ, in seconds.
    pub fn window_s(&self) -> f64 {
        self.window_s.unwrap_or(5.0)
    }

    /// Width of the running median in seconds: about two blows.
    pub fn smooth_s(&self) -> f64 {
        self.smooth_s.unwrap_or(0.04)
    }
}

/// What a rig works torque out from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
pub enum TorqueFrom {
    /// The tension of the bolt: the torque is an equivalent static torque.
    #[serde(rename = "bolt tension")]
    BoltTension,
    /// A torque sensor.
    #[serde(rename = "torque sensor")]
    TorqueSensor,
}

/// A calibration of a rig.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
pub struct Calibration {
    /// Day, `YYYY-MM-DD`; in force from then on.
    pub date: String,
    /// Expanded uncertainty of torque, in per cent.
    pub expanded_uncertainty_percent: Option<f64>,
    /// Coverage factor of that uncertainty; 2 if absent.
    pub coverage_factor: Option<f64>,
    /// Torque per bolt tension, a note.
    pub nm_per_kn: Option<f64>,
    /// Anything else.
    pub note: Option<String>,
}

/// A joint: how far it turns for which torque.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
pub struct Joint {
    /// Identifier, unique on its rig.
    pub id: String,
    /// Name for people.
    pub name: String,
    /// Lubricant of thread and head.
    pub lubricant: Option<String>,
    /// Angle in degrees, strictly rising.
    pub angle_deg: Option<Vec<f64>>,
    /// Torque in N·m at each angle, strictly rising.
    pub torque_nm: Option<Vec<f64>>,
}

/// How runs were made. A thing changed on purpose is a setup.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
pub struct Setup {
    /// Identifier, unique among setups.
    pub id: String,
    /// Description for people.
    pub name: String,
    /// Sense of rotation.
    pub rotation: Option<Rotation>,
    /// Setting of the tool.
    pub tool_mode: Option<String>,
    /// Joint, looked up on the run's rig; the rig's first if absent.
    pub joint: Option<String>,
    /// Extension between tool and socket, in millimetres.
    pub extension_mm: Option<f64>,
    /// Adapters between pack and tool or tool and socket.
    pub adapters: Option<String>,
    /// Charge of the pack at the start, in per cent.
    pub start_charge_percent: Option<f64>,
    /// Temperature of the pack at the start, in °C.
    pub pack_start_c: Option<f64>,
}

/// Sense of rotation.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum Rotation {
    /// The tightening sense.
    Forward,
    /// The loosening sense.
    Reverse,
}

/// A tool.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
pub struct Tool {
    /// Identifier, unique among tools.
    pub id: String,
    /// Name for people.
    pub name: String,
    /// Who makes it.
    pub maker: Option<String>,
    /// Other names it is sold under.
    #[serde(default, deserialize_with = "or_default")]
    #[cfg_attr(not(target_arch = "wasm32"), schemars(with = "Option<Vec<String>>"))]
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
    /// Prices without pack, dated.
    #[serde(default, deserialize_with = "or_default")]
    #[cfg_attr(not(target_arch = "wasm32"), schemars(with = "Option<Vec<Price>>"))]
    pub prices: Vec<Price>,
}

/// Size of a tool, as the tester sorts them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize)]
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
#[derive(Clone, Debug, Deserialize)]
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
    #[serde(rename = "where")]
    pub place: Option<String>,
}

/// A battery pack.
#[derive(Clone, Debug, Deserialize)]
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
    #[serde(default, deserialize_with = "or_default")]
    #[cfg_attr(not(target_arch = "wasm32"), schemars(with = "Option<Vec<Price>>"))]
    pub prices: Vec<Price>,
}

/// Cells of a pack.
#[derive(Clone, Debug, Deserialize)]
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
#[derive(Clone, Debug, Deserialize)]
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
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum Got {
    /// Bought.
    Bought,
    /// Lent.
    Lent,
    /// Given.
    Given,
}

/// State of a specimen.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum Condition {
    /// New.
    New,
    /// Used.
    Used,
}

/// The runs of one day.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
pub struct Day {
    /// Identifier, unique among days.
    pub id: String,
    /// Date, `YYYY-MM-DD`.
    pub date: String,
    /// Rig; the first if absent.
    pub rig: Option<String>,
    /// Air temperature in °C.
    pub ambient_c: Option<f64>,
    /// Who held the tool; left out of the published form unless asked for.
    pub operator: Option<String>,
    /// What was special.
    pub note: Option<String>,
}

/// One run: raw samples or knots of its build-up curve, never both.
#[derive(Clone, Debug, Default, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
pub struct Run {
    /// Tool.
    pub tool: String,
    /// Pack.
    pub pack: String,
    /// Setup; the first if absent.
    pub setup: Option<String>,
    /// Specimen of the tool; one unnamed if absent.
    pub specimen: Option<String>,
    /// Specimen of the pack.
    pub pack_specimen: Option<String>,
    /// Day.
    pub day: String,
    /// Edition that first published it; a draft if absent.
    pub edition: Option<u32>,
    /// True for a control run, which serves the control chart alone.
    pub control: Option<bool>,
    /// Why and since when the run is set aside.
    pub excluded: Option<Exclusion>,
    /// When in its day, in seconds.
    pub at_s: Option<f64>,
    /// How often the bolt had been used.
    pub bolt_use: Option<u32>,
    /// The raw file.
    pub log: Option<LogFile>,
    /// Time of the first sample, in seconds; 0 if absent.
    pub start_s: Option<f64>,
    /// Sampling interval in seconds.
    pub interval_s: Option<f64>,
    /// Sample times in whole microseconds, in place of `start_s` and `interval_s`.
    pub time_us: Option<Vec<i64>>,
    /// Torque in tenths of a N·m.
    pub torque_dnm: Option<Vec<i32>>,
    /// Pack voltage in mV.
    pub voltage_mv: Option<Vec<i32>>,
    /// Pack current in mA.
    pub current_ma: Option<Vec<i32>>,
    /// Angle in tenths of a degree.
    pub angle_ddeg: Option<Vec<i32>>,
    /// The run as knots of its build-up curve.
    pub buildup: Option<BuildUp>,
}

/// Why a run does not count, and from which edition on.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
pub struct Exclusion {
    /// Reason in words.
    pub reason: String,
    /// Earlier editions still count the run; absent only for a draft.
    pub edition: Option<u32>,
}

/// A raw file and its fingerprint.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
pub struct LogFile {
    /// File name.
    pub file: Option<String>,
    /// SHA-256 of its bytes in hexadecimal.
    pub sha256: Option<String>,
}

/// A run as published: knots of its build-up curve, all whole numbers.
///
/// Knot k lies at `first_us` + `tick_us` × (sum of `step` to k) after the onset, at a torque of the
/// sum of `rise_dnm` to k.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize, Serialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
pub struct BuildUp {
    /// Torque at the onset, in tenths of a N·m; not above the first knot.
    pub onset_dnm: i32,
    /// Unit of `step`, in microseconds: the sampling interval, or 1 where sampling is uneven.
    pub tick_us: u32,
    /// First sample's distance from the onset, in microseconds.
    pub first_us: u32,
    /// Ticks from each knot to the next; begins with 0.
    pub step: Vec<u32>,
    /// Growth from each knot to the next, in tenths of a N·m; only the first may be negative.
    pub rise_dnm: Vec<i32>,
    /// Largest sample less the zero, in tenths of a N·m.
    pub largest_dnm: i32,
    /// Samples of the log, repeated time stamps merged.
    pub samples: u32,
    /// Zero taken away, in tenths of a N·m.
    pub zero_dnm: i32,
    /// Median interval between samples, in microseconds.
    pub gap_us: u32,
    /// What is unusual about the run.
    #[serde(
        default,
        deserialize_with = "or_default",
        skip_serializing_if = "Vec::is_empty"
    )]
    #[cfg_attr(not(target_arch = "wasm32"), schemars(with = "Option<Vec<Flag>>"))]
    pub flags: Vec<Flag>,
    /// Growth of the angle's running maximum since the knot before, in tenths of a degree.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub turn_ddeg: Option<Vec<i32>>,
    /// Open-circuit voltage of the pack, in mV.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub open_mv: Option<i64>,
    /// Resistance of the pack, in micro-ohm.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub resistance_uohm: Option<i64>,
    /// Lowest loaded voltage, in mV.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub lowest_mv: Option<i64>,
    /// Electrical energy from the onset to the end, in mJ.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub energy_mj: Option<i64>,
}

/// What is unusual about a run.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Flag {
    /// The log ends or the torque falls for good before the window has passed.
    Short,
    /// No sample lies below the onset level.
    NoQuiet,
}

/// A job a visitor may pick.
#[derive(Clone, Debug, Deserialize)]
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
#[derive(Clone, Debug, PartialEq)]
pub struct TorqueRange(pub Vec<f64>);

impl TorqueRange {
    /// The figures, in N·m.
    pub fn figures(&self) -> &[f64] {
        &self.0
    }
}

impl<'de> Deserialize<'de> for TorqueRange {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        struct Figures;
        impl<'de> serde::de::Visitor<'de> for Figures {
            type Value = Vec<f64>;

            fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str("a torque in N·m or a list of two")
            }

            fn visit_f64<E>(self, figure: f64) -> Result<Vec<f64>, E> {
                Ok(vec![figure])
            }

            fn visit_u64<E>(self, figure: u64) -> Result<Vec<f64>, E> {
                Ok(vec![figure as f64])
            }

            fn visit_i64<E>(self, figure: i64) -> Result<Vec<f64>, E> {
                Ok(vec![figure as f64])
            }

            fn visit_seq<A: serde::de::SeqAccess<'de>>(
                self,
                mut from: A,
            ) -> Result<Vec<f64>, A::Error> {
                let mut figures = Vec::new();
                while let Some(figure) = from.next_element()? {
                    figures.push(figure);
                }
                Ok(figures)
            }
        }
        from.deserialize_any(Figures).map(Self)
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
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "lowercase")]
pub enum Direction {
    /// Loosen.
    Loosen,
    /// Tighten.
    Tighten,
}

/// Which cautions a job needs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "lowercase")]
pub enum Caution {
    /// A road wheel.
    Wheel,
}

/// What happened on a real fastener.
#[derive(Clone, Debug, Deserialize)]
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
