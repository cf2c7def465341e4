//! Components of variance, degrees of freedom and limits for a further value: printed examples.

use super::close::{assert_near, assert_part, assert_within};
use super::known::{nothing_but_runs, run};
use jobtorque::reach::Prediction;
use jobtorque::scatter::cells::{Cells, Run};
use jobtorque::scatter::components::Components;
use jobtorque::scatter::difference::{Difference, Equivalence};
use jobtorque::scatter::effects::{Assumed, Effects};
use jobtorque::scatter::shares::Shares;
use jobtorque::scatter::{Scatter, welch_satterthwaite};
use jobtorque::special::student;

/// Mean, and variance of the mean with its degrees of freedom.
fn mean_of(values: &[f64]) -> (f64, Scatter) {
    let count = values.len() as f64;
    let variance = Components::of(&[values.to_vec()]).within_variance() / count;
    let mean = values.iter().sum::<f64>() / count;
    (
        mean,
        Scatter {
            variance,
            nu: count - 1.0,
        },
    )
}

/// Scatter of the runs of a sample.
fn scatter_of(values: &[f64]) -> Scatter {
    let (_, of_mean) = mean_of(values);
    of_mean.scaled(values.len() as f64)
}

/// Difference of the means of two samples, runs of a tool each, with these run scatters.
fn difference([a, b]: [&[f64]; 2], scatters: [Scatter; 2]) -> Difference {
    let shares = |tool, values: &[f64]| Shares::of_mean(&vec![run(tool); values.len()]);
    let apart = shares(0, a).less(&shares(1, b));
    let terms = apart.terms(&nothing_but_runs(), |tool| scatters[tool]);
    Difference::of_terms(mean_of(a).0 - mean_of(b).0, &terms)
}

/// Difference of means with Welch's degrees of freedom.
fn welch(a: &[f64], b: &[f64]) -> Difference {
    difference([a, b], [a, b].map(scatter_of))
}

/// The least variance that the program looks for, in logarithms.
const LEAST: f64 = 1e-12;

/// A logarithm for a unit of these readings: the program knows no variance of logarithms above 1.
const LOG: f64 = 0.01;

/// Variance between groups of one size by the restricted likelihood, which is that of the mean squares
/// where they are above 0: groups are specimens of one tool, and what is known beforehand weighs nothing.
fn between_variance(groups: &[Vec<f64>]) -> f64 {
    let within = LOG * LOG * Components::of(groups).within_variance();
    let group =
        |(specimen, values): (usize, &Vec<f64>)| vec![Run { specimen, ..run(0) }; values.len()];
    let runs: Vec<Run> = groups.iter().enumerate().flat_map(group).collect();
    let values: Vec<f64> = groups.iter().flatten().map(|value| LOG * value).collect();
    let nothing = Assumed {
        sd: 0.01,
        nu: 1e-20,
    };
    let means = Cells::of(&runs, &[]).means(&values, |_| within);
    let found = Effects::of(&means, [nothing; 3]).unwrap();
    found.specimen.scatter.variance / (LOG * LOG)
}

/// Repeatability s_r and reproducibility s_R.
fn repeated(groups: &[Vec<f64>]) -> (f64, f64) {
    let within = Components::of(groups).within_variance();
    (within.sqrt(), (within + between_variance(groups)).sqrt())
}

fn rows<const N: usize>(rows: &[[f64; N]]) -> Vec<Vec<f64>> {
    rows.iter().map(|row| row.to_vec()).collect()
}

#[test]
fn t_36_limits_for_the_mean_and_for_a_further_value() {
    // T-36: own arithmetic, recomputed; within 0.001. A further value is a further run where tools
    // do not differ: its scatter and the doubt about the mean.
    let values = [500.0, 512.0, 488.0, 505.0, 495.0];
    let (mean, of_mean) = mean_of(&values);
    let scatter = scatter_of(&values);
    assert_within(scatter.variance.sqrt(), 9.19239, 1e-5, "s");
    let shares = Shares::of_mean(&[run(0); 5]).of_further_try(0);
    let further = Prediction::further(&shares.terms(&nothing_but_runs(), |_| scatter), 0.0);
    assert_within(
        mean - further.margin(0.95),
        478.533,
        1e-3,
        "a further value",
    );
    let limit = mean - of_mean.variance.sqrt() * student::quantile(0.95, of_mean.nu);
    assert_within(limit, 491.236, 1e-3, "the mean");
}

/// Two samples, t, ν and the two-sided p.
type Printed<'a> = (&'a [f64], &'a [f64], f64, f64, f64);

