//! What holds of every answer from every dataset that is read.

use jobtorque::dataset::write::{self, Publish};
use jobtorque::query::question::{PairIds, Question, Score};
use jobtorque::results::Results;
use jobtorque::site::publish;
use serde::Serialize;
use serde_json::Value;
use std::fmt::Debug;

/// What cannot be negative.
const NOT_NEGATIVE: [&str; 26] = [
    "time_to_job_s",
    "work_j",
    "average_power_w",
    "peak_torque_nm",
    "largest_sample_nm",
    "rise_rate_nm_per_s",
    "best_of_three_power_w",
    "best_of_three_rise_rate_nm_per_s",
    "torque_19_of_20_nm",
    "time_nine_in_ten_s",
    "run_scatter_percent",
    "unit_scatter_percent",
    "pack_scatter_percent",
    "day_scatter_percent",
    "mass_kg",
    "length_mm",
    "price",
    "energy_wh",
    "resistance_ohm",
    "most_power_w",
    "energy_per_run_j",
    "ratio",
    "low",
    "high",
    "from_s",
    "typical_time_s",
];

/// What lies within the window of a run.
const WITHIN_THE_WINDOW: [&str; 4] = [
    "time_to_job_s",
    "time_nine_in_ten_s",
    "typical_time_s",
    "from_s",
];

/// Chances.
const CHANCES: [&str; 2] = ["reach_probability", "chance_ahead"];

/// Torques that are not above the largest that a dataset may have.
const TORQUES: [&str; 4] = [
    "peak_torque_nm",
    "mean_torque_nm",
    "early_torque_nm",
    "typical_end_nm",
];

/// Why a dataset that was read is not sane: the first rule that does not hold.
pub fn faults(text: &str, results: &Results) -> Result<(), String> {
    let publish = || publish::dataset(text, results, Publish::default());
    let (written, published) = publish().map_err(|error| format!("not published: {error}"))?;
    let scatter = published.scatter();
    let scatter = scatter.map_err(|error| format!("no scatter: {error}"))?;
    let again = write::published(&written, published.buildups(), &scatter, Publish::default());
    let again = again.map_err(|error| format!("not published again: {error}"))?;
    hold(again == written, || {
        "published again, it is another file".into()
    })?;
    let dataset = results.dataset();
    let windows = dataset.rigs.iter().map(|rig| rig.window_s());
    let window_s = windows.fold(0.0, f64::max);
    let (first, last) = (dataset.editions.first(), dataset.editions.last());
    let editions = [first.filter(|_| dataset.editions.len() > 1), last];
    let job = dataset.jobs.first().map(|job| job.id.clone());
    let jobs = [None, job, Some("100 N·m".into()), Some("20000 N·m".into())];
    for edition in editions.into_iter().flatten() {
        for (job, score) in jobs.iter().zip([
            Score::Typical,
            Score::BestOfThree,
            Score::Typical,
            Score::BestOfThree,
        ]) {
            let question = Question {
                job: job.clone(),
                edition: Some(edition.edition),
                score: Some(score),
                ..Question::default()
            };
            asked(results, &question, window_s)?;
        }
    }
    Ok(())
}

/// Asks all that may be asked of one field.
fn asked(results: &Results, field: &Question, window_s: f64) -> Result<(), String> {
    let sane = Sane { window_s };
    sane.value("contents", &results.contents())?;
    // A question may be refused: a field without runs has no answer.
    let Ok(table) = results.table(field) else {
        return Ok(());
    };
    sane.value("table", &table)?;
    sane.words(&results.worded_table(field))?;
    let pairs: Vec<_> = table.rows.iter().chain(&table.estimates).collect();
    for row in &table.rows {
        let (mean, peak) = (row.figures.mean_torque_nm, row.figures.peak_torque_nm);
        let is_below = mean
            .zip(peak)
            .is_some_and(|(mean, peak)| mean <= peak * (1.0 + 1e-9));
        hold(is_below, || format!("a mean above the peak: {row:?}"))?;
    }
    for (place, pair) in pairs.iter().enumerate() {
        let other = pairs
            .get((place + 1) % pairs.len())
            .filter(|_| pairs.len() > 1);
        let question = Question {
            tool: Some(pair.tool.clone()),
            pack: Some(pair.pack.clone()),
            beside: other
                .map(|other| PairIds {
                    tool: other.tool.clone(),
                    pack: other.pack.clone(),
                })
                .into_iter()
                .collect(),
            ..field.clone()
        };
        sane.told("answer", results.ask(&question))?;
        sane.told("runs", results.runs(&question))?;
        sane.words(&results.worded_runs(&question))?;
        sane.told("comparisons", results.compare(&question))?;
        sane.told("packs", results.packs(&question))?;
        sane.words(&results.panels(&question))?;
        let curves = results.curves(&question);
        sane.finite(
            "curves",
            &curves.is_ok().then(|| format!("{:?}", curves.unwrap())),
        )?;
        if place == 1 {
            break;
        }
    }
    sane.told("list", results.ask(field))?;
    sane.told("choices", results.choices(field))?;
    sane.words(&results.worded_choices(field))
}

