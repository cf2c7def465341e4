//! `unbundle`: a bench folder of one dataset file.

use super::{Failure, load, print};
use crate::bench::new_folder::new_folder;
use crate::bench::same::difference;
use crate::bench::unbundle::files;
use crate::dataset::check::check;
use crate::dataset::json;
use crate::problem::Problems;
use clap::Args;
use std::path::{Path, PathBuf};

#[derive(Debug, Args)]
pub(super) struct Unbundle {
    /// Dataset
    file: PathBuf,
    /// Folder to make; it must not be there, or be empty
    #[arg(long, value_name = "DIR")]
    out: PathBuf,
}

impl Unbundle {
    pub fn run(&self) -> Result<(), Failure> {
        let bytes = load::read(&self.file)?;
        let name = self.file.display().to_string();
        let told = |problems: Problems| Failure::of_problems(&name, &problems);
        let text = load::text(&bytes).map_err(told)?;
        let mut reading = json::parse(text).map_err(told)?;
        let found = check(&reading.dataset, &reading.gaps, reading.digits);
        reading.problems.append(found);
        if !reading.problems.is_empty() {
            return Err(told(json::located(text, reading.problems)));
        }
        let files = files(text, &reading.dataset.runs)
            .map_err(|problems| told(json::located(text, problems.into_iter().collect())))?;
        new_folder(&self.out, &files, |folder| proved(text, folder)).map_err(Failure::Misuse)?;
        print(&format!(
            "Written to {}: {} runs, {} files. Read back, it holds the same.",
            self.out.display(),
            reading.dataset.runs.len(),
            files.len()
        ))
    }
}

/// Reads the folder back and holds it against the file.
fn proved(text: &str, folder: &Path) -> Result<(), String> {
    let other = |why: String| format!("the folder would not hold the same as the file: {why}");
    let bench = crate::bench::read(folder).map_err(|problems| {
        other(
            problems
                .first()
                .map(ToString::to_string)
                .unwrap_or_default(),
        )
    })?;
    if let Some(problem) = bench.problems().first() {
        return Err(other(problem.to_string()));
    }
    match difference(text, &bench.bundled_text()) {
        None => Ok(()),
        Some(problem) => Err(other(problem.to_string())),
    }
}
