//! Nuts that were tried with pairs of the fields of `uncertainty.json`, against `tried.py`, through the one
//! door.

use super::close::{assert_near, assert_near_or_none, fixture};
use super::fields::Field;
use jobtorque::query::condition::{Checked, Condition};
use jobtorque::query::question::Question;
use jobtorque::results::Results;
use serde::Deserialize;
use serde_json::{Value, json};

#[derive(Deserialize)]
struct Fixture {
    cases: Vec<Case>,
}

#[derive(Deserialize)]
struct Case {
    name: String,
    edition: u32,
    field_checks: Value,
    told: Vec<Told>,
    asked: Vec<Asked>,
}

/// What is told of nuts of one state.
#[derive(Deserialize)]
struct Told {
    condition: Checked,
    checks: u32,
    groups: u32,
    loose: u32,
    loose_from: Option<f64>,
    loose_to: Option<f64>,
    factor: Option<f64>,
    factor_19_of_20: Option<f64>,
}

/// A question about a nut like those, and its answer.
#[derive(Deserialize)]
struct Asked {
    question: Question,
    required_nm: f64,
    chance: f64,
    verdict: String,
}

/// Every case with its field, in which the nuts were tried.
fn each(check: impl Fn(&Case, &Results)) {
    let Fixture { cases } = fixture("tried.json");
    assert!(cases.len() >= 24);
    for (case, mut field) in cases.iter().zip(Field::all()) {
        assert_eq!(case.name, field.name);
        field.dataset["field_checks"] = case.field_checks.clone();
        check(case, &field.results());
    }
}

/// A question about any nut of a case.
fn any(case: &Case) -> Question {
    Question {
        job: Some("100 N·m".into()),
        edition: Some(case.edition),
        ..Question::default()
    }
}

#[test]
fn nuts_are_counted_and_give_factors() {
    each(|case, results| {
        let answer = results.ask(&any(case)).unwrap();
        assert_eq!(answer.nuts_tried.len(), case.told.len(), "{}", case.name);
        for (got, told) in answer.nuts_tried.iter().zip(&case.told) {
            let what = format!("{}, {:?}", case.name, told.condition);
            assert_eq!(got.condition, told.condition, "{what}");
            let count = (got.checks, got.groups, got.loose);
            assert_eq!(count, (told.checks, told.groups, told.loose), "{what}");
            assert_near_or_none(got.loose_from, told.loose_from, &what);
            assert_near_or_none(got.loose_to, told.loose_to, &what);
            assert_near_or_none(got.factor, told.factor, &what);
            assert_near_or_none(got.factor_19_of_20, told.factor_19_of_20, &what);
        }
    });
}

#[test]
fn the_chance_is_that_of_a_nut_like_those_tried() {
    each(|case, results| {
        for asked in &case.asked {
            let question = Question {
                edition: Some(case.edition),
                ..asked.question.clone()
            };
            let answer = results.ask(&question).unwrap();
            let what = format!("{}, {question:?}", case.name);
            assert_near(answer.required_torque_nm, asked.required_nm, &what);
            assert_near(answer.reach_probability.unwrap(), asked.chance, &what);
            assert_eq!(json!(answer.verdict), json!(asked.verdict), "{what}");
        }
    });
}

#[test]
fn too_few_nuts_give_no_factor() {
    each(|case, results| {
        for checked in Checked::ALL {
            let mut told = case.told.iter();
            let told = told.find(|told| told.condition == checked);
            let question = Question {
                condition: Some(Condition::Checked(checked)),
                ..any(case)
            };
            let gives = told.is_some_and(|told| told.factor.is_some());
            match results.ask(&question) {
                Ok(_) => assert!(gives, "{}", case.name),
                Err(problem) => {
                    assert!(!gives, "{}: {problem}", case.name);
                    assert_eq!(problem.pointer, "/condition");
                }
            }
        }
    });
}
