//! `compare`: two pairs side by side.

use super::options::{JobOptions, Reading};
use super::{Failure, load, print, print_json, text};
use crate::compare::data::Panel;
use crate::query::question::{PairIds, Question};
use clap::Args;
use std::path::PathBuf;

#[derive(Debug, Args)]
pub(super) struct Compare {
    /// Dataset or bench folder [default: the invented demo]
    file: Option<PathBuf>,
    /// Id of the first tool
    #[arg(long, value_name = "ID")]
    tool: String,
    /// Id of the first pack
    #[arg(long, value_name = "ID")]
    pack: String,
    /// Id of the second tool
    #[arg(long, value_name = "ID")]
    with_tool: String,
    /// Id of the second pack
    #[arg(long, value_name = "ID")]
    with_pack: String,
    #[command(flatten)]
    job: JobOptions,
    #[command(flatten)]
    reading: Reading,
    /// Print the whole comparison as JSON, exact, in SI units
    #[arg(long)]
    json: bool,
}

impl Compare {
    pub fn run(&self) -> Result<(), Failure> {
        let loaded = load::dataset(self.file.as_deref(), &self.reading.lang, self.job.drafts)?;
        let question = Question {
            tool: Some(self.tool.clone()),
            pack: Some(self.pack.clone()),
            beside: vec![PairIds {
                tool: self.with_tool.clone(),
                pack: self.with_pack.clone(),
            }],
            ..self.job.question(&self.reading)
        };
        let compared = loaded.results.compare(&question)?;
        let Some(comparison) = compared.first() else {
            let same = "--with-tool, --with-pack: this is the pair itself; name another to compare it with";
            return Err(Failure::Misuse(same.into()));
        };
        if self.json {
            print_json(comparison)
        } else {
            print(&in_words(&comparison.words, text::grid(&comparison.words)))
        }
    }
}

/// A panel's sentences, and its rows.
pub(super) fn in_words(panel: &Panel, rows: String) -> String {
    let lines = panel.lines.iter().chain(&panel.prices);
    let sentences: Vec<&str> = [&panel.headline]
        .into_iter()
        .chain(lines)
        .map(String::as_str)
        .collect();
    let sentences = sentences.join(" ");
    let mut paragraphs: Vec<String> = panel.notice.iter().cloned().collect();
    paragraphs.push(text::wrapped(sentences.trim_end()));
    paragraphs.push(rows);
    paragraphs.join("\n\n")
}
