//! The project's own check values of the variance model, made by other code than the program: ten
//! digits of each, held to 1e-9 of themselves, unless fewer are given.

use super::close::{assert_near, assert_within};
use jobtorque::breakaway::factors::Factors;
use jobtorque::breakaway::outcome::Interval;
use jobtorque::breakaway::{Check, State};
use jobtorque::history::check_days::{CheckDay, limits, smallest_shift};
use jobtorque::history::day_offsets::day_offsets;
use jobtorque::ranking::spread::{Doubt, Doubtful, Entries};
use jobtorque::reach::Prediction;
use jobtorque::scatter::Scatter;
use jobtorque::scatter::cells::{CellMean, Run};
use jobtorque::scatter::difference::Difference;
use jobtorque::scatter::effects::{Assumed, Basis, Effects};
use jobtorque::scatter::shares::{Factor, Scatters, Shares};

/// Tools, specimens, pack specimens and days of values 3 to 7.
const A: usize = 0;
const B: usize = 1;
const A1: usize = 0;
const A2: usize = 1;
const B1: usize = 2;
const X1: usize = 0;
const X2: usize = 1;
const Y1: usize = 2;
const D1: usize = 1;
const D2: usize = 2;

fn scatter(variance: f64, nu: f64) -> Scatter {
    Scatter { variance, nu }
}

fn scatters() -> Scatters {
    Scatters {
        specimen: scatter(0.0012, 7.5),
        pack: scatter(0.0005, 4.2),
        day: scatter(0.00015, 5.1),
        corrected_days: Vec::new(),
    }
}

/// Run scatter of a tool.
fn run_scatter(tool: usize) -> Scatter {
    if tool == A {
        scatter(0.0006, 30.0)
    } else {
        scatter(0.0009, 22.0)
    }
}

fn runs(tool: usize, runs: &[(usize, usize, usize)]) -> Vec<Run> {
    let run = |&(specimen, pack, day): &(usize, usize, usize)| Run {
        tool,
        pair: 0,
        specimen,
        pack,
        day,
    };
    runs.iter().map(run).collect()
}

/// The pair c: tool A, pack x.
fn c() -> Shares {
    Shares::of_mean(&runs(
        A,
        &[
            (A1, X1, D1),
            (A1, X1, D1),
            (A1, X2, D2),
            (A2, X1, D2),
            (A2, X1, D2),
        ],
    ))
}

/// The pair d: tool A, pack y.
fn d() -> Shares {
    Shares::of_mean(&runs(A, &[(A1, Y1, D1); 4]))
}

/// The pair e: tool B, pack x.
fn e() -> Shares {
    Shares::of_mean(&runs(B, &[(B1, X2, D2); 3]))
}

#[test]
fn value_3_shares_of_a_mean() {
    for (factor, share) in [
        (Factor::Specimen(A1), 1.0 / 2.0),
        (Factor::Specimen(A2), 1.0 / 2.0),
        (Factor::Pack(X1), 5.0 / 6.0),
        (Factor::Pack(X2), 1.0 / 6.0),
        (Factor::Day(D1), 1.0 / 3.0),
        (Factor::Day(D2), 2.0 / 3.0),
        (Factor::Specimen(B1), 0.0),
    ] {
        assert_near(c().of_factor(factor), share, &format!("{factor:?}"));
    }
    assert_near(c().of_runs(), 0.2083333333, "q");
    let variance = |of: Shares| of.terms(&scatters(), run_scatter).total().variance;
    assert_near(variance(c()), 0.001169444444, "c");
    assert_near(variance(d()), 0.002, "d");
    assert_near(variance(e()), 0.00215, "e");
    let covariance = |one: Shares, other: Shares| one.covariance(&other, &scatters());
    assert_near(covariance(c(), d()), 0.00065, "c d");
    assert_near(covariance(c(), e()), 0.0001833333333, "c e");
    assert_eq!(covariance(d(), e()), 0.0, "d e");
}

