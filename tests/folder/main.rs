//! The bench folder: read as the dataset that its bundled file holds, problems where they stand,
//! and the commands that write.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing
)]

mod cache;
mod changes;
mod demo;
mod doubts;
mod drafts;
mod drift;
mod each_doubt;
mod export;
mod gather;
mod killed;
mod look;
mod one_log;
mod pictures;
mod plan;
mod problems;
mod round_trip;
mod same_answers;
mod small_season;
mod start;

use serde_json::Value;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// A small invented bench with oddities of spreadsheets and loggers.
fn orchard() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/folder/orchard")
}

/// A copy of it to be changed.
fn copied() -> (tempfile::TempDir, PathBuf) {
    let around = tempfile::tempdir().unwrap();
    let to = around.path().join("bench");
    copy(&orchard(), &to);
    (around, to)
}

fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap().map(|entry| entry.unwrap()) {
        let to = to.join(entry.file_name());
        if entry.path().is_dir() {
            copy(&entry.path(), &to);
        } else {
            fs::copy(entry.path(), to).unwrap();
        }
    }
}

/// Every file below a folder with its bytes.
fn all(folder: &Path) -> Vec<(PathBuf, Vec<u8>)> {
    let mut found = Vec::new();
    let mut folders = vec![folder.to_owned()];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(folder)
            .unwrap()
            .map(|entry| entry.unwrap().path())
        {
            if entry.is_dir() {
                folders.push(entry);
            } else {
                found.push((entry.clone(), fs::read(entry).unwrap()));
            }
        }
    }
    found.sort();
    found
}

/// Replaces a text that stands once in a file of a folder.
fn edit(folder: &Path, file: &str, find: &str, replace: &str) {
    let path = folder.join(file);
    let text = fs::read_to_string(&path).unwrap();
    assert_eq!(text.matches(find).count(), 1, "{find:?} in {file}");
    fs::write(path, text.replace(find, replace)).unwrap();
}

fn run(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_jobtorque"))
        .args(arguments)
        .output()
        .unwrap()
}

fn stdout(arguments: &[&str]) -> String {
    let output = run(arguments);
    let errors = String::from_utf8_lossy(&output.stderr);
    let said = String::from_utf8_lossy(&output.stdout);
    assert!(output.status.success(), "{arguments:?}: {said}{errors}");
    String::from_utf8(output.stdout).unwrap()
}

/// What a command prints as JSON.
fn json_of(arguments: &[&str]) -> Value {
    serde_json::from_str(&stdout(arguments)).unwrap()
}

/// Bundles a folder into a file beside it.
fn bundled(folder: &Path, around: &Path) -> PathBuf {
    let file = around.join("bench.json");
    let (folder, out) = (folder.to_str().unwrap(), file.to_str().unwrap());
    stdout(&["bundle", folder, "--out", out]);
    file
}

/// Exit code and what is said on the error stream.
fn refused(arguments: &[&str]) -> (i32, String) {
    let output = run(arguments);
    (
        output.status.code().unwrap(),
        String::from_utf8(output.stderr).unwrap(),
    )
}

/// The doubts of a folder, facts among them, as `check --json` tells them.
fn doubts_of(folder: &Path) -> Vec<Value> {
    let output = run(&["check", "--json", folder.to_str().unwrap()]);
    let told: Value = serde_json::from_slice(&output.stdout).unwrap();
    told["doubts"].as_array().unwrap().clone()
}

/// The lines of problems and notes that `check` prints about a folder, its path left out.
fn checked(folder: &Path) -> Vec<String> {
    let lines = checked_all(folder).into_iter();
    lines
        .filter(|line| {
            !["    ", "doubt ", "fact "]
                .iter()
                .any(|start| line.starts_with(start))
        })
        .filter(|line| !line.ends_with(" doubt") && !line.ends_with(" doubts"))
        .collect()
}

/// All lines that `check` prints about a folder, its path left out.
fn checked_all(folder: &Path) -> Vec<String> {
    let output = run(&["check", folder.to_str().unwrap()]);
    let text = String::from_utf8(output.stdout).unwrap();
    let name = format!("{}/", folder.display());
    text.lines().map(|line| line.replace(&name, "")).collect()
}
