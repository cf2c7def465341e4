//! Invented seasons in every logger's shape, through `gather`, `check`, `bundle` and the answers.
//!
//! `tests/season/season.py` writes them without looking at the readers; its `truth.json` holds the
//! reduction of the samples before they were written as logs.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing
)]

use jobtorque::bench::look::{Open, look, said::Said};
use jobtorque::bench::{block_reader, logger, settings};
use jobtorque::dataset::json;
use jobtorque::run::reduce::{Settings, reduce};
use jobtorque::run::samples::Samples;
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;
use toml_edit::{DocumentMut, Table};

/// A season, and the folder that it is removed with.
struct Season {
    _around: tempfile::TempDir,
    folder: PathBuf,
    truth: Vec<Value>,
}

fn season(seed: u32, options: &[&str]) -> Season {
    let around = tempfile::tempdir().unwrap();
    let folder = around.path().join("season");
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/season/season.py");
    let made = Command::new("python3")
        .arg("-B")
        .arg(script)
        .args(["--seed", &seed.to_string(), "--out"])
        .arg(&folder)
        .args(options)
        .output()
        .unwrap_or_else(|error| panic!("this test needs python3: {error}"));
    assert!(
        made.status.success(),
        "{}",
        String::from_utf8_lossy(&made.stderr)
    );
    let text = fs::read_to_string(folder.join("truth.json")).unwrap();
    let truth: Value = serde_json::from_str(&text).unwrap();
    let truth = truth["runs"].as_array().unwrap().clone();
    Season {
        _around: around,
        folder,
        truth,
    }
}

/// What a command prints; the command must succeed.
fn stdout(arguments: &[&str]) -> String {
    let output = Command::new(env!("CARGO_BIN_EXE_jobtorque"))
        .args(arguments)
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&output.stdout);
    let errors = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{arguments:?}: {said}{errors}");
    said.into_owned()
}

/// Every run arrives as what it is, and its reduced peak is that of the undisturbed samples.
fn arrives(season: &Season, seed: u32) {
    let folder = season.folder.to_str().unwrap();
    let count = season.truth.len();
    let said = stdout(&["check", folder]);
    assert!(said.contains(&format!("fine, {count} runs")), "{said}");
    let file = season.folder.with_extension("json");
    stdout(&["bundle", folder, "--out", file.to_str().unwrap()]);
    let text = fs::read_to_string(&file).unwrap();
    let elements: Value = serde_json::from_str(&text).unwrap();
    let reading = json::parse(&text).unwrap();
    let dataset = &reading.dataset;
    assert_eq!(dataset.runs.len(), count, "seed {seed}");
    let settings = Settings::of(&dataset.rigs[0]);
    let mut arrived = BTreeMap::new();
    for (run, element) in dataset
        .runs
        .iter()
        .zip(elements["runs"].as_array().unwrap())
    {
        let log = &element["log"];
        let part = log["part"].as_u64().unwrap_or(1);
        arrived.insert((log["file"].as_str().unwrap().to_owned(), part), run);
    }
    for truth in &season.truth {
        let text = |key: &str| truth[key].as_str().unwrap_or_default();
        let number = |key: &str| truth[key].as_f64().unwrap();
        let name = format!("seed {seed}: {} part {}", text("log"), truth["part"]);
        let run = arrived
            .remove(&(text("log").to_owned(), truth["part"].as_u64().unwrap()))
            .unwrap_or_else(|| panic!("{name} did not arrive"));
        assert_eq!(
            (run.tool.as_str(), run.pack.as_str(), run.day.as_str()),
            (text("tool"), text("pack"), text("day")),
            "{name}"
        );
        assert_eq!(
            run.control,
            Some(truth["control"].as_bool().unwrap()).filter(|control| *control),
            "{name}"
        );
        let reason = run
            .excluded
            .as_ref()
            .map(|excluded| excluded.reason.as_str());
        assert_eq!(reason, truth["excluded"].as_str(), "{name}");
        let samples = Samples::of_run(run).unwrap().merged();
        let reduced = reduce(&samples, &settings).unwrap_or_else(|| panic!("{name} never rises"));
        let off = reduced.torque_nm.last().unwrap() / number("peak_nm") - 1.0;
        assert!(off.abs() <= 0.002, "{name}: the peak is off by {off}");
        assert_eq!(reduced.short, truth["short"].as_bool().unwrap(), "{name}");
        if let Some(angle_deg) = truth["angle_at_end_deg"].as_f64() {
            let end = samples.time_us.binary_search(&reduced.end_us).unwrap();
            let angle = samples.angle_deg.as_ref().expect(&name)[end];
            assert!(
                (angle - angle_deg).abs() < 1.0,
                "{name}: {angle}° and {angle_deg}°"
            );
        }
        let channels = truth["channels"].as_array().unwrap();
        let logged = |channel: &str| channels.iter().any(|one| one == channel);
        assert_eq!(samples.voltage_v.is_some(), logged("voltage"), "{name}");
        assert_eq!(samples.current_a.is_some(), logged("current"), "{name}");
    }
    assert!(arrived.is_empty(), "more runs than were made: {arrived:?}");
    // What a visitor would be told is the same from the folder and from its file.
    let ranked = |of: &str| stdout(&["rank", of, "--job", "hub", "--json"]);
    assert_eq!(
        ranked(folder),
        ranked(file.to_str().unwrap()),
        "seed {seed}"
    );
}

