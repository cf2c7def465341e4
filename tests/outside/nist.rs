//! One-way analyses of variance with certified results: NIST Statistical Reference Datasets, works
//! of the US government, as they stand in `nist/`. Certified values are read from the files' heads.

use super::close::assert_part;
use jobtorque::scatter::components::Components;
use std::path::Path;

/// What a file certifies, and its groups.
struct Certified {
    between_ss: f64,
    between_df: f64,
    f: f64,
    within_ss: f64,
    within_df: f64,
    residual_sd: f64,
    groups: Vec<Vec<f64>>,
}

impl Certified {
    fn read(name: &str) -> Self {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/outside/nist");
        let text = std::fs::read_to_string(path.join(name)).unwrap();
        let lines: Vec<&str> = text.lines().map(str::trim).collect();
        let figures = |start: &str| -> Vec<f64> {
            let line = lines.iter().find(|line| line.starts_with(start)).unwrap();
            line.split_whitespace()
                .filter_map(|word| word.parse().ok())
                .collect()
        };
        let (between, within) = (figures("Between"), figures("Within"));
        assert_eq!((between.len(), within.len()), (4, 3), "{name}");
        let mut groups: Vec<Vec<f64>> = Vec::new();
        // The data begin on line 61.
        for line in lines.iter().skip(60).filter(|line| !line.is_empty()) {
            let (group, value) = line.split_once(char::is_whitespace).unwrap();
            let group: usize = group.parse().unwrap();
            if groups.len() < group {
                groups.push(Vec::new());
            }
            groups[group - 1].push(value.trim().parse().unwrap());
        }
        Self {
            between_df: between[0],
            between_ss: between[1],
            f: between[3],
            within_df: within[0],
            within_ss: within[1],
            residual_sd: figures("Standard Deviation")[0],
            groups,
        }
    }
}

/// Holds every certified figure within a part of itself.
fn hold(name: &str, part: f64) {
    let certified = Certified::read(name);
    let got = Components::of(&certified.groups);
    assert_eq!(got.between_df, certified.between_df, "{name}");
    assert_eq!(got.within_df, certified.within_df, "{name}");
    assert_part(got.between_ss, certified.between_ss, part, name);
    assert_part(got.within_ss, certified.within_ss, part, name);
    assert_part(got.f(), certified.f, part, name);
    assert_part(
        got.within_variance().sqrt(),
        certified.residual_sd,
        part,
        name,
    );
    let r_squared = got.between_ss / (got.between_ss + got.within_ss);
    let whole = certified.between_ss + certified.within_ss;
    assert_part(r_squared, certified.between_ss / whole, part, name);
}

#[test]
fn t_70_five_instruments_with_five_repeats() {
    let certified = Certified::read("SiRstv.dat");
    assert_eq!(
        certified.groups.iter().map(Vec::len).collect::<Vec<_>>(),
        [5; 5]
    );
    assert_eq!(certified.f, 1.18046237440255);
    hold("SiRstv.dat", 1e-9);
}

#[test]
fn t_72_seven_digits_in_common() {
    let certified = Certified::read("AtmWtAg.dat");
    assert_eq!(
        certified.groups.iter().map(Vec::len).collect::<Vec<_>>(),
        [24; 2]
    );
    assert_eq!(certified.f, 15.9467335677930);
    // A float of 107.868 is off by up to 7e-15, of the residual's 1.5e-5 by 5e-10; over 48 values
    // less. A formula that sums squares as they stand keeps one digit.
    hold("AtmWtAg.dat", 1e-9);
}

#[test]
fn nine_groups_of_small_whole_differences() {
    let certified = Certified::read("SmLs01.dat");
    assert_eq!(
        certified.groups.iter().map(Vec::len).collect::<Vec<_>>(),
        [21; 9]
    );
    hold("SmLs01.dat", 1e-9);
}

#[test]
fn nine_groups_with_seven_digits_in_common() {
    // A float of 1,000,000.4 is off by up to 6e-11, of the residual's 0.1 by 6e-10; over 189 values less.
    hold("SmLs04.dat", 1e-9);
}

#[test]
fn nine_groups_with_thirteen_digits_in_common() {
    // A float of 1,000,000,000,000.4 is off by up to 6e-5, of the residual's 0.1 by 6e-4: no method
    // that reads floats can keep more than four digits.
    hold("SmLs07.dat", 5e-4);
}
