//! Medians, ranks with ties, the fit that cannot fall, and who is ahead.

use super::close::assert_within;
use super::known::{known, nothing_but_runs, run};
use jobtorque::ranking::order::{Standing, order};
use jobtorque::run::isotonic::isotonic;
use jobtorque::run::running_median::median;
use jobtorque::scatter::difference::Difference;
use jobtorque::scatter::shares::Shares;

#[test]
fn t_91_the_median_of_an_odd_number_is_the_middle_one() {
    // The data of T-91 (a public encyclopaedia text), out of order; the middle one by definition.
    assert_eq!(median(vec![40.0, 15.0, 50.0, 20.0, 35.0]), 35.0);
}

#[test]
fn t_92_the_median_of_an_even_number_is_the_mean_of_the_middle_two() {
    // T-92, q0.5: by definition.
    assert_eq!(median((1..=10).map(f64::from).collect()), 5.5);
}

#[test]
fn t_94_ties_share_the_smallest_place() {
    // T-94, `min`: scipy documentation, ranks of 0 2 3 2.
    let times = [0.0, 2.0, 3.0, 2.0].map(Standing::Time);
    assert_eq!(order(&times).ranks, [1, 2, 4, 2].map(Some));
}

#[test]
fn t_95_the_fit_pools_what_falls() {
    // T-95: the example of R's `isoreg`, from memory, recomputed with scipy.
    let fit = isotonic(&[1.0, 0.0, 4.0, 3.0, 3.0, 5.0, 4.0, 2.0, 0.0]);
    assert_eq!(fit, [0.5, 0.5, 3.0, 3.0, 3.0, 3.0, 3.0, 3.0, 3.0]);
}

#[test]
fn t_98_a_try_of_one_against_a_try_of_another() {
    // T-98: Φ(d/√2) by definition, four decimals: equal scatters, means that are known.
    let tries = Shares::of_further_tries(&run(0), &run(1), false);
    let ahead = |log, scatters: [f64; 2]| {
        let of_tool = |tool: usize| known(scatters[tool] * scatters[tool]);
        Difference::of_terms(log, &tries.terms(&nothing_but_runs(), of_tool)).chance()
    };
    for (d, chance) in [(0.2, 0.5562), (0.5, 0.6382), (0.8, 0.7142), (1.0, 0.7602)] {
        let equal = ahead(3.0 * d, [3.0, 3.0]);
        assert_within(equal, chance, 5e-5, "equal scatters");
        // Unequal ones count by the root of their mean square: 1 and 7 as 5 and 5.
        let unequal = ahead(5.0 * d, [1.0, 7.0]);
        assert_within(unequal, chance, 5e-5, "unequal scatters");
    }
}
