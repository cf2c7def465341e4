//! Doubts about the names of logs: what they say and the notebook does not.

use super::super::name_pattern::{Filled, NamePattern};
use super::doubt::Doubt;
use super::evidence::{Evidence, RunEvidence, about};
use super::stamps::dates;
use crate::problem::quoted;

/// Every such doubt.
pub(super) fn doubts(evidence: &Evidence) -> Vec<Doubt> {
    let runs = evidence.runs.iter().enumerate();
    runs.filter_map(|(at, run)| {
        let doubt = name_differs(evidence, run)?;
        Some(doubt.of_bytes(evidence.fingerprint([at], &[])))
    })
    .collect()
}

fn name_differs(evidence: &Evidence, run: &RunEvidence) -> Option<Doubt> {
    let log = run.log.as_ref()?;
    let logger = evidence.loggers.get(run.logger?)?;
    let pattern = NamePattern::parse(logger.name_pattern.as_ref()?)?;
    // The reading of the name that agrees with the notebook in most blanks.
    let readings = pattern.readings(log);
    let differing = readings
        .iter()
        .map(|filled| differing(evidence, run, filled));
    let differing = differing.min_by_key(Vec::len)?;
    let (column, in_name, noted) = differing.first()?;
    let all: Vec<String> = differing
        .iter()
        .map(|(column, in_name, noted)| {
            format!("{column} {} and not {}", quoted(in_name), quoted(noted))
        })
        .collect();
    let meaning = match *column {
        "day" => "the notebook names the wrong day, or the log has the name of another day".into(),
        _ => format!(
            "the notebook names another {column} than was run (a {} taken for a {}), or the log has a wrong name; packs or specimens may be swapped",
            in_name, noted
        ),
    };
    Some(about("name-differs", run).says(
        format!("The name of the log says {}", all.join(", ")),
        "a file name that says what the notebook says",
        meaning,
    ))
}

/// Blanks of a name whose text is not what the notebook says: column, text in the name, text noted.
fn differing<'a>(
    evidence: &Evidence,
    run: &RunEvidence<'a>,
    filled: &Filled,
) -> Vec<(&'static str, String, &'a str)> {
    let dataset = evidence.dataset;
    let same = |a: &str, b: &str| a.eq_ignore_ascii_case(b);
    let mut found = Vec::new();
    for (blank, text) in filled {
        let (column, noted, known): (_, &str, bool) = match blank.as_str() {
            "tool" => (
                "tool",
                &run.run.tool,
                dataset.tools.iter().any(|tool| same(&tool.id, text)),
            ),
            "pack" => (
                "pack",
                &run.run.pack,
                dataset.packs.iter().any(|pack| same(&pack.id, text)),
            ),
            "specimen" => (
                "specimen",
                run.run.specimen.as_deref().unwrap_or_default(),
                true,
            ),
            "pack_specimen" => (
                "pack_specimen",
                run.run.pack_specimen.as_deref().unwrap_or_default(),
                true,
            ),
            "setup" => (
                "setup",
                run.setup,
                dataset.setups.iter().any(|setup| same(&setup.id, text)),
            ),
            "day" => ("day", &run.run.day, true),
            _ => continue,
        };
        let date = run.day.map_or("", |day| day.date.as_str());
        let is_date = |text: &str| {
            let digits =
                |text: &str| -> String { text.chars().filter(char::is_ascii_digit).collect() };
            column == "day"
                && (digits(text) == digits(date) || dates(text).iter().any(|own| own == date))
        };
        // A short name of a tool or pack that is no identifier says nothing here.
        if !noted.is_empty() && known && !same(text, noted) && !is_date(text) {
            found.push((column, text.clone(), noted));
        }
    }
    found
}
