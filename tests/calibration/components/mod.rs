//! Whether answers come true where tool specimens, pack units, days and runs all differ, and where a
//! tester told some of them apart and others not.
//!
//! A field ([`world`]) is drawn for a scenario ([`scenario`]), measured ([`campaign`]) and asked about
//! ([`judge`]). The logarithm of a run's torque is
//!
//! pair + tool specimen + pack unit + day + run,
//!
//! one factor for the whole curve of a run: no sample is simulated or reduced, so that hundreds of
//! fields of dozens of scenarios take minutes. What is true *as tested* is that of the very specimens
//! and units behind a mean, by their shares in it; what is true *of their kinds*, that of the pair
//! alone. A further try has another specimen, another unit and another day.

mod campaign;
pub mod judge;
pub mod report;
pub mod scenario;
mod world;

use crate::judge::indices;
use judge::Plan;
use report::Outcome;
use scenario::Scenario;

/// Simulates and judges the fields of a scenario.
pub fn carry_out(scenario: &Scenario, plan: Plan) -> Outcome {
    Outcome {
        scenario: *scenario,
        tallies: indices(plan.fields, |index| judge::judge(scenario, plan, index)),
    }
}
