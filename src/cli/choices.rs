//! `choices`: which pairs reach a job.

use super::options::{JobOptions, NarrowOptions, Reading, values};
use super::{Failure, load, print, print_json, text};
use crate::alternatives::data::WordedChoices;
use crate::query::filter::Order;
use crate::query::question::Question;
use clap::{Args, ValueEnum};
use std::path::PathBuf;

#[derive(Debug, Args)]
pub(super) struct Choices {
    /// Dataset or bench folder [default: the invented demo]
    file: Option<PathBuf>,
    /// Id of a tool whose packs alone count; with a pack, of the pair to leave out
    #[arg(long, value_name = "ID")]
    tool: Option<String>,
    /// Id of a pack that alone counts; with a tool, of the pair to leave out
    #[arg(long, value_name = "ID")]
    pack: Option<String>,
    #[command(flatten)]
    job: JobOptions,
    /// What they stand in the order of
    #[arg(long, value_enum, value_name = "ORDER", default_value = "lightest")]
    by: By,
    #[command(flatten)]
    narrow: NarrowOptions,
    #[command(flatten)]
    reading: Reading,
    /// Print the choices as JSON, exact, in SI units
    #[arg(long)]
    json: bool,
}

values! {
    By of Order {
        Lightest,
        Shortest,
        LeastCostly,
        Quickest,
    }
}

impl Choices {
    pub fn run(&self) -> Result<(), Failure> {
        let loaded = load::dataset(self.file.as_deref(), &self.reading.lang, self.job.drafts)?;
        let question = Question {
            tool: self.tool.clone(),
            pack: self.pack.clone(),
            order: Some(self.by.into()),
            currency: self.narrow.currency.clone(),
            narrow: self.narrow.narrowing(false),
            ..self.job.question(&self.reading)
        };
        if self.json {
            return print_json(&loaded.results.choices(&question)?);
        }
        let choices = loaded.results.worded_choices(&question)?;
        print(&text::paragraphs(
            [
                loaded.results.contents().notice,
                Some(choices.caption.clone()),
                choices.empty.clone(),
                Some(choices.notes.join(" ")),
                choices.prices.clone(),
                choices.legend.clone(),
            ],
            &lines(&choices),
        ))
    }
}

/// A line for each pair, a star before those that no other beats.
fn lines(choices: &WordedChoices) -> String {
    let rows = choices.rows.iter().map(|row| {
        let mark = if row.marked { "*" } else { " " };
        let mut cells = vec![format!("{mark} {}", row.name)];
        cells.extend(row.cells.iter().cloned());
        cells
    });
    text::rows_aligned(&rows.collect::<Vec<_>>())
}
