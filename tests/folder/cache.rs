//! What logs reduce to is kept, and never a reason for another answer.

use super::same_answers::QUESTIONS;
use super::{copied, copy, edit, orchard};
use sha2::{Digest, Sha256};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// Runs the program with its cache in a folder; without one if the path is empty.
fn run(cache: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_jobtorque"))
        .args(arguments)
        .env("JOBTORQUE_CACHE", cache)
        .output()
        .unwrap()
}

/// The curves of all runs, exact.
fn curves(cache: &Path, folder: &Path) -> String {
    let out = tempfile::tempdir().unwrap();
    let out = out.path().join("tables");
    let given = ["export", text(folder), "--csv", text(&out)];
    let output = run(cache, &given);
    let errors = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{errors}");
    fs::read_to_string(out.join("curves.csv")).unwrap()
}

fn text(path: &Path) -> &str {
    path.to_str().unwrap()
}

fn entries(cache: &Path) -> Vec<PathBuf> {
    let entries = fs::read_dir(cache.join("logs")).unwrap();
    entries.map(|entry| entry.unwrap().path()).collect()
}

/// Gives every kept run a first knot of 1 N·m more, as if it had been reduced so.
fn falsify(cache: &Path) {
    for entry in entries(cache) {
        let kept = fs::read_to_string(&entry).unwrap();
        let (_, runs) = kept.split_once('\n').unwrap();
        let mut runs: serde_json::Value = serde_json::from_str(runs).unwrap();
        for run in runs.as_array_mut().unwrap() {
            let first = &mut run["knots"]["rise_dnm"][0];
            *first = (first.as_i64().unwrap() + 10).into();
        }
        let runs = runs.to_string();
        let sum: String = Sha256::digest(runs.as_bytes())
            .iter()
            .map(|byte| format!("{byte:02x}"))
            .collect();
        fs::write(entry, format!("{sum}\n{runs}")).unwrap();
    }
}

#[test]
fn every_command_answers_alike_without_with_an_empty_a_full_and_a_damaged_cache() {
    let (around, folder) = copied();
    let folder = text(&folder);
    let bundle = around.path().join("bundle.json");
    let questions = QUESTIONS.iter().map(|question| {
        let (command, options) = question.split_first().unwrap();
        [&[*command, folder, "--json"], options].concat()
    });
    let others: [&[&str]; 6] = [
        &["check", folder, "--json"],
        &["drift", folder, "--json"],
        &["changes", folder, "--json"],
        &["changes", folder, "--drafts", "--markdown"],
        &["plan", folder, "--runs", "5", "--seed", "1"],
        &["bundle", folder, "--out", text(&bundle), "--force"],
    ];
    let commands: Vec<Vec<&str>> = questions
        .chain(others.iter().map(|other| other.to_vec()))
        .collect();
    let all = |cache: &Path| -> Vec<(Option<i32>, Vec<u8>, Vec<u8>)> {
        let answers = commands.iter().map(|command| {
            let output = run(cache, command);
            (output.status.code(), output.stdout, output.stderr)
        });
        answers.collect()
    };
    let without = all(Path::new(""));
    let bundled = fs::read(&bundle).unwrap();
    let curves_without = curves(Path::new(""), Path::new(folder));
    let cache = around.path().join("cache");
    let full = cache.join("logs");
    for (said, damage) in [("empty", None), ("full", None), ("damaged", Some(100))] {
        if let Some(length) = damage {
            for entry in entries(&cache) {
                let bytes = fs::read(&entry).unwrap();
                fs::write(entry, &bytes[..length]).unwrap();
            }
        }
        for (command, (found, wanted)) in commands.iter().zip(all(&cache).iter().zip(&without)) {
            assert_eq!(found, wanted, "{said}: {command:?}");
        }
        assert_eq!(fs::read(&bundle).unwrap(), bundled, "{said}");
        assert_eq!(curves(&cache, Path::new(folder)), curves_without, "{said}");
        assert!(full.is_dir(), "{said}");
    }
    let unwritable = around.path().join("a file");
    fs::write(&unwritable, "").unwrap();
    assert_eq!(all(&unwritable), without);
}

