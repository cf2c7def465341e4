//! `rank`: a whole field.

use super::options::{JobOptions, NarrowOptions, Reading, values};
use super::{Failure, load, print, print_json, text};
use crate::export;
use crate::query::question::{Measure, Question};
use clap::{Args, ValueEnum};
use std::path::PathBuf;

#[derive(Debug, Args)]
pub(super) struct Rank {
    /// Dataset or bench folder [default: the invented demo]
    file: Option<PathBuf>,
    #[command(flatten)]
    job: JobOptions,
    /// What to rank by [default: time with a job, mean without]
    #[arg(long, value_enum, value_name = "MEASURE")]
    by: Option<By>,
    #[command(flatten)]
    narrow: NarrowOptions,
    /// Only pairs that have the job within reach
    #[arg(long)]
    reaching: bool,
    /// Column to sort by, such as mass; with a minus in front from the largest down
    #[arg(long, value_name = "COLUMN", allow_hyphen_values = true)]
    sort: Option<String>,
    /// Compare the peak with the maker's stated figure
    #[arg(long)]
    stated: bool,
    #[command(flatten)]
    reading: Reading,
    /// Print the table as JSON, exact, in SI units
    #[arg(long)]
    json: bool,
    /// Print the table as CSV, exact, in SI units
    #[arg(long, conflicts_with = "json")]
    csv: bool,
}

values! {
    By of Measure {
        Time,
        Mean,
        Peak,
        Early,
        MeanPerKg,
        PeakPerKg,
        EarlyPerKg,
        MeanPerPrice,
        PeakPerPrice,
        EarlyPerPrice,
    }
}

impl Rank {
    pub fn run(&self) -> Result<(), Failure> {
        let loaded = load::dataset(self.file.as_deref(), &self.reading.lang, self.job.drafts)?;
        let question = Question {
            by: self.by.map(Measure::from),
            currency: self.narrow.currency.clone(),
            narrow: self.narrow.narrowing(self.reaching),
            sort: self.sort.clone(),
            stated: self.stated.then_some(true),
            ..self.job.question(&self.reading)
        };
        if self.json {
            return print_json(&loaded.results.table(&question)?);
        }
        if self.csv {
            return print(&export::field(&loaded.results, &question)?);
        }
        let table = loaded.results.worded_table(&question)?;
        print(&text::paragraphs(
            [
                table.notice.clone(),
                Some(table.caption.clone()),
                table.state.clone(),
                table.empty.clone(),
                Some(table.notes.join(" ")),
            ],
            &text::table(&table),
        ))
    }
}
