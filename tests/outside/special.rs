//! Distribution functions, quantiles and polygamma functions against mpmath and printed tables.

use super::close::{assert_part, assert_within, fixture};
use jobtorque::special::{hermite, normal, polygamma, student};
use serde::Deserialize;

#[derive(Deserialize)]
struct Fixture {
    cases: Vec<Case>,
}

#[derive(Deserialize)]
struct Case {
    function: String,
    nu: Option<f64>,
    at: Vec<f64>,
    value: Vec<f64>,
}

impl Case {
    fn points(&self) -> impl Iterator<Item = (f64, f64)> {
        self.at.iter().copied().zip(self.value.iter().copied())
    }
}

/// The cases of a function, at least this many places in all.
fn cases(function: &str, places: usize) -> Vec<Case> {
    let fixture: Fixture = fixture("special.json");
    let mut cases = fixture.cases;
    cases.retain(|case| case.function == function);
    let found: usize = cases.iter().map(|case| case.at.len()).sum();
    assert!(found >= places, "{function}: only {found} places");
    cases
}

/// Holds a function to mpmath's values, each within a part of itself that depends on it, or within
/// `floor`.
#[track_caller]
fn hold(
    cases: &[Case],
    of: impl Fn(&Case, f64) -> f64,
    part: impl Fn(f64, f64) -> f64,
    floor: f64,
) {
    for case in cases {
        for (at, value) in case.points() {
            let within = (part(at, value) * value.abs()).max(floor);
            let what = format!("{} at {at:e}, ν {:?}", case.function, case.nu);
            assert_within(of(case, at), value, within, &what);
        }
    }
}

#[test]
fn the_normal_distribution_function_keeps_its_digits_down_to_minus_38() {
    // The floor is the smallest number: at −38 Φ is 3e-316 and has no more digits than that.
    let part = |z: f64, _| if z > -5.0 { 5e-15 } else { 2e-13 };
    hold(
        &cases("normal", 200),
        |_, z| normal::distribution(z),
        part,
        5e-324,
    );
}

#[test]
fn the_normal_quantile_has_all_its_digits() {
    let cases = cases("normal_quantile", 250);
    hold(&cases, |_, p| normal::quantile(p), |_, _| 1e-15, 0.0);
}

#[test]
fn the_student_distribution_function_keeps_its_digits_down_to_1e_300() {
    let part = |_, value: f64| if value > 1e-6 { 1e-14 } else { 5e-13 };
    let of = |case: &Case, t| student::distribution(t, case.nu.unwrap());
    hold(&cases("student", 600), of, part, 0.0);
}

#[test]
fn the_student_quantile_has_all_but_its_last_digits() {
    let part = |p: f64, _| if p > 1e-50 { 1e-14 } else { 1e-13 };
    let of = |case: &Case, p| student::quantile(p, case.nu.unwrap());
    hold(&cases("student_quantile", 700), of, part, 0.0);
}

#[test]
fn the_polygamma_functions_have_all_but_their_last_digits() {
    // ψ passes zero at 1.4616: there it is a difference of figures near 1.
    let close = |_, _| 4e-15;
    hold(
        &cases("digamma", 200),
        |_, x| polygamma::digamma(x),
        close,
        4e-15,
    );
    let close = |_, _| 2e-15;
    hold(
        &cases("trigamma", 200),
        |_, x| polygamma::trigamma(x),
        close,
        0.0,
    );
    let inverse = cases("inverse_trigamma", 200);
    hold(&inverse, |_, y| polygamma::inverse_trigamma(y), close, 0.0);
}

#[test]
fn the_nodes_and_weights_are_rounded_once() {
    for case in cases("hermite", 15) {
        let nodes: Vec<(f64, f64)> = hermite::NODES.iter().map(|n| (n.z, n.weight)).collect();
        assert_eq!(nodes, case.points().collect::<Vec<_>>());
    }
}

#[test]
fn t_40_to_t_49_the_printed_quantiles_are_met() {
    // T-40 to T-49: NIST Technical Note 1297, Table B.1, recomputed to four decimals; within 1e-4.
    let rows = [
        (1.0, [6.3138, 12.7062, 63.6567]),
        (2.0, [2.9200, 4.3027, 9.9248]),
        (3.0, [2.3534, 3.1824, 5.8409]),
        (4.0, [2.1318, 2.7764, 4.6041]),
        (5.0, [2.0150, 2.5706, 4.0321]),
        (9.0, [1.8331, 2.2622, 3.2498]),
        (16.0, [1.7459, 2.1199, 2.9208]),
        (20.0, [1.7247, 2.0860, 2.8453]),
        (30.0, [1.6973, 2.0423, 2.7500]),
        (f64::INFINITY, [1.64485, 1.95996, 2.57583]),
    ];
    for (nu, wanted) in rows {
        for (p, wanted) in [0.95, 0.975, 0.995].into_iter().zip(wanted) {
            let what = format!("ν {nu}, p {p}");
            assert_within(student::quantile(p, nu), wanted, 1e-4, &what);
        }
    }
}

#[test]
fn t_50_to_t_53_the_probabilities_of_whole_tests_are_met() {
    // T-50 to T-53: t, ν and the two-sided probability of Welch's test, from public test suites. t
    // and ν stand with six decimals, which moves the probability by up to 2e-6 of itself.
    let rows = [
        (-2.455356, 24.988529, 0.021378001462867),
        (-1.565434, 9.904741, 0.148841696605327),
        (-2.219241, 24.496223, 0.0359722710297968),
        (1.959006, 7.030560, 0.090773324285671),
    ];
    for (t, nu, wanted) in rows {
        let both_sides = 2.0 * student::distribution(-f64::abs(t), nu);
        assert_part(both_sides, wanted, 2e-6, &format!("t {t}, ν {nu}"));
    }
}
