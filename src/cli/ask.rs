//! `ask`: one answer.

use super::options::{JobOptions, Reading};
use super::{Failure, load, print, print_html, print_json, text};
use crate::answer::data::Answer;
use crate::dataset::types::Edition;
use crate::query::question::Question;
use crate::results::Results;
use crate::site::baked::{HEAD, element};
use crate::table::data::WordedTable;
use clap::Args;
use std::path::PathBuf;

/// How many of a list are printed before the rest is only counted.
const SHOWN: usize = 10;

/// Says where the rest is.
const MORE: &str = "What this rests on, and what to think of before starting: `ask --full`.";

/// The columns of a list that are printed.
const COLUMNS: [&str; 6] = ["place", "pair", "chance", "time", "nineteen", "mass"];

#[derive(Debug, Args)]
pub(super) struct Ask {
    /// Dataset or bench folder [default: the invented demo]
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
    /// Print also what the answer rests on, and what to think of before starting
    #[arg(long, conflicts_with_all = ["json", "html"])]
    full: bool,
    /// Print the whole answer as JSON, exact, in SI units
    #[arg(long)]
    json: bool,
    /// Print the element for a page of your own with this answer in it, finished: to be put beside the
    /// files that `page` writes
    #[arg(long, conflicts_with = "json")]
    html: bool,
}

impl Ask {
    pub fn run(&self) -> Result<(), Failure> {
        let loaded = load::dataset(self.file.as_deref(), &self.reading.lang, self.job.drafts)?;
        let question = Question {
            tool: self.tool.clone(),
            pack: self.pack.clone(),
            ..self.job.question(&self.reading)
        };
        let answer = loaded.results.ask(&question)?;
        if self.html {
            published(&loaded.results, answer.edition)?;
            let element = element(&loaded.results, &question)?;
            return print_html(&format!("{HEAD}{element}"));
        }
        let list = match &answer.list {
            Some(list) if !list.is_empty() && !self.json => {
                Some(brief(loaded.results.worded_table(&question)?))
            }
            _ => None,
        };
        if self.json {
            print_json(&answer)
        } else {
            print(&in_words(&answer, list, self.full))
        }
    }
}

/// Refuses to pin a draft: the files that `page` writes, beside which the element is put, have no such
/// edition.
fn published(results: &Results, edition: u32) -> Result<(), Failure> {
    let editions = &results.dataset().editions;
    let pinned = editions.iter().find(|one| one.edition == edition);
    if !pinned.is_some_and(Edition::is_draft) {
        return Ok(());
    }
    Err(Failure::Misuse(format!(
        "--html: edition {edition} is a draft, which is not published; leave out --drafts, or name a \
         published edition with --edition"
    )))
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

/// The answer's sentences, headline first (after the notice of invented data), then its list; with `full`
/// also what it rests on.
fn in_words(answer: &Answer, list: Option<String>, full: bool) -> String {
    let mut first: Vec<String> = answer.notice.iter().cloned().collect();
    first.extend(answer.before.iter().cloned());
    first.push(answer.asked.clone());
    first.push(answer.headline.clone());
    first.push(answer.checks.join(" "));
    first.push(answer.lines.join(" "));
    first.push(answer.further.join(" "));
    let mut last = vec![answer.warnings.join(" "), answer.cautions.join(" ")];
    if full {
        let losses = answer.setup_costs.iter();
        let losses = losses.filter(|cost| cost.take.is_some());
        last.extend(losses.map(|cost| cost.words.clone()));
        last.push(answer.rests_on.join(" "));
        last.push(answer.reminders.join(" "));
    } else {
        last.push(MORE.into());
    }
    let wrapped = |texts: &[String]| {
        let texts = texts.iter().filter(|text| !text.is_empty());
        texts.map(|text| text::wrapped(text)).collect::<Vec<_>>()
    };
    // The list has its own lines.
    let list = list.into_iter().filter(|list| !list.is_empty());
    let mut paragraphs = wrapped(&first);
    paragraphs.extend(list);
    paragraphs.extend(wrapped(&last));
    paragraphs.join("\n\n")
}
