//! The dataset as published, with the proof that it answers like the file it was made from.

use super::SiteError;
use crate::ask::question::{Question, Score};
use crate::dataset::write::{Publish, published};
use crate::results::Results;

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
    let written = published(text, results.buildups(), publish)
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
    Ok((written, read))
}

/// Compares the answers of every combination in every edition, setup and rig at each job of the
/// file and at ten torques up to the largest peak.
fn compare(file: &Results, published: &Results) -> Result<(), SiteError> {
    let dataset = file.dataset();
    for edition in &dataset.editions {
        for setup in &dataset.setups {
            for rig in &dataset.rigs {
                let field = Question {
                    edition: Some(edition.edition),
                    setup: Some(setup.id.clone()),
                    rig: Some(rig.id.clone()),
                    ..Question::default()
                };
                compare_field(file, published, &field)?;
            }
        }
    }
    Ok(())
}

fn compare_field(file: &Results, published: &Results, field: &Question) -> Result<(), SiteError> {
    let told = |error: &dyn std::fmt::Display| {
        SiteError(format!("the published dataset does not answer: {error}"))
    };
    let ranked = file.table(field).map_err(|error| told(&error))?;
    let peak_nm = ranked
        .rows
        .iter()
        .filter_map(|row| row.peak_torque_nm)
        .fold(0.0, f64::max);
    let torques = (1..=TORQUES)
        .map(|part| peak_nm * f64::from(part) / f64::from(TORQUES))
        .filter(|torque| *torque >= 1.0);
    let torques = torques.map(|torque_nm| format!("{torque_nm:.6} N·m"));
    let jobs = file.dataset().jobs.iter().map(|job| job.id.clone());
    for job in jobs.chain(torques) {
        for score in [Score::Typical, Score::BestOfThree] {
            let question = Question {
                job: Some(job.clone()),
                score: Some(score),
                ..field.clone()
            };
            let one = file.ask(&question).map_err(|error| told(&error))?;
            let other = published.ask(&question).map_err(|error| told(&error))?;
            if one != other {
                return Err(SiteError(format!(
                    "the published dataset answers {question:?} in another way than the file"
                )));
            }
        }
    }
    Ok(())
}