#[test]
fn t_50_to_t_53_welch_takes_unequal_scatter_apart() {
    // T-50 to T-53: data of public test suites; t and ν with six decimals, p with nine figures.
    let rows: [Printed; 4] = [
        (
            &[
                27.5, 21.0, 19.0, 23.6, 17.0, 17.9, 16.9, 20.1, 21.9, 22.6, 23.1, 19.6, 19.0, 21.7,
                21.4,
            ],
            &[
                27.1, 22.0, 20.8, 23.4, 23.4, 23.5, 25.8, 22.0, 24.8, 20.2, 21.9, 22.1, 22.9, 20.5,
                24.4,
            ],
            -2.455356,
            24.988529,
            0.021378001462867,
        ),
        (
            &[17.2, 20.9, 22.6, 18.1, 21.7, 21.4, 23.5, 24.2, 14.7, 21.8],
            &[
                21.5, 22.8, 21.0, 23.0, 21.6, 23.6, 22.5, 20.7, 23.4, 21.8, 20.7, 21.7, 21.5, 22.5,
                23.6, 21.5, 22.5, 23.5, 21.5, 21.8,
            ],
            -1.565434,
            9.904741,
            0.148841696605327,
        ),
        (
            &[19.8, 20.4, 19.6, 17.8, 18.5, 18.9, 18.3, 18.9, 19.5, 22.0],
            &[
                28.2, 26.6, 20.1, 23.3, 25.2, 22.1, 17.7, 27.6, 20.6, 13.7, 23.2, 17.5, 20.6, 18.0,
                23.9, 21.6, 24.3, 20.4, 24.0, 13.2,
            ],
            -2.219241,
            24.496223,
            0.0359722710297968,
        ),
        (
            &[30.02, 29.99, 30.11, 29.97, 30.01, 29.99],
            &[29.89, 29.93, 29.72, 29.98, 30.02, 29.98],
            1.959006,
            7.030560,
            0.090773324285671,
        ),
    ];
    for (a, b, t, nu, p) in rows {
        let got = welch(a, b);
        assert_part(got.log / got.sd, t, 1e-6, "t");
        assert_part(got.nu, nu, 1e-6, "ν");
        // The chance that the first is the larger is one side of the test.
        let sides = 2.0 * got.chance().min(1.0 - got.chance());
        assert_part(sides, p, 1e-9, "p");
        if t == -2.455356 {
            // T-50: 95 % interval of the difference.
            let half = got.sd * student::quantile(0.975, got.nu);
            assert_part(got.log - half, -3.984096, 1e-6, "low");
            assert_part(got.log + half, -0.349237, 2e-6, "high");
        }
    }
}

#[test]
fn t_54_degrees_of_freedom_from_summary_values() {
    // T-54: NIST e-Handbook 1.3.5.3, AUTO83B; Welch's figures recomputed only.
    let variance = |s: f64, n: f64| Scatter {
        variance: s * s / n,
        nu: n - 1.0,
    };
    let parts = [variance(6.41470, 249.0), variance(6.10771, 79.0)];
    let sum = parts[0].variance + parts[1].variance;
    let t = (20.14458 - 30.48101) / sum.sqrt();
    assert_part(t, -12.946268, 1e-6, "t");
    assert_within(welch_satterthwaite(sum, &parts), 136.875, 1e-3, "ν");
}

#[test]
#[expect(clippy::approx_constant, reason = "3.14 is a reading")]
fn t_60_to_t_62_intervals_and_chances_of_a_margin() {
    // T-60 to T-62: data and results of statsmodels' tests, made with R; 90 % interval of the
    // difference the larger of the two chances to lie beyond ±0.6, and the
    // verdict at 5 %.
    let a = [
        2.84, 2.51, 2.41, 2.95, 3.14, 3.79, 4.14, 3.85, 3.02, 3.45, 5.37, 3.81, 4.19, 3.16, 3.84,
    ];
    let b = [
        2.60, 2.82, 2.18, 3.46, 4.01, 3.04, 3.47, 4.06, 2.91, 3.59, 4.51, 3.16, 3.86, 3.31, 3.02,
    ];
    let other_a = [
        4.00, 3.26, 4.14, 3.42, 3.25, 4.34, 4.97, 4.31, 3.11, 3.41, 5.02, 4.21, 4.59, 5.30, 4.32,
    ];
    let other_b = [
        3.76, 3.66, 3.65, 3.60, 3.48, 2.87, 3.24, 3.92, 3.99, 4.21, 4.21, 3.31, 3.61, 2.97, 2.73,
    ];
    let pooled = Components::of(&rows(&[a, b]));
    let pooled = Scatter {
        variance: pooled.within_variance(),
        nu: pooled.within_df,
    };
    let cases = [
        (
            "T-60",
            welch(&a, &b),
            [0.164667, 0.253163, 26.748479, -0.266686, 0.596020],
            0.04853083976,
            Equivalence::Match,
        ),
        (
            "T-61",
            difference([&a, &b], [pooled; 2]),
            [0.164667, 0.253163, 28.0, -0.265996, 0.595329],
            0.04827315101,
            Equivalence::Match,
        ),
        (
            "T-62",
            welch(&other_a, &other_b),
            [0.562667, 0.214987, 24.110002, 0.194916, 0.930417],
            0.43179368126,
            Equivalence::Differ,
        ),
    ];
    // A margin of ±0.6 in logarithms, as a factor in per cent.
    let margin_percent = 100.0 * (libm::exp(0.6) - 1.0);
    for (id, got, wanted, chance, likeness) in cases {
        let (low, high) = got.interval();
        let figures = [got.log, got.sd, got.nu, low, high];
        for (got, wanted) in figures.into_iter().zip(wanted) {
            // Six decimals are printed.
            assert_within(got, wanted, 6e-7, id);
        }
        let beyond = Difference {
            log: got.log - 0.6,
            ..got
        };
        assert_part(beyond.chance(), chance, 1e-6, id);
        let said = Equivalence::of((low, high), Some(margin_percent));
        assert_eq!(said, likeness, "{id}");
    }
}