/// Logs whose names say what they are get their rows back from `gather`.
fn is_gathered(season: &Season, seed: u32) {
    let notebook = season.folder.join("runs.csv");
    let whole = fs::read_to_string(&notebook).unwrap();
    let named = |truth: &&Value| {
        let log = truth["log"].as_str().unwrap();
        let name = log.rsplit('/').next().unwrap();
        let of = |key: &str| truth[key].as_str().unwrap();
        name.contains(&format!(
            "{}_{}_{}_{}_",
            of("day"),
            of("tool"),
            of("pack"),
            of("specimen")
        ))
    };
    let named: Vec<&Value> = season.truth.iter().filter(named).collect();
    // A logger that only rows name is not known of a log without a row.
    let settings = fs::read_to_string(season.folder.join("bench.toml")).unwrap();
    let blocks: Vec<&str> = settings.split("[[loggers]]").skip(1).collect();
    let by_files = |truth: &&&Value| {
        let id = format!("id = \"{}\"\n", truth["logger"].as_str().unwrap());
        blocks
            .iter()
            .any(|block| block.contains(&id) && block.contains("\nfiles = "))
    };
    let named: Vec<&&Value> = named.iter().filter(by_files).collect();
    assert!(named.len() >= 2, "seed {seed}: {} logs", named.len());
    let is_named = |line: &str| {
        named
            .iter()
            .any(|truth| line.contains(truth["log"].as_str().unwrap()))
    };
    let kept: String = whole
        .split_inclusive('\n')
        .filter(|line| !is_named(line))
        .collect();
    fs::write(&notebook, kept).unwrap();
    let said = stdout(&["gather", season.folder.to_str().unwrap(), "--json"]);
    let said: Value = serde_json::from_str(&said).unwrap();
    let added = said["added"].as_array().unwrap();
    assert_eq!(added.len(), named.len(), "seed {seed}: {said}");
    for row in added {
        let truth = named
            .iter()
            .find(|truth| truth["log"] == row["log"])
            .unwrap();
        let filled: BTreeMap<&str, &str> = row["filled"]
            .as_array()
            .unwrap()
            .iter()
            .map(|pair| (pair[0].as_str().unwrap(), pair[1].as_str().unwrap()))
            .collect();
        for key in ["day", "tool", "pack", "specimen"] {
            assert_eq!(
                filled.get(key).copied(),
                truth[key].as_str(),
                "seed {seed}: {row}"
            );
        }
    }
    fs::write(&notebook, whole).unwrap();
}

/// The keys of a question, and lines of the season's own block that answer it.
fn answers(open: &Open, block: &Table) -> (BTreeSet<String>, Vec<String>) {
    let lines = open.readings.iter().flat_map(|(_, lines)| lines.lines());
    let keys: BTreeSet<String> = lines
        .map(|line| line.split_once(" = ").unwrap().0.to_owned())
        .collect();
    let answer = |key: &String| {
        let value = block
            .get(key)
            .map(|value| value.to_string().trim().to_owned());
        // A block without `split` is for logs of one run.
        let one = (key == "split").then(|| "\"no\"".to_owned());
        Some(format!("{key} = {}", value.or(one)?))
    };
    let lines = keys.iter().filter_map(answer).collect();
    (keys, lines)
}

