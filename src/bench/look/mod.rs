//! What a log says of itself, before anything is kept: the block of `[[loggers]]` that reads it, and
//! what has to be said because the log does not say it or can be read in two ways.

mod block_lines;
pub mod keep;
mod proposal;
mod questions;
pub mod said;

use super::block_reader;
use super::logger::{Logged, faults, read_log};
use super::logger_block::Logger;
use super::settings;
use super::split::parts;
use crate::logs::survey::{self, Survey, survey};
use crate::problem::Problem;
use crate::run::samples::Samples;
use said::Said;

/// What was understood of a log.
#[derive(Debug)]
pub struct Look {
    /// What was seen of its text.
    pub survey: Survey,
    /// The keys of a logger's block and their values, as TOML; none where a logger of the folder
    /// reads the log.
    pub block: Block,
    /// What has to be said.
    pub open: Vec<Open>,
    /// Columns that the block leaves out though they may be wanted.
    pub notes: Vec<String>,
    /// What stands in the way of reading the log by the block.
    pub problems: Vec<Problem>,
    /// The log as read, if it was.
    pub logged: Option<Logged>,
    /// Its runs.
    pub runs: Vec<Samples>,
}

/// Keys and values of a block, as TOML, in the order of its fields.
pub type Block = Vec<(String, String)>;

/// Something that has to be said.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Open {
    /// What is not known.
    pub question: String,
    /// In what ways the log can be read: what each means, and the lines of the block that say so. An
    /// `…` stands for what the log does not say.
    pub readings: Vec<(String, String)>,
}

/// Looks at a log. `said` goes before what is seen.
///
/// # Errors
///
/// If its bytes are no text in one encoding.
pub fn look(bytes: &[u8], said: &Said) -> Result<Look, Problem> {
    let mut look = Look::of(survey(bytes, said.of_text())?);
    proposal::propose(&mut look, said);
    if look.open.is_empty() {
        match logger(&look.block) {
            Ok(logger) => look.read(bytes, &logger),
            Err(problems) => look.problems = problems,
        }
        if look.logged.is_some() {
            questions::of_samples(&mut look, said);
        }
    }
    Ok(look)
}

/// Looks at a log that a logger of the folder reads.
///
/// # Errors
///
/// If its bytes are no text in one encoding.
pub fn look_with(bytes: &[u8], logger: &Logger) -> Result<Look, Problem> {
    let text = survey::Said {
        encoding: logger.encoding.as_deref().map(|label| match label {
            "latin-1" => "latin1",
            label => label,
        }),
        delimiter: logger.delimiter.as_deref(),
        decimal: logger.decimal.as_deref(),
        thousands: logger.thousands.as_deref(),
    };
    let mut look = Look::of(survey(bytes, text)?);
    look.read(bytes, logger);
    Ok(look)
}

impl Look {
    fn of(survey: Survey) -> Self {
        Self {
            survey,
            block: Block::new(),
            open: Vec::new(),
            notes: Vec::new(),
            problems: Vec::new(),
            logged: None,
            runs: Vec::new(),
        }
    }

    fn read(&mut self, bytes: &[u8], logger: &Logger) {
        match read_log(bytes, logger) {
            Ok(logged) => {
                self.runs = match logger.split {
                    None => vec![logged.samples.clone()],
                    Some(split) => parts(&logged.samples, split),
                };
                self.logged = Some(logged);
            }
            Err(problems) => self.problems = problems,
        }
    }
}

/// The text of a block.
pub fn block_text(block: &Block) -> String {
    let lines = block
        .iter()
        .map(|(key, value)| format!("{key} = {value}\n"));
    format!("[[loggers]]\n{}", lines.collect::<String>())
}

/// The logger that a block describes, as `bench.toml` would be read.
fn logger(block: &Block) -> Result<Logger, Vec<Problem>> {
    let mut named = block.clone();
    if !named.iter().any(|(key, _)| key == "id") {
        named.insert(0, ("id".into(), "\"look\"".into()));
    }
    let in_block = |problems: Vec<super::file_problem::FileProblem>| -> Vec<Problem> {
        let of = |problem: super::file_problem::FileProblem| {
            Problem::new("", problem.problem.found, problem.problem.wanted)
        };
        problems.into_iter().map(of).collect()
    };
    let settings = settings::read(block_text(&named).as_bytes()).map_err(in_block)?;
    let loggers = block_reader::loggers(&settings).map_err(in_block)?;
    let logger = loggers.into_iter().next().unwrap_or_default();
    let faults: Vec<Problem> = faults(&logger)
        .into_iter()
        .map(|(key, problem)| Problem::new("", format!("{key}: {}", problem.found), problem.wanted))
        .collect();
    if faults.is_empty() {
        Ok(logger)
    } else {
        Err(faults)
    }
}