/// Ends of the interval of a ratio.
fn ends(difference: &Difference) -> (f64, f64) {
    let (low, high) = difference.interval();
    (libm::exp(low), libm::exp(high))
}

#[test]
fn value_4_two_packs_on_one_tool() {
    let terms = c().less(&d()).terms(&scatters(), run_scatter);
    assert_near(terms.specimens.variance, 0.0006, "specimens");
    assert_near(terms.packs.variance, 0.0008611111111, "packs");
    assert_near(terms.days.variance, 0.0001333333333, "days");
    assert_eq!(terms.runs.len(), 1);
    assert_near(terms.runs[0].variance, 0.000275, "runs");
    let kinds = Difference::of_terms(libm::log(1.04), &terms);
    assert_near(kinds.sd, 0.04323707257, "sd");
    assert_near(kinds.nu, 15.15815627, "ν");
    assert_near(ends(&kinds).0, 0.9641348061, "low");
    assert_near(ends(&kinds).1, 1.121834823, "high");
    let tested = c().less(&d()).terms(&scatters().as_tested(), run_scatter);
    let tested = Difference::of_terms(libm::log(1.04), &tested);
    assert_near(tested.sd, 0.02020725942, "sd as tested");
    assert_near(tested.nu, 27.75848389, "ν as tested");
    assert_near(ends(&tested).0, 1.004846996, "low as tested");
    assert_near(ends(&tested).1, 1.076382777, "high as tested");
}

#[test]
fn value_5_two_tools_on_one_pack() {
    let terms = c().less(&e()).terms(&scatters(), run_scatter);
    let kinds = Difference::of_terms(libm::log(0.93), &terms);
    assert_near(kinds.sd, 0.05433946796, "sd");
    assert_near(kinds.nu, 15.80507318, "ν");
    assert_near(ends(&kinds).0, 0.8457657096, "low");
    assert_near(ends(&kinds).1, 1.02262363, "high");
}

/// A cell: pair, specimen, pack specimen, day, runs, mean and variance of runs.
type Cell = (usize, usize, usize, usize, f64, f64, f64);

fn effects(cells: &[Cell]) -> Effects {
    let cell = |&(pair, specimen, pack, day, runs, mean, run_variance): &Cell| CellMean {
        pair,
        specimen,
        pack,
        day: Some(day),
        runs,
        mean,
        run_variance,
    };
    let cells: Vec<CellMean> = cells.iter().map(cell).collect();
    let assumed = [
        Assumed::specimens(None),
        Assumed::packs(None, false),
        Assumed::days(None),
    ];
    Effects::of(&cells, assumed).unwrap()
}

#[test]
fn value_1_components() {
    // Pairs ax, ay, by, and the check's, which is a pair more.
    let found = effects(&[
        (0, A1, X1, D1, 3.0, 6.000, 0.0004),
        (0, A1, X2, D1, 3.0, 6.030, 0.0004),
        (0, A2, X1, D2, 3.0, 5.940, 0.0004),
        (1, A1, Y1, D1, 4.0, 6.100, 0.0004),
        (1, A2, Y1, D2, 4.0, 6.050, 0.0004),
        (2, B1, Y1, 3, 5.0, 5.500, 0.0009),
        (3, B1, X1, D1, 2.0, 5.420, 0.0009),
        (3, B1, X1, D2, 2.0, 5.400, 0.0009),
        (3, B1, X1, 3, 2.0, 5.455, 0.0009),
    ]);
    assert_near(found.specimen.scatter.variance, 0.001223466482, "s_u²");
    assert_near(found.specimen.scatter.nu, 4.800560653, "ν_u");
    assert_near(found.pack.scatter.variance, 0.0004103850824, "s_p²");
    assert_near(found.pack.scatter.nu, 3.613192879, "ν_p");
    assert_near(found.day.scatter.variance, 0.0001099252644, "s_d²");
    assert_near(found.day.scatter.nu, 3.100167755, "ν_d");
}