/// Of every log, without any block: `look` proposes one that reads it right, or asks for keys that the
/// season's own block says; with these it reads it right. How many logs nothing was asked about, and
/// which keys were asked for, by shape.
fn is_understood(season: &Season, seed: u32) -> (usize, BTreeSet<String>) {
    let text = fs::read_to_string(season.folder.join("bench.toml")).unwrap();
    let settings = settings::read(text.as_bytes()).unwrap();
    let loggers = block_reader::loggers(&settings).unwrap();
    let written: DocumentMut = text.parse().unwrap();
    let blocks = written["loggers"].as_array_of_tables().unwrap();
    let (mut at_once, mut asked) = (0, BTreeSet::new());
    for truth in season.truth.iter().filter(|truth| truth["part"] == 1) {
        let log = truth["log"].as_str().unwrap();
        let id = truth["logger"].as_str().unwrap();
        let name = format!("seed {seed}: {id}: {log}");
        let bytes = fs::read(season.folder.join("logs").join(log)).unwrap();
        let logger = loggers.iter().find(|logger| logger.id == id).unwrap();
        let mut blocks = blocks.iter();
        let block = blocks
            .find(|block| block["id"].as_str() == Some(id))
            .unwrap();
        let wanted = logger::read_log(&bytes, logger).unwrap();
        let mut said: Vec<String> = Vec::new();
        let mut seen = look(&bytes, &Said::default()).unwrap();
        at_once += usize::from(seen.open.is_empty());
        // First of the text, then of the samples: sign, then runs.
        for _ in 0..3 {
            for open in &seen.open {
                let (keys, lines) = answers(open, block);
                assert!(!lines.is_empty(), "{name}: nobody can answer {open:?}");
                asked.extend(keys.into_iter().map(|key| format!("{id}: {key}")));
                said.extend(lines);
            }
            seen = look(&bytes, &Said::read(&said).unwrap()).unwrap();
        }
        let stuck = (&seen.open, &seen.problems);
        assert!(
            stuck.0.is_empty() && stuck.1.is_empty(),
            "{name}: {said:?} {stuck:?}"
        );
        let logged = seen.logged.unwrap();
        let (got, wanted) = (&logged.samples, &wanted.samples);
        assert_eq!(logged.tension, logger.tension.is_some(), "{name}");
        assert_eq!(got.time_us, wanted.time_us, "{name}");
        assert_eq!(got.torque_nm, wanted.torque_nm, "{name}");
        // Other channels that the log does not name for certain are left out, which is told.
        for (channel, got, wanted) in [
            ("angle", &got.angle_deg, &wanted.angle_deg),
            ("voltage", &got.voltage_v, &wanted.voltage_v),
            ("current", &got.current_a, &wanted.current_a),
        ] {
            let is_told = got.is_none() && !seen.notes.is_empty();
            assert!(got == wanted || is_told, "{name}: {channel}");
        }
        let parts = season.truth.iter().filter(|truth| truth["log"] == log);
        assert_eq!(seen.runs.len(), parts.count(), "{name}");
    }
    (at_once, asked)
}

#[test]
fn logs_without_a_block_are_understood_or_asked_about() {
    for seed in [7, 12] {
        let season = season(seed, &["--small"]);
        let (at_once, asked) = is_understood(&season, seed);
        println!("seed {seed}: {at_once} logs at once; asked: {asked:?}");
        assert!(
            at_once >= 8,
            "seed {seed}: {at_once} logs at once; asked: {asked:?}"
        );
        // What logs of these shapes do not say, none of them can be read without.
        for needed in [
            "rateonly: rate_hz",
            "counts: torque",
            "several: split",
            "reversed: torque",
        ] {
            assert!(
                asked.contains(needed),
                "seed {seed}: not {needed}: {asked:?}"
            );
        }
    }
}

#[test]
fn every_run_of_a_small_season_arrives() {
    for seed in [7, 12] {
        let season = season(seed, &["--small"]);
        is_gathered(&season, seed);
        arrives(&season, seed);
    }
}

/// `cargo test --release --test season -- --ignored full`
#[test]
#[ignore = "150 logs a season: minutes"]
fn every_run_of_full_seasons_arrives() {
    for seed in [1, 2, 3, 4, 5] {
        let season = season(seed, &[]);
        is_gathered(&season, seed);
        arrives(&season, seed);
        let (at_once, _) = is_understood(&season, seed);
        let count = season.truth.len();
        println!("seed {seed}: {count} runs arrived, {at_once} logs understood without a word");
    }
}

/// Names of the doubts and messages of the problems that `check` has of a season; facts are left out.
fn findings(season: &Season) -> Vec<String> {
    let output = Command::new(env!("CARGO_BIN_EXE_jobtorque"))
        .args(["check", "--json", season.folder.to_str().unwrap()])
        .output()
        .unwrap();
    let found: Value = serde_json::from_slice(&output.stdout).unwrap();
    let doubts = found["doubts"].as_array().unwrap().iter();
    let doubts = doubts.filter(|doubt| doubt["fact"] == false);
    let doubts = doubts.map(|doubt| {
        let text = |key: &str| doubt[key].as_str().unwrap().to_owned();
        [text("name"), text("figure"), text("meaning")].join(": ")
    });
    let problems = found["problems"].as_array().unwrap().iter();
    let problems = problems.map(|problem| problem["message"].as_str().unwrap().to_owned());
    doubts.chain(problems).collect()
}

/// `tests/season/measure.py` measures every mistake in whole seasons; these are a few of each sort.
#[test]
fn a_sound_season_is_not_doubted_and_mistakes_are_named() {
    assert_eq!(findings(&season(7, &["--small"])), [""; 0]);
    for (mistake, named) in [
        ("reversed_sign", "wrong-sign: torque down to"),
        ("loaded_start", "loaded-start: The log begins at"),
        ("clipped_record", "clipped: 961 of 1465 samples"),
        ("edition_before_runs", "edition-before-runs: Edition 2"),
        ("no_check_runs", "no-check-runs: 2026-03-20"),
        ("units_lbfft_called_nm", "far-from-fellows: Mean torque 310"),
        (
            "mass_in_grams",
            "found 1370, wanted a number from 0.01 to 1000 kg",
        ),
        (
            "exclued_column",
            "found the column \"exclued\", wanted \"excluded\"",
        ),
    ] {
        let found = findings(&season(7, &["--small", "--fault", mistake]));
        assert!(
            found.iter().any(|found| found.starts_with(named)),
            "{mistake}: {found:?}"
        );
    }
}
