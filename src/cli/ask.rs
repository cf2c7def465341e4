//! `ask`: one answer.

use super::options::{JobOptions, Reading};
use super::{Failure, load, print, print_json, text};
use crate::ask::answer::Answer;
use crate::ask::question::Question;
use crate::ask::table::WordedTable;
use clap::Args;
use std::path::PathBuf;

/// How many of a list are printed before the rest is only counted.
const SHOWN: usize = 10;

/// The columns of a list that are printed.
const COLUMNS: [&str; 6] = ["place", "pair", "chance", "time", "nineteen", "mass"];

#[derive(Debug, Args)]
pub(super) struct Ask {
    /// Dataset [default: the invented demo]
    file: Option<PathBuf>,
    /// Id of the tool [default: any tool]
    #[arg(long, value_name = "ID")]
    tool: Option<String>,
    /// Id of the pack [default: any pack that fits]
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

impl Ask {
    pub fn run(&self) -> Result<(), Failure> {
        let loaded = load::dataset(self.file.as_deref(), &self.reading.lang)?;
        let question = Question {
            tool: self.tool.clone(),
            pack: self.pack.clone(),
            ..self.job.question(&self.reading)
        };
        let answer = loaded.results.ask(&question)?;
        let list = match &answer.list {
            Some(list) if !list.is_empty() && !self.json => {
                Some(brief(loaded.results.worded_table(&question)?))
            }
            _ => None,
        };
        if self.json {
            print_json(&answer)
        } else {
            print(&in_words(&answer, list))
        }
    }
}

/// The first pairs of a list, with the columns that decide.
fn brief(mut table: WordedTable) -> String {
    let rest = table.rows.len().saturating_sub(SHOWN);
    table.rows.truncate(SHOWN);
    if rest > 0 {
        table.estimates.clear();
    }
    let text = text::table(&text::columns(table, &COLUMNS));
    if rest == 0 {
        text
    } else {
        format!("{text}\n… {rest} more: see `rank`")
    }
}

/// The answer's sentences, headline first (after the notice of invented data), then its list.
fn in_words(answer: &Answer, list: Option<String>) -> String {
    let mut paragraphs: Vec<String> = answer.notice.iter().cloned().collect();
    paragraphs.extend(answer.before.iter().cloned());
    paragraphs.push(answer.headline.clone());
    paragraphs.push(answer.lines.join(" "));
    paragraphs.push(answer.further.join(" "));
    paragraphs.extend(list);
    paragraphs.push(answer.warnings.join(" "));
    paragraphs.push(answer.cautions.join(" "));
    let losses = answer.setup_costs.iter();
    let losses = losses.filter(|cost| cost.take.is_some());
    paragraphs.extend(losses.map(|cost| cost.words.clone()));
    paragraphs.push(answer.asides.join(" "));
    paragraphs.push(answer.sure.join(" "));
    paragraphs.push(answer.reminders.join(" "));
    let wrapped = paragraphs.iter().filter(|text| !text.is_empty());
    wrapped
        .map(|text| {
            if text.contains('\n') {
                text.clone()
            } else {
                text::wrapped(text)
            }
        })
        .collect::<Vec<_>>()
        .join("\n\n")
}