#[test]
fn t_71_repeatability_and_reproducibility_of_certified_data() {
    // T-71: derived from SiRstv, recomputed.
    let groups = rows(&[
        [196.3052, 196.1240, 196.1890, 196.2569, 196.3403],
        [196.3042, 196.3825, 196.1669, 196.3257, 196.0422],
        [196.1303, 196.2005, 196.2889, 196.0343, 196.1811],
        [196.2795, 196.1748, 196.1494, 196.1485, 195.9885],
        [196.2119, 196.1051, 196.1850, 196.0052, 196.2090],
    ]);
    let (within, both) = repeated(&groups);
    assert_part(within, 0.104076, 1e-5, "s_r");
    assert_part(between_variance(&groups), 3.909475e-4, 1e-5, "s_L²");
    assert_part(both, 0.105938, 1e-5, "s_R");
}

#[test]
fn t_74_ten_days_of_five_readings() {
    // T-74: JCGM 100 (GUM) H.5, Table H.9, from memory; in µV above 10 V. The readings are not
    // printed: five with the printed mean and deviation stand for them.
    let means = [
        172.0, 116.0, 13.0, 144.0, 106.0, 31.0, 60.0, 125.0, 163.0, 41.0,
    ];
    let deviations = [60.0, 77.0, 111.0, 101.0, 67.0, 93.0, 80.0, 73.0, 88.0, 86.0];
    let days: Vec<Vec<f64>> = means
        .into_iter()
        .zip(deviations)
        .map(|(mean, s)| {
            let off = s * f64::sqrt(2.0);
            vec![mean - off, mean, mean, mean, mean + off]
        })
        .collect();
    let (mean, of_mean) = mean_of(&means);
    assert_within(mean, 97.0, 0.5, "grand mean");
    assert_within(
        (10.0 * of_mean.variance).sqrt(),
        57.0,
        0.5,
        "s of daily means",
    );
    assert_within(of_mean.variance.sqrt(), 18.0, 0.5, "u of the mean");
    let components = Components::of(&days);
    assert_within(components.within_variance().sqrt(), 85.0, 0.5, "pooled s");
    assert_within(components.f(), 2.25, 0.02, "F");
    assert_eq!((components.between_df, components.within_df), (9.0, 40.0));
    assert_within(between_variance(&days).sqrt(), 43.0, 0.5, "between days");
    let all: Vec<f64> = days.into_iter().flatten().collect();
    let (_, of_all) = mean_of(&all);
    assert_within(
        of_all.variance.sqrt(),
        13.0,
        0.5,
        "u if days did not matter",
    );
}

#[test]
fn t_75_a_variance_between_groups_is_not_below_zero() {
    // T-75: ASTM E691, glucose, material A, from memory, recomputed to four digits.
    let groups = rows(&[
        [41.03, 41.45, 41.37],
        [41.17, 42.00, 41.15],
        [41.01, 40.68, 42.66],
        [39.37, 42.37, 42.63],
        [41.88, 41.19, 41.32],
        [43.28, 40.50, 42.28],
        [41.08, 41.27, 39.02],
        [43.36, 42.65, 41.72],
    ]);
    let (within, both) = repeated(&groups);
    assert_within(within, 1.0632, 5e-5, "s_r");
    // The least variance is no more than 0.
    let least = LEAST / (LOG * LOG);
    assert_near(between_variance(&groups), least, "s_L²");
    assert_near(both, (within * within + least).sqrt(), "s_R");
}

