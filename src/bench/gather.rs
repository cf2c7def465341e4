//! A row in the notebook for each log that has none.

use super::append_rows::append_rows;
use super::block_reader;
use super::cell::{Kind, write};
use super::columns::{DAYS, Layout, NOTEBOOK, PACKS, RUNS, TOOLS};
use super::document::{Json, decoded};
use super::file_problem::FileProblem;
use super::files;
use super::logger_block::{Logger, logger_of};
use super::name_pattern::{Filled, NamePattern};
use super::raw_logs::{self, FOLDER};
use super::runs::named_log;
use super::settings::{self, Settings, problem_at};
use super::table::{Table, TableEncoding};
use super::write_file::{Existing, write_file};
use crate::problem::{Problem, quoted};
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

/// A row that was added.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Added {
    /// Path of the log below `logs/`.
    pub log: String,
    /// What its name says, by the names of columns.
    pub filled: Filled,
    /// Why more could not be filled in.
    pub note: Option<String>,
}

/// Why nothing was gathered.
#[derive(Debug)]
pub enum Refused {
    /// Problems of the folder.
    Problems(Vec<FileProblem>),
    /// The notebook cannot be written.
    Unwritten(String),
}

impl From<Vec<FileProblem>> for Refused {
    fn from(problems: Vec<FileProblem>) -> Self {
        Self::Problems(problems)
    }
}

impl From<FileProblem> for Refused {
    fn from(problem: FileProblem) -> Self {
        Self::Problems(vec![problem])
    }
}

/// Adds a row to `runs.csv` for each log that no row names, filled from the name pattern of its
/// logger. What stands in the file stays as it is, to the byte.
///
/// # Errors
///
/// Problems of `bench.toml` and of the tables; a notebook that changed meanwhile.
pub fn gather(folder: &Path) -> Result<Vec<Added>, Refused> {
    let settings =
        settings::read(&files::file(folder, settings::FILE)?.ok_or_else(files::no_settings)?)?;
    let encoding = files::tables_encoding(&settings)?;
    let loggers = block_reader::loggers(&settings)?;
    let patterns = patterns(&settings, &loggers)?;
    let old = files::file(folder, RUNS.file)?;
    let header = format!("{}\n", NOTEBOOK.join(","));
    let bytes = old.clone().unwrap_or_else(|| header.into_bytes());
    let table = Table::read(&RUNS, &bytes, encoding)?;
    if table.column("log").is_none() {
        let (line, column) = table.position(None, 0);
        let problem = Problem::new("", "no column \"log\"", "the column \"log\"").at(line, column);
        return Err(FileProblem::file(RUNS.file, problem).into());
    }
    let named: BTreeSet<String> = (0..table.rows.len())
        .filter_map(|row| named_log(&table, row))
        .collect();
    let there = raw_logs::list(folder)
        .map_err(|error| Refused::Unwritten(format!("cannot list {FOLDER}: {error}")))?;
    let known = known_ids(folder, &settings, encoding);
    let plain = Logger::default();
    let unnamed = there.iter().filter(|log| !named.contains(*log));
    let added: Vec<Added> = unnamed
        .map(|log| {
            let logger = logger_of(&loggers, "", log, &plain).and_then(|logger| logger.block);
            let pattern = logger.and_then(|block| patterns.get(&block));
            added(log, pattern, &known, &table)
        })
        .collect();
    if added.is_empty() {
        return Ok(added);
    }
    let mut new = bytes;
    append(&mut new, &table, &added, encoding)?;
    let existing = old.as_deref().map_or(Existing::Nothing, Existing::Bytes);
    write_file(&folder.join(RUNS.file), &new, existing).map_err(Refused::Unwritten)?;
    Ok(added)
}

