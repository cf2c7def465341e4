//! Editions, rigs, setups and days, and how much days and specimens differ.

#[cfg(not(target_arch = "wasm32"))]
use serde::Serialize;

/// A published state of the results.
#[derive(Clone, Debug, Default, PartialEq)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
pub struct Edition {
    /// Its number; numbers rise through the list.
    pub edition: u32,
    /// Day of publication, `YYYY-MM-DD`.
    pub date: String,
    /// True for an edition that is not published: its runs are drafts, and every view says so.
    pub draft: Option<bool>,
    /// What is new.
    pub note: Option<String>,
    /// Corrections of earlier results.
    #[cfg_attr(
        not(target_arch = "wasm32"),
        schemars(default, with = "Option<Vec<Correction>>")
    )]
    pub corrections: Vec<Correction>,
}

impl Edition {
    /// Whether it is not published.
    pub fn is_draft(&self) -> bool {
        self.draft.unwrap_or(false)
    }
}

/// A correction that an edition makes.
#[derive(Clone, Debug, Default, PartialEq)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
pub struct Correction {
    /// What was wrong and why.
    pub text: String,
    /// Tools beside which the correction is shown.
    #[cfg_attr(
        not(target_arch = "wasm32"),
        schemars(default, with = "Option<Vec<String>>")
    )]
    pub tools: Vec<String>,
    /// Days whose runs the factor multiplies.
    #[cfg_attr(
        not(target_arch = "wasm32"),
        schemars(default, with = "Option<Vec<String>>")
    )]
    pub days: Vec<String>,
    /// Multiplies the torque of every run of `days` from this edition on.
    pub torque_factor: Option<f64>,
    /// True where the factor is what check runs of these days show, as `drift` proposes it.
    pub from_checks: Option<bool>,
}

/// A test rig.
#[derive(Clone, Debug, Default, PartialEq)]
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
    /// Whether the torque's zero is kept as logged; if false or absent it is taken from the samples
    /// before the onset where these are flat.
    pub keep_zero: Option<bool>,
    /// How much tools of one model are taken to differ beforehand, one standard deviation in per cent;
    /// 3.5 if absent.
    pub unit_to_unit_percent: Option<f64>,
    /// How much packs of one kind are taken to differ beforehand, one standard deviation in per cent;
    /// if absent 2, or 4 where a pack that was run is used.
    pub pack_to_pack_percent: Option<f64>,
    /// How much days are taken to differ beforehand, one standard deviation in per cent; 1 if absent.
    pub day_to_day_percent: Option<f64>,
    /// Calibrations, dated.
    #[cfg_attr(
        not(target_arch = "wasm32"),
        schemars(default, with = "Option<Vec<Calibration>>")
    )]
    pub calibrations: Vec<Calibration>,
    /// Joints the rig can hold; the first is the standard.
    #[cfg_attr(
        not(target_arch = "wasm32"),
        schemars(default, with = "Option<Vec<Joint>>")
    )]
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

    /// Whether the torque's zero is kept as logged.
    pub fn keep_zero(&self) -> bool {
        self.keep_zero.unwrap_or_default()
    }

    /// The calibration in force on a day, `YYYY-MM-DD`: the latest not after it.
    pub fn calibration_on(&self, date: &str) -> Option<&Calibration> {
        let in_force = self.calibrations.iter();
        in_force
            .filter(|calibration| calibration.date.as_str() <= date)
            .max_by(|a, b| a.date.cmp(&b.date))
    }
}

/// What a rig works torque out from.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
pub enum TorqueFrom {
    /// The tension of the bolt: the torque is an equivalent static torque.
    #[default]
    #[cfg_attr(not(target_arch = "wasm32"), schemars(rename = "bolt tension"))]
    BoltTension,
    /// A torque sensor.
    #[cfg_attr(not(target_arch = "wasm32"), schemars(rename = "torque sensor"))]
    TorqueSensor,
}

/// A calibration of a rig.
#[derive(Clone, Debug, Default, PartialEq)]
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

impl Calibration {
    /// Coverage factor of the expanded uncertainty.
    pub fn coverage_factor(&self) -> f64 {
        self.coverage_factor.unwrap_or(2.0)
    }
}

/// A joint: how far it turns for which torque.
#[derive(Clone, Debug, Default, PartialEq)]
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
#[derive(Clone, Debug, Default, PartialEq)]
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
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[cfg_attr(not(target_arch = "wasm32"), schemars(rename_all = "lowercase"))]
pub enum Rotation {
    /// The tightening sense.
    Forward,
    /// The loosening sense.
    Reverse,
}

/// The runs of one day.
#[derive(Clone, Debug, Default, PartialEq)]
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

/// How much specimens of one tool, specimens of one pack and days differ on one rig, in one setup and
/// one edition: standard deviations of logarithms in millionths, degrees of freedom in hundredths.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema, Serialize))]
pub struct FieldScatter {
    /// Rig.
    pub rig: String,
    /// Setup.
    pub setup: String,
    /// Edition.
    pub edition: u32,
    /// Standard deviation of specimens of one tool.
    pub specimen_ppm: u32,
    /// Its degrees of freedom.
    pub specimen_cnu: u32,
    /// Standard deviation of specimens of one pack.
    pub pack_ppm: u32,
    /// Its degrees of freedom.
    pub pack_cnu: u32,
    /// Standard deviation of days.
    pub day_ppm: u32,
    /// Its degrees of freedom.
    pub day_cnu: u32,
}
