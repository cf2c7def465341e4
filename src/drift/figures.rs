//! What the check runs say of each day.

use super::data::{CheckSeries, CheckedDay, DayWithout, Drift, Proposal};
use crate::field::check_runs::{CheckRuns, Series};
use crate::field::effects;
use crate::history::check_days::smallest_shift;
use crate::history::day_offsets::{DayOffset, day_offsets};
use crate::history::editions::is_corrected_by_checks;
use crate::query::question::Question;
use crate::query::resolved::Asked;
use crate::results::Results;
use crate::results::each::Role;
use crate::results::products::{ids, label};
use crate::sort;

/// Date and identifier of a day, and its rig.
type DayOfRig<'a> = (&'a str, &'a str, &'a str);

impl Results {
    /// What the check runs of an edition say of each day, and which days have none.
    pub fn drift(&self, edition: u32) -> Drift {
        let rigs = 0..self.dataset.rigs.len();
        let series = rigs.flat_map(|rig| {
            let checks = CheckRuns::of(self, rig, edition);
            let told = |series: &Series| self.series(rig, edition, series);
            checks.series.iter().filter_map(told).collect::<Vec<_>>()
        });
        Drift {
            edition,
            series: series.collect(),
            days_without: self.days_without(edition),
        }
    }

    /// Days with runs and without a check run, in order of time.
    fn days_without(&self, edition: u32) -> Vec<DayWithout> {
        let mut days: Vec<(DayOfRig, (u32, u32))> = Vec::new();
        for told in self.each_run(edition) {
            let is_check = told.role == Role::CheckRun;
            let key = (told.day.date.as_str(), told.day.id.as_str(), told.rig);
            sort::change(&mut days, key, |(runs, checks)| {
                *runs += u32::from(!is_check);
                *checks += u32::from(is_check);
            });
        }
        let without = days
            .iter()
            .filter(|(_, (runs, checks))| *runs > 0 && *checks == 0);
        without
            .map(|((date, day, rig), (runs, _))| DayWithout {
                day: (*day).to_owned(),
                date: (*date).to_owned(),
                rig: (*rig).to_owned(),
                runs: *runs,
            })
            .collect()
    }

    fn series(&self, rig: usize, edition: u32, series: &Series) -> Option<CheckSeries> {
        let dataset = &self.dataset;
        let (setup, tool, pack) = series.of;
        let (rig, setup) = (dataset.rigs.get(rig)?, dataset.setups.get(setup)?);
        let offsets = self.offsets((&rig.id, &setup.id), edition, series);
        let of_day = |(index, &day): (usize, &usize)| {
            let (mean, day) = (series.means.get(index)?, dataset.days.get(day)?);
            let own = series.limits.as_ref().and_then(|limits| limits.get(index));
            let ends = own.map(|own| own.ends());
            let offset = offsets.as_ref().and_then(|offsets| offsets.get(index));
            Some(CheckedDay {
                day: day.id.clone(),
                date: day.date.clone(),
                runs: mean.runs,
                mean_torque_nm: libm::exp(mean.log),
                low_nm: ends.map(|(low, _)| libm::exp(low)),
                high_nm: ends.map(|(_, high)| libm::exp(high)),
                mean_of_others_nm: own.map(|own| libm::exp(own.mean)),
                off_percent: own.map(|own| 100.0 * libm::expm1(mean.log - own.mean)),
                outside: own.map(|own| !own.hold(mean.log)),
                torque_factor: offset.map(DayOffset::factor),
                proposal: offset.map(|offset| {
                    if is_corrected_by_checks(&dataset.editions, &day.id, edition) {
                        Proposal::Made
                    } else if offset.is_worth_correcting() {
                        Proposal::Proposed
                    } else {
                        Proposal::None
                    }
                }),
            })
        };
        let (tool_id, pack_id) = ids(self, tool, pack);
        Some(CheckSeries {
            rig: rig.id.clone(),
            setup: setup.id.clone(),
            tool: tool_id,
            pack: pack_id,
            label: label(self, tool, pack),
            reference: self.is_reference(tool),
            run_scatter_percent: series.run_variance.map(|variance| 100.0 * variance.sqrt()),
            smallest_shift_percent: series
                .limits
                .as_ref()
                .map(|limits| 100.0 * libm::expm1(smallest_shift(limits))),
            days: series.days.iter().enumerate().filter_map(of_day).collect(),
            calibrations: self.calibrations_within(&rig.id, &series.days),
        })
    }

    /// What the check runs show of each day; `None` where nothing tells their scatter, or of one day.
    fn offsets(
        &self,
        (rig, setup): (&str, &str),
        edition: u32,
        series: &Series,
    ) -> Option<Vec<DayOffset>> {
        let question = Question {
            rig: Some(rig.to_owned()),
            setup: Some(setup.to_owned()),
            edition: Some(edition),
            ..Question::default()
        };
        let asked = Asked::of(self, &question).ok()?;
        let days = effects::of_asked(self, &asked).day.scatter.variance;
        let several = series.means.len() > 1;
        Some(day_offsets(&series.means, days, series.run_variance?)).filter(|_| several)
    }

    /// Dates of calibrations of a rig after the first and up to the last of these days, in order.
    fn calibrations_within(&self, rig: &str, days: &[usize]) -> Vec<String> {
        let date = |day: Option<&usize>| Some(self.dataset.days.get(*day?)?.date.as_str());
        let (Some(first), Some(last)) = (date(days.first()), date(days.last())) else {
            return Vec::new();
        };
        let rig = self.dataset.rigs.iter().find(|other| other.id == rig);
        let calibrations = rig.into_iter().flat_map(|rig| rig.calibrations.iter());
        let within = |date: &&String| first < date.as_str() && date.as_str() <= last;
        let mut dates: Vec<String> = calibrations
            .map(|calibration| &calibration.date)
            .filter(within)
            .cloned()
            .collect();
        sort::distinct(&mut dates);
        dates
    }
}
