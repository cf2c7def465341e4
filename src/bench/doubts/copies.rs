//! Doubts about runs that are one and the same: bytes, samples, rows, moments.

use super::doubt::{Doubt, Subject};
use super::evidence::{Evidence, RunEvidence, about};
use super::statistics::is_ratio_of_units;
use crate::run::samples::Samples;
use std::collections::BTreeMap;

/// Second differences of the samples correlate by more than this where two series are the same but
/// for units and rounding. They hold noise and blows, which two runs do not share, and hardly
/// anything of the rise, which they do. Rounding to two thirds of the noise's standard deviation
/// leaves 0.96.
const SAME: f64 = 0.9;

/// Largest values of one run, rounded in different units, differ by less than this as a logarithm.
const ROUNDING: f64 = 0.005;

/// So many runs of one length are compared each with each.
const MOST_COMPARED: usize = 400;

/// Fewest samples that can be compared.
const LEAST_SAMPLES: usize = 50;

/// Every such doubt. Control runs and runs set aside are looked at too: a copy is a mistake in them
/// as well.
pub fn doubts(evidence: &Evidence) -> Vec<Doubt> {
    let mut doubts = same_log(evidence);
    let bytes = same_bytes(evidence);
    doubts.extend(same_samples(evidence, &bytes));
    doubts.extend(bytes.into_iter().map(|(_, doubt)| doubt));
    doubts.extend(same_moment(evidence));
    doubts
}

/// Part of a log, with runs that name it.
type ByKey<'a, K> = BTreeMap<K, Vec<(usize, &'a RunEvidence<'a>)>>;

fn grouped<'a, K: Ord>(
    evidence: &'a Evidence<'a>,
    key: impl Fn(&'a RunEvidence<'a>) -> Option<K>,
) -> ByKey<'a, K> {
    let mut groups: ByKey<K> = BTreeMap::new();
    for (at, run) in evidence.runs.iter().enumerate() {
        if let Some(key) = key(run) {
            groups.entry(key).or_default().push((at, run));
        }
    }
    groups.retain(|_, runs| runs.len() >= 2);
    groups
}

/// The names of all but the first of some runs.
fn others(runs: &[(usize, &RunEvidence)]) -> String {
    let names = runs.iter().skip(1).take(3).map(|(_, run)| run.name.clone());
    let names: Vec<String> = names.collect();
    let more = runs.len().saturating_sub(4);
    if more == 0 {
        names.join(" and ")
    } else {
        format!("{} and {more} more", names.join(", "))
    }
}

fn indices(runs: &[(usize, &RunEvidence)]) -> impl Iterator<Item = usize> {
    let indices: Vec<usize> = runs.iter().map(|(at, _)| *at).collect();
    indices.into_iter()
}

/// Rows that name the same log and the same part of it.
fn same_log(evidence: &Evidence) -> Vec<Doubt> {
    // A log without a part is its first.
    let part = |run: &RunEvidence| {
        let (_, part) = run.name.rsplit_once(" part ").unwrap_or(("", "1"));
        part.to_owned()
    };
    let groups = grouped(evidence, |run| Some((run.log.clone()?, part(run))));
    let doubt = |runs: &Vec<(usize, &RunEvidence)>| {
        let (_, first) = runs.first()?;
        Some(
            about("same-log", first)
                .says(
                    format!(
                        "{} rows name the same log{}",
                        runs.len(),
                        if first.name.contains(" part ") {
                            " and part of it"
                        } else {
                            ""
                        }
                    ),
                    "one row for each run",
                    "the row stands twice (a duplicate), or one of them names the log of another run",
                )
                .of_bytes(evidence.fingerprint(indices(runs), &[])),
        )
    };
    groups.values().filter_map(doubt).collect()
}

/// Different logs with the same bytes, with the runs of each such doubt.
fn same_bytes(evidence: &Evidence) -> Vec<(Vec<usize>, Doubt)> {
    let sha256 = |run: &RunEvidence| run.run.log.as_ref()?.sha256.clone();
    let groups = grouped(evidence, |run| sha256(run).filter(|text| !text.is_empty()));
    let file = |run: &RunEvidence| {
        let of_dataset = run.run.log.as_ref().and_then(|log| log.file.clone());
        run.log.clone().or(of_dataset)
    };
    let doubt = |mut runs: Vec<(usize, &RunEvidence)>| {
        let mut seen = Vec::new();
        let all: Vec<usize> = indices(&runs).collect();
        runs.retain(|(_, run)| {
            let new = !seen.contains(&file(run));
            seen.push(file(run));
            new
        });
        let (_, first) = runs.first().filter(|_| runs.len() >= 2)?;
        let doubt = about("same-bytes", first).says(
            format!("This log has the same bytes as {}", others(&runs)),
            "no two logs alike",
            "one log was copied over another or saved twice, and a run is lost",
        );
        Some((
            all,
            doubt.of_bytes(evidence.fingerprint(indices(&runs), &[])),
        ))
    };
    groups.into_values().filter_map(doubt).collect()
}

