//! A folder's files to one dataset.

use super::attaching::attach;
use super::block_reader;
use super::columns::{DAYS, LISTS, Layout, PACKS, PRICES, RUNS, TOOLS};
use super::document::{Json, Members, dataset_text, decoded};
use super::file_problem::FileProblem;
use super::files::{file, no_settings, tables, tables_encoding};
use super::logger_block::Logger;
use super::raw_logs::{self, FOLDER};
use super::rows::{Elements, elements};
use super::runs::{self, RunLogs, Wanted};
use super::settings::{self, Settings, problem_at};
use super::settings_fields::OWN;
use super::sources::Sources;
use super::unbundled::UNBUNDLED;
use super::{Bench, logger};
use crate::dataset::read::Reading;
use crate::dataset::types::Dataset;
use crate::dataset::{FORMAT, json};
use crate::problem::{Problem, quoted};
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

/// Reads a folder.
pub(super) fn bench(folder: &Path, want: &Wanted) -> Result<Bench, Vec<FileProblem>> {
    let (mut assembly, loggers) = Assembly::read(folder)?;
    let there = raw_logs::list(folder).map_err(|error| {
        let problem = Problem::new(
            "",
            format!("a folder that cannot be read: {error}"),
            "a folder of logs",
        );
        vec![FileProblem::file(FOLDER, problem)]
    })?;
    let (document, logs) = assembly.document(folder, &loggers, &there, want);
    let named = logs.named();
    let unnamed = there.iter().filter(|log| !named.contains(log.as_str()));
    let unnamed_logs = unnamed.cloned().collect();
    assembly.bench(document, &logs, unnamed_logs, want)
}

/// The rows of the notebook that name one log, with all that its samples depend on.
pub(super) struct RowsOfLog {
    /// The loggers of the folder.
    pub loggers: Vec<Logger>,
    /// Rigs, days and these runs, without series.
    pub reading: Reading,
    sources: Sources,
}

impl RowsOfLog {
    /// A cell of the `run`-th run that could be read; empty where there is none.
    pub fn cell(&self, run: usize, name: &str) -> &str {
        let row = runs::row_of(&self.reading, run);
        let table = self.sources.tables.get(RUNS.list);
        table.map_or("", |table| table.cell(row, name))
    }

    /// A problem with one of these rigs, days or runs, where it stands in the folder.
    pub fn located(&self, problem: Problem) -> FileProblem {
        self.sources.located(problem)
    }
}

/// Reads what concerns one log, by its path below `logs/`, and no log.
pub(super) fn rows_of_log(folder: &Path, log: &str) -> Result<RowsOfLog, Vec<FileProblem>> {
    let (mut assembly, loggers) = Assembly::read(folder)?;
    if let Some(table) = assembly.sources.tables.get_mut(RUNS.list) {
        let named: Vec<bool> = (0..table.rows.len())
            .map(|row| runs::named_log(table, row).as_deref() == Some(log))
            .collect();
        let mut named = named.into_iter();
        table.rows.retain(|_| named.next() == Some(true));
    }
    let reading = assembly.parsed(&["rigs"], &[&DAYS, &RUNS])?;
    Ok(RowsOfLog {
        loggers,
        reading,
        sources: assembly.sources,
    })
}

/// Reads what concerns all runs, and none of them.
pub(super) fn about(folder: &Path) -> Result<Dataset, Vec<FileProblem>> {
    let (mut assembly, _) = Assembly::read(folder)?;
    let members = ["title", "license", "invented", "editions"];
    Ok(assembly.parsed(&members, &[&TOOLS, &PACKS])?.dataset)
}

/// The loggers, none of which has a fault.
fn loggers(settings: &Settings) -> Result<Vec<Logger>, Vec<FileProblem>> {
    let loggers = block_reader::loggers(settings)?;
    let faults = loggers.iter().enumerate().flat_map(|(i, block)| {
        let faults = logger::faults(block).into_iter();
        faults.map(move |(key, problem)| {
            problem_at(settings, &format!("/loggers/{i}/{key}"), problem)
        })
    });
    let faults: Vec<FileProblem> = faults.collect();
    if faults.is_empty() {
        Ok(loggers)
    } else {
        Err(faults)
    }
}

