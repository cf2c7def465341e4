//! Whether answers come true where tool specimens, pack units, days and runs all differ, and where a
//! tester told some of them apart and others not.
//!
//! A field ([`world`]) is drawn for a scenario ([`scenarios`], or of few, [`driven`]), measured ([`campaign`]) and asked about
//! ([`judge`]). The logarithm of a run's torque is
//!
//! pair + tool specimen + pack unit + day + run,
//!
//! one factor for the whole curve of a run: no sample is simulated or reduced, so that hundreds of
//! fields of dozens of scenarios take minutes. What is true *as tested* is that of the very specimens
//! and units behind a mean, by their shares in it; what is true *of their kinds*, that of the pair
//! alone. A further try has another specimen, another unit and another day.

mod campaign;
mod driven;
mod judge;
mod report;
mod scenario;
mod scenarios;
mod world;

use crate::judge::indices;
use crate::tally::{Claim, Compared};
use driven::DRIVEN;
use judge::Plan;
use report::{LEAST_ANSWERS, Outcome};
use scenario::Scenario;
use scenarios::SCENARIOS;

/// All of it.
const FULL: Plan = Plan {
    fields: 200,
    tries: 100,
    torques: 6,
};

/// Enough to find a component left out, or one that is seen but taken as assumed.
const SMALL: Plan = Plan {
    fields: 60,
    tries: 0,
    torques: 0,
};

/// Of a hundred intervals that say 90, as many hold the true value at least in an honest scenario, ...
const HONEST_LEAST: f64 = 85.0;

/// ... and of a hundred further tries as many hold the 19-of-20 torque.
const HONEST_NINETEEN: f64 = 93.0;

/// The least tenths of chances that a scenario must have answers for.
const LEAST_TENTHS: usize = 8;

/// Simulates and judges the fields of a scenario. Fields of one number share their luck over
/// scenarios, as far as these are alike.
fn carry_out(scenario: &Scenario, plan: Plan) -> Outcome {
    Outcome {
        scenario: *scenario,
        tallies: indices(plan.fields, |index| judge::judge(scenario, plan, index)),
    }
}

/// The least share, in per cent, that few fields may show of intervals that say 90: three standard
/// errors less. What is said of one field is taken to come true or fail as one, so that a field is a
/// single trial.
fn least_percent(fields: u64) -> f64 {
    100.0 * (0.9 - 3.0 * (0.9 * 0.1 / fields as f64).sqrt())
}

/// Simulates few fields in which this is compared, and holds the intervals against what they say.
pub fn few(wanted: Compared) {
    let least = least_percent(SMALL.fields);
    for (scenario, compared) in DRIVEN.iter().filter(|(_, compared)| *compared == wanted) {
        let held = carry_out(scenario, SMALL).ratio(*compared);
        println!("{}: {held:?}", scenario.name);
        assert!(held.percent >= least, "{}: {held:?}", scenario.name);
    }
}

/// Simulates everything, prints it, and holds the honest scenarios against their bounds.
pub fn all() {
    let all: Vec<_> = SCENARIOS
        .iter()
        .map(|scenario| carry_out(scenario, FULL))
        .collect();
    report::print(&all);
    let mut missed = Vec::new();
    for outcome in &all {
        let name = outcome.scenario.name;
        if outcome.tenths().count() < LEAST_TENTHS {
            missed.push(format!(
                "{name}: tenths with {LEAST_ANSWERS} answers are too few"
            ));
        }
        if !outcome.scenario.honest {
            continue;
        }
        let ratios = [
            Compared::PacksAsTested,
            Compared::PacksOfKinds,
            Compared::ToolsOfKinds,
        ];
        let mut held: Vec<_> = ratios.map(|ratio| outcome.ratio(ratio)).into();
        held.extend([outcome.by_mean(), outcome.jobs()]);
        let mut held: Vec<_> = held
            .iter()
            .map(|rate| (rate.percent, HONEST_LEAST))
            .collect();
        held.push((outcome.of(Claim::NineteenOfTwenty).percent, HONEST_NINETEEN));
        if held.iter().any(|(percent, least)| percent < least) {
            missed.push(format!("{name}: {held:.1?}"));
        }
    }
    assert!(missed.is_empty(), "{}", missed.join("\n"));
}
