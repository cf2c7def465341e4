//! Scatters that are taken as known, and runs of tools of which nothing else is told.

use jobtorque::scatter::Scatter;
use jobtorque::scatter::cells::Run;
use jobtorque::scatter::shares::Scatters;

/// A variance that is known.
pub fn known(variance: f64) -> Scatter {
    Scatter {
        variance,
        nu: f64::INFINITY,
    }
}

/// Specimens, packs and days do not differ.
pub fn nothing_but_runs() -> Scatters {
    Scatters {
        specimen: known(0.0),
        pack: known(0.0),
        day: known(0.0),
        corrected_days: Vec::new(),
    }
}

/// A run of the one specimen of a tool, with the one specimen of a pack, on the one day.
pub fn run(tool: usize) -> Run {
    Run {
        tool,
        pair: tool,
        specimen: tool,
        pack: 0,
        day: 0,
    }
}
