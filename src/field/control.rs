//! Which days the control runs of a rig make suspect.

use crate::history::control::Limits;
use crate::history::editions::{controls, torque_factor};
use crate::results::Results;
use crate::run::LEAST_TORQUE_NM;
use crate::sort;

/// What the control runs of a rig say of its days.
#[derive(Clone, Debug)]
pub(crate) struct ControlDays {
    /// Indices of days, each with whether some chart has it outside its limits.
    judged: Vec<(usize, bool)>,
}

/// The control runs of one tool and pack in one setup, by day.
struct Series {
    key: (usize, usize, usize),
    days: Vec<Day>,
}

/// The control runs of a day.
struct Day {
    index: usize,
    sum: f64,
    count: u32,
}

impl ControlDays {
    /// The individuals charts of the day means of ln mean torque, one for each tool, pack and
    /// setup that is re-run, as edition `edition` has them. Below five days nothing is judged.
    pub fn of(results: &Results, rig: usize, edition: u32) -> Self {
        let dataset = &results.dataset;
        let mut all: Vec<Series> = Vec::new();
        for (run, reduced) in dataset.runs.iter().zip(&results.runs) {
            if reduced.rig != rig || !controls(run, edition) {
                continue;
            }
            let factor = torque_factor(&dataset.editions, &run.day, edition);
            let mean_nm = (reduced.measures.mean_nm * factor).max(LEAST_TORQUE_NM);
            let key = (reduced.tool, reduced.pack, reduced.setup);
            add(&mut all, key, reduced.day, libm::log(mean_nm));
        }
        let date = |day: &Day| dataset.days.get(day.index).map(|day| day.date.as_str());
        let mut judged = Vec::new();
        for series in &mut all {
            sort::sort(&mut series.days, |a, b| date(a).cmp(&date(b)));
            let means: Vec<f64> = series.days.iter().map(Day::mean).collect();
            let Some(limits) = Limits::of(&means) else {
                continue;
            };
            let days = series.days.iter();
            judged.extend(days.map(|day| (day.index, !limits.hold(day.mean()))));
        }
        Self { judged }
    }

    /// Whether a day is suspect; `None` where no chart says.
    pub fn suspect(&self, day: usize) -> Option<bool> {
        let of_day = self.judged.iter().filter(|(index, _)| *index == day);
        of_day.map(|(_, outside)| *outside).reduce(|a, b| a || b)
    }
}

impl Day {
    fn mean(&self) -> f64 {
        self.sum / f64::from(self.count)
    }
}

fn add(all: &mut Vec<Series>, key: (usize, usize, usize), index: usize, value: f64) {
    let at = all.iter().position(|series| series.key == key);
    let at = at.unwrap_or_else(|| {
        let days = Vec::new();
        all.push(Series { key, days });
        all.len() - 1
    });
    let Some(series) = all.get_mut(at) else {
        return;
    };
    match series.days.iter_mut().find(|day| day.index == index) {
        Some(day) => {
            day.sum += value;
            day.count += 1;
        }
        None => series.days.push(Day {
            index,
            sum: value,
            count: 1,
        }),
    }
}
