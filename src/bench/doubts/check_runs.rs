//! Doubts about check runs: days without them, days outside their limits, marks.

use super::days::{about_day, days_of};
use super::doubt::Doubt;
use super::evidence::{Evidence, about};
use super::statistics::{factor, limit, mean, percent};
use crate::dataset::types::{Day, Rig};
use crate::history::control::Limits;
use std::collections::{BTreeMap, BTreeSet};

/// What check runs scatter by from day to day if nothing is known, as a logarithm …
const DAYS_DIFFER: f64 = 0.01;

/// … and how many degrees of freedom that is worth.
const DAYS_NU: f64 = 3.0;

/// Days of check runs with which another day can be compared.
const LEAST_OTHER_DAYS: usize = 3;

/// Every such doubt.
pub fn doubts(evidence: &Evidence) -> Vec<Doubt> {
    let rigs = evidence.dataset.rigs.iter();
    rigs.flat_map(|rig| of_rig(evidence, rig)).collect()
}

/// The check runs of one tool and pack in one setup on a rig.
type Series<'a> = BTreeMap<(&'a str, &'a str), Vec<(usize, f64)>>;

fn of_rig(evidence: &Evidence, rig: &Rig) -> Vec<Doubt> {
    let mut series: BTreeMap<(&str, &str, &str), Series> = BTreeMap::new();
    for (at, run, reduced) in evidence.counted() {
        let own = run.rig.is_some_and(|own| own.id == rig.id);
        if !own || !run.run.control.unwrap_or_default() {
            continue;
        }
        let key = (run.run.tool.as_str(), run.run.pack.as_str(), run.setup);
        let date = run.day.map_or("", |day| &day.date);
        let days = series.entry(key).or_default();
        days.entry((date, run.run.day.as_str()))
            .or_default()
            .push((at, reduced.log_mean));
    }
    let mut doubts = missing(evidence, rig, &series);
    for (key, days) in &series {
        doubts.extend(outside(evidence, key, days));
    }
    doubts.extend(marks(evidence, rig, &series));
    doubts
}

/// Days without check runs on a rig that usually has them.
fn missing(
    evidence: &Evidence,
    rig: &Rig,
    series: &BTreeMap<(&str, &str, &str), Series>,
) -> Vec<Doubt> {
    // A check run that could not be reduced is there all the same.
    let checked: BTreeSet<&str> = evidence
        .runs
        .iter()
        .filter(|run| run.run.control.unwrap_or_default())
        .map(|run| run.run.day.as_str())
        .collect();
    if series.is_empty() {
        return Vec::new();
    }
    let days = days_of(evidence, rig);
    let all = days.len();
    let without = days
        .into_iter()
        .filter(|day| !checked.contains(day.id.as_str()));
    let without: Vec<&Day> = without.collect();
    let with = all - without.len();
    if with < without.len() {
        return Vec::new();
    }
    without
        .into_iter()
        .map(|day| {
            about_day(evidence, "no-check-runs", &day.id)
                .says(
                    format!("{} has runs and no check runs", day.id),
                    format!("check runs, as on {with} of {all} days"),
                    "the check runs were left out, or they are not marked as control",
                )
                .of_bytes(evidence.fingerprint([], &[&evidence.day_cells(&day.id)]))
        })
        .collect()
}

/// Days whose check runs lie outside the limits of the individuals chart, or too far from the mean
/// of the other days: in a short chart one day far out widens the limits past itself.
fn outside(evidence: &Evidence, key: &(&str, &str, &str), days: &Series) -> Vec<Doubt> {
    let means: Vec<f64> = days
        .values()
        .map(|runs| mean(&runs.iter().map(|(_, value)| *value).collect::<Vec<_>>()))
        .collect();
    let limits = Limits::of(&means);
    let mut doubts = Vec::new();
    for (at, ((_, day), runs)) in days.iter().enumerate() {
        let Some(&own) = means.get(at) else { continue };
        let others: Vec<f64> = means
            .iter()
            .enumerate()
            .filter(|(other, _)| *other != at)
            .map(|(_, mean)| *mean)
            .collect();
        let outside = limits.is_some_and(|limits| !limits.hold(own));
        let far = far_from(own, &others, means.len());
        if !outside && far.is_none_or(|(difference, most)| difference.abs() <= most) {
            continue;
        }
        let difference = own - mean(&others);
        let usual = match (limits.filter(|_| outside), far) {
            (Some(limits), _) => format!(
                "between {} and {} times, the limits of the chart",
                factor(limits.low - limits.mean),
                factor(limits.high - limits.mean)
            ),
            (None, Some((_, most))) => format!("within {}, by the other days", percent(most)),
            (None, None) => String::new(),
        };
        let (tool, pack, _) = key;
        let correction = runs
            .iter()
            .filter_map(|(at, _)| evidence.runs.get(*at)?.reduced.as_ref())
            .map(|reduced| reduced.correction)
            .find(|correction| *correction != 1.0);
        let mut meaning =
            "the rig read wrongly on that day (sensor, lubricant, bolt), or the tool or pack of the check runs has changed".to_owned();
        if let Some(correction) = correction {
            meaning = format!(
                "the correction of that day, {correction:.4}, is wrong, is applied twice or belongs to another day; or {meaning}"
            );
        }
        let bytes = format!("{:.6}", correction.unwrap_or(1.0));
        doubts.push(
            about_day(evidence, "check-runs-outside", day)
                .says(
                    format!(
                        "The check runs of {day} ({tool} with {pack}) give {} times the mean of the other days",
                        factor(difference)
                    ),
                    usual,
                    meaning,
                )
                .of_bytes(evidence.fingerprint(runs.iter().map(|(at, _)| *at), &[&bytes])),
        );
    }
    doubts
}

