use super::*;
use crate::query::question::Question;
use crate::query::resolved::Job;
use crate::results::Results;
use crate::study::job::{JobStudy, OfJob};
use crate::text::catalogue::Catalogue;
use std::time::Instant;

fn demo() -> Results {
    let texts = include_str!("../../../www/texts/en.json");
    let catalogue: Catalogue = serde_json::from_str(texts).unwrap();
    Results::read(include_bytes!("../../../data/demo.json"), catalogue).unwrap()
}

fn question(torque_nm: f64) -> Question {
    Question {
        job: Some(format!("{torque_nm} N·m")),
        ..Question::default()
    }
}

/// Every place of the plot against the answer's own for a job of that very torque, of every pair that
/// reaches it; intervals against the answer's too.
#[test]
fn places_are_those_of_answers_and_intervals_within_a_place() {
    let results = demo();
    let study = results.study(&question(500.0)).unwrap();
    let (mut places, mut ends, mut alike) = (0, 0, 0);
    let mut largest = 0;
    for step in 1..=20 {
        let at = study.top_of_places_nm().unwrap() * f64::from(step * 3) / f64::from(TORQUES);
        // What an answer for exactly this torque works out.
        let job = Job {
            required_nm: at,
            ..study.answering().unwrap().job.clone()
        };
        let of_job = OfJob::new(study.asked().job_key().unwrap());
        let answering = JobStudy {
            study: &study,
            job: &job,
            of_job: &of_job,
        };
        let intervals = answering.intervals();
        for (index, rank) in answering.places().ranks.iter().enumerate() {
            let own = study.places_by_torque(index, true);
            let Some(place) = own
                .iter()
                .find(|place| (place.required_nm / at - 1.0).abs() < 1e-12)
            else {
                continue;
            };
            assert_eq!(Some(place.rank), *rank, "{at} {index}");
            places += 1;
            let told = study.kept.of_field.by_torque().told.get().unwrap();
            let (field, of) = (study.field(), study.field().members.len() as u32);
            let spread = told.spread(field, study.uncertainty(), index, at).unwrap();
            let (low, high) = spread.interval(place.rank, of);
            if let Some(interval) = place.interval {
                assert_eq!(interval, (low, high));
            }
            let (own_low, own_high) = intervals[index].unwrap();
            for (told, own) in [(low, own_low), (high, own_high)] {
                let off = told.abs_diff(own);
                ends += 1;
                alike += u32::from(off == 0);
                largest = largest.max(off);
            }
        }
    }
    let said = format!("{places} places, {alike} of {ends} ends alike, off by at most {largest}");
    assert!(places > 400, "{said}");
    assert!(f64::from(alike) > 0.85 * f64::from(ends), "{said}");
    assert!(largest <= 1, "{said}");
    println!("{said}");
}

#[test]
fn a_line_ends_where_its_typical_curve_does() {
    let results = demo();
    let study = results.study(&question(500.0)).unwrap();
    let field = study.field();
    let top_nm = study.top_of_places_nm().unwrap();
    let mut ending = 0;
    for (index, member) in field.members.iter().enumerate() {
        let places = study.places_by_torque(index, false);
        let end_nm = member.combination.torque_at(field.window_s);
        assert_eq!(places.last().unwrap().required_nm, end_nm);
        let torques = places
            .windows(2)
            .map(|two| two[1].required_nm - two[0].required_nm);
        assert!(torques.into_iter().all(|apart| apart > 0.0));
        ending += u32::from(end_nm < 0.9 * top_nm);
    }
    assert!(ending > 5, "{ending}");
}

#[test]
fn two_pairs_or_another_score_have_no_places_by_torque() {
    let results = demo();
    let best = Question {
        score: Some(Score::BestOfThree),
        ..question(500.0)
    };
    assert_eq!(results.study(&best).unwrap().top_of_places_nm(), None);
    let mut document: serde_json::Value =
        serde_json::from_slice(include_bytes!("../../../data/demo.json")).unwrap();
    for (most, told) in [(2, false), (3, true)] {
        let mut pairs = Vec::new();
        document["runs"] =
            serde_json::from_slice::<serde_json::Value>(include_bytes!("../../../data/demo.json"))
                .unwrap()["runs"]
                .take();
        document["runs"].as_array_mut().unwrap().retain(|run| {
            let pair = (run["tool"].clone(), run["pack"].clone());
            if !pairs.contains(&pair) && pairs.len() < most {
                pairs.push(pair.clone());
            }
            pairs.contains(&pair)
        });
        let texts = include_str!("../../../www/texts/en.json");
        let catalogue: Catalogue = serde_json::from_str(texts).unwrap();
        let few = Results::read(document.to_string().as_bytes(), catalogue).unwrap();
        let study = few.study(&question(100.0)).unwrap();
        assert_eq!(study.top_of_places_nm().is_some(), told);
    }
}

#[test]
#[ignore = "a measurement, by `cargo test --release --lib -- --ignored --nocapture places_of_the_demo`"]
fn places_of_the_demo_take_so_long() {
    let results = demo();
    for _ in 0..3 {
        let study = results.study(&question(500.0)).unwrap();
        let start = Instant::now();
        let places = study.places_by_torque(7, false).len();
        let plain = start.elapsed();
        let start = Instant::now();
        study.places_by_torque(7, true);
        println!(
            "{places} places: {plain:?}, with intervals {:?}",
            start.elapsed()
        );
    }
}