/// Whether a block is of a logger that reads what `unbundle` wrote.
fn is_unbundled(block: &Json) -> bool {
    let Json::Object(block) = block else {
        return false;
    };
    match block.get("id") {
        Some(Json::Raw(id)) => decoded(id).is_some_and(|id| id.starts_with(UNBUNDLED)),
        _ => false,
    }
}

struct Assembly {
    sources: Sources,
    problems: Vec<FileProblem>,
    notes: Vec<FileProblem>,
}

impl Assembly {
    /// Reads `bench.toml` with its loggers, and every table that is there.
    fn read(folder: &Path) -> Result<(Self, Vec<Logger>), Vec<FileProblem>> {
        let settings = match file(folder, settings::FILE).map_err(|problem| vec![problem])? {
            Some(bytes) => settings::read(&bytes)?,
            None => return Err(vec![no_settings()]),
        };
        let encoding = tables_encoding(&settings).map_err(|problem| vec![problem])?;
        let loggers = loggers(&settings)?;
        let tables = tables(folder, encoding)?;
        let assembly = Self {
            sources: Sources {
                settings,
                tables,
                prices: BTreeMap::new(),
            },
            problems: Vec::new(),
            notes: Vec::new(),
        };
        Ok((assembly, loggers))
    }

    /// A dataset of these members of `bench.toml` and these tables alone.
    ///
    /// # Errors
    ///
    /// Every problem of their elements; what the dataset lacks besides is none.
    fn parsed(
        &mut self,
        members: &[&str],
        layouts: &[&'static Layout],
    ) -> Result<Reading, Vec<FileProblem>> {
        let mut document = Members::from([("format".to_owned(), Json::text(FORMAT))]);
        for name in members {
            let member = self.sources.settings.members.get(*name).cloned();
            document.extend(member.map(|member| ((*name).to_owned(), member)));
        }
        for layout in layouts {
            let elements = self.elements(layout).into_iter().map(Json::Object);
            document.insert(layout.list.into(), Json::List(elements.collect()));
        }
        let located = |problem: &Problem| self.sources.located(problem.clone());
        let reading = json::parse(&dataset_text(&document))
            .map_err(|problems| problems.iter().map(located).collect::<Vec<_>>())?;
        // Of what was asked for: that a table is empty, or a member is not there, is none.
        let asked_for = |problem: &&Problem| {
            let path = problem.pointer.trim_start_matches('/');
            path.contains('/') || members.contains(&path)
        };
        let found = reading.problems.iter().filter(asked_for).map(located);
        let problems: Vec<FileProblem> = self.problems.iter().cloned().chain(found).collect();
        if problems.is_empty() {
            Ok(reading)
        } else {
            Err(problems)
        }
    }

    /// The dataset without series, and the logs of its runs.
    fn document(
        &mut self,
        folder: &Path,
        loggers: &[Logger],
        there: &BTreeSet<String>,
        want: &Wanted,
    ) -> (Members, RunLogs) {
        let mut document = Members::from([("format".to_owned(), Json::text(FORMAT))]);
        let settings = &self.sources.settings.members;
        let kept = settings
            .iter()
            .filter(|(key, _)| !OWN.contains(&key.as_str()));
        document.extend(kept.map(|(key, value)| (key.clone(), value.clone())));
        self.unknown_settings();
        let mut lists: BTreeMap<&str, Vec<Members>> = BTreeMap::new();
        for layout in LISTS {
            let elements = self.elements(layout);
            lists.insert(layout.list, elements);
        }
        let prices = self.elements(&PRICES);
        self.prices(prices, &mut lists);
        let mut logs = RunLogs::default();
        if let (Some(table), Some(elements)) =
            (self.sources.tables.get(RUNS.list), lists.get_mut(RUNS.list))
        {
            logs = runs::read(folder, table, loggers, there, want);
            logs.complete(table, elements);
            self.problems.append(&mut logs.problems);
        }
        for layout in LISTS {
            let there = self.sources.tables.contains_key(layout.list);
            if let Some(elements) = lists.remove(layout.list).filter(|_| there) {
                let elements = elements.into_iter().map(Json::Object).collect();
                document.insert(layout.list.into(), Json::List(elements));
            }
        }
        if let Some(Json::List(blocks)) = self.sources.settings.members.get("loggers") {
            let mut blocks = blocks.clone();
            blocks.retain(|block| !is_unbundled(block));
            if !blocks.is_empty() {
                document.insert("loggers".into(), Json::List(blocks));
            }
        }
        (document, logs)
    }

    fn unknown_settings(&mut self) {
        for pointer in &self.sources.settings.unknown {
            let name = pointer.rsplit('/').next().unwrap_or_default();
            let problem = Problem::new(
                pointer,
                format!("the field {}", quoted(name)),
                "a field of the format",
            );
            let message = format!(
                "the field {} is not known and is kept as it is",
                quoted(name)
            );
            self.notes.push(problem_at(
                &self.sources.settings,
                pointer,
                problem.message(message),
            ));
        }
    }

    fn elements(&mut self, layout: &'static Layout) -> Vec<Members> {
        let extra = match self.sources.settings.members.get("extra_fields") {
            Some(Json::List(names)) => names
                .iter()
                .filter_map(|name| match name {
                    Json::Raw(json) => decoded(json),
                    _ => None,
                })
                .collect(),
            _ => Vec::new(),
        };
        let Some(table) = self.sources.tables.get(layout.list) else {
            return Vec::new();
        };
        let Elements {
            members,
            problems,
            notes,
            ..
        } = elements(layout, table, &extra);
        self.problems.extend(problems);
        self.notes.extend(notes);
        members
    }

    /// Gives every price to its tool or pack.
    fn prices(&mut self, prices: Vec<Members>, lists: &mut BTreeMap<&str, Vec<Members>>) {
        let Some(table) = self.sources.tables.get(PRICES.list) else {
            return;
        };
        for (row, price) in prices.into_iter().enumerate() {
            let mut refuse = |name: &str, found: String, wanted: &str| {
                let (line, column) =
                    table.position(Some(row), table.column(name).unwrap_or_default());
                let problem = Problem::new(format!("/{}/{row}/{name}", PRICES.list), found, wanted)
                    .at(line, column);
                self.problems
                    .push(FileProblem::file(PRICES.file, problem).field(name));
            };
            let (list, thing) = match (table.cell(row, "tool"), table.cell(row, "pack")) {
                ("", "") => {
                    refuse("tool", "neither tool nor pack".into(), "one of the two");
                    continue;
                }
                (_, "") => ("tools", "tool"),
                ("", _) => ("packs", "pack"),
                _ => {
                    refuse("pack", "both tool and pack".into(), "one of the two");
                    continue;
                }
            };
            let id = Json::text(
                &decoded(table.cell(row, thing))
                    .unwrap_or_else(|| table.cell(row, thing).to_owned()),
            );
            let owners = lists
                .get_mut(list)
                .map(Vec::as_mut_slice)
                .unwrap_or_default();
            let owner = owners
                .iter_mut()
                .enumerate()
                .find(|(_, owner)| owner.get("id") == Some(&id));
            let Some((at, owner)) = owner else {
                // Without identifiers the owner is not to be found, which is told already.
                let owners = self.sources.tables.get(list);
                if owners.is_some_and(|table| table.column("id").is_none()) {
                    continue;
                }
                let found = format!("the unknown {thing} {}", quoted(table.cell(row, thing)));
                refuse(
                    thing,
                    found,
                    &format!("the \"id\" of a {thing} in {thing}s.csv"),
                );
                continue;
            };
            let listed = owner
                .entry("prices".into())
                .or_insert_with(|| Json::List(Vec::new()));
            if let Json::List(listed) = listed {
                listed.push(Json::Object(price));
                self.sources.prices.entry((list, at)).or_default().push(row);
            }
        }
    }

    /// Reads the dataset and puts the series into it.
    fn bench(
        mut self,
        document: Members,
        logs: &RunLogs,
        unnamed_logs: Vec<String>,
        want: &Wanted,
    ) -> Result<Bench, Vec<FileProblem>> {
        let mut reading = json::parse(&dataset_text(&document)).map_err(|problems| {
            let located = problems
                .iter()
                .map(|problem| self.sources.located(problem.clone()));
            located.collect::<Vec<_>>()
        })?;
        if let Some(table) = self.sources.tables.get(RUNS.list) {
            self.problems
                .extend(attach(logs, table, &mut reading, want));
        }
        let refused = self
            .problems
            .iter()
            .map(|problem| problem.problem.pointer.clone());
        Ok(Bench {
            document,
            refused: refused.filter(|pointer| !pointer.is_empty()).collect(),
            reading,
            sources: self.sources,
            problems: self.problems,
            notes: self.notes,
            unnamed_logs,
        })
    }
}
