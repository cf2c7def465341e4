//! The dataset as published, with the proof that it answers like the file it was made from.
//!
//! `page` publishes what [`dataset`] gives; `check` calls it too, so that whatever `check` accepts
//! can be published.

use super::SiteError;
use crate::answer::data::Answer;
use crate::dataset::json;
use crate::dataset::packed;
use crate::dataset::types::{Dataset, Day};
use crate::dataset::write::{Publish, published};
use crate::export::{brief, take};
use crate::problem::Problem;
use crate::query::question::{Question, Score};
use crate::results::Results;
use crate::text::catalogue::Catalogue;
use std::collections::{BTreeMap, BTreeSet};

/// How many torques, evenly from a tenth of the largest peak to the peak, every answer is compared at.
const TORQUES: u32 = 10;

/// The published form of the dataset `text`, of which `results` are the results.
///
/// # Errors
///
/// If some answer from the published form is not the same, bit for bit, as from the file.
pub fn dataset(
    text: &str,
    results: &Results,
    publish: Publish,
) -> Result<(String, Results), SiteError> {
    let scatter = results
        .scatter()
        .map_err(|problem| SiteError(format!("cannot work out the scatters: {problem}")))?;
    let written = published(text, results.buildups(), &scatter, publish)
        .map_err(|error| SiteError(format!("cannot write the dataset: {error}")))?;
    let read =
        Results::read(written.as_bytes(), results.catalogue().clone()).map_err(|problems| {
            let first = problems
                .first()
                .map(ToString::to_string)
                .unwrap_or_default();
            SiteError(format!(
                "the published dataset cannot be read back: {first}"
            ))
        })?;
    compare(results, &read)?;
    plain(&read)?;
    Ok((written, read))
}

/// The published dataset in its text, to be packed: with the knots of every run.
///
/// # Errors
///
/// If the text is no dataset.
pub fn parsed(text: &str) -> Result<Dataset, SiteError> {
    let dataset = json::parse(text).map(|reading| reading.dataset);
    dataset.map_err(|problems| {
        let first = problems.first().map(ToString::to_string);
        SiteError(format!(
            "cannot pack the dataset: {}",
            first.unwrap_or_default()
        ))
    })
}

/// A published dataset as the bytes that the whole reads, without their mark.
pub fn results(dataset: &Dataset) -> Vec<u8> {
    packed::written(dataset)
}

/// What the first part of an article reads of a published dataset, as bytes without their mark: what the
/// answers of an edition need. `results` are those of the dataset.
///
/// # Errors
///
/// If some answer from it is not the same, bit for bit, as from the dataset.
pub fn summary(dataset: &Dataset, results: &Results, edition: u32) -> Result<Vec<u8>, SiteError> {
    let in_short = results
        .put_in_short(dataset, edition)
        .map_err(|problem| SiteError(format!("the results cannot be put in short: {problem}")))?;
    let bytes = packed::written(&in_short);
    let fields = in_short.summary.fields.iter();
    let fields = fields.map(|field| Question {
        rig: Some(field.rig.clone()),
        setup: Some(field.setup.clone()),
        edition: Some(edition),
        ..Question::default()
    });
    let fields: Vec<Question> = fields.collect();
    let read = Results::in_short(in_short, results.catalogue().clone(), json::digits)
        .map_err(|problem| SiteError(format!("the results in short: {problem}")))?;
    for field in fields {
        for question in questions(results, &field)? {
            let whole = without_best_of_three(results.ask(&question).map_err(no_answer)?);
            if whole != read.ask(&question).map_err(no_answer)? {
                return Err(answers_otherwise(&question));
            }
        }
    }
    Ok(bytes)
}

/// An answer without its best of three, which takes the runs' own curves.
fn without_best_of_three(mut answer: Answer) -> Answer {
    answer.best_of_three_power_w = None;
    answer.best_of_three_rise_rate_nm_per_s = None;
    let list = answer.list.take();
    answer.list = list.map(|list| list.into_iter().map(without_best_of_three).collect());
    answer
}

