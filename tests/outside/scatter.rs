//! The figures between a question and its answer, against `uncertainty.py`: scatter of runs and of
//! specimens, a further try, mean and standard deviation of a rank. The fixture keeps eight digits
//! of them.

use super::close::{assert_part, assert_within, counted};
use super::fields::{Field, Job, Level as Expected, RunScatter as Wanted};
use super::uncertainty::AT_ONCE;
use jobtorque::dataset::types::BuildUp;
use jobtorque::query::question::{Measure, Per};
use jobtorque::ranking::interval::{Level, RankSpread, field_at_once, plain};
use jobtorque::reach::Prediction;
use jobtorque::run::curve::Curve;
use jobtorque::scatter::Scatter;
use jobtorque::scatter::run::RunScatter;
use jobtorque::scatter::specimen::SpecimenScatter;
use jobtorque::typical::{Combination, Counted};
use std::collections::{BTreeMap, BTreeSet};

const DIGITS: f64 = 2e-7;
const WINDOW_S: f64 = 2.5;

/// The runs of one pair.
struct Pair {
    tool: usize,
    specimens: BTreeSet<String>,
    combination: Combination,
}

/// Every field whose runs count as they stand, with its pairs.
fn each(check: impl Fn(&Field, &[Pair])) {
    let mut checked = 0;
    for field in Field::all() {
        if field.dataset["editions"].as_array().unwrap().len() > 1 {
            continue;
        }
        let runs = field.dataset["runs"].as_array().unwrap();
        let results = field.results();
        let buildups: Vec<&BuildUp> = results.buildups().collect();
        let curves: Vec<Curve> = buildups.iter().map(|buildup| buildup.curve()).collect();
        let pairs: Vec<Pair> = (0..field.pairs.len())
            .map(|pair| {
                let mut specimens: BTreeMap<String, Vec<Counted>> = BTreeMap::new();
                for &run in &field.runs[pair] {
                    let name = runs[run]["specimen"].as_str().unwrap_or_default();
                    let run = counted(&curves[run], buildups[run], WINDOW_S);
                    specimens.entry(name.to_owned()).or_default().push(run);
                }
                Pair {
                    tool: field.tool_of(pair),
                    specimens: specimens.keys().cloned().collect(),
                    combination: Combination::new(specimens.into_values().collect()).unwrap(),
                }
            })
            .collect();
        check(&field, &pairs);
        checked += 1;
    }
    assert!(checked >= 23);
}

/// Run scatter for one torque of each run.
fn run_scatter(pairs: &[Pair], torque_nm: impl Fn(usize, &Counted) -> f64) -> RunScatter {
    let values: Vec<Vec<Vec<f64>>> = pairs
        .iter()
        .enumerate()
        .map(|(place, pair)| pair.combination.log_values(&|run| torque_nm(place, run)))
        .collect();
    let tools = pairs.iter().map(|pair| pair.tool);
    RunScatter::of(tools.zip(values.iter().map(Vec::as_slice)))
}

/// Run scatter at each pair's typical time to the job, or the window's end.
fn at_job(pairs: &[Pair], job: &Job) -> RunScatter {
    run_scatter(pairs, |place, run| {
        let time_s = job.time_us[place].map_or(WINDOW_S, |time_us| f64::from(time_us) / 1e6);
        run.curve.torque_at(time_s)
    })
}

fn specimen_scatter(field: &Field, pairs: &[Pair]) -> SpecimenScatter {
    let unit = field.unit.as_ref().unwrap();
    let values: Vec<Vec<Vec<f64>>> = pairs
        .iter()
        .map(|pair| pair.combination.log_values(&|run| run.measures.mean_nm))
        .collect();
    let pooled = run_scatter(pairs, |_, run| run.measures.mean_nm).pooled;
    let percent = field.dataset["rigs"][0]["unit_to_unit_percent"].as_f64();
    let beforehand = percent.map_or(pooled.variance.sqrt(), |percent| percent / 100.0);
    assert_part(beforehand, unit.a, DIGITS, &field.name);
    let mut specimens: BTreeMap<usize, BTreeSet<&String>> = BTreeMap::new();
    for pair in pairs {
        specimens
            .entry(pair.tool)
            .or_default()
            .extend(&pair.specimens);
    }
    let more: usize = specimens.values().map(|own| own.len() - 1).sum();
    assert_eq!(more, unit.nu_t as usize, "{}", field.name);
    SpecimenScatter::of(&values, pooled.variance, more as f64, beforehand)
}

