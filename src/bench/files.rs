//! The files of a bench folder: `bench.toml` and the tables, as far as they are there.

use super::columns::{DOUBTS, LISTS, PRICES};
use super::document::decoded;
use super::file_problem::FileProblem;
use super::raw_logs::FOLDER;
use super::settings::{self, Settings, problem_at};
use super::table::{Table, TableEncoding};
use crate::dataset::MOST_BYTES;
use crate::problem::{Problem, quoted};
use encoding_rs::Encoding;
use std::collections::BTreeMap;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

/// The problem of a folder without `bench.toml`.
pub(super) fn no_settings() -> FileProblem {
    let wanted = "the file that makes a folder a bench folder";
    let problem = Problem::new("", "no such file", wanted);
    let problem = problem.hint("`jobtorque start DIR` makes a new bench folder");
    FileProblem::file(settings::FILE, problem)
}

/// Everything that a folder is read from, whether it is there or not: the folder, `bench.toml`, the
/// tables, and `logs/` with all below. What else lies in the folder is none of it.
pub fn inputs(folder: &Path) -> Vec<PathBuf> {
    let tables = LISTS.into_iter().chain([&PRICES, &DOUBTS]);
    let names = tables.map(|layout| layout.file);
    let names = names.chain([settings::FILE, FOLDER]);
    let mut inputs = vec![folder.to_owned()];
    inputs.extend(names.map(|name| folder.join(name)));
    below(&folder.join(FOLDER), &mut inputs);
    inputs
}

/// Adds what is in a folder; a link is an input and not followed, as it may lead back up.
fn below(folder: &Path, inputs: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).into_iter().flatten().flatten() {
        inputs.push(entry.path());
        if entry.file_type().is_ok_and(|kind| kind.is_dir()) {
            below(&entry.path(), inputs);
        }
    }
}

/// Whether a path, which need not be there, lies among the logs of a folder.
pub fn is_among_logs(folder: &Path, path: &Path) -> bool {
    let Ok(logs) = folder.join(FOLDER).canonicalize() else {
        return false;
    };
    let Ok(path) = std::path::absolute(path) else {
        return false;
    };
    let there = path.ancestors().find_map(|path| path.canonicalize().ok());
    there.is_some_and(|there| there.starts_with(logs))
}

/// The bytes of a file of the folder; nothing if it is not there.
pub(super) fn file(folder: &Path, name: &str) -> Result<Option<Vec<u8>>, FileProblem> {
    let failed =
        |found: String, wanted: &str| FileProblem::file(name, Problem::new("", found, wanted));
    let path = folder.join(name);
    // A pipe or a device may never end.
    if let Ok(there) = std::fs::metadata(&path) {
        if !there.is_file() {
            return Err(failed("what is no regular file".into(), "a regular file"));
        }
        if there.len() > MOST_BYTES as u64 {
            return Err(failed(format!("{} bytes", there.len()), "at most 256 MB"));
        }
    }
    match std::fs::read(&path) {
        Ok(bytes) => Ok(Some(bytes)),
        Err(error) if error.kind() == ErrorKind::NotFound => Ok(None),
        Err(error) => Err(failed(
            format!("a file that cannot be read: {error}"),
            "a file",
        )),
    }
}

/// The encoding of tables that `tables_encoding` names.
pub(super) fn tables_encoding(settings: &Settings) -> Result<TableEncoding, FileProblem> {
    let Some(value) = settings.members.get("tables_encoding") else {
        return Ok(None);
    };
    let mut written = String::new();
    value.write(&mut written);
    let label = decoded(&written).unwrap_or_else(|| written.clone());
    let label = if label == "latin-1" { "latin1" } else { &label };
    match Encoding::for_label(label.as_bytes()) {
        Some(encoding) => Ok(Some(encoding)),
        None => {
            let pointer = "/tables_encoding";
            let problem = Problem::new(
                pointer,
                format!("the encoding {}", quoted(label)),
                "a name such as \"windows-1252\"",
            );
            Err(problem_at(settings, pointer, problem))
        }
    }
}

/// Every table that is there.
pub(super) fn tables(
    folder: &Path,
    encoding: TableEncoding,
) -> Result<BTreeMap<&'static str, Table>, Vec<FileProblem>> {
    let mut tables = BTreeMap::new();
    let mut problems = Vec::new();
    for layout in LISTS.into_iter().chain([&PRICES]) {
        match file(folder, layout.file) {
            Ok(Some(bytes)) => match Table::read(layout, &bytes, encoding) {
                Ok(table) => {
                    tables.insert(layout.list, table);
                }
                Err(found) => problems.extend(found),
            },
            Ok(None) if layout.required => {
                let wanted = format!("a table with a row for each {}", layout.thing);
                problems.push(FileProblem::file(
                    layout.file,
                    Problem::new("", "no such file", wanted),
                ));
            }
            Ok(None) => {}
            Err(problem) => problems.push(problem),
        }
    }
    if problems.is_empty() {
        Ok(tables)
    } else {
        Err(problems)
    }
}
