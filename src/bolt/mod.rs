//! A bolt to a torque: thread, class and friction give preload, tightening torque, and the torque that
//! loosens the joint while it is fresh.
//!
//! Worked out from handbook formulas, never measured here. [`Bolt::parse`] reads what people write
//! (`M20 10.9`, `1/2-13 grade 8 oiled`).
//!
//! Where nothing else is said, a bolt is tightened to 75 % of its proof load with a nut factor of 0.20,
//! the common pair of handbooks ("if unknown use 0.20"): it serves metric and inch bolts alike, needs no
//! head, and asks for 1 to 7 % more torque than VDI 2230 at μ = 0.12, so that a tool is not promised too
//! much. Naming a coefficient of friction takes the way of VDI 2230: 90 % of the yield strength, and
//! torque from thread and head.

mod class;
mod flats;
mod friction;
mod thread;
mod written;

pub use class::{Class, classes};
pub use flats::Flats;
pub use friction::{FINISHES, Finish, Friction, nut_factor, tightening_factor};
pub use thread::{SIZES, Size, Thread};
pub use written::{LIMITS, Limits, ParseBoltError};

use crate::units::TorqueUnit;
use core::f64::consts::PI;

/// Which family of standards a bolt belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum System {
    /// ISO metric thread, property classes.
    Metric,
    /// Unified inch thread, SAE grades.
    Inch,
}

impl System {
    /// The unit of torque that goes with it.
    pub fn torque_unit(self) -> TorqueUnit {
        match self {
            Self::Metric => TorqueUnit::NewtonMetre,
            Self::Inch => TorqueUnit::PoundForceFoot,
        }
    }
}

/// How hard a bolt is to pull.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Preload {
    /// To this part of its proof load.
    OfProof(f64),
    /// Until pull and twist together use this part of its yield strength (VDI 2230 Part 1).
    OfYield(f64),
}

/// A bolt and how it is tightened.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bolt {
    /// Its thread.
    pub thread: Thread,
    /// Its property class or grade, of the thread's own family.
    pub class: &'static Class,
    /// What resists turning.
    pub friction: Friction,
    /// How hard it is to pull.
    pub preload: Preload,
}

impl Bolt {
    /// Preload in N. Of the proof load: part × proof stress × stress area. Of the yield strength, ν·R_p0.2:
    /// ν·R·A / √(1 + 3·(3/2 · d₂/d_s · (P/(π·d₂) + 1.155·μ_G))²). Source: VDI 2230 Part 1.
    pub fn preload_n(&self) -> f64 {
        let (thread, area_mm2) = (&self.thread, self.thread.stress_area_mm2());
        match self.preload {
            Preload::OfProof(part) => part * self.class.proof_stress_mpa() * area_mm2,
            Preload::OfYield(part) => {
                let pitch_diameter_mm = thread.pitch_diameter_mm();
                let slope = thread.pitch_mm() / (PI * pitch_diameter_mm);
                let friction = 1.155 * self.friction.thread_coefficient(thread);
                let twist =
                    1.5 * pitch_diameter_mm / thread.stress_diameter_mm() * (slope + friction);
                let stress_mpa = part * self.class.yield_stress_mpa();
                stress_mpa * area_mm2 / (1.0 + 3.0 * twist * twist).sqrt()
            }
        }
    }

    /// Torque in N·m that tightens it to its preload.
    pub fn tightening_torque_nm(&self) -> f64 {
        self.friction
            .tightening_torque_nm(&self.thread, self.preload_n())
    }

    /// Torque in N·m that loosens it again while it is fresh.
    pub fn loosening_torque_nm(&self) -> f64 {
        self.friction
            .loosening_torque_nm(&self.thread, self.preload_n())
    }
}
