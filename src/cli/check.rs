//! `check`: every problem in a dataset or bench folder, then what is strange about it.

use super::{Failure, load, print, print_json, text};
use crate::bench::doubts::doubt::Doubt;
use crate::bench::doubts::{self, answers};
use crate::bench::file_problem::FileProblem;
use crate::dataset::json;
use crate::dataset::write::Publish;
use crate::problem::{MOST_SHOWN, Problem, Problems};
use crate::results::Results;
use crate::site::{SiteError, publish};
use crate::text::catalogue::Catalogue;
use clap::Args;
use serde::Serialize;
use std::path::{Path, PathBuf};

#[derive(Debug, Args)]
pub(super) struct Check {
    /// Datasets or bench folders
    #[arg(required = true)]
    files: Vec<PathBuf>,
    /// Print problems, doubts and notes as JSON
    #[arg(long)]
    json: bool,
    /// Exit with 1 if there are doubts, not only if there are problems
    #[arg(long)]
    strict: bool,
}

#[derive(Default, Serialize)]
struct Found {
    /// At most 50 of each file.
    problems: Vec<InFile>,
    /// What is strange and no problem, answered doubts left out.
    doubts: Vec<InFolder>,
    /// What is worth knowing about bench folders and no problem.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    notes: Vec<InFile>,
    /// How many there are besides.
    more: usize,
}

#[derive(Serialize)]
struct InFolder {
    /// The dataset or bench folder.
    of: String,
    #[serde(flatten)]
    doubt: Doubt,
}

#[derive(Serialize)]
struct InFile {
    file: String,
    #[serde(flatten)]
    problem: Problem,
}

impl Check {
    pub fn run(&self) -> Result<(), Failure> {
        let mut found = Found::default();
        let (mut lines, mut unopened) = (Vec::new(), Vec::new());
        for file in &self.files {
            let name = file.display().to_string();
            if file.is_dir() {
                lines.extend(found.folder(file)?);
                continue;
            }
            let (catalogue, _) = load::catalogue("en")?;
            let bytes = match load::read(file) {
                Ok(bytes) => bytes,
                Err(Failure::Misuse(message)) => {
                    unopened.push(message);
                    continue;
                }
                Err(other) => return Err(other),
            };
            match check(&bytes, catalogue) {
                Ok((runs, doubts)) => {
                    lines.extend(text::doubts(&name, &doubts, 0));
                    found.add_doubts(&name, doubts);
                    lines.push(format!("{name}: fine, {runs} runs"));
                }
                Err(problems) => {
                    let (shown, more) = problems.shown();
                    lines.extend(text::problems(&name, shown, more));
                    found.more += more;
                    found.problems.extend(shown.iter().map(|problem| InFile {
                        file: name.clone(),
                        problem: problem.clone(),
                    }));
                }
            }
        }
        let suspicions = found.doubts.iter().filter(|doubt| !doubt.doubt.fact);
        let doubtful = self.strict && suspicions.count() > 0;
        let fine = found.problems.is_empty() && !doubtful;
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

impl Found {
    /// Checks a bench folder; the lines to print about it.
    fn folder(&mut self, folder: &Path) -> Result<Vec<String>, Failure> {
        let name = folder.display().to_string();
        let (catalogue, _) = load::catalogue("en")?;
        let mut lines = Vec::new();
        let mut found = Vec::new();
        let mut answered = 0;
        let mut notes = Vec::new();
        let checked = crate::bench::read(folder).and_then(|mut bench| {
            notes = bench.notes().to_vec();
            let answers = answers::answers(folder, &bench)?;
            notes.extend(answers.notes);
            let (doubts, knots) = doubts::of_bench_with_knots(folder, &bench);
            bench.put_knots(knots);
            let judged = answers::judged(doubts, &answers.all);
            (found, answered) = (judged.open, judged.answered.len());
            let (runs, text) = (bench.runs(), bench.text());
            let (results, _) = bench.results(catalogue)?;
            match publish::dataset(&text, &results, Publish::default()) {
                Ok(_) => Ok(runs),
                Err(error) => Err(vec![FileProblem::file("bench.toml", unpublishable(error))]),
            }
        });
        // Problems first, then doubts, then notes.
        let (problems, fine) = match checked {
            Ok(runs) => (Vec::new(), Some(runs)),
            Err(problems) => (problems, None),
        };
        if !problems.is_empty() {
            lines.extend(load::problems_in(folder, &problems));
            let shown = problems.get(..MOST_SHOWN).unwrap_or(&problems);
            self.more += problems.len() - shown.len();
            self.problems
                .extend(shown.iter().map(|problem| in_file(folder, problem)));
        }
        lines.extend(text::doubts(&name, &found, answered));
        self.add_doubts(&name, found);
        lines.extend(notes.iter().map(|note| load::problem_in(folder, note)));
        self.notes
            .extend(notes.iter().map(|note| in_file(folder, note)));
        if let Some((runs, drafts)) = fine {
            let runs = if runs == 1 {
                "1 run".into()
            } else {
                format!("{runs} runs")
            };
            let drafts = match drafts {
                0 => String::new(),
                _ => format!(", {drafts} of them not in an edition yet"),
            };
            lines.push(format!("{name}: fine, {runs}{drafts}"));
        }
        Ok(lines)
    }

    fn add_doubts(&mut self, of: &str, doubts: Vec<Doubt>) {
        let of = of.to_owned();
        self.doubts.extend(doubts.into_iter().map(|doubt| InFolder {
            of: of.clone(),
            doubt,
        }));
    }
}

fn in_file(folder: &Path, problem: &FileProblem) -> InFile {
    InFile {
        file: folder.join(&problem.file).display().to_string(),
        problem: (*problem.problem).clone(),
    }
}

/// The number of runs of a dataset that can be read, published and read back, and the doubts about
/// it.
fn check(bytes: &[u8], catalogue: Catalogue) -> Result<(usize, Vec<Doubt>), Problems> {
    let text = load::text(bytes)?;
    let reading = json::parse(text)?;
    let doubts = located(text, doubts::of_dataset(&reading));
    let results =
        Results::new(reading, catalogue).map_err(|problems| json::located(text, problems))?;
    match publish::dataset(text, &results, Publish::default()) {
        Ok(_) => Ok((results.dataset().runs.len(), doubts)),
        Err(error) => Err(unpublishable(error).into()),
    }
}

/// Doubts with the lines of the dataset's text in which they stand.
fn located(text: &str, mut doubts: Vec<Doubt>) -> Vec<Doubt> {
    let pointers = doubts.iter().map(|doubt| doubt.pointer.as_str());
    let pointers = pointers.filter(|pointer| !pointer.is_empty());
    let wanted: Problems = pointers
        .map(|pointer| Problem::new(pointer, "", ""))
        .collect();
    let located = json::located(text, wanted);
    for doubt in &mut doubts {
        let found = located.iter().find(|found| found.pointer == doubt.pointer);
        doubt.line = found.and_then(|found| found.line);
    }
    doubts
}

/// The problem of a dataset that can be read and not published.
fn unpublishable(error: SiteError) -> Problem {
    let problem = Problem::new("", error.0.clone(), "a dataset that can be published");
    problem.message(error.0).at(1, 1)
}