#[test]
fn a_kept_log_is_not_reduced_again_and_a_damaged_entry_is() {
    let (around, folder) = copied();
    let cache = around.path().join("cache");
    let sound = curves(&cache, &folder);
    let kept: Vec<(PathBuf, Vec<u8>)> = entries(&cache)
        .into_iter()
        .map(|entry| (entry.clone(), fs::read(entry).unwrap()))
        .collect();
    // 13 logs: one holds three runs.
    assert_eq!(kept.len(), 13);
    falsify(&cache);
    let falsified = curves(&cache, &folder);
    let differ = sound.lines().zip(falsified.lines());
    assert!(differ.filter(|(a, b)| a != b).count() >= 15);
    // Bytes that do not fit their sum.
    for entry in entries(&cache) {
        let text = fs::read_to_string(&entry).unwrap();
        fs::write(entry, text.replace("\"tick_us\":", "\"tick_us\": ")).unwrap();
    }
    assert_eq!(curves(&cache, &folder), sound);
    for (entry, bytes) in kept {
        assert_eq!(fs::read(&entry).unwrap(), bytes);
    }
}

/// What a change of the folder must do: another answer, and the same as without a cache.
fn is_read_again(change: impl Fn(&Path)) {
    let (around, folder) = copied();
    let cache = around.path().join("cache");
    let before = curves(&cache, &folder);
    change(&folder);
    let after = curves(&cache, &folder);
    assert_ne!(after, before);
    assert_eq!(after, curves(Path::new(""), &folder));
    // And back: the entries of before are there still.
    fs::remove_dir_all(&folder).unwrap();
    copy(&orchard(), &folder);
    assert_eq!(curves(&cache, &folder), before);
}

#[test]
fn a_changed_log_is_read_again() {
    is_read_again(|folder| {
        let plain = folder.join("logs/plain");
        let other = plain.join("2026-04-06_rook-18_thick-6_A_5.csv");
        fs::copy(plain.join("2026-04-06_rook-18_thick-6_A_4.csv"), other).unwrap();
    });
}

#[test]
fn logs_of_a_changed_logger_are_read_again() {
    is_read_again(|folder| {
        let torque = "unit = \"lbf·ft\", inverted = true }";
        let halved = "unit = \"lbf·ft\", inverted = true, factor = 0.5 }";
        edit(folder, "bench.toml", torque, halved);
    });
}

#[test]
fn logs_of_a_changed_calibration_are_read_again() {
    is_read_again(|folder| edit(folder, "bench.toml", "nm_per_kn = 3.3", "nm_per_kn = 3.4"));
}

#[test]
fn logs_of_a_changed_rig_are_read_again() {
    is_read_again(|folder| edit(folder, "bench.toml", "smooth_s = 0.02", "smooth_s = 0.08"));
}

#[test]
fn the_part_of_a_log_that_a_row_names_is_read() {
    is_read_again(|folder| {
        let log = "cell/2026-05-04 wren thick.csv";
        edit(
            folder,
            "runs.csv",
            &format!("{log},1,"),
            &format!("{log},x,"),
        );
        edit(
            folder,
            "runs.csv",
            &format!("{log},2,"),
            &format!("{log},1,"),
        );
        edit(
            folder,
            "runs.csv",
            &format!("{log},x,"),
            &format!("{log},2,"),
        );
    });
}

#[test]
fn problems_are_told_though_runs_are_kept() {
    let (around, folder) = copied();
    let cache = around.path().join("cache");
    curves(&cache, &folder);
    let log = "cell/2026-05-04 wren thick.csv";
    edit(
        &folder,
        "runs.csv",
        &format!("{log},3,"),
        &format!("{log},4,"),
    );
    let refused = |cache: &Path| {
        let output = run(cache, &["rank", text(&folder)]);
        assert_eq!(output.status.code(), Some(1));
        String::from_utf8(output.stderr).unwrap()
    };
    let said = refused(&cache);
    assert!(said.contains("part 4 of a log with 3"), "{said}");
    assert_eq!(said, refused(Path::new("")));
}
