//! Doubts about check runs: days without them, days outside their limits, marks.

use super::days::{about_day, days_of};
use super::doubt::Doubt;
use super::evidence::{Evidence, about};
use super::statistics::{factor, mean};
use crate::dataset::types::{Day, Rig};
use crate::history::check_days::{CheckDay, limits};
use crate::scatter::effects::Assumed;
use crate::scatter::run::RunScatter;
use std::collections::{BTreeMap, BTreeSet};

/// Days of check runs beside which one more, or one that is missing, is told.
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
        doubts.extend(outside(evidence, rig, key, days));
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

/// Days whose check runs lie outside their limits by the other days.
fn outside(evidence: &Evidence, rig: &Rig, key: &(&str, &str, &str), days: &Series) -> Vec<Doubt> {
    let mean_of = |runs: &Vec<(usize, f64)>| CheckDay {
        log: mean(&runs.iter().map(|(_, value)| *value).collect::<Vec<_>>()),
        runs: u32::try_from(runs.len()).unwrap_or(u32::MAX),
    };
    let means: Vec<CheckDay> = days.values().map(mean_of).collect();
    let assumed = Assumed::days(rig.day_to_day_percent);
    let Some(limits) = limits(&means, run_variance(evidence, rig, key), assumed) else {
        return Vec::new();
    };
    let mut doubts = Vec::new();
    for (((_, day), runs), (own, limits)) in days.iter().zip(means.iter().zip(&limits)) {
        if limits.hold(own.log) {
            continue;
        }
        let difference = own.log - limits.mean;
        let (low, high) = limits.ends();
        let usual = format!(
            "between {} and {} times, its limits by the other days",
            factor(low - limits.mean),
            factor(high - limits.mean)
        );
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

/// Variance of ln mean torque of runs of one day with the tool of check runs, moderated by other tools of
/// the rig and the setup; 0 where nothing tells it.
fn run_variance(evidence: &Evidence, rig: &Rig, (tool, _, setup): &(&str, &str, &str)) -> f64 {
    let mut cells: BTreeMap<_, Vec<f64>> = BTreeMap::new();
    for (_, run, reduced) in evidence.counted() {
        let own = run.rig.is_some_and(|own| own.id == rig.id) && run.setup == *setup;
        if own {
            let run = run.run;
            let pair = (&run.tool, &run.pack);
            let cell = (pair, &run.specimen, &run.pack_specimen, &run.day);
            cells.entry(cell).or_default().push(reduced.log_mean);
        }
    }
    let index = |id: &str| evidence.dataset.tools.iter().position(|own| own.id == id);
    let lists = cells
        .iter()
        .filter_map(|(((tool, _), ..), logs)| Some((index(tool)?, std::slice::from_ref(logs))));
    let scatter = RunScatter::of(lists);
    let own = index(tool).filter(|_| scatter.pooled.nu > 0.0);
    own.map_or(0.0, |tool| scatter.of_tool(tool).variance)
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
