//! `export`: a dataset as tables for other programs.

use super::{Failure, load, print};
use crate::bench::new_folder::new_folder;
use crate::tables;
use clap::Args;
use std::path::PathBuf;

#[derive(Debug, Args)]
pub(super) struct Export {
    /// Dataset or bench folder [default: the invented demo]
    file: Option<PathBuf>,
    /// Folder to make of the tables; it must not be there, or be empty
    #[arg(long, value_name = "OUT")]
    csv: PathBuf,
    /// Count runs that belong to no edition yet, as a draft after the newest
    #[arg(long)]
    drafts: bool,
}

impl Export {
    pub fn run(&self) -> Result<(), Failure> {
        let loaded = load::dataset(self.file.as_deref(), "en", self.drafts)?;
        let dataset = loaded.results.dataset();
        let edition = dataset.editions.last().map_or(0, |edition| edition.edition);
        let files = tables::files(&loaded.results, edition)?;
        new_folder(&self.csv, &files, |_| Ok(())).map_err(Failure::Misuse)?;
        let mut lines = vec![format!("Written to {}:", self.csv.display())];
        lines.extend(
            files
                .iter()
                .map(|(name, bytes)| format!("{:>10} bytes  {name}", bytes.len())),
        );
        let drafts = dataset.runs.iter().filter(|run| run.edition.is_none());
        match drafts.count() {
            0 => {}
            1 => lines
                .push("1 run belongs to no edition and is left out; --drafts counts it.".into()),
            many => lines.push(format!(
                "{many} runs belong to no edition and are left out; --drafts counts them."
            )),
        }
        print(&lines.join("\n"))
    }
}
