//! `look`: what was understood of logs before anything is kept.

mod drawing;
mod layout;
mod line;
mod words;

use super::{Failure, load, print, text};
use crate::bench::gather::Refused;
use crate::bench::logger_block::Logger;
use crate::bench::look::said::Said;
use crate::bench::look::{Block, Look, keep, look, look_with};
use crate::bench::one_log;
use crate::problem::quoted;
use clap::Args;
use std::path::{Path, PathBuf};
use words::in_words;

#[derive(Debug, Args)]
#[command(
    after_help = "What the log does not say, and what can be read in several ways, is asked for and \
    never assumed: say it with --say, in the words of the logger's block, such as \
    --say 'rate_hz = 250' or --say 'torque = { column = \"M\", unit = \"N·m\" }'."
)]
pub(super) struct LookAt {
    /// Logs of one logger: delimited text
    #[arg(required = true)]
    logs: Vec<PathBuf>,
    /// Bench folder: a log that one of its loggers reads is shown as that logger reads it
    #[arg(long = "in", value_name = "DIR")]
    folder: Option<PathBuf>,
    /// Put the block of this logger into bench.toml of the folder
    #[arg(long, value_name = "ID", requires = "folder")]
    keep: Option<String>,
    /// A line of the block, which goes before what is seen of the log; may be given several times
    #[arg(long, value_name = "KEY = VALUE")]
    say: Vec<String>,
}

impl LookAt {
    pub fn run(&self) -> Result<(), Failure> {
        let said = Said::read(&self.say).map_err(|why| Failure::Misuse(format!("--say: {why}")))?;
        let mut blocks: Vec<Block> = Vec::new();
        let mut unclear = Vec::new();
        for log in &self.logs {
            let name = log.display().to_string();
            let logger = self.logger(log)?;
            let bytes = load::log(&self.file(log))?;
            let seen = match &logger {
                Some(logger) => look_with(&bytes, logger),
                None => look(&bytes, &said),
            };
            let seen = seen.map_err(|problem| {
                Failure::Data(text::problems(&name, std::slice::from_ref(&problem), 0))
            })?;
            let is_clear = seen.open.is_empty() && seen.problems.is_empty();
            print(&in_words(&name, bytes.len(), &seen, logger.as_ref()).join("\n"))?;
            if !is_clear {
                unclear.push(unclear_line(&name, &seen));
            }
            if self.logs.len() > 1 {
                print("")?;
            }
            if !blocks.contains(&seen.block) {
                blocks.push(seen.block);
            }
        }
        if !unclear.is_empty() {
            if self.keep.is_some() {
                unclear.push("Nothing was written to bench.toml.".into());
            }
            return Err(Failure::Data(unclear));
        }
        match (&self.folder, &self.keep) {
            (Some(folder), Some(id)) => self.keep(folder, id, &blocks),
            _ => Ok(()),
        }
    }

    /// The file of a log; within a folder it may be named by its path below `logs/`.
    fn file(&self, log: &Path) -> PathBuf {
        let below = self
            .folder
            .as_ref()
            .map(|folder| folder.join("logs").join(log));
        match below {
            Some(below) if !log.exists() => below,
            _ => log.to_owned(),
        }
    }

    /// The logger of the folder that reads a log, if nothing is said and none is to be kept.
    fn logger(&self, log: &Path) -> Result<Option<Logger>, Failure> {
        let Some(folder) = self
            .folder
            .as_ref()
            .filter(|_| self.say.is_empty() && self.keep.is_none())
        else {
            return Ok(None);
        };
        one_log::logger(folder, log).map_err(|problems| load::in_folder(folder, &problems))
    }

    fn keep(&self, folder: &Path, id: &str, blocks: &[Block]) -> Result<(), Failure> {
        let [block] = blocks else {
            let why = "the logs need different blocks: keep one for each kind";
            return Err(Failure::Misuse(format!(
                "--keep: {why}; nothing was written"
            )));
        };
        let paths = self.logs.iter().map(|log| one_log::path_of(folder, log));
        let paths: Vec<String> = paths
            .collect::<Result<_, _>>()
            .map_err(|problem| load::in_folder(folder, &[problem]))?;
        let mut block = block.clone();
        if !block.iter().any(|(key, _)| key == "files") {
            let Some(pattern) = keep::pattern(&paths) else {
                let why = "the logs have no folder and extension in common: say which files the logger wrote, such as --say 'files = \"unit4/*\"'";
                return Err(Failure::Misuse(format!(
                    "--keep: {why}; nothing was written"
                )));
            };
            block.insert(
                0,
                ("files".into(), toml_edit::Value::from(pattern).to_string()),
            );
        }
        keep::keep(folder, id, &paths, &block).map_err(|refused| match refused {
            Refused::Problems(problems) => load::in_folder(folder, &problems),
            Refused::Unwritten(why) => Failure::Misuse(why),
        })?;
        let file = folder.join("bench.toml");
        let files = block.iter().find(|(key, _)| key == "files");
        let files = files.map(|(_, value)| value.as_str()).unwrap_or_default();
        let said = format!(
            "The logger {} for {files} stands in {}.",
            quoted(id),
            file.display()
        );
        print(&format!("\n{}", text::wrapped(&said)))
    }
}

/// One line on what stands in the way of reading a log.
fn unclear_line(name: &str, seen: &Look) -> String {
    let count = seen.open.len();
    match (count, seen.problems.len()) {
        (0, _) => format!("{name}: the block does not read the log"),
        (1, _) => format!("{name}: one thing has to be said first"),
        _ => format!("{name}: {count} things have to be said first"),
    }
}