#[test]
fn t_76_repeatability_and_reproducibility() {
    // T-76: the same, material B, from memory, recomputed to four digits.
    let (within, both) = repeated(&rows(&[
        [78.28, 78.18, 78.49],
        [77.78, 80.38, 79.54],
        [79.18, 79.72, 80.81],
        [84.08, 78.60, 81.92],
        [78.16, 79.58, 78.33],
        [78.66, 79.27, 81.75],
        [79.76, 81.45, 77.35],
        [80.44, 80.80, 79.80],
    ]));
    assert_within(within, 1.4949, 5e-5, "s_r");
    assert_within(both, 1.5796, 5e-5, "s_R");
    assert_within(2.8 * within, 4.186, 5e-4, "limit within");
    assert_within(2.8 * both, 4.423, 5e-4, "limit between");
}

#[test]
fn t_77_one_wrong_digit_shows() {
    // T-77: the same, material C, from memory; with one digit corrected, and misread.
    let groups = |digit: f64| {
        rows(&[
            [132.66, 133.83, 133.10],
            [132.92, 136.90, 136.40],
            [132.61, 135.80, 135.36],
            [138.50, digit, 135.69],
            [131.90, 134.14, 133.76],
            [137.21, 135.14, 137.50],
            [130.97, 131.59, 134.92],
            [135.46, 135.14, 133.63],
        ])
    };
    for (digit, wanted_within, wanted_both) in [(138.30, 1.5434, 2.1482), (148.30, 2.7483, 3.4770)]
    {
        let (within, both) = repeated(&groups(digit));
        assert_within(within, wanted_within, 5e-5, "s_r");
        assert_within(both, wanted_both, 5e-5, "s_R");
    }
}

#[test]
fn t_80_degrees_of_freedom_of_a_product() {
    // T-80: JCGM 100 (GUM) G.4.1, from memory; in per cent.
    let parts = [(0.25, 9.0), (0.57, 4.0), (0.82, 14.0)];
    let (u, nu) = combined(&parts);
    assert_within(u, 1.03, 5e-3, "u");
    assert_within(nu, 19.0, 0.05, "ν");
    let t = student::quantile(0.975, nu);
    assert_within(t, 2.09, 5e-3, "t");
    assert_within(t * u, 2.2, 0.05, "U");
}

#[test]
fn t_81_degrees_of_freedom_of_an_end_gauge() {
    // T-81: JCGM 100 (GUM) H.1, published figures from memory; in nm.
    let parts = [
        (25.0, 18.0),
        (5.8, 24.0),
        (3.9, 5.0),
        (6.7, 8.0),
        (2.9, 50.0),
        (16.6, 2.0),
    ];
    let (u, nu) = combined(&parts);
    assert_within(u, 32.0, 0.5, "u");
    assert_within(nu, 16.75, 0.05, "ν");
    // As printed: with u and ν in whole numbers.
    let k = student::quantile(0.995, nu.floor());
    assert_within(k, 2.92, 5e-3, "k");
    assert_within(u.round() * k, 93.0, 0.5, "U");
    let (comparator, comparator_nu) = combined(&parts[1..4]);
    assert_within(comparator, 9.7, 0.05, "u of the comparator");
    // 25.6 is printed, from components with more digits; 25.45 recomputed.
    assert_within(comparator_nu, 25.45, 0.01, "ν of the comparator");
}

/// Standard uncertainty and degrees of freedom of a sum.
fn combined(parts: &[(f64, f64)]) -> (f64, f64) {
    let parts: Vec<Scatter> = parts
        .iter()
        .map(|&(u, nu)| Scatter {
            variance: u * u,
            nu,
        })
        .collect();
    let sum: f64 = parts.iter().map(|part| part.variance).sum();
    (sum.sqrt(), welch_satterthwaite(sum, &parts))
}

#[test]
fn t_83_the_mean_of_a_month() {
    // T-83: NIST TN 1900, example E2, from memory; in °C.
    let (mean, of_mean) = mean_of(&[
        18.75, 28.25, 25.75, 28.00, 28.50, 20.75, 21.00, 22.75, 18.50, 27.25, 20.75, 26.50, 28.00,
        23.25, 28.00, 21.75, 26.00, 26.50, 28.00, 33.25, 32.00, 29.50,
    ]);
    assert_within(mean, 25.59, 5e-3, "mean");
    assert_within((22.0 * of_mean.variance).sqrt(), 4.1, 0.05, "s");
    let u = of_mean.variance.sqrt();
    assert_within(u, 0.872, 1e-3, "u");
    let half = u * student::quantile(0.975, of_mean.nu);
    assert_within(mean - half, 23.8, 0.05, "low");
    assert_within(mean + half, 27.4, 0.05, "high");
}
