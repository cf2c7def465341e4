//! The figures between a question and its answer, against `uncertainty.py`: scatter of runs, specimens,
//! packs and days, a further try, mean and standard deviation of a rank. The fixture keeps eight digits
//! of most of them.

use super::close::{assert_part, assert_within};
use super::fields::{Field, Level as Expected, Places, RunScatter as Wanted};
use super::made::{Pair, WINDOW_S, each};
use super::uncertainty::AT_ONCE;
use jobtorque::dataset::write::Publish;
use jobtorque::query::question::{Measure, Per};
use jobtorque::ranking::spread::{Doubt, Doubtful, Entries};
use jobtorque::reach::Prediction;
use jobtorque::scatter::effects::Basis;
use jobtorque::scatter::run::RunScatter;
use jobtorque::scatter::shares::{Scatters, Shares};
use jobtorque::site::publish;
use jobtorque::typical::Counted;
use serde_json::Value;

const DIGITS: f64 = 2e-7;

/// How far a variance may be from where the likelihood is largest, as a part of itself.
const SETTLED: f64 = 1e-7;

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
    each(|made| {
        assert_eq!(
            made.cells.by_day(),
            made.field.by_day,
            "{}",
            made.field.name
        );
        for job in &made.field.jobs {
            if let Some(wanted) = &job.expected.job_scatter {
                let what = format!("{}, {:?}", made.field.name, job.question);
                assert_scatter(&made.at_job(&job.expected), wanted, &made.pairs, &what);
            }
        }
    });
}

#[test]
fn run_scatter_when_patience_ends() {
    each(|made| {
        for job in &made.field.jobs {
            if let Some(reach) = &job.expected.reach {
                let within_s = job.question.within_s.unwrap_or(WINDOW_S);
                let got = made.scatter_at(|_| within_s);
                let what = format!("{}, {:?}", made.field.name, job.question);
                assert_scatter(&got, &reach.reach_scatter, &made.pairs, &what);
            }
        }
    });
}

