//! Reach, the 19-of-20 torque, when nine in ten are there, and places with their intervals, against
//! `uncertainty.py`, through the one door.

use super::close::{NEAR, assert_near, assert_near_or_none, assert_within};
use super::fields::{Asked, Field, Job, Places};
use jobtorque::answer::data::Answer;
use jobtorque::query::question::Question;
use jobtorque::results::Results;
use jobtorque::special::student;
use jobtorque::table::data::Table;
use serde_json::{Value, json};

/// A question about one pair.
fn about(question: &Question, pair: &(String, String)) -> Question {
    Question {
        tool: Some(pair.0.clone()),
        pack: Some(pair.1.clone()),
        ..question.clone()
    }
}

/// How far counting a whole field at once may move an end of an interval, in places, against the plain
/// sum over everyone at every node. An end that lies nearer to a whole place may fall on either side.
pub const AT_ONCE: f64 = 0.015;

/// Holds an interval of a place.
#[track_caller]
fn assert_interval(got: (Option<u32>, Option<u32>), places: &Places, place: usize, what: &str) {
    let wanted = (places.rank_low[place], places.rank_high[place]);
    let spread = places.rank_mean[place].zip(places.rank_sd[place]);
    let (Some(rank), Some((mean, sd)), (Some(low), Some(high))) = (places.rank[place], spread, got)
    else {
        assert_eq!(got, wanted, "{what}");
        return;
    };
    let what = format!("{what}: {got:?} is not {wanted:?}, mean {mean}, deviation {sd}");
    let half = student::quantile(0.95, places.se_nu[place].unwrap()) * sd;
    let of = f64::from(places.rank_of);
    let lows = [-AT_ONCE, AT_ONCE].map(|off| (mean - half + off).ceil().max(1.0) as u32);
    assert!(lows.map(|low| low.min(rank)).contains(&low), "{what}");
    let highs = [-AT_ONCE, AT_ONCE].map(|off| (mean + half + off).floor().min(of) as u32);
    assert!(highs.map(|high| high.max(rank)).contains(&high), "{what}");
}

/// Every job's answer for every pair of every field.
fn each_answer(check: impl Fn(&str, &Field, &Job, usize, &Answer)) {
    let mut asked = 0;
    for field in Field::all() {
        let results = field.results();
        for Asked { question, expected } in &field.jobs {
            for (place, pair) in field.pairs.iter().enumerate() {
                let answer = results.ask(&about(question, pair)).unwrap();
                let what = format!("{}, {question:?}, {pair:?}", field.name);
                check(&what, &field, expected, place, &answer);
                asked += 1;
            }
        }
    }
    assert!(asked >= 600, "{asked} answers");
}

/// Every table, by job or by measure.
fn each_table(check: impl Fn(&str, &Field, &Places, &Table)) {
    let mut asked = 0;
    for field in Field::all() {
        let results = field.results();
        let jobs = field
            .jobs
            .iter()
            .map(|job| (&job.question, &job.expected.places));
        let by = field
            .by
            .iter()
            .map(|by| (&by.question, &by.expected.places));
        for (question, places) in jobs.chain(by) {
            let table = results.table(question).unwrap();
            check(
                &format!("{}, {question:?}", field.name),
                &field,
                places,
                &table,
            );
            asked += 1;
        }
    }
    assert!(asked >= 100, "{asked} tables");
}

/// A time in whole microseconds.
fn microseconds(time_s: Option<f64>) -> Option<u32> {
    time_s.map(|time_s| {
        let whole = (time_s * 1e6).round();
        assert_within(time_s, whole / 1e6, 1e-12, "whole microseconds");
        whole as u32
    })
}

/// The word that a verdict has in a file.
fn verdict(answer: &Answer) -> Value {
    json!(answer.verdict)
}

#[test]
fn the_chance_of_a_further_try() {
    each_answer(|what, _, job, place, answer| {
        if let Some(reach) = &job.reach {
            let probability = answer.reach_probability.expect(what);
            assert_within(probability, reach.probability[place], NEAR, what);
            assert_eq!(verdict(answer), json!(reach.verdict[place]), "{what}");
        }
    });
}

#[test]
fn what_nineteen_of_twenty_tries_reach() {
    each_answer(|what, _, job, place, answer| {
        if let Some(reach) = &job.reach {
            let wanted = Some(reach.torque_19_of_20_nm[place]);
            assert_near_or_none(answer.torque_19_of_20_nm, wanted, what);
        }
    });
}

#[test]
fn when_nine_in_ten_are_there() {
    each_answer(|what, _, job, place, answer| {
        if let Some(reach) = &job.reach {
            let time_us = microseconds(answer.time_nine_in_ten_s);
            assert_eq!(time_us, reach.nine_in_ten_us[place], "{what}");
        }
    });
}

#[test]
fn scatter_in_per_cent_is_that_of_the_reach_question() {
    each_answer(|what, field, job, place, answer| {
        if let Some(reach) = &job.reach {
            // The fixture keeps eight digits of the run scatter.
            let run = 100.0 * reach.reach_scatter.moderated_s[field.tool_of(place)];
            let got = answer.run_scatter_percent.expect(what);
            assert_within(got, run, 1e-7 * run, what);
            let others = [
                answer.unit_scatter_percent,
                answer.pack_scatter_percent,
                answer.day_scatter_percent,
            ];
            let stored = field.effects.ppm.map(|ppm| Some(f64::from(ppm) / 1e4));
            for (got, wanted) in others.into_iter().zip(stored) {
                assert_near_or_none(got, wanted, what);
            }
        }
    });
}

