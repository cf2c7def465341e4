//! How much specimens, pack specimens and days differ, against `effects.py`: where the restricted
//! likelihood, written out, is largest.

use super::close::{assert_near, assert_part, fixture};
use jobtorque::scatter::cells::{CellMean, Cells, Run};
use jobtorque::scatter::effects::{Assumed, Basis, Effects};
use serde::Deserialize;

#[derive(Deserialize)]
struct Fixture {
    cases: Vec<Case>,
}

/// Tool, pair, specimen, pack specimen, day, value.
type Told = (usize, usize, usize, usize, usize, f64);

#[derive(Deserialize)]
struct Case {
    name: String,
    counted: Vec<Told>,
    checks: Vec<Told>,
    /// Of each tool.
    run_variance: Vec<f64>,
    unit_to_unit_percent: Option<f64>,
    used: bool,
    by_day: bool,
    /// Variance within the cells of runs that count, and its degrees of freedom.
    pooled: (f64, f64),
    /// Of specimens, pack specimens and days, as are the next two.
    variances: [f64; 3],
    nu: [f64; 3],
    basis: [String; 3],
}

/// How far a variance may be from where the likelihood is largest, as a part of itself: it is flat
/// there, and the last steps are small.
const SETTLED: f64 = 1e-7;

fn runs(told: &[Told]) -> Vec<Run> {
    let run = |&(tool, pair, specimen, pack, day, _): &Told| Run {
        tool,
        pair,
        specimen,
        pack,
        day,
    };
    told.iter().map(run).collect()
}

/// The cells of a field and their means.
fn means(case: &Case) -> (Cells, Vec<CellMean>) {
    let cells = Cells::of(&runs(&case.counted), &runs(&case.checks));
    let told = case.counted.iter().chain(&case.checks);
    let values: Vec<f64> = told.map(|run| run.5).collect();
    let means = cells.means(&values, |run| case.run_variance[run.tool]);
    (cells, means)
}

#[test]
fn runs_differ_within_their_cells() {
    let fixture: Fixture = fixture("effects.json");
    assert!(fixture.cases.len() >= 9);
    for case in &fixture.cases {
        let (cells, _) = means(case);
        assert_eq!(cells.by_day(), case.by_day, "{}", case.name);
        let values: Vec<f64> = case.counted.iter().map(|run| run.5).collect();
        let pooled = cells.run_scatter(&values).pooled;
        assert_near(pooled.variance, case.pooled.0, &case.name);
        assert_eq!(pooled.nu, case.pooled.1, "{}", case.name);
    }
}

#[test]
fn scatters_are_where_the_likelihood_is_largest() {
    let fixture: Fixture = fixture("effects.json");
    for case in &fixture.cases {
        let assumed = [
            Assumed::specimens(case.unit_to_unit_percent),
            Assumed::packs(None, case.used),
            Assumed::days(None),
        ];
        let found = Effects::of(&means(case).1, assumed).unwrap();
        let found = [found.specimen, found.pack, found.day];
        for (place, effect) in found.iter().enumerate() {
            let what = format!("{}, {place}", case.name);
            assert_part(
                effect.scatter.variance,
                case.variances[place],
                SETTLED,
                &what,
            );
            assert_part(effect.scatter.nu, case.nu[place], SETTLED, &what);
            let basis = match effect.basis() {
                Basis::Measured => "measured",
                Basis::Held => "held",
                Basis::Assumed => "assumed",
            };
            assert_eq!(basis, case.basis[place], "{what}");
        }
    }
}
