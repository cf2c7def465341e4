//! Variances of sums over runs, against `shares.py`: the covariance matrix of all runs written out.

use super::close::{assert_near, assert_within, fixture};
use jobtorque::reach::Prediction;
use jobtorque::scatter::Scatter;
use jobtorque::scatter::cells::Run;
use jobtorque::scatter::difference::Difference;
use jobtorque::scatter::shares::{Scatters, Shares};
use serde::Deserialize;

#[derive(Deserialize)]
struct Fixture {
    cases: Vec<Case>,
}

#[derive(Deserialize)]
struct Case {
    name: String,
    scatters: Told,
    pairs: Vec<Pair>,
    /// Variance and degrees of freedom of each pair's mean.
    mean: Vec<(f64, f64)>,
    /// Of each two; absent of one with itself.
    covariance: Vec<Vec<Option<f64>>>,
    /// Places of two pairs, the difference; of their kinds and as tested.
    differences: Vec<(usize, usize, f64, Interval, Interval)>,
    /// Of each pair: calibration, S, ν.
    tries: Vec<(f64, f64, f64)>,
    /// Tool, pack, variance and degrees of freedom of the level, S, ν.
    estimated: Vec<(usize, usize, f64, f64, f64, f64)>,
    /// Pairs that are compared, and variance and degrees of freedom of the mean of their differences.
    couples: Vec<(usize, usize)>,
    over_couples: (f64, f64),
}

/// Standard deviation, degrees of freedom, lower and upper end.
type Interval = (f64, f64, f64, f64);

/// Variances and their degrees of freedom.
#[derive(Deserialize)]
struct Told {
    specimen: (f64, f64),
    pack: (f64, f64),
    day: (f64, f64),
    /// Variance left on a day.
    corrected: Vec<(usize, f64)>,
    /// Of each tool.
    runs: Vec<(f64, f64)>,
}

#[derive(Deserialize)]
struct Pair {
    tool: usize,
    pack: usize,
    /// Specimen, pack specimen, day.
    runs: Vec<(usize, usize, usize)>,
}

fn scatter((variance, nu): (f64, f64)) -> Scatter {
    Scatter { variance, nu }
}

impl Case {
    fn scatters(&self) -> Scatters {
        Scatters {
            specimen: scatter(self.scatters.specimen),
            pack: scatter(self.scatters.pack),
            day: scatter(self.scatters.day),
            corrected_days: self.scatters.corrected.clone(),
        }
    }

    fn run(&self) -> impl Fn(usize) -> Scatter {
        |tool| scatter(self.scatters.runs[tool])
    }

    fn shares(&self) -> Vec<Shares> {
        let run = |pair: &Pair, &(specimen, pack, day): &(usize, usize, usize)| Run {
            tool: pair.tool,
            pair: 0,
            specimen,
            pack,
            day,
        };
        let shares = |pair: &Pair| {
            let runs: Vec<Run> = pair.runs.iter().map(|told| run(pair, told)).collect();
            Shares::of_mean(&runs)
        };
        self.pairs.iter().map(shares).collect()
    }
}

fn each(check: impl Fn(&Case, &[Shares], &Scatters)) {
    let fixture: Fixture = fixture("shares.json");
    assert!(fixture.cases.len() >= 6);
    for case in &fixture.cases {
        check(case, &case.shares(), &case.scatters());
    }
}

#[test]
fn means_have_the_variances_and_covariances_of_their_runs() {
    each(|case, shares, scatters| {
        for (place, own) in shares.iter().enumerate() {
            let what = format!("{}, {place}", case.name);
            let total = own.terms(scatters, case.run()).total();
            assert_near(total.variance, case.mean[place].0, &what);
            assert_near(total.nu, case.mean[place].1, &what);
            for (other, covariance) in shares.iter().zip(&case.covariance[place]) {
                if let Some(covariance) = covariance {
                    // A half of what is left of three variances, which have twelve digits.
                    let found = own.covariance(other, scatters);
                    assert_within(found, *covariance, 1e-14, &what);
                }
            }
        }
    });
}

#[test]
fn differences_are_told_of_kinds_and_as_tested() {
    each(|case, shares, scatters| {
        for (a, b, log, kinds, tested) in &case.differences {
            let what = format!("{}, {a} and {b}", case.name);
            let own = shares[*a].less(&shares[*b]);
            let as_tested = scatters.as_tested();
            for (scatters, (sd, nu, low, high)) in [(scatters, kinds), (&as_tested, tested)] {
                let found = Difference::of_terms(*log, &own.terms(scatters, case.run()));
                assert_near(found.sd, *sd, &what);
                assert_near(found.nu, *nu, &what);
                assert_within(found.interval().0, *low, 1e-11, &what);
                assert_within(found.interval().1, *high, 1e-11, &what);
            }
        }
        let part = 1.0 / case.couples.len() as f64;
        let parts = case
            .couples
            .iter()
            .flat_map(|&(a, b)| [(part, &shares[a]), (-part, &shares[b])]);
        let total = Shares::combined(parts).terms(scatters, case.run()).total();
        assert_near(total.variance, case.over_couples.0, &case.name);
        assert_near(total.nu, case.over_couples.1, &case.name);
    });
}

#[test]
fn further_tries_are_made_with_other_specimens_on_another_day() {
    each(|case, shares, scatters| {
        for ((pair, own), (calibration, sd, nu)) in case.pairs.iter().zip(shares).zip(&case.tries) {
            let terms = own.of_further_try(pair.tool).terms(scatters, case.run());
            let found = Prediction::further(&terms, *calibration);
            assert_near(found.sd, *sd, &case.name);
            assert_near(found.nu, *nu, &case.name);
        }
        for &(tool, pack, variance, level_nu, sd, nu) in &case.estimated {
            let of_pack = case
                .pairs
                .iter()
                .zip(shares)
                .filter(|(pair, _)| pair.pack == pack);
            let behind = Shares::of_pack_effect(of_pack.map(|(_, own)| own));
            let terms = behind.of_further_try(tool).terms(scatters, case.run());
            let level = scatter((variance, level_nu));
            let found = Prediction::further_estimated(&terms, level, 0.01);
            assert_near(found.sd, sd, &case.name);
            assert_near(found.nu, nu, &case.name);
        }
    });
}
