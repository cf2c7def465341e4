//! Real nuts, against `nuts.py`: the posterior on the grid with scipy, held there against integration.

use super::close::{assert_near, fixture};
use jobtorque::breakaway::factors::Factors;
use jobtorque::breakaway::outcome::{Interval, Outcome};
use jobtorque::breakaway::{Check, Count, State};
use jobtorque::reach::Prediction;
use serde::Deserialize;

#[derive(Deserialize)]
struct Fixture {
    cases: Vec<Case>,
}

#[derive(Deserialize)]
struct Case {
    name: String,
    state: String,
    window_s: f64,
    nuts: Vec<Nut>,
    /// ln H less ln installed of a new nut, S and its degrees of freedom.
    lead: f64,
    sd: f64,
    nu: f64,
    chance: f64,
    half: f64,
    nineteen_of_twenty: f64,
    enough: bool,
}

/// A nut tried with a pair whose curve over the installed torque is exp(end)(1 − exp(−t/rise)).
#[derive(Deserialize)]
struct Nut {
    end: f64,
    rise_s: f64,
    sd: f64,
    group: usize,
    /// When it came loose; absent where that was not taken, or it held.
    loose_s: Option<f64>,
    /// How long it held.
    tried_s: Option<f64>,
}

impl Case {
    fn state(&self) -> State {
        match self.state.as_str() {
            "fresh" => State::Fresh,
            _ => State::Aged,
        }
    }

    fn checks(&self) -> Vec<Check> {
        let check = |nut: &Nut| {
            let outcome = match nut.tried_s {
                Some(tried_s) => Outcome::Held { tried_s },
                None => Outcome::Loose {
                    time_s: nut.loose_s,
                },
            };
            let lead = |time_s: f64| nut.end + libm::log(1.0 - libm::exp(-time_s / nut.rise_s));
            Check {
                factor: Interval::of(outcome, self.window_s, lead),
                sd: nut.sd,
                group: nut.group,
            }
        };
        self.nuts.iter().map(check).collect()
    }
}

#[test]
fn nuts_say_what_others_need() {
    let fixture: Fixture = fixture("nuts.json");
    assert!(fixture.cases.len() >= 7);
    for case in &fixture.cases {
        let (checks, name) = (case.checks(), &case.name);
        let factors = Factors::of(case.state(), &checks).unwrap();
        let further = Prediction {
            sd: case.sd,
            nu: case.nu,
        };
        assert_near(factors.chance(case.lead, &further), case.chance, name);
        assert_near(factors.factor(0.5), case.half, name);
        assert_near(factors.factor(0.95), case.nineteen_of_twenty, name);
        assert_eq!(Count::of(&checks).is_enough(), case.enough, "{name}");
    }
}