/// How far a day is from the mean of the others, and how far it may be; `None` with too few others.
fn far_from(own: f64, others: &[f64], days: usize) -> Option<(f64, f64)> {
    if others.len() < LEAST_OTHER_DAYS {
        return None;
    }
    let middle = mean(others);
    let squares: f64 = others
        .iter()
        .map(|one| (one - middle) * (one - middle))
        .sum();
    let nu = DAYS_NU + others.len() as f64 - 1.0;
    let variance = (DAYS_NU * DAYS_DIFFER * DAYS_DIFFER + squares) / nu;
    let error = (variance * (1.0 + 1.0 / others.len() as f64)).sqrt();
    Some((own - middle, limit(days, nu) * error))
}

/// Check runs that are not marked, and runs that are marked and are none.
fn marks(
    evidence: &Evidence,
    rig: &Rig,
    series: &BTreeMap<(&str, &str, &str), Series>,
) -> Vec<Doubt> {
    let days_of_series = |days: &Series| days.len();
    let most = series.values().map(days_of_series).max().unwrap_or(0);
    let mut doubts = Vec::new();
    for (key, days) in series {
        doubts.extend(lone_mark(evidence, *key, days, most));
        doubts.extend(forgotten_marks(evidence, rig, *key, days));
    }
    doubts
}

/// One check run of a pair of its own beside a chart of `most` days.
fn lone_mark(
    evidence: &Evidence,
    (tool, pack, _): (&str, &str, &str),
    days: &Series,
    most: usize,
) -> Option<Doubt> {
    let count: usize = days.values().map(Vec::len).sum();
    if days.len() != 1 || count != 1 || most < LEAST_OTHER_DAYS {
        return None;
    }
    let (at, _) = *days.values().flatten().next()?;
    let run = evidence.runs.get(at)?;
    Some(
        about("check-run-mark", run)
            .says(
                format!(
                    "This run of {tool} with {pack} is marked as a check run (control), the only one of that pair"
                ),
                format!("check runs of one pair, here on {most} days"),
                "an ordinary run is marked as a check run, and does not count",
            )
            .of_bytes(evidence.fingerprint([at], &[])),
    )
}

/// The one run of a day that is not marked where one check run is missing to the usual number.
fn forgotten_marks(
    evidence: &Evidence,
    rig: &Rig,
    key: (&str, &str, &str),
    days: &Series,
) -> Vec<Doubt> {
    let usual = days.values().map(Vec::len).max().unwrap_or(0);
    let full = days.values().filter(|runs| runs.len() == usual).count();
    if days.len() < LEAST_OTHER_DAYS || full * 2 <= days.len() {
        return Vec::new();
    }
    let mut doubts = Vec::new();
    for day in days_of(evidence, rig) {
        let here = days.get(&(day.date.as_str(), day.id.as_str()));
        let here = here.map_or(0, Vec::len);
        let unmarked = evidence.runs.iter().enumerate().filter(|(_, run)| {
            let own = (run.run.tool.as_str(), run.run.pack.as_str(), run.setup);
            let same = own == key && run.run.day == day.id;
            same && run.counts && !run.run.control.unwrap_or_default()
        });
        let unmarked: Vec<_> = unmarked.collect();
        let [(at, run)] = unmarked.as_slice() else {
            continue;
        };
        if here + 1 != usual {
            continue;
        }
        doubts.push(
            about("check-run-mark", run)
                .says(
                    format!(
                        "This run of {} with {} is not marked as a check run (control), and {} has {here} of them",
                        key.0, key.1, day.id
                    ),
                    format!("{usual} check runs a day"),
                    "the mark of a check run was forgotten",
                )
                .of_bytes(evidence.fingerprint([*at], &[])),
        );
    }
    doubts
}

#[cfg(test)]
mod tests {
    use super::super::tests::Case;
    use super::far_from;

    #[test]
    fn one_day_far_out_in_a_short_chart_is_far() {
        let is_far = |own: f64| {
            let (difference, most) =
                far_from(own, &[0.001, -0.002, 0.0, 0.002, -0.001], 6).unwrap();
            difference.abs() > most
        };
        assert!(is_far(0.06) && is_far(-0.06) && !is_far(0.02));
        assert_eq!(far_from(0.5, &[0.0, 0.0], 3), None);
    }

    #[test]
    fn check_runs_outside_their_limits_are_told() {
        let of = |factor: f64| {
            let mut case = Case::default();
            for at in case.checks("d2") {
                let run = case.run(at).iter_mut();
                run.for_each(|dnm| *dnm = (f64::from(*dnm) * factor).round() as i32);
            }
            case.names()
        };
        assert_eq!(of(1.005), [""; 0]);
        let low = of(0.93);
        assert!(low.contains(&"check-runs-outside"), "{low:?}");
    }

    #[test]
    fn a_day_without_check_runs_is_told() {
        let mut case = Case::default();
        case.runs
            .retain(|run| !(run.day == "d2" && run.control == Some(true)));
        assert_eq!(case.names(), ["no-check-runs"]);
    }

    #[test]
    fn a_check_run_without_its_mark_is_told() {
        let mut case = Case::default();
        let at = case.checks("d2")[0];
        case.runs[at].control = None;
        assert_eq!(case.names(), ["check-run-mark"]);
        let mut case = Case::default();
        let at = case.first_of(1, 0);
        case.runs[at].control = Some(true);
        assert_eq!(case.names(), ["check-run-mark"]);
    }
}