#[track_caller]
fn assert_scatter(got: &RunScatter, wanted: &Wanted, pairs: &[Pair], what: &str) {
    assert_part(got.pooled.variance.sqrt(), wanted.s, DIGITS, what);
    assert_eq!(got.pooled.nu, wanted.nu, "{what}");
    for pair in pairs {
        let what = format!("{what}, tool {}", pair.tool);
        let (s, nu) = (
            wanted.moderated_s[pair.tool],
            wanted.moderated_nu[pair.tool],
        );
        let own = got.of_tool(pair.tool);
        assert_part(own.variance.sqrt(), s, DIGITS, &what);
        assert_part(own.nu, nu, DIGITS, &what);
    }
}

#[test]
fn run_scatter_at_the_job() {
    each(|field, pairs| {
        for job in &field.jobs {
            if let Some(wanted) = &job.expected.job_scatter {
                let what = format!("{}, {:?}", field.name, job.question);
                assert_scatter(&at_job(pairs, &job.expected), wanted, pairs, &what);
            }
        }
    });
}

#[test]
fn run_scatter_when_patience_ends() {
    each(|field, pairs| {
        for job in &field.jobs {
            if let Some(reach) = &job.expected.reach {
                let within_s = job.question.within_s.unwrap_or(WINDOW_S);
                let got = run_scatter(pairs, |_, run| run.curve.torque_at(within_s));
                let what = format!("{}, {:?}", field.name, job.question);
                assert_scatter(&got, &reach.reach_scatter, pairs, &what);
            }
        }
    });
}

#[test]
fn run_scatter_of_measures() {
    each(|field, pairs| {
        for by in &field.by {
            if let Some(wanted) = &by.expected.scatter {
                let measure = by.question.by.unwrap();
                let got = run_scatter(pairs, |_, run| measured_nm(measure, run));
                assert_scatter(&got, wanted, pairs, &format!("{}, {measure:?}", field.name));
            }
        }
    });
}

/// The torque a measure reads.
fn measured_nm(measure: Measure, run: &Counted) -> f64 {
    use jobtorque::query::question::Level::{Early, Mean, Peak};
    match measure.parts().unwrap().0 {
        Mean => run.measures.mean_nm,
        Peak => run.measures.peak_nm,
        Early => run.measures.early_nm,
    }
}

#[test]
fn specimen_scatter_is_held_by_what_is_known_beforehand() {
    each(|field, pairs| {
        let Some(unit) = &field.unit else {
            return;
        };
        let got = specimen_scatter(field, pairs);
        assert_within(
            got.scatter.variance.sqrt(),
            unit.s,
            DIGITS * unit.s.max(1e-9),
            &field.name,
        );
        assert_eq!(
            got.scatter.nu,
            unit.nu.unwrap_or(f64::INFINITY),
            "{}",
            field.name
        );
        assert_eq!(got.measured, unit.estimate2.is_some(), "{}", field.name);
    });
}

#[test]
fn shares_and_further_tries() {
    each(|field, pairs| {
        for job in &field.jobs {
            let Some(reach) = &job.expected.reach else {
                continue;
            };
            let within_s = job.question.within_s.unwrap_or(WINDOW_S);
            let run = run_scatter(pairs, |_, run| run.curve.torque_at(within_s));
            let unit = specimen_scatter(field, pairs).scatter;
            for (place, pair) in pairs.iter().enumerate() {
                let what = format!(
                    "{}, {:?}, {:?}",
                    field.name, job.question, field.pairs[place]
                );
                let share = pair.combination.share();
                assert_part(share, field.share[place], DIGITS, &what);
                let specimens = pair.specimens.len() as f64;
                let u_cal = field.u_cal[place];
                let further =
                    Prediction::new(unit, run.of_tool(pair.tool), specimens, share, u_cal);
                assert_part(further.sd, reach.s[place], DIGITS, &what);
                assert_part(further.nu, reach.nu[place], DIGITS, &what);
            }
        }
    });
}

/// A pair's level, by time to a torque or by a measure.
struct Placed<'a> {
    pair: &'a Pair,
    /// Logarithm of the measure over what it is divided by; `None` for a time.
    value: Option<f64>,
    log_needed: f64,
    se: f64,
    specimen_variance: f64,
}

impl Level for Placed<'_> {
    fn at(&self, course: f64) -> f64 {
        match self.value {
            Some(value) => value + course,
            None => {
                let log_nm = libm::log(self.pair.combination.torque_at(course.min(WINDOW_S)));
                log_nm - self.log_needed + (course - WINDOW_S).max(0.0)
            }
        }
    }

    fn comes_to(&self, level: f64) -> f64 {
        if let Some(value) = self.value {
            return level - value;
        }
        let combination = &self.pair.combination;
        let time_s = combination.time_to(libm::exp(self.log_needed + level), WINDOW_S);
        time_s.unwrap_or_else(|| WINDOW_S + level - self.at(WINDOW_S))
    }

    fn se(&self) -> f64 {
        self.se
    }

    fn covariance(&self, other: &Self) -> f64 {
        if self.pair.tool != other.pair.tool {
            return 0.0;
        }
        let (own, others) = (&self.pair.specimens, &other.pair.specimens);
        let common = own.intersection(others).count() as f64;
        self.specimen_variance * common / (own.len() * others.len()) as f64
    }
}

