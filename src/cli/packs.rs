//! `packs`: the packs run on one tool.

use super::options::{JobOptions, Reading};
use super::{Failure, compare, load, print, print_json, text};
use crate::query::question::Question;
use clap::Args;
use std::path::PathBuf;

#[derive(Debug, Args)]
pub(super) struct Packs {
    /// Dataset or bench folder [default: the invented demo]
    file: Option<PathBuf>,
    /// Id of the tool
    #[arg(long, value_name = "ID")]
    tool: String,
    /// Id of the pack that the others are held against [default: the lightest]
    #[arg(long, value_name = "ID")]
    pack: Option<String>,
    #[command(flatten)]
    job: JobOptions,
    #[command(flatten)]
    reading: Reading,
    /// Print the whole answer as JSON, exact, in SI units
    #[arg(long)]
    json: bool,
}

impl Packs {
    pub fn run(&self) -> Result<(), Failure> {
        let loaded = load::dataset(self.file.as_deref(), &self.reading.lang, self.job.drafts)?;
        let packs = loaded.results.packs(&Question {
            tool: Some(self.tool.clone()),
            pack: self.pack.clone(),
            ..self.job.question(&self.reading)
        })?;
        if self.json {
            return print_json(&packs);
        }
        match &packs.words {
            Some(panel) => print(&compare::in_words(panel, text::rows_with_details(panel))),
            None => print(&loaded.results.catalogue().fill("packs.too_few", &[])),
        }
    }
}
