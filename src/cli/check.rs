//! `check`: every problem in a dataset.

use super::{Failure, load, print, print_json, text};
use crate::problem::Problem;
use crate::results::Results;
use clap::Args;
use serde::Serialize;
use std::path::PathBuf;

#[derive(Debug, Args)]
pub(super) struct Check {
    /// Datasets
    #[arg(required = true)]
    files: Vec<PathBuf>,
    /// Print the problems as JSON
    #[arg(long)]
    json: bool,
}

#[derive(Serialize)]
struct Found {
    problems: Vec<InFile>,
}

#[derive(Serialize)]
struct InFile {
    file: String,
    #[serde(flatten)]
    problem: Problem,
}

impl Check {
    pub fn run(&self) -> Result<(), Failure> {
        let mut found = Found {
            problems: Vec::new(),
        };
        let (mut lines, mut unopened) = (Vec::new(), Vec::new());
        for file in &self.files {
            let name = file.display().to_string();
            let (catalogue, _) = load::catalogue("en")?;
            let bytes = match load::read(file) {
                Ok(bytes) => bytes,
                Err(Failure::Misuse(message)) => {
                    unopened.push(message);
                    continue;
                }
                Err(other) => return Err(other),
            };
            match Results::read(&bytes, catalogue) {
                Ok(results) => lines.push(format!(
                    "{name}: fine, {} runs",
                    results.dataset().runs.len()
                )),
                Err(problems) => {
                    lines.extend(problems.iter().map(|problem| format!("{name}:{problem}")));
                    lines.push(text::problems_found(&name, problems.len()));
                    found
                        .problems
                        .extend(problems.into_iter().map(|problem| InFile {
                            file: name.clone(),
                            problem,
                        }));
                }
            }
        }
        let fine = found.problems.is_empty();
        if self.json {
            print_json(&found)?;
        } else if !lines.is_empty() {
            print(&lines.join("\n"))?;
        }
        match (unopened.is_empty(), fine) {
            (false, _) => Err(Failure::Misuse(unopened.join("\njobtorque: "))),
            (true, true) => Ok(()),
            (true, false) => Err(Failure::Data(Vec::new())),
        }
    }
}