#[test]
fn run_scatter_of_measures() {
    each(|made| {
        for by in &made.field.by {
            if let Some(wanted) = &by.expected.scatter {
                let measure = by.question.by.unwrap();
                let got = made.run_scatter(|_, run| measured_nm(measure, run));
                let what = format!("{}, {measure:?}", made.field.name);
                assert_scatter(&got, wanted, &made.pairs, &what);
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
fn scatters_of_specimens_packs_and_days_are_held_by_what_is_assumed() {
    each(|made| {
        let found = made.found();
        let wanted = &made.field.effects;
        for (place, effect) in [found.specimen, found.pack, found.day].iter().enumerate() {
            let what = format!("{}, {place}", made.field.name);
            let (sd, nu) = wanted.assumed[place];
            assert_part(effect.assumed.sd, sd, 1e-15, &what);
            assert_eq!(effect.assumed.nu, nu, "{what}");
            let (got, variance) = (effect.scatter, wanted.variances[place]);
            assert_part(got.variance, variance, SETTLED, &what);
            assert_part(got.nu, wanted.nu[place], SETTLED, &what);
            let basis = match effect.basis() {
                Basis::Measured => "measured",
                Basis::Held => "held",
                Basis::Assumed => "assumed",
            };
            assert_eq!(basis, wanted.basis[place], "{what}");
        }
    });
}

#[test]
fn shares_and_further_tries() {
    each(|made| {
        let field = made.field;
        for job in &field.jobs {
            let Some(reach) = &job.expected.reach else {
                continue;
            };
            let within_s = job.question.within_s.unwrap_or(WINDOW_S);
            let run = made.scatter_at(|_| within_s);
            for (place, pair) in made.pairs.iter().enumerate() {
                let own = &field.pairs[place];
                let what = format!("{}, {:?}, {own:?}", field.name, job.question);
                let shares = Shares::of_mean(&pair.origins);
                assert_part(shares.of_runs(), field.share[place], DIGITS, &what);
                let further = shares.of_further_try(pair.tool);
                let terms = further.terms(&made.scatters(), |tool| run.of_tool(tool));
                let further = Prediction::further(&terms, field.u_cal[place]);
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
    doubt: Doubt,
}

impl Doubtful for Placed<'_> {
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

    fn doubt(&self) -> &Doubt {
        &self.doubt
    }
}

impl<'a> Placed<'a> {
    fn new(pair: &'a Pair, scatters: &Scatters, run: &RunScatter) -> Self {
        let shares = Shares::of_mean(&pair.origins);
        Self {
            pair,
            value: None,
            log_needed: 0.0,
            doubt: Doubt::of(pair.tool, &shares, scatters, run.of_tool(pair.tool)),
        }
    }
}

/// Holds every rank's mean and standard deviation, by the plain sum and for the field at once.
#[track_caller]
fn assert_spreads(levels: &[Placed], places: &Places, what: &str) {
    let entries = Entries::of(levels);
    let at_once = entries.spreads();
    let ranked = |of: &[Option<f64>]| -> Vec<f64> { of.iter().copied().flatten().collect() };
    let (se, se_nu) = (ranked(&places.se), ranked(&places.se_nu));
    let (mean, sd) = (ranked(&places.rank_mean), ranked(&places.rank_sd));
    assert_eq!(levels.len(), mean.len(), "{what}");
    for (place, level) in levels.iter().enumerate() {
        let what = format!("{what}, {place}");
        assert_part(level.doubt.se, se[place], DIGITS, &what);
        assert_part(level.doubt.nu, se_nu[place], DIGITS, &what);
        let plain = entries.spread(place).unwrap();
        // A time is a whole microsecond, in which a curve in few knots rises by up to 1e-5 of itself.
        assert_within(plain.mean, mean[place], 1e-5, &what);
        assert_within(plain.sd, sd[place], 1e-5, &what);
        assert_within(at_once[place].mean, mean[place], AT_ONCE, &what);
        assert_within(at_once[place].sd, sd[place], AT_ONCE, &what);
    }
}

#[test]
fn mean_and_deviation_of_places_for_a_job() {
    each(|made| {
        let jobs = made.field.jobs.iter();
        let typical = jobs.filter(|job| job.expected.score.is_none());
        for job in typical.filter(|_| !made.field.too_few) {
            let (scatters, run) = (made.scatters(), made.at_job(&job.expected));
            let level = |pair| Placed {
                log_needed: libm::log(job.expected.required_nm),
                ..Placed::new(pair, &scatters, &run)
            };
            let levels: Vec<Placed> = made.pairs.iter().map(level).collect();
            let what = format!("{}, {:?}", made.field.name, job.question);
            assert_spreads(&levels, &job.expected.places, &what);
        }
    });
}

#[test]
fn mean_and_deviation_of_places_by_a_measure() {
    each(|made| {
        for by in made.field.by.iter().filter(|_| !made.field.too_few) {
            let measure = by.question.by.unwrap();
            let scatters = made.scatters();
            let run = made.run_scatter(|_, run| measured_nm(measure, run));
            let level = |(place, pair)| {
                let value = log_value(made.field, measure, place, pair, &by.expected)?;
                Some(Placed {
                    value: Some(value),
                    ..Placed::new(pair, &scatters, &run)
                })
            };
            let levels: Vec<Placed> = made.pairs.iter().enumerate().filter_map(level).collect();
            let what = format!("{}, {measure:?}", made.field.name);
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
    let mean = pair.combination.log_of(&|run| measured_nm(measure, run));
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
    Some(mean - libm::log(part("tools", tool) + part("packs", pack)))
}

/// The scatters that a published file holds of a field's first rig and setup in the edition asked for.
fn published(field: &Field) -> Value {
    let (text, results) = (field.dataset.to_string(), field.results());
    let (written, _) = publish::dataset(&text, &results, Publish::default()).unwrap();
    let written: Value = serde_json::from_str(&written).unwrap();
    let editions = field.dataset["editions"].as_array().unwrap();
    let latest = editions.last().unwrap()["edition"].as_u64().unwrap();
    let edition = field.jobs[0].question.edition.map_or(latest, u64::from);
    let is_asked_for = |own: &&Value| {
        let [rig, setup] = ["rigs", "setups"].map(|list| &field.dataset[list][0]["id"]);
        own["rig"] == *rig && own["setup"] == *setup && own["edition"] == edition
    };
    let mut all = written["scatter"].as_array().unwrap().iter();
    all.find(is_asked_for).unwrap().clone()
}

#[test]
fn published_files_hold_the_scatters_rounded() {
    for field in Field::all() {
        let (got, wanted) = (published(&field), &field.effects);
        for (place, kind) in ["specimen", "pack", "day"].into_iter().enumerate() {
            let what = format!("{}, {kind}", field.name);
            assert_eq!(got[format!("{kind}_ppm")], wanted.ppm[place], "{what}");
            assert_eq!(got[format!("{kind}_cnu")], wanted.cnu[place], "{what}");
        }
    }
}
