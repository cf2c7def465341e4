//! `gather`: rows in the notebook for logs that have none.

use super::{Failure, load, print, print_json};
use crate::bench::gather::{Added, Refused, gather};
use clap::Args;
use serde::Serialize;
use std::path::PathBuf;

#[derive(Debug, Args)]
pub(super) struct Gather {
    /// Bench folder
    folder: PathBuf,
    /// Print the rows that were added as JSON
    #[arg(long)]
    json: bool,
}

#[derive(Serialize)]
struct Rows<'a> {
    added: &'a [Added],
}

impl Gather {
    pub fn run(&self) -> Result<(), Failure> {
        let added = gather(&self.folder).map_err(|refused| match refused {
            Refused::Problems(problems) => load::in_folder(&self.folder, &problems),
            Refused::Unwritten(why) => Failure::Misuse(why),
        })?;
        if self.json {
            return print_json(&Rows { added: &added });
        }
        let notebook = self.folder.join("runs.csv");
        let notebook = notebook.display();
        let mut lines = vec![match added.len() {
            0 => format!("Every log has a row in {notebook}; nothing was added."),
            1 => format!("Added 1 row to {notebook}:"),
            count => format!("Added {count} rows to {notebook}:"),
        }];
        lines.extend(added.iter().flat_map(in_words));
        print(&lines.join("\n"))
    }
}

/// A row: its log, and below it what was filled in.
fn in_words(added: &Added) -> Vec<String> {
    let filled = added.filled.iter();
    let filled: Vec<String> = filled
        .map(|(name, text)| format!("{name} {text}"))
        .collect();
    let mut lines = vec![added.log.clone()];
    if !filled.is_empty() {
        lines.push(format!("    {}", filled.join(", ")));
    }
    lines.extend(
        added
            .note
            .iter()
            .map(|note| format!("    left empty: {note}")),
    );
    lines
}