#[test]
fn value_1_three_specimens_seen_without_error() {
    let found = effects(&[
        (0, 0, X1, D1, 1e6, 6.00, 0.0004),
        (0, 1, X1, D1, 1e6, 6.03, 0.0004),
        (0, 2, X1, D1, 1e6, 5.96, 0.0004),
    ]);
    assert_near(found.specimen.scatter.variance, 0.001227777643, "s_u²");
    assert_near(found.specimen.scatter.nu, 5.999998697, "ν_u");
    assert_eq!(found.pack.scatter.nu, 3.0);
}

#[test]
fn value_2_nothing_to_see() {
    let found = effects(&[
        (0, A1, X1, D1, 3.0, 6.0, 0.0004),
        (1, B1, X1, D2, 3.0, 5.9, 0.0004),
    ]);
    for (effect, variance, nu) in [
        (found.specimen, 0.001225, 4.0),
        (found.pack, 0.0004, 3.0),
        (found.day, 0.0001, 3.0),
    ] {
        assert_near(effect.scatter.variance, variance, "s²");
        assert_eq!((effect.scatter.nu, effect.basis()), (nu, Basis::Assumed));
    }
}

#[test]
fn value_6_a_further_try() {
    let terms = c().of_further_try(A).terms(&scatters(), run_scatter);
    let further = Prediction::further(&terms, 0.01);
    assert_near(further.sd, 0.06098724821, "S");
    assert_near(further.nu, 21.72648148, "ν");
    assert_near(further.probability(640.0, 600.0), 0.8492124567, "chance");
    let held_nm = 640.0 * libm::exp(-further.margin(0.95));
    assert_near(held_nm, 576.3334115, "19-of-20 torque");
}

#[test]
fn value_7_a_pair_nobody_ran() {
    let pack = Shares::of_pack_effect([&c(), &e()]);
    for (factor, share) in [
        (Factor::Pack(X1), 5.0 / 12.0),
        (Factor::Pack(X2), 7.0 / 12.0),
        (Factor::Day(D1), 1.0 / 6.0),
        (Factor::Day(D2), 5.0 / 6.0),
    ] {
        assert_near(pack.of_factor(factor), share, &format!("{factor:?}"));
    }
    let terms = pack.of_further_try(A).terms(&scatters(), run_scatter);
    let further = Prediction::further_estimated(&terms, scatter(0.0007, 12.0), 0.01);
    assert_near(further.sd, 0.06012718003, "S");
    assert_near(further.nu, 33.14465853, "ν");
    assert_near(further.probability(640.0, 600.0), 0.8545703083, "chance");
}

/// A mean of logarithms, from the best down.
struct ByMeasure {
    value: f64,
    doubt: Doubt,
}

impl Doubtful for ByMeasure {
    fn at(&self, course: f64) -> f64 {
        self.value + course
    }

    fn comes_to(&self, level: f64) -> f64 {
        level - self.value
    }

    fn doubt(&self) -> &Doubt {
        &self.doubt
    }
}

#[test]
fn value_10_places_by_mean_torque() {
    let scatters = Scatters {
        specimen: scatter(0.03 * 0.03, 1.0),
        pack: scatter(0.02 * 0.02, 1.0),
        day: scatter(0.01 * 0.01, 1.0),
        corrected_days: Vec::new(),
    };
    // Level, tool and specimen, unit, day, degrees of freedom.
    let levels = [
        (6.00, 1, 1, 1, 8.0),
        (5.98, 1, 2, 1, 8.0),
        (6.01, 2, 1, 2, 6.0),
        (5.95, 3, 2, 2, 6.0),
    ]
    .map(|(value, tool, pack, day, nu)| {
        let shares = Shares::of_mean(&runs(tool, &[(tool, pack, day); 3]));
        let run = scatter(0.025 * 0.025, 1.0);
        let doubt = Doubt::of(tool, &shares, &scatters, run);
        assert_near(doubt.se, 0.04010403139, "se");
        ByMeasure {
            value,
            doubt: Doubt { nu, ..doubt },
        }
    });
    let places = Entries::of(&levels);
    let wanted = [
        (2.05078218, 0.8988560866, (1, 3)),
        (2.693991729, 0.9232553013, (1, 4)),
        (1.857379281, 0.9777900763, (1, 3)),
        (3.397846809, 0.8882280301, (2, 4)),
    ];
    let at_once = places.spreads();
    for (place, ((mean, sd, interval), rank)) in wanted.into_iter().zip([2, 3, 1, 4]).enumerate() {
        let plain = places.spread(place).unwrap();
        assert_near(plain.mean, mean, "mean place");
        assert_near(plain.sd, sd, "standard deviation");
        for spread in [plain, at_once[place]] {
            assert_eq!(spread.interval(rank, 4), interval, "{place}");
            assert_within(spread.mean, mean, 0.01, "mean place at once");
            assert_within(spread.sd, sd, 0.01, "standard deviation at once");
        }
    }
}

