//! `changes`: what an edition changes against an earlier one.

mod words;

use super::{Failure, load, print, print_json};
use crate::changes::data::Changes;
use crate::changes::words::told;
use crate::dataset::json;
use crate::dataset::types::{Dataset, Edition};
use crate::results::Results;
use clap::Args;
use serde::Serialize;
use std::collections::BTreeMap;
use std::path::PathBuf;

#[derive(Debug, Args)]
pub(super) struct ChangesOf {
    /// Dataset or bench folder [default: the invented demo]
    file: Option<PathBuf>,
    /// Number of the edition to compare with [default: the one before the newest]
    #[arg(long, value_name = "N")]
    since: Option<u32>,
    /// Count runs that belong to no edition yet, as a draft after the newest
    #[arg(long)]
    drafts: bool,
    /// A dataset as it was published: logs whose bytes have changed since are listed
    #[arg(long, value_name = "FILE")]
    published: Option<PathBuf>,
    /// Print the changes as JSON, exact, in SI units
    #[arg(long, conflicts_with = "markdown")]
    json: bool,
    /// Print the changes as Markdown, for the edition's note
    #[arg(long)]
    markdown: bool,
}

/// What is printed as JSON.
#[derive(Serialize)]
struct Told<'a> {
    invented: bool,
    draft: bool,
    #[serde(flatten)]
    changes: &'a Changes,
    /// `null` where no published dataset is named.
    logs: Option<&'a [LogChange]>,
}

/// A log that is not as it was published.
#[derive(Serialize)]
struct LogChange {
    log_file: String,
    published_sha256: String,
    /// `null` if no run names the log any more.
    sha256: Option<String>,
}

impl ChangesOf {
    pub fn run(&self) -> Result<(), Failure> {
        let loaded = load::dataset(self.file.as_deref(), "en", self.drafts)?;
        let results = &loaded.results;
        let (since, edition) = self.editions(results)?;
        let changes = results.changes(since.edition, edition.edition)?;
        let logs = self.logs(results.dataset())?;
        if self.json {
            return print_json(&Told {
                invented: results.dataset().invented.unwrap_or(false),
                draft: edition.is_draft(),
                changes: &changes,
                logs: logs.as_deref(),
            });
        }
        let (catalogue, dataset) = (results.catalogue(), results.dataset());
        let printed = words::Printed {
            notice: crate::text::notice(catalogue, dataset),
            told: told(catalogue, dataset, [since, edition], &changes),
            logs: logs.as_deref(),
        };
        print(&if self.markdown {
            printed.markdown()
        } else {
            printed.text()
        })
    }

    /// The earlier edition and the newest.
    fn editions<'a>(&self, results: &'a Results) -> Result<(&'a Edition, &'a Edition), Failure> {
        let editions = &results.dataset().editions;
        let misuse = |message: &str| Failure::Misuse(message.to_owned());
        let (newest, earlier) = editions
            .split_last()
            .ok_or_else(|| misuse("there is no edition"))?;
        if earlier.is_empty() {
            return Err(misuse(
                "there is one edition alone, and nothing to compare it with; --drafts compares runs that belong to no edition yet",
            ));
        }
        let since = match self.since {
            None => earlier.last(),
            Some(number) => earlier.iter().find(|edition| edition.edition == number),
        };
        since.map(|since| (since, newest)).ok_or_else(|| {
            let numbers = earlier.iter().map(|edition| edition.edition.to_string());
            Failure::Misuse(format!(
                "--since: there is no such edition before edition {}, only {}",
                newest.edition,
                numbers.collect::<Vec<_>>().join(", ")
            ))
        })
    }

    /// Logs that are not as the published dataset names them; `None` where none is given.
    fn logs(&self, dataset: &Dataset) -> Result<Option<Vec<LogChange>>, Failure> {
        let Some(file) = &self.published else {
            return Ok(None);
        };
        let bytes = load::read(file)?;
        let name = file.display().to_string();
        let published = load::text(&bytes)
            .and_then(json::parse)
            .map_err(|problems| Failure::of_problems(&name, &problems))?;
        let now = hashes(dataset);
        let mut logs = Vec::new();
        for (log_file, published_sha256) in hashes(&published.dataset) {
            let sha256 = now.get(log_file).map(|sha256| (*sha256).to_owned());
            if sha256.as_deref() != Some(published_sha256) {
                logs.push(LogChange {
                    log_file: log_file.to_owned(),
                    published_sha256: published_sha256.to_owned(),
                    sha256,
                });
            }
        }
        Ok(Some(logs))
    }
}

/// The SHA-256 of each log that a published run names.
fn hashes(dataset: &Dataset) -> BTreeMap<&str, &str> {
    let runs = dataset.runs.iter().filter(|run| run.edition.is_some());
    let logs = runs.filter_map(|run| run.log.as_ref());
    logs.filter_map(|log| Some((log.file.as_deref()?, log.sha256.as_deref()?)))
        .collect()
}
