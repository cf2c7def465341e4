//! `runs`: the runs behind a pair.

use super::options::{JobOptions, Reading};
use super::{Failure, load, print, print_json, text};
use crate::query::question::Question;
use crate::runs::data::{RunGroup, WordedRuns};
use crate::text::passage::Passage;
use clap::Args;
use std::path::PathBuf;

#[derive(Debug, Args)]
pub(super) struct Runs {
    /// Dataset or bench folder [default: the invented demo]
    file: Option<PathBuf>,
    /// Id of the tool
    #[arg(long, value_name = "ID")]
    tool: String,
    /// Id of the pack
    #[arg(long, value_name = "ID")]
    pack: String,
    #[command(flatten)]
    job: JobOptions,
    #[command(flatten)]
    reading: Reading,
    /// Print the runs as JSON, exact, in SI units
    #[arg(long)]
    json: bool,
}

impl Runs {
    pub fn run(&self) -> Result<(), Failure> {
        let loaded = load::dataset(self.file.as_deref(), &self.reading.lang, self.job.drafts)?;
        let results = &loaded.results;
        let question = Question {
            tool: Some(self.tool.clone()),
            pack: Some(self.pack.clone()),
            ..self.job.question(&self.reading)
        };
        if self.json {
            return print_json(&results.runs(&question)?);
        }
        let aside = results.catalogue().fill("section.set_aside", &[]);
        print(&in_words(&results.worded_runs(&question)?, &aside))
    }
}

/// The runs, those set aside under their heading, then everything around them.
fn in_words(runs: &WordedRuns, aside: &str) -> String {
    let mut paragraphs: Vec<String> = runs.notice.iter().cloned().collect();
    paragraphs.extend(runs.none.clone());
    let group = |group: &RunGroup| of_group(&runs.headings, group);
    paragraphs.extend(runs.counted.iter().map(group));
    if !runs.set_aside.is_empty() {
        paragraphs.push(aside.to_owned());
    }
    paragraphs.extend(runs.set_aside.iter().map(group));
    paragraphs.extend(runs.passages.iter().chain(&runs.stated).map(of_passage));
    paragraphs.join("\n\n")
}

fn of_group(headings: &Vec<String>, group: &RunGroup) -> String {
    let mut lines = vec![text::wrapped(&group.title)];
    lines.push(text::figures(headings, &group.rows));
    lines.extend(group.lines.iter().map(|line| text::wrapped(line)));
    lines.join("\n")
}

fn of_passage(passage: &Passage) -> String {
    let mut lines = vec![text::wrapped(&passage.heading)];
    lines.extend(passage.lines.iter().map(|line| text::wrapped(line)));
    lines.join("\n")
}