/// Days with check runs: mean, runs.
fn check_days() -> [CheckDay; 4] {
    [(5.41, 3), (5.40, 2), (5.455, 3), (5.43, 1)].map(|(log, runs)| CheckDay { log, runs })
}

#[test]
fn value_8_day_offsets() {
    let wanted = [
        (0.6279069767, -0.0088283202, 8.372093023e-5),
        (0.5294117647, -0.01273760331, 0.0001058823529),
        (0.6279069767, 0.01942749375, 8.372093023e-5),
        (0.36, 0.002138429752, 0.000144),
    ];
    let offsets = day_offsets(&check_days(), 0.000225, 0.0004);
    assert_eq!(offsets.len(), 4);
    for ((offset, (shown, log, left)), day) in offsets.iter().zip(wanted).zip(check_days()) {
        assert_near(offset.shown, shown, "λ");
        assert_near(offset.log, log, "offset");
        assert_near(offset.variance_left, left, "v");
        assert_near(day.log - offset.log / offset.shown, 5.424059917, "mean");
        let is_proposed = offset.is_worth_correcting();
        assert_eq!(is_proposed, shown > 0.5 && log.abs() > 0.01);
    }
}

#[test]
fn value_9_chart() {
    let chart = limits(&check_days(), 0.0004, Assumed::days(None)).unwrap();
    let wanted = [0.02385139176, 0.02250925735, 0.01699673171, 0.03011090611];
    for (day, sigma) in chart.iter().zip(wanted) {
        assert_near(day.sigma, sigma, "σ");
    }
    let third = chart[2];
    assert_near(third.ends().0, 5.362343138, "lower limit of day 3");
    assert_near(third.ends().1, 5.464323528, "upper limit of day 3");
    let percent = 100.0 * libm::expm1(smallest_shift(&[third]));
    assert_near(percent, 6.747388855, "smallest shift of day 3");
}

#[test]
fn value_11_nuts() {
    let check = |low: f64, high: f64, sd, group| Check {
        factor: Interval {
            low: libm::log(low),
            high: libm::log(high),
        },
        sd,
        group,
    };
    // Weights 2/3, 2/3, 1.
    let checks = [
        check(1.10, 1.32, 0.07, 0),
        check(0.0, 0.95, 0.07, 0),
        check(1.45, f64::INFINITY, 0.06, 1),
    ];
    let factors = Factors::of(State::Aged, &checks).unwrap();
    let chance = factors.chance(libm::log(1.4), &Prediction { sd: 0.08, nu: 9.0 });
    assert_near(chance, 0.5882077401, "chance");
    assert_near(factors.factor(0.5), 1.281279517, "half the nuts");
    assert_near(factors.factor(0.95), 2.762316814, "19 of 20");
}

#[test]
fn value_12_no_nuts() {
    for (state, half, most) in [
        (State::Fresh, 0.8, 1.25022637),
        (State::Aged, 1.3, 2.981787429),
    ] {
        let factors = Factors::of(state, &[]).unwrap();
        assert_near(factors.factor(0.5), half, "half the nuts");
        assert_near(factors.factor(0.95), most, "19 of 20");
    }
}
