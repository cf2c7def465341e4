//! A job written as a bolt.

use super::BoltFigures;
use crate::bolt::{Bolt, Friction, Preload, tightening_factor};

/// Everything that is worked out of a bolt.
pub(crate) fn figures(bolt: &Bolt) -> BoltFigures {
    let Bolt {
        thread,
        class,
        friction,
        preload,
    } = bolt;
    let (part, preload_of_yield) = match preload {
        Preload::OfProof(part) => (part, false),
        Preload::OfYield(part) => (part, true),
    };
    let scatter_percent = friction.preload_scatter_percent();
    BoltFigures {
        thread: thread.name(),
        system: thread.size().system,
        class: class.name,
        stainless: class.is_stainless(),
        friction: match friction {
            Friction::Finish(finish) => finish.name,
            Friction::NutFactor(_) => "nut_factor",
            Friction::Coefficients { .. } => "coefficient",
        },
        diameter_mm: thread.diameter_mm(),
        pitch_mm: thread.pitch_mm(),
        stress_area_mm2: thread.stress_area_mm2(),
        proof_stress_mpa: class.proof_stress_mpa(),
        yield_stress_mpa: class.yield_stress_mpa(),
        nut_factor: friction.nut_factor(thread),
        friction_coefficient: friction.thread_coefficient(thread),
        preload_n: bolt.preload_n(),
        preload_percent: 100.0 * part,
        preload_of_yield,
        tightening_torque_nm: bolt.tightening_torque_nm(),
        loosening_torque_nm: bolt.loosening_torque_nm(),
        preload_scatter_percent: scatter_percent,
        tightening_factor: tightening_factor(scatter_percent),
    }
}
