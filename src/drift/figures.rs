//! What the check runs say of each day.

use super::data::{CheckSeries, CheckedDay, DayWithout, Drift};
use crate::history::check_days::{CheckDay, limits, smallest_shift};
use crate::results::Results;
use crate::results::each::Role;
use crate::results::products::label_by_ids;
use crate::run::LEAST_TORQUE_NM;
use crate::scatter::run::RunScatter;
use crate::sort;

/// A rig and a setup, by their identifiers.
type Where<'a> = (&'a str, &'a str);

/// A tool and a pack there.
type Pair<'a> = (Where<'a>, &'a str, &'a str);

/// Date and identifier of a day, and its rig.
type DayOfRig<'a> = (&'a str, &'a str, &'a str);

/// ln mean torque of runs by what they have in common.
type Logs<K> = Vec<(K, Vec<f64>)>;

impl Results {
    /// What the check runs of an edition say of each day, and which days have none.
    pub fn drift(&self, edition: u32) -> Drift {
        // Runs of one pair, specimen and day differ by the scatter of runs alone.
        let mut cells: Logs<(Pair, Option<&str>, &str)> = Vec::new();
        let mut checks: Vec<(Pair, Logs<(&str, &str)>)> = Vec::new();
        let mut days: Vec<(DayOfRig, (u32, u32))> = Vec::new();
        for told in self.each_run(edition) {
            let (run, day) = (told.run, told.day);
            let pair: Pair = ((told.rig, told.setup), &run.tool, &run.pack);
            let log = libm::log(told.counted.measures.mean_nm.max(LEAST_TORQUE_NM));
            let is_check = told.role == Role::CheckRun;
            let key = (day.date.as_str(), day.id.as_str(), told.rig);
            sort::change(&mut days, key, |(runs, checks)| {
                *runs += u32::from(!is_check);
                *checks += u32::from(is_check);
            });
            if told.role != Role::SetAside {
                let cell = (pair, run.specimen.as_deref(), day.id.as_str());
                sort::change(&mut cells, cell, |logs: &mut Vec<f64>| logs.push(log));
            }
            if is_check {
                let key = (day.date.as_str(), day.id.as_str());
                sort::change(&mut checks, pair, |days| {
                    sort::change(days, key, |logs: &mut Vec<f64>| logs.push(log));
                });
            }
        }
        let series = checks
            .iter()
            .map(|(pair, days)| self.series(*pair, days, &cells))
            .collect();
        let without = days
            .iter()
            .filter(|(_, (runs, checks))| *runs > 0 && *checks == 0);
        Drift {
            edition,
            series,
            days_without: without
                .map(|((date, day, rig), (runs, _))| DayWithout {
                    day: (*day).to_owned(),
                    date: (*date).to_owned(),
                    rig: (*rig).to_owned(),
                    runs: *runs,
                })
                .collect(),
        }
    }

    fn series(
        &self,
        pair: Pair,
        days: &Logs<(&str, &str)>,
        cells: &Logs<(Pair, Option<&str>, &str)>,
    ) -> CheckSeries {
        let ((rig, setup), tool, pack) = pair;
        let variance = self.run_variance(pair, cells);
        let means: Vec<CheckDay> = days
            .iter()
            .map(|(_, logs)| CheckDay {
                log: logs.iter().sum::<f64>() / logs.len() as f64,
                runs: u32::try_from(logs.len()).unwrap_or(u32::MAX),
            })
            .collect();
        let limits = variance.and_then(|variance| limits(&means, variance));
        let of_day = |(index, ((date, day), _)): (usize, &((&str, &str), Vec<f64>))| {
            let mean = means.get(index)?;
            let own = limits.as_ref().and_then(|limits| limits.get(index));
            let ends = own.map(|own| own.ends());
            Some(CheckedDay {
                day: (*day).to_owned(),
                date: (*date).to_owned(),
                runs: mean.runs,
                mean_torque_nm: libm::exp(mean.log),
                low_nm: ends.map(|(low, _)| libm::exp(low)),
                high_nm: ends.map(|(_, high)| libm::exp(high)),
                mean_of_others_nm: own.map(|own| libm::exp(own.mean)),
                off_percent: own.map(|own| 100.0 * libm::expm1(mean.log - own.mean)),
                outside: own.map(|own| !own.hold(mean.log)),
            })
        };
        CheckSeries {
            rig: rig.to_owned(),
            setup: setup.to_owned(),
            tool: tool.to_owned(),
            pack: pack.to_owned(),
            label: label_by_ids(self, tool, pack),
            run_scatter_percent: variance.map(|variance| 100.0 * variance.sqrt()),
            smallest_shift_percent: limits
                .as_ref()
                .map(|limits| 100.0 * libm::expm1(smallest_shift(limits))),
            days: days.iter().enumerate().filter_map(of_day).collect(),
            calibrations: self.calibrations_within(rig, days),
        }
    }

    /// Dates of calibrations of a rig after the first and up to the last of these days, in order.
    fn calibrations_within(&self, rig: &str, days: &Logs<(&str, &str)>) -> Vec<String> {
        let (Some(((first, _), _)), Some(((last, _), _))) = (days.first(), days.last()) else {
            return Vec::new();
        };
        let rig = self.dataset.rigs.iter().find(|other| other.id == rig);
        let calibrations = rig.into_iter().flat_map(|rig| rig.calibrations.iter());
        let within = |date: &&String| *first < date.as_str() && date.as_str() <= *last;
        let mut dates: Vec<String> = calibrations
            .map(|calibration| &calibration.date)
            .filter(within)
            .cloned()
            .collect();
        sort::distinct(&mut dates);
        dates
    }

    /// The variance of ln mean torque of runs of one day and specimen: that of the pair's tool,
    /// moderated by the other tools of the same rig and setup; `None` without repeated runs.
    fn run_variance(&self, pair: Pair, cells: &Logs<(Pair, Option<&str>, &str)>) -> Option<f64> {
        let index = |id: &str| self.dataset.tools.iter().position(|tool| tool.id == id);
        let here = cells.iter().filter(|((other, ..), _)| other.0 == pair.0);
        let lists: Vec<(usize, [Vec<f64>; 1])> = here
            .filter_map(|((other, ..), logs)| Some((index(other.1)?, [logs.clone()])))
            .collect();
        let scatter = RunScatter::of(lists.iter().map(|(tool, logs)| (*tool, &logs[..])));
        (scatter.pooled.nu > 0.0).then(|| scatter.of_tool(index(pair.1).unwrap_or(0)).variance)
    }
}
