//! The figures of a job that was asked for as a bolt.

pub(crate) mod figures;
pub(crate) mod words;

use crate::bolt::{Bolt, ParseBoltError, System};
use crate::problem::{Problem, quoted};
use crate::text::catalogue::Catalogue;
use serde::Serialize;
use words::{refused, wanted};

/// A bolt worked out from handbook formulas, in SI units at full precision.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct BoltFigures {
    /// Thread: `M20×2.5`, `1/2-13 UNC`.
    pub thread: String,
    /// The family of standards that its class is of.
    #[serde(skip)]
    pub system: System,
    /// Property class, or SAE grade of an inch thread: `10.9`, `A2-70`, `8`.
    pub class: &'static str,
    /// Whether the class is of stainless steel.
    #[serde(skip)]
    pub stainless: bool,
    /// Code of the finish whose usual nut factor is taken; `nut_factor` or `coefficient` where that was
    /// given.
    pub friction: &'static str,
    /// Nominal diameter in mm.
    pub diameter_mm: f64,
    /// Pitch in mm.
    pub pitch_mm: f64,
    /// Tensile stress area in mm².
    pub stress_area_mm2: f64,
    /// Proof stress in N/mm².
    pub proof_stress_mpa: f64,
    /// Yield strength in N/mm².
    pub yield_stress_mpa: f64,
    /// Nut factor K: torque over preload and diameter.
    pub nut_factor: f64,
    /// Coefficient of friction in thread and below the head that was given, or that the nut factor
    /// comes to.
    pub friction_coefficient: f64,
    /// Preload in N.
    pub preload_n: f64,
    /// Preload in per cent of the proof load, or of what uses the yield strength up.
    pub preload_percent: f64,
    /// Whether `preload_percent` is of the yield strength.
    pub preload_of_yield: bool,
    /// Torque that tightens it, in N·m.
    pub tightening_torque_nm: f64,
    /// Torque that loosens it while the joint is fresh, in N·m.
    pub loosening_torque_nm: f64,
    /// How far preload differs at one torque, in per cent either way.
    pub preload_scatter_percent: f64,
    /// Largest preload at that scatter over the smallest.
    pub tightening_factor: f64,
}

/// Reads a bolt; `None` if the text does not begin like one.
pub(crate) fn read(text: &str, catalogue: &Catalogue) -> Option<Result<Bolt, Problem>> {
    match Bolt::parse(text) {
        Err(ParseBoltError::NotAThread) => None,
        Err(error) => {
            let problem = Problem::new("/job", quoted(text), wanted(&error));
            Some(Err(problem.message(refused(&error, catalogue))))
        }
        Ok(bolt) => Some(Ok(bolt)),
    }
}