/// The results in the bytes that a page reads, as the visitor's module reads them.
///
/// # Errors
///
/// If they cannot be read like that.
pub fn as_visitor(bytes: &[u8], catalogue: &Catalogue) -> Result<Results, SiteError> {
    let dataset = packed::read(bytes);
    let results =
        dataset.and_then(|dataset| Results::published(dataset, catalogue.clone(), json::digits));
    results.map_err(|problem| {
        SiteError(format!(
            "visitors could not read the published dataset: {problem}"
        ))
    })
}

/// Whether the parts of a page that stand there without script can be made.
fn plain(published: &Results) -> Result<(), SiteError> {
    let question = Question {
        job: Some(published.contents().default_job),
        ..Question::default()
    };
    let told = |error| SiteError(format!("the default question has no answer: {error}"));
    take(published, &question, None).map_err(told)?;
    brief(published, &question).map_err(told)?;
    Ok(())
}

/// The setups and rigs, by their identifiers, in which there are runs.
fn fields(dataset: &Dataset) -> BTreeSet<(&str, &str)> {
    let days = dataset.days.iter().map(|day| (day.id.as_str(), day));
    let days: BTreeMap<&str, &Day> = days.collect();
    let first_setup = dataset.setups.first().map(|setup| setup.id.as_str());
    let first_rig = dataset.rigs.first().map(|rig| rig.id.as_str());
    let fields = dataset.runs.iter().filter_map(|run| {
        let rig = days.get(run.day.as_str())?.rig.as_deref();
        Some((run.setup.as_deref().or(first_setup)?, rig.or(first_rig)?))
    });
    fields.collect()
}

/// Compares the answers of every combination in every edition, and in every setup and rig that has
/// runs, at each job of the file and at ten torques up to the largest peak.
fn compare(file: &Results, published: &Results) -> Result<(), SiteError> {
    let dataset = file.dataset();
    let fields = fields(dataset);
    for edition in &dataset.editions {
        for (setup, rig) in &fields {
            let field = Question {
                edition: Some(edition.edition),
                setup: Some((*setup).to_owned()),
                rig: Some((*rig).to_owned()),
                ..Question::default()
            };
            compare_field(file, published, &field)?;
        }
    }
    Ok(())
}

fn compare_field(file: &Results, published: &Results, field: &Question) -> Result<(), SiteError> {
    for question in questions(file, field)? {
        for score in [Score::Typical, Score::BestOfThree] {
            let question = Question {
                score: Some(score),
                ..question.clone()
            };
            let one = file.ask(&question).map_err(no_answer)?;
            let other = published.ask(&question).map_err(no_answer)?;
            if one != other {
                return Err(answers_otherwise(&question));
            }
        }
    }
    Ok(())
}

/// The question of a field for each job of the file and for ten torques up to the largest peak.
fn questions(file: &Results, field: &Question) -> Result<Vec<Question>, SiteError> {
    let ranked = file.table(field).map_err(no_answer)?;
    let peak_nm = ranked
        .rows
        .iter()
        .filter_map(|row| row.figures.peak_torque_nm)
        .fold(0.0, f64::max);
    let torques = (1..=TORQUES)
        .map(|part| peak_nm * f64::from(part) / f64::from(TORQUES))
        .filter(|torque| *torque >= 1.0);
    let torques = torques.map(|torque_nm| format!("{torque_nm:.6} N·m"));
    let jobs = file.dataset().jobs.iter().map(|job| job.id.clone());
    let questions = jobs.chain(torques).map(|job| Question {
        job: Some(job),
        ..field.clone()
    });
    Ok(questions.collect())
}

fn no_answer(error: Problem) -> SiteError {
    SiteError(format!("the published dataset does not answer: {error}"))
}

fn answers_otherwise(question: &Question) -> SiteError {
    SiteError(format!(
        "the published dataset answers {question:?} in another way than the file"
    ))
}