impl<'a> Placed<'a> {
    fn new(pair: &'a Pair, unit: Scatter, run: Scatter) -> Self {
        let specimens = pair.specimens.len() as f64;
        let variance = unit.variance / specimens + run.variance * pair.combination.share();
        Self {
            pair,
            value: None,
            log_needed: 0.0,
            se: variance.sqrt(),
            specimen_variance: unit.variance,
        }
    }
}

/// Holds every rank's mean and standard deviation, by the plain sum and for the field at once.
#[track_caller]
fn assert_spreads(levels: &[Placed], places: &super::fields::Places, what: &str) {
    let at_once = field_at_once(levels);
    let ranked = |of: &[Option<f64>]| -> Vec<f64> { of.iter().copied().flatten().collect() };
    let (se, mean) = (ranked(&places.se), ranked(&places.rank_mean));
    let sd = ranked(&places.rank_sd);
    assert_eq!(levels.len(), mean.len(), "{what}");
    for (place, level) in levels.iter().enumerate() {
        let what = format!("{what}, {place}");
        assert_part(level.se, se[place], DIGITS, &what);
        let RankSpread {
            mean: got_mean,
            sd: got_sd,
        } = plain(levels, place).unwrap();
        // A time is a whole microsecond, in which a curve in few knots rises by up to 1e-5 of itself.
        assert_within(got_mean, mean[place], 1e-5, &what);
        assert_within(got_sd, sd[place], 1e-5, &what);
        assert_within(at_once[place].mean, mean[place], AT_ONCE, &what);
        assert_within(at_once[place].sd, sd[place], AT_ONCE, &what);
    }
}

#[test]
fn mean_and_deviation_of_places_for_a_job() {
    each(|field, pairs| {
        let typical = field.jobs.iter().filter(|job| job.expected.score.is_none());
        for job in typical.filter(|_| !field.too_few) {
            let (unit, run) = (
                specimen_scatter(field, pairs).scatter,
                at_job(pairs, &job.expected),
            );
            let levels: Vec<Placed> = pairs
                .iter()
                .map(|pair| Placed {
                    log_needed: libm::log(job.expected.required_nm),
                    ..Placed::new(pair, unit, run.of_tool(pair.tool))
                })
                .collect();
            let what = format!("{}, {:?}", field.name, job.question);
            assert_spreads(&levels, &job.expected.places, &what);
        }
    });
}

#[test]
fn mean_and_deviation_of_places_by_a_measure() {
    each(|field, pairs| {
        for by in field.by.iter().filter(|_| !field.too_few) {
            let measure = by.question.by.unwrap();
            let unit = specimen_scatter(field, pairs).scatter;
            let run = run_scatter(pairs, |_, run| measured_nm(measure, run));
            let levels: Vec<Placed> = (0..pairs.len())
                .filter_map(|place| {
                    let pair = &pairs[place];
                    let value = log_value(field, measure, place, pair, &by.expected)?;
                    Some(Placed {
                        value: Some(value),
                        ..Placed::new(pair, unit, run.of_tool(pair.tool))
                    })
                })
                .collect();
            let what = format!("{}, {measure:?}", field.name);
            assert_spreads(&levels, &by.expected.places, &what);
        }
    });
}

/// Mean logarithm of a measure over mass or price; `None` without a place.
fn log_value(
    field: &Field,
    measure: Measure,
    place: usize,
    pair: &Pair,
    expected: &Expected,
) -> Option<f64> {
    expected.places.rank[place]?;
    let values = pair
        .combination
        .log_values(&|run| measured_nm(measure, run));
    let mean = |values: &[f64]| values.iter().sum::<f64>() / values.len() as f64;
    let means: Vec<f64> = values.iter().map(|own| mean(own)).collect();
    let part = |list: &str, id: &str| {
        let parts = field.dataset[list].as_array().unwrap();
        let part = parts.iter().find(|part| part["id"] == id).unwrap();
        match measure.parts().unwrap().1 {
            Per::One => 0.5,
            Per::Kg => part["mass_kg"].as_f64().unwrap(),
            Per::Price => part["prices"][0]["amount"].as_f64().unwrap(),
        }
    };
    let (tool, pack) = &field.pairs[place];
    Some(mean(&means) - libm::log(part("tools", tool) + part("packs", pack)))
}