/// The name patterns of the loggers that have one.
fn patterns(
    settings: &Settings,
    loggers: &[Logger],
) -> Result<BTreeMap<usize, NamePattern>, Vec<FileProblem>> {
    let mut patterns = BTreeMap::new();
    let mut problems = Vec::new();
    for (block, logger) in loggers.iter().enumerate() {
        let Some(written) = &logger.name_pattern else {
            continue;
        };
        let pointer = format!("/loggers/{block}/name_pattern");
        let wanted = "a pattern such as \"{day}_{tool}_{pack}_{specimen}_{n}.csv\"";
        let mut refuse = |found: String| {
            problems.push(problem_at(
                settings,
                &pointer,
                Problem::new(&pointer, found, wanted),
            ))
        };
        match NamePattern::parse(written) {
            Some(pattern) => {
                let strange = pattern
                    .names()
                    .find(|name| *name != "n" && RUNS.column(name).is_none());
                if let Some(strange) = strange {
                    refuse(format!(
                        "{{{strange}}}, which is no column of {}",
                        RUNS.file
                    ));
                }
                patterns.insert(block, pattern);
            }
            None => refuse(quoted(written)),
        }
    }
    if problems.is_empty() {
        Ok(patterns)
    } else {
        Err(problems)
    }
}

/// The identifiers that columns of the notebook can hold; a table that cannot be read knows none.
fn known_ids(
    folder: &Path,
    settings: &Settings,
    encoding: TableEncoding,
) -> BTreeMap<&'static str, BTreeSet<String>> {
    let of_table = |layout: &'static Layout| {
        let bytes = files::file(folder, layout.file).ok().flatten()?;
        let table = Table::read(layout, &bytes, encoding).ok()?;
        Some(
            (0..table.rows.len())
                .map(|row| table.cell(row, "id").to_owned())
                .collect(),
        )
    };
    let mut known: BTreeMap<&'static str, BTreeSet<String>> = BTreeMap::new();
    for (name, layout) in [("tool", &TOOLS), ("pack", &PACKS), ("day", &DAYS)] {
        known.extend(of_table(layout).map(|ids| (name, ids)));
    }
    if let Some(Json::List(setups)) = settings.members.get("setups") {
        let ids = setups.iter().filter_map(|setup| match setup {
            Json::Object(setup) => match setup.get("id")? {
                Json::Raw(id) => decoded(id),
                _ => None,
            },
            _ => None,
        });
        known.insert("setup", ids.collect());
    }
    known
}

/// What the name of a log says.
fn added(
    log: &str,
    pattern: Option<&NamePattern>,
    known: &BTreeMap<&'static str, BTreeSet<String>>,
    table: &Table,
) -> Added {
    let none = |note: Option<String>| Added {
        log: log.to_owned(),
        filled: Vec::new(),
        note,
    };
    let Some(pattern) = pattern else {
        return none(None);
    };
    let all = pattern.readings(log);
    let is_known = |(name, text): &(String, String)| {
        known
            .get(name.as_str())
            .is_none_or(|ids| ids.contains(text))
    };
    let sound: Vec<&Filled> = all
        .iter()
        .filter(|filled| filled.iter().all(is_known))
        .collect();
    let filled = match (sound.as_slice(), all.as_slice()) {
        ([one], _) => (*one).clone(),
        ([], [one]) => one.clone(),
        ([], []) => return none(Some("its name does not fit the pattern".into())),
        _ => return none(Some("its name can be read in several ways".into())),
    };
    let (filled, homeless): (Filled, Filled) = filled
        .into_iter()
        .filter(|(name, _)| name != "n")
        .partition(|(name, _)| table.column(name).is_some());
    let note = homeless
        .first()
        .map(|(name, _)| format!("{} has no column \"{name}\"", RUNS.file));
    Added {
        log: log.to_owned(),
        filled,
        note,
    }
}

/// Appends rows in the style of the table.
fn append(
    bytes: &mut Vec<u8>,
    table: &Table,
    added: &[Added],
    encoding: TableEncoding,
) -> Result<(), Refused> {
    let cells = |row: &Added| {
        let cell = |name: &String| -> String {
            let filled = row.filled.iter().find(|(filled, _)| filled == name);
            let text = if name == "log" {
                Some(&row.log)
            } else {
                filled.map(|(_, text)| text)
            };
            let kind = RUNS.column(name).map_or(Kind::Any, |column| column.kind);
            let text_of = |text: &String| match Json::text(text) {
                Json::Raw(json) if kind == Kind::Text => write(&json, kind),
                _ => text.clone(),
            };
            text.map_or_else(String::new, text_of)
        };
        table.header.iter().map(cell).collect()
    };
    let rows: Vec<Vec<String>> = added.iter().map(cells).collect();
    append_rows(bytes, table.style, &rows, encoding)
        .map_err(|why| Refused::Unwritten(format!("{}: {why}", RUNS.file)))
}
