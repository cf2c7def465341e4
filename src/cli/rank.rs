//! `rank`: a whole field.

use super::options::{JobOptions, Reading};
use super::{Failure, load, print, print_json, text};
use crate::ask::question::{Measure, Question};
use crate::ask::table::Table;
use clap::{Args, ValueEnum};
use std::path::PathBuf;

#[derive(Debug, Args)]
pub(super) struct Rank {
    /// Dataset [default: the invented demo]
    file: Option<PathBuf>,
    #[command(flatten)]
    job: JobOptions,
    /// What to rank by [default: time with a job, mean without]
    #[arg(long, value_enum, value_name = "MEASURE")]
    by: Option<By>,
    /// Currency of the prices to rank by, such as EUR
    #[arg(long, value_name = "CODE")]
    currency: Option<String>,
    #[command(flatten)]
    reading: Reading,
    /// Print the table as JSON, exact, in SI units
    #[arg(long)]
    json: bool,
    /// Print the table as CSV, exact, in SI units
    #[arg(long, conflicts_with = "json")]
    csv: bool,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum By {
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

impl By {
    fn measure(self) -> Measure {
        match self {
            Self::Time => Measure::Time,
            Self::Mean => Measure::Mean,
            Self::Peak => Measure::Peak,
            Self::Early => Measure::Early,
            Self::MeanPerKg => Measure::MeanPerKg,
            Self::PeakPerKg => Measure::PeakPerKg,
            Self::EarlyPerKg => Measure::EarlyPerKg,
            Self::MeanPerPrice => Measure::MeanPerPrice,
            Self::PeakPerPrice => Measure::PeakPerPrice,
            Self::EarlyPerPrice => Measure::EarlyPerPrice,
        }
    }
}

impl Rank {
    pub fn run(&self) -> Result<(), Failure> {
        let loaded = load::dataset(self.file.as_deref(), &self.reading.lang)?;
        let question = Question {
            by: self.by.map(By::measure),
            currency: self.currency.clone(),
            ..self.job.question(&self.reading)
        };
        if self.json {
            return print_json(&loaded.results.table(&question)?);
        }
        if self.csv {
            let notice = loaded.results.contents().notice;
            return print(&as_csv(
                &loaded.results.table(&question)?,
                notice.as_deref(),
            )?);
        }
        let table = loaded.results.worded_table(&question)?;
        let notice = table
            .notice
            .iter()
            .map(|notice| format!("{notice}\n\n"))
            .collect::<String>();
        print(&format!(
            "{notice}{}\n\n{}",
            table.caption,
            text::table(&table)
        ))
    }
}

/// One line for each row, the fields of `rank --json` as columns. A notice of invented data stands
/// in a column of its own, so that it goes wherever a row goes.
fn as_csv(table: &Table, notice: Option<&str>) -> Result<String, Failure> {
    let failed =
        |error: &dyn std::fmt::Display| Failure::Misuse(format!("cannot write CSV: {error}"));
    let mut writer = csv::Writer::from_writer(Vec::new());
    for (place, row) in table.rows.iter().enumerate() {
        let serde_json::Value::Object(fields) =
            serde_json::to_value(row).map_err(|error| failed(&error))?
        else {
            continue;
        };
        if place == 0 {
            let names = fields
                .keys()
                .map(String::as_str)
                .chain(notice.map(|_| "notice"));
            writer.write_record(names).map_err(|error| failed(&error))?;
        }
        let cells = fields.values().map(|value| match value {
            serde_json::Value::Null => String::new(),
            serde_json::Value::String(text) => text.clone(),
            other => other.to_string(),
        });
        writer
            .write_record(cells.chain(notice.map(str::to_owned)))
            .map_err(|error| failed(&error))?;
    }
    let bytes = writer.into_inner().map_err(|error| failed(&error))?;
    String::from_utf8(bytes).map_err(|error| failed(&error))
}
