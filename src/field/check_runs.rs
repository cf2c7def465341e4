//! The check runs of a rig by day: the chart of each pair that is run again and again, and which days
//! they make suspect.

use crate::history::check_days::{CheckDay, DayLimits, limits, reference_variance};
use crate::history::editions::{Part, controls, part_of, torque_factor_before_checks};
use crate::results::Results;
use crate::run::LEAST_TORQUE_NM;
use crate::scatter::cells::Run;
use crate::scatter::effects::Assumed;
use crate::scatter::run::RunScatter;
use crate::sort;

/// What the check runs of a rig say of its days.
#[derive(Clone, Debug)]
pub(crate) struct CheckRuns {
    /// One for each tool, pack and setup that is run again and again.
    pub series: Vec<Series>,
}

/// The check runs of one tool and pack in one setup.
#[derive(Clone, Debug)]
pub(crate) struct Series {
    /// Indices of setup, tool and pack.
    #[cfg_attr(
        target_arch = "wasm32",
        expect(dead_code, reason = "visitors see no chart")
    )]
    pub of: (usize, usize, usize),
    /// Indices of its days, in order of time, ...
    pub days: Vec<usize>,
    /// ... and the mean of each.
    pub means: Vec<CheckDay>,
    /// Variance of ln mean torque of runs of one day; `None` where no two runs were made in one way.
    pub run_variance: Option<f64>,
    /// Limits of each day; `None` with too few days.
    pub limits: Option<Vec<DayLimits>>,
}

/// Indices of setup, tool and pack of check runs, and of a day.
type CheckedOn = ((usize, usize, usize), usize);

/// ln mean torque of runs by what they have in common.
type Logs<K> = Vec<(K, Vec<f64>)>;

/// What runs of one pair, specimen and day have in common, the setup first: they differ by the scatter
/// of runs alone.
type Cell = (usize, Run);

impl CheckRuns {
    /// Of the runs of a rig as edition `edition` has them, without the factors that check runs gave.
    pub fn of(results: &Results, rig: usize, edition: u32) -> Self {
        let dataset = &results.dataset;
        let mut cells: Logs<Cell> = Vec::new();
        let mut checks: Logs<CheckedOn> = Vec::new();
        for (run, reduced) in dataset.runs.iter().zip(&results.runs) {
            let is_check = controls(run, edition);
            if reduced.rig != rig || !(is_check || part_of(run, edition) == Part::Counts) {
                continue;
            }
            let factor = torque_factor_before_checks(&dataset.editions, &run.day, edition);
            let log = libm::log((reduced.measures.mean_nm * factor).max(LEAST_TORQUE_NM));
            let cell = (reduced.setup, reduced.origin(reduced.pack));
            sort::change(&mut cells, cell, |logs: &mut Vec<f64>| logs.push(log));
            if is_check {
                let of = (reduced.setup, reduced.tool, reduced.pack);
                sort::change(&mut checks, (of, reduced.day), |logs: &mut Vec<f64>| {
                    logs.push(log)
                });
            }
        }
        let series = checks.chunk_by(|((a, _), _), ((b, _), _)| a == b);
        Self {
            series: series
                .filter_map(|own| Series::of(results, rig, own, &cells))
                .collect(),
        }
    }

    /// Whether a day is suspect; `None` where no chart says.
    pub fn suspect(&self, day: usize) -> Option<bool> {
        let told = self.series.iter().filter_map(|series| {
            let index = series.days.iter().position(|own| *own == day)?;
            let limits = series.limits.as_ref()?.get(index)?;
            Some(!limits.hold(series.means.get(index)?.log))
        });
        told.reduce(|a, b| a || b)
    }
}

impl Series {
    /// Of the check runs of each day of one tool and pack.
    fn of(
        results: &Results,
        rig: usize,
        checks: &[(CheckedOn, Vec<f64>)],
        cells: &Logs<Cell>,
    ) -> Option<Self> {
        let ((of, _), _) = checks.first()?;
        let run_variance = run_variance(results, *of, checks, cells);
        let mut days: Vec<(usize, &Vec<f64>)> =
            checks.iter().map(|((_, day), logs)| (*day, logs)).collect();
        let date = |day: usize| {
            let day = results.dataset.days.get(day);
            day.map(|day| (day.date.as_str(), day.id.as_str()))
        };
        sort::sort(&mut days, |(a, _), (b, _)| date(*a).cmp(&date(*b)));
        let mean = |(_, logs): &(usize, &Vec<f64>)| CheckDay {
            log: logs.iter().sum::<f64>() / logs.len() as f64,
            runs: u32::try_from(logs.len()).unwrap_or(u32::MAX),
        };
        let means: Vec<CheckDay> = days.iter().map(mean).collect();
        let assumed = Assumed::days(results.dataset.rigs.get(rig)?.day_to_day_percent);
        Some(Self {
            of: *of,
            limits: run_variance.and_then(|variance| limits(&means, variance, assumed)),
            days: days.into_iter().map(|(day, _)| day).collect(),
            means,
            run_variance,
        })
    }
}

/// The variance of ln mean torque of runs of one day: that of the tool, moderated by the other tools of
/// the setup; of a reference check, by its own readings.
fn run_variance(
    results: &Results,
    (setup, tool, _): (usize, usize, usize),
    checks: &[(CheckedOn, Vec<f64>)],
    cells: &Logs<Cell>,
) -> Option<f64> {
    if results.is_reference(tool) {
        let own = checks
            .iter()
            .map(|(_, logs)| (tool, std::slice::from_ref(logs)));
        return Some(reference_variance(RunScatter::of(own).pooled));
    }
    let here = cells.iter().filter(|((own, _), _)| *own == setup);
    let lists = here.map(|((_, run), logs)| (run.tool, std::slice::from_ref(logs)));
    let scatter = RunScatter::of(lists);
    (scatter.pooled.nu > 0.0).then(|| scatter.of_tool(tool).variance)
}