/// Runs with the same samples, whatever the unit and the rounding of their logs.
fn same_samples(evidence: &Evidence, told: &[(Vec<usize>, Doubt)]) -> Vec<Doubt> {
    let mut found: Vec<(usize, usize)> = Vec::new();
    for runs in compared(evidence) {
        for (nth, &a) in runs.iter().enumerate() {
            let alike = runs.iter().skip(nth + 1).filter(|&&b| {
                let samples = |at: usize| evidence.runs.get(at)?.samples.as_ref();
                let pair = samples(a).zip(samples(b));
                pair.is_some_and(|(a, b)| are_same(a, b))
            });
            found.extend(alike.map(|&b| (a, b)));
        }
    }
    found.sort_unstable();
    found.dedup();
    let is_told = |a: usize, b: usize| {
        let bytes = told
            .iter()
            .any(|(runs, _)| runs.contains(&a) && runs.contains(&b));
        let name = |at: usize| evidence.runs.get(at).map(|run| &run.name);
        bytes || name(a) == name(b)
    };
    found.retain(|&(a, b)| !is_told(a, b));
    clusters(&found)
        .into_iter()
        .filter_map(|cluster| {
            let runs: Vec<(usize, &RunEvidence)> = cluster
                .iter()
                .filter_map(|&at| Some((at, evidence.runs.get(at)?)))
                .collect();
            let (_, first) = runs.first()?;
            let doubt = about("same-samples", first).says(
                format!("This run has the same samples as {}", others(&runs)),
                "no two runs with the same noise",
                "one run was exported twice, and the other is lost",
            );
            Some(doubt.of_bytes(evidence.fingerprint(cluster, &[])))
        })
        .collect()
}

/// Groups of runs within which samples are compared: those of one length; where there are many of
/// them, only those whose steepest rise or fall is at the same sample, which coarse rounding may
/// move.
fn compared(evidence: &Evidence) -> Vec<Vec<usize>> {
    let mut lengths: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for (at, run) in evidence.runs.iter().enumerate() {
        if let Some(samples) = &run.samples
            && samples.torque_nm.len() >= LEAST_SAMPLES
        {
            lengths.entry(samples.torque_nm.len()).or_default().push(at);
        }
    }
    let mut buckets: BTreeMap<(usize, bool, usize), Vec<usize>> = BTreeMap::new();
    for (length, runs) in lengths {
        if runs.len() <= MOST_COMPARED {
            buckets.insert((length, true, 0), runs);
            continue;
        }
        for at in runs {
            let samples = evidence.runs.get(at).and_then(|run| run.samples.as_ref());
            let Some(samples) = samples else { continue };
            let (rise, fall) = steepest(&samples.torque_nm);
            for (is_rise, position) in [(true, rise), (false, fall)] {
                buckets
                    .entry((length, is_rise, position))
                    .or_default()
                    .push(at);
            }
        }
    }
    buckets.into_values().collect()
}

/// Runs that a chain of pairs connects, each cluster in rising order.
fn clusters(pairs: &[(usize, usize)]) -> Vec<Vec<usize>> {
    let mut clusters: Vec<Vec<usize>> = Vec::new();
    for &(a, b) in pairs {
        let (mut joined, apart): (Vec<Vec<usize>>, Vec<Vec<usize>>) = clusters
            .into_iter()
            .partition(|cluster| cluster.contains(&a) || cluster.contains(&b));
        joined.push(vec![a, b]);
        let mut joined = joined.concat();
        joined.sort_unstable();
        joined.dedup();
        clusters = apart;
        clusters.push(joined);
    }
    clusters.sort();
    clusters
}

/// Places of the largest rise and the largest fall from one sample to the next.
fn steepest(torque_nm: &[f64]) -> (usize, usize) {
    let (mut rise, mut fall) = ((0, f64::NEG_INFINITY), (0, f64::INFINITY));
    for (at, difference) in differences(torque_nm).enumerate() {
        if difference > rise.1 {
            rise = (at, difference);
        }
        if difference < fall.1 {
            fall = (at, difference);
        }
    }
    (rise.0, fall.0)
}

fn differences(values: &[f64]) -> impl Iterator<Item = f64> {
    values.windows(2).map(|pair| match pair {
        [a, b] => b - a,
        _ => 0.0,
    })
}