struct Sane {
    window_s: f64,
}

impl Sane {
    /// What was answered, if anything was.
    fn told<T: Serialize + Debug, E>(&self, name: &str, told: Result<T, E>) -> Result<(), String> {
        told.map_or(Ok(()), |told| self.value(name, &told))
    }

    fn value<T: Serialize + Debug>(&self, name: &str, value: &T) -> Result<(), String> {
        self.finite(name, value)?;
        self.rules(name, "", &serde_json::to_value(value).unwrap())
    }

    /// Words without a number that is none.
    fn words<T: Serialize, E>(&self, words: &Result<T, E>) -> Result<(), String> {
        let Ok(words) = words else {
            return Ok(());
        };
        let text = serde_json::to_string(words).unwrap();
        for none in ["NaN", " inf", "−inf", "Infinity"] {
            hold(!text.contains(none), || format!("{none} in {text}"))?;
        }
        Ok(())
    }

    /// No number is infinite or none: JSON would hide it behind null.
    fn finite<T: Debug>(&self, name: &str, value: &T) -> Result<(), String> {
        let text = format!("{value:?}");
        // Outside quotes: a name may hold any word.
        let bare: String = text.replace("\\\"", "").split('"').step_by(2).collect();
        for none in ["NaN", "inf,", "inf)", "inf ", "inf]"] {
            hold(!bare.contains(none), || format!("{none} in {name}: {text}"))?;
        }
        Ok(())
    }

    fn rules(&self, name: &str, key: &str, value: &Value) -> Result<(), String> {
        let wrong = |rule: &str| format!("{name}: {key} is {value}, {rule}");
        match value {
            Value::Number(number) => {
                let number = number.as_f64().unwrap();
                let negative = NOT_NEGATIVE.contains(&key) && number < 0.0;
                hold(!negative, || wrong("below zero"))?;
                let late = WITHIN_THE_WINDOW.contains(&key) && number > self.window_s;
                hold(!late, || wrong("later than the window"))?;
                let chance = CHANCES.contains(&key) && !(0.0..=1.0).contains(&number);
                hold(!chance, || wrong("no chance"))?;
                let strong = TORQUES.contains(&key) && number.abs() > 20_000.0 * (1.0 + 1e-9);
                hold(!strong, || wrong("beyond all torques"))
            }
            Value::Array(elements) => elements
                .iter()
                .try_for_each(|element| self.rules(name, key, element)),
            Value::Object(members) => {
                let place = |key: &str| members.get(key).and_then(Value::as_u64);
                if let (Some(rank), Some(of)) = (place("rank"), place("rank_of")) {
                    let low = place("rank_low").unwrap_or(rank);
                    let high = place("rank_high").unwrap_or(rank);
                    let ordered = 1 <= low && low <= rank && rank <= high && high <= of;
                    hold(ordered, || {
                        wrong("a place outside its interval or its field")
                    })?;
                }
                members
                    .iter()
                    .try_for_each(|(key, value)| self.rules(name, key, value))
            }
            _ => Ok(()),
        }
    }
}

fn hold(holds: bool, fault: impl FnOnce() -> String) -> Result<(), String> {
    if holds { Ok(()) } else { Err(fault()) }
}