#[test]
fn typical_figures_beside_them() {
    each_answer(|what, field, job, place, answer| {
        assert_near(answer.required_torque_nm, job.required_nm, what);
        assert_eq!(
            microseconds(answer.time_to_job_s),
            job.time_us[place],
            "{what}"
        );
        let end_nm = Some(field.ends.typical_end_nm[place]);
        assert_near_or_none(answer.typical_end_nm, end_nm, what);
        assert_eq!(
            answer.still_rising,
            Some(field.ends.still_rising[place]),
            "{what}"
        );
    });
}

#[test]
fn best_of_three_leaves_the_chance_alone() {
    for field in Field::all() {
        let results = field.results();
        let best = field.jobs.iter().filter(|job| job.expected.score.is_some());
        for Asked { question, expected } in best {
            let typical = Question {
                score: None,
                ..question.clone()
            };
            for (place, pair) in field.pairs.iter().enumerate() {
                let (answer, other) = (
                    results.ask(&about(question, pair)).unwrap(),
                    results.ask(&about(&typical, pair)).unwrap(),
                );
                let what = format!("{}, {question:?}, {pair:?}", field.name);
                assert_eq!(answer.reach_probability, other.reach_probability, "{what}");
                assert_eq!(
                    answer.time_nine_in_ten_s, other.time_nine_in_ten_s,
                    "{what}"
                );
                assert_eq!(
                    answer.torque_19_of_20_nm, other.torque_19_of_20_nm,
                    "{what}"
                );
                let score = answer
                    .best_of_three_power_w
                    .or(answer.best_of_three_rise_rate_nm_per_s);
                let wanted = expected.score.as_ref().and_then(|scores| scores[place]);
                assert_near_or_none(score, wanted, &what);
            }
        }
    }
}

#[test]
fn too_few_runs_say_nothing() {
    each_answer(|what, field, _, _, answer| {
        if field.too_few {
            assert_eq!(verdict(answer), "too few runs to say", "{what}");
            assert_eq!(answer.reach_probability, None, "{what}");
            assert_eq!(answer.torque_19_of_20_nm, None, "{what}");
            assert_eq!(answer.time_nine_in_ten_s, None, "{what}");
            assert_eq!((answer.rank_low, answer.rank_high), (None, None), "{what}");
            assert!(answer.typical_end_nm.is_some(), "{what}");
        } else {
            assert_ne!(verdict(answer), "too few runs to say", "{what}");
        }
    });
    assert!(Field::all().iter().filter(|field| field.too_few).count() >= 2);
}

#[test]
fn places_and_their_intervals() {
    each_answer(|what, _, job, place, answer| {
        let places = &job.places;
        assert_eq!(answer.rank, places.rank[place], "{what}");
        assert_eq!(answer.rank_of, Some(places.rank_of), "{what}");
        assert_interval((answer.rank_low, answer.rank_high), places, place, what);
    });
}

#[test]
fn tables_give_the_same_places() {
    each_table(|what, field, places, table| {
        assert_eq!(table.rows.len(), field.pairs.len(), "{what}");
        for row in &table.rows {
            let pair = (row.tool.clone(), row.pack.clone());
            let place = field.pairs.iter().position(|other| *other == pair).unwrap();
            let what = format!("{what}, {pair:?}");
            assert_eq!(row.rank, places.rank[place], "{what}");
            assert_eq!(row.rank_of, places.rank_of, "{what}");
            assert_interval((row.rank_low, row.rank_high), places, place, &what);
        }
    });
}

#[test]
fn tables_and_lists_repeat_the_answers_of_pairs() {
    for field in Field::all() {
        let results = field.results();
        for Asked { question, .. } in &field.jobs {
            repeated(&field, &results, question);
        }
    }
}

fn repeated(field: &Field, results: &Results, question: &Question) {
    let what = format!("{}, {question:?}", field.name);
    let list = results.ask(question).unwrap();
    let table = results.table(question).unwrap();
    let mut within_reach = 0;
    for pair in &field.pairs {
        let answer = results.ask(&about(question, pair)).unwrap();
        let row = table
            .rows
            .iter()
            .find(|row| (&row.tool, &row.pack) == (&pair.0, &pair.1))
            .unwrap();
        assert_eq!(row.reach_probability, answer.reach_probability, "{what}");
        assert_eq!(row.torque_19_of_20_nm, answer.torque_19_of_20_nm, "{what}");
        assert_eq!(
            (row.rank_low, row.rank_high),
            (answer.rank_low, answer.rank_high)
        );
        within_reach += u32::from(verdict(&answer) == "within reach");
        let listed = list.list.as_ref().unwrap();
        let same = |other: &&Answer| (&other.tool, &other.pack) == (&answer.tool, &answer.pack);
        assert_eq!(listed.iter().find(same), Some(&answer), "{what}");
    }
    if !field.too_few {
        assert_eq!(list.reach_count, Some(within_reach), "{what}");
    }
}