fn second_differences(values: &[f64]) -> impl Iterator<Item = f64> {
    values.windows(3).map(|three| match three {
        [a, b, c] => a - 2.0 * b + c,
        _ => 0.0,
    })
}

/// Whether the second differences of two series of one length correlate as those of copies do, and their
/// sizes differ by no more than rounding or by the ratio of units that are taken for each other.
fn are_same(a: &Samples, b: &Samples) -> bool {
    let (mut of_a, mut of_b, mut shared) = (0.0, 0.0, 0.0);
    for (a, b) in second_differences(&a.torque_nm).zip(second_differences(&b.torque_nm)) {
        of_a += a * a;
        of_b += b * b;
        shared += a * b;
    }
    let size = (of_a * of_b).sqrt();
    if size.is_nan() || size <= 0.0 || shared <= SAME * size {
        return false;
    }
    let largest = |samples: &Samples| samples.torque_nm.iter().copied().reduce(f64::max);
    let ratio = largest(a).zip(largest(b)).map_or(0.0, |(a, b)| a / b);
    ratio > 0.0
        && (libm::log(ratio).abs() < ROUNDING || is_ratio_of_units(libm::log(ratio), ROUNDING))
}

/// Runs of one rig on one day at one moment.
fn same_moment(evidence: &Evidence) -> Vec<Doubt> {
    let groups = grouped(evidence, |run| {
        let at_s = run.run.at_s?;
        let rig = run.rig.map(|rig| rig.id.as_str());
        Some((run.run.day.as_str(), rig, (1e3 * at_s).round() as i64))
    });
    let doubt = |mut runs: Vec<(usize, &RunEvidence)>| {
        // The parts of one log may share its time.
        let mut logs = Vec::new();
        runs.retain(|(_, run)| {
            let new = run.log.is_none() || !logs.contains(&&run.log);
            logs.push(&run.log);
            new
        });
        let (_, first) = runs.first().filter(|_| runs.len() >= 2)?;
        let doubt = Doubt::new("same-moment", Subject::Run, &first.name).at(&first.pointer);
        let doubt = doubt.says(
            format!(
                "At the same moment of {} as {}",
                first.run.day,
                others(&runs)
            ),
            "one run at a time on one rig",
            "the clock of one of the two runs at this moment is wrong, or a row stands twice",
        );
        Some(doubt.of_bytes(evidence.fingerprint(indices(&runs), &[])))
    };
    groups.into_values().filter_map(doubt).collect()
}

#[cfg(test)]
mod tests {
    use super::super::tests::Case;

    #[test]
    fn the_same_samples_in_another_unit_are_told() {
        let mut case = Case::default();
        let copy: Vec<i32> = case.run(3).clone();
        // Rounded to whole N·m.
        let rounded: Vec<i32> = copy.iter().map(|dnm| (dnm + 5) / 10 * 10).collect();
        case.run(4).clone_from(&rounded);
        assert!(case.names().contains(&"same-samples"), "{:?}", case.names());
        case.run(5).clone_from(&rounded);
        let doubts = case.doubts();
        let told = doubts.iter().filter(|doubt| doubt.name == "same-samples");
        let told: Vec<&str> = told.map(|doubt| &*doubt.figure).collect();
        assert_eq!(told.len(), 1, "{told:?}");
        assert!(
            told[0].contains("run 5") && told[0].contains("run 6"),
            "{told:?}"
        );
        // One is scaled by what is no ratio of units: another run of the same shape.
        *case.run(5) = copy.iter().map(|dnm| dnm * 102 / 100).collect();
        let others = case.doubts();
        assert!(
            others.iter().all(|doubt| !doubt.figure.contains("run 6")),
            "{others:?}"
        );
    }

    #[test]
    fn two_runs_of_one_moment_are_told() {
        let mut case = Case::default();
        for (at, run) in case.runs.iter_mut().enumerate() {
            run.at_s = Some(600.0 * at as f64);
        }
        assert_eq!(case.names(), [""; 0]);
        case.runs[4].at_s = case.runs[6].at_s;
        assert!(case.names().is_empty(), "another day");
        case.runs[4].at_s = case.runs[5].at_s;
        assert_eq!(case.names(), ["same-moment"]);
    }

    #[test]
    fn the_same_bytes_under_two_names_are_told() {
        let mut case = Case::default();
        for (at, run) in case.runs.iter_mut().enumerate() {
            run.log = Some(crate::dataset::types::LogFile {
                file: Some(format!("{at}.csv")),
                sha256: Some(format!("{:064}", if at == 9 { 2 } else { at })),
            });
        }
        assert_eq!(case.names(), ["same-bytes"]);
    }
}
