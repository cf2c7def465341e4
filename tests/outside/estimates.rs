//! Estimates of pairs nobody ran, against `estimates.py`: the model alone, and through the one door.

use super::close::{assert_near, assert_part, assert_within, fixture};
use super::fields::Field;
use jobtorque::answer::data::Answer;
use jobtorque::estimate::{Measured, Model};
use jobtorque::query::question::Question;
use jobtorque::query::verdict::Basis;
use jobtorque::results::Results;
use serde::Deserialize;
use serde_json::json;

#[derive(Deserialize)]
struct Fixture {
    asked: Vec<Asked>,
    cases: Vec<Case>,
}

/// A model's levels, and what they say.
#[derive(Deserialize)]
struct Case {
    name: String,
    pairs: Vec<(usize, usize)>,
    level: Vec<f64>,
    errors: Vec<Vec<f64>>,
    beforehand: f64,
    /// Absent where there are too few pairs to say.
    model: Option<Expected>,
}

#[derive(Deserialize)]
struct Expected {
    packs: f64,
    interaction: f64,
    nu: f64,
    off_by: f64,
    /// Tool, pack, level and variance of its error; without these where nothing links the two.
    estimates: Vec<(usize, usize, Option<f64>, Option<f64>)>,
}

/// A question about a pair whose runs were taken out of a field of `uncertainty.json`.
#[derive(Deserialize)]
struct Asked {
    name: String,
    question: Question,
    /// Absent where there is no estimate.
    expected: Option<Told>,
}

#[derive(Deserialize)]
struct Told {
    typical_end_nm: f64,
    time_us: Option<f64>,
    probability: f64,
    verdict: String,
    torque_19_of_20_nm: f64,
    off_by_percent: f64,
}

/// How far the variances, and what follows from them, may be from where the likelihood is largest, as
/// a part of themselves: it is flat there, and the last steps are small.
const SETTLED: f64 = 1e-7;

fn model(case: &Case) -> Option<Model> {
    let measured: Vec<Measured> = case
        .pairs
        .iter()
        .zip(&case.level)
        .map(|(&(tool, pack), &level)| Measured { tool, pack, level })
        .collect();
    Model::of(&measured, |a, b| case.errors[a][b], case.beforehand)
}

#[test]
fn variances_are_where_the_likelihood_is_largest() {
    let fixture: Fixture = fixture("estimates.json");
    assert!(fixture.cases.len() >= 8);
    for case in &fixture.cases {
        let (model, name) = (model(case), &case.name);
        let Some(expected) = &case.model else {
            assert!(model.is_none(), "{name}");
            continue;
        };
        let model = model.unwrap();
        assert_part(model.packs, expected.packs, SETTLED, name);
        let interaction = model.interaction;
        assert_part(interaction.variance, expected.interaction, SETTLED, name);
        assert_near(interaction.nu, expected.nu, name);
    }
}

#[test]
fn estimates_are_those_of_the_full_equations() {
    let fixture: Fixture = fixture("estimates.json");
    let mut estimated = 0;
    for case in &fixture.cases {
        let Some(expected) = &case.model else {
            continue;
        };
        let model = model(case).unwrap();
        for &(tool, pack, level, variance) in &expected.estimates {
            let what = format!("{}: {tool} with {pack}", case.name);
            let estimate = model.estimate(tool, pack);
            let Some(estimate) = estimate else {
                assert_eq!(level, None, "{what}");
                continue;
            };
            assert_within(estimate.level, level.unwrap(), 1e-9, &what);
            assert_part(estimate.scatter.variance, variance.unwrap(), SETTLED, &what);
            estimated += 1;
        }
        for &(tool, pack) in &case.pairs {
            assert_eq!(model.estimate(tool, pack), None, "measured");
        }
    }
    assert!(estimated >= 50, "{estimated}");
}

#[test]
fn what_estimates_are_off_by_is_told_by_leaving_pairs_out() {
    let fixture: Fixture = fixture("estimates.json");
    for case in &fixture.cases {
        if let Some(expected) = &case.model {
            let model = model(case).unwrap();
            assert_part(model.off_by, expected.off_by, SETTLED, &case.name);
        }
    }
}

/// Every question with its answer, from the field without the runs of its pair.
fn each_answer(check: impl Fn(&str, &Answer, &Told)) {
    let fixture: Fixture = fixture("estimates.json");
    let fields = Field::all();
    let mut last: Option<(String, Results)> = None;
    let (mut told, mut silent) = (0, 0);
    for Asked {
        name,
        question,
        expected,
    } in &fixture.asked
    {
        let pair = format!("{name}, {:?} {:?}", question.tool, question.pack);
        if last.as_ref().is_none_or(|(other, _)| *other != pair) {
            let mut field = fields.iter().find(|field| field.name == *name).unwrap();
            let mut without = field.clone();
            let runs = without.dataset["runs"].as_array_mut().unwrap();
            let before = runs.len();
            runs.retain(|run| {
                (run["tool"] != json!(question.tool)) || (run["pack"] != json!(question.pack))
            });
            assert!(runs.len() < before, "{pair}");
            field = &without;
            last = Some((pair.clone(), field.results()));
        }
        let answer = last.as_ref().unwrap().1.ask(question).unwrap();
        let what = format!("{pair}, {question:?}");
        match expected {
            Some(expected) => {
                assert_eq!(answer.basis, Basis::Estimate, "{what}");
                check(&what, &answer, expected);
                told += 1;
            }
            None => {
                assert_eq!(answer.basis, Basis::None, "{what}");
                silent += 1;
            }
        }
    }
    assert!(told >= 80 && silent >= 8, "{told}, {silent}");
}

#[test]
fn an_estimate_ends_where_its_level_says_and_takes_the_tools_own_shape() {
    each_answer(|what, answer, expected| {
        let end_nm = answer.typical_end_nm.unwrap();
        assert_part(end_nm, expected.typical_end_nm, 1e-9, what);
        assert_eq!(
            answer.time_to_job_s.is_some(),
            expected.time_us.is_some(),
            "{what}"
        );
        if let (Some(time_s), Some(time_us)) = (answer.time_to_job_s, expected.time_us) {
            // The level is within 1e-9, and near its end a curve rises slowly.
            assert_within(1e6 * time_s, time_us, 1.0, what);
        }
    });
}

#[test]
fn the_doubt_about_an_estimate_enters_the_chance_of_a_further_try() {
    each_answer(|what, answer, expected| {
        let probability = answer.reach_probability.unwrap();
        assert_within(probability, expected.probability, SETTLED, what);
        assert_eq!(json!(answer.verdict), json!(expected.verdict), "{what}");
        let held_nm = answer.torque_19_of_20_nm.unwrap();
        assert_part(held_nm, expected.torque_19_of_20_nm, SETTLED, what);
    });
}

#[test]
fn the_answer_says_how_far_such_estimates_were_off() {
    each_answer(|what, answer, expected| {
        let percent = expected.off_by_percent;
        let digits = if percent < 9.95 { 1 } else { 0 };
        let said = format!("were off by about {percent:.digits$} %.");
        assert!(
            answer.rests_on.iter().any(|line| line.ends_with(&said)),
            "{what}: {:?} is not {percent}",
            answer.rests_on
        );
        assert!(answer.rank.is_none() && answer.time_nine_in_ten_s.is_none());
    });
}
