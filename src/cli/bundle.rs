//! `bundle`: one dataset file of a bench folder.

use super::{Failure, load, print};
use crate::bench::write_file::{Existing, write_file};
use crate::dataset::MOST_BYTES;
use clap::Args;
use std::path::PathBuf;

#[derive(Debug, Args)]
pub(super) struct Bundle {
    /// Bench folder
    folder: PathBuf,
    /// File to write
    #[arg(long, value_name = "F.json")]
    out: PathBuf,
    /// Write over a file that is there
    #[arg(long)]
    force: bool,
}

impl Bundle {
    pub fn run(&self) -> Result<(), Failure> {
        let bench = load::bench(&self.folder)?;
        let (runs, _) = bench.runs();
        let text = bench.bundled_text();
        let (catalogue, _) = load::catalogue("en")?;
        bench
            .results(catalogue)
            .map_err(|problems| load::in_folder(&self.folder, &problems))?;
        if text.len() > MOST_BYTES {
            return Err(Failure::Misuse(format!(
                "the dataset would have {} bytes, more than the {MOST_BYTES} that are read",
                text.len()
            )));
        }
        let existing = if self.force {
            Existing::Replaced
        } else {
            Existing::Nothing
        };
        write_file(&self.out, text.as_bytes(), existing).map_err(|why| {
            let hint = if self.force || !self.out.is_file() {
                ""
            } else {
                "; --force writes over it"
            };
            Failure::Misuse(format!("{why}{hint}"))
        })?;
        print(&format!(
            "Written to {}: {runs} runs with their samples, {} bytes.",
            self.out.display(),
            text.len()
        ))
    }
}
