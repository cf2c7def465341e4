//! `look`: what a log says of itself, what it asks, and the block that it keeps.

use super::{refused, run, stdout};
use jobtorque::bench::look::{look, said::Said};
use proptest::prelude::*;
use serde_json::Value;
use std::fs;
use std::path::PathBuf;

/// A new folder with a log in `logs/unit 4/`.
fn with_log(text: &str) -> (tempfile::TempDir, PathBuf) {
    let around = tempfile::tempdir().unwrap();
    let folder = around.path().join("bench");
    stdout(&["start", folder.to_str().unwrap()]);
    fs::create_dir_all(folder.join("logs/unit 4")).unwrap();
    fs::write(folder.join("logs/unit 4/a.txt"), text).unwrap();
    (around, folder)
}

/// A run of 400 samples: quiet, then rising to 650.5.
fn rows(row: impl Fn(usize, f64) -> String) -> String {
    let torque = |i: usize| {
        if i < 100 {
            0.5
        } else {
            0.5 + 650.0 * (1.0 - libm::exp(-(i as f64 - 100.0) / 80.0))
        }
    };
    (0..400).map(|i| row(i, torque(i))).collect()
}

fn with_comma(number: f64) -> String {
    format!("{number:.1}").replace('.', ",")
}

fn german() -> String {
    let head = "Prüfstand;4\nZeit [ms];Moment [Nm]\n".to_owned();
    head + &rows(|i, torque| format!("{};{}\n", i * 10, with_comma(torque)))
}

#[test]
fn a_log_that_says_all_is_shown_with_its_block() {
    let (_around, folder) = with_log(&german());
    let said = stdout(&["look", folder.join("logs/unit 4/a.txt").to_str().unwrap()]);
    for wanted in [
        "encoding    UTF-8 (valid)",
        "delimiter   ;",
        "decimals    comma",
        "preamble    1 line\n            | Prüfstand;4",
        "header      line 2",
        "rows        400 from line 3\n            | 0;0,5\n            | 10;0,5\n            …",
        "columns      1  \"Zeit [ms]\"    time in ms     0 … 3990",
        "samples     400 in 3.990 s, 100.0 a second, evenly",
        "runs        1\n",
        "\n[[loggers]]\ndelimiter = \";\"\ndecimal = \",\"\nheader_starts_with = \"Zeit [ms]\"\ntime = \"Zeit [ms]\"\ntorque = \"Moment [Nm]\"\n",
    ] {
        assert!(said.contains(wanted), "{wanted}\n{said}");
    }
    let wide = said.lines().find(|line| line.chars().count() > 80);
    assert_eq!(wide, None);
    assert!(said.contains('⣿') || said.contains('⠉'), "{said}");
}

#[test]
fn the_block_is_kept_and_reads_the_log() {
    let (_around, folder) = with_log(&german());
    let dir = folder.to_str().unwrap();
    let before = fs::read_to_string(folder.join("bench.toml")).unwrap();
    let said = stdout(&["look", "unit 4/a.txt", "--in", dir, "--keep", "old"]);
    assert!(
        said.contains("The logger \"old\" for \"unit 4/*.txt\" stands in"),
        "{said}"
    );
    let after = fs::read_to_string(folder.join("bench.toml")).unwrap();
    let added = after.strip_prefix(&before).expect("what stood there stays");
    assert!(
        added.starts_with("\n[[loggers]]\nid = \"old\"\nfiles = \"unit 4/*.txt\"\n"),
        "{added}"
    );
    let reduced = stdout(&["reduce", "unit 4/a.txt", "--in", dir, "--json"]);
    let reduced: Value = serde_json::from_str(&reduced).unwrap();
    assert_eq!(reduced["samples"], 400);
    let again = stdout(&["look", "unit 4/a.txt", "--in", dir]);
    assert!(
        again.contains("logger      \"old\" of bench.toml"),
        "{again}"
    );
    // Nothing is kept twice.
    for (id, why) in [
        ("old", "has a logger \"old\" already"),
        ("new", "the logger \"old\" of bench.toml reads"),
    ] {
        let (code, said) = refused(&["look", "unit 4/a.txt", "--in", dir, "--keep", id]);
        assert_eq!(code, 2, "{said}");
        assert!(
            said.contains(why) && said.contains("nothing was written"),
            "{said}"
        );
    }
    assert_eq!(
        fs::read_to_string(folder.join("bench.toml")).unwrap(),
        after
    );
}

#[test]
fn nothing_is_kept_until_all_is_said() {
    let bare = rows(|i, torque| format!("{}\t{torque:.1}\n", i * 10));
    let (_around, folder) = with_log(&bare);
    let dir = folder.to_str().unwrap();
    let before = fs::read(folder.join("bench.toml")).unwrap();
    let keep = ["look", "unit 4/a.txt", "--in", dir, "--keep", "bare"];
    let output = run(&keep);
    let (said, errors) = (
        String::from_utf8(output.stdout).unwrap(),
        String::from_utf8(output.stderr).unwrap(),
    );
    assert_eq!(output.status.code(), Some(1), "{said}{errors}");
    assert!(
        errors.contains("2 things have to be said first"),
        "{errors}"
    );
    assert!(errors.contains("Nothing was written"), "{errors}");
    for wanted in [
        "header      none",
        "--say 'time = { column = 1, unit = \"…\" }'",
        "--say 'rate_hz = …'",
        "--say 'torque = { column = 2, unit = \"…\" }'",
    ] {
        assert!(said.contains(wanted), "{wanted}\n{said}");
    }
    assert_eq!(fs::read(folder.join("bench.toml")).unwrap(), before);
    let time = ["--say", "time = { column = 1, unit = \"ms\" }"];
    let torque = ["--say", "torque = { column = 2, unit = \"lbf·ft\" }"];
    stdout(&[&keep[..], &time, &torque].concat());
    let reduced = stdout(&["reduce", "unit 4/a.txt", "--in", dir, "--json"]);
    let reduced: Value = serde_json::from_str(&reduced).unwrap();
    let peak = reduced["peak_torque_nm"].as_f64().unwrap();
    assert!((peak / 1.355_818 - 634.0).abs() < 5.0, "{peak}");
}

#[test]
fn two_readings_are_shown_and_neither_is_taken() {
    let text =
        "t [ms],M [Nm]\n".to_owned() + &rows(|i, torque| format!("{},{torque:.3}\n", i * 10));
    let text = text.replace(',', ";").replace('.', ",");
    let text: String = text
        .lines()
        .enumerate()
        .filter(|(_, line)| !line.contains(";0,"))
        .map(|(_, line)| format!("{line}\n"))
        .collect();
    let seen = look(text.as_bytes(), &Said::default()).unwrap();
    assert_eq!(seen.open.len(), 1, "{:?}", seen.open);
    assert!(seen.logged.is_none() && seen.block.is_empty());
    let readings: Vec<&str> = seen.open[0]
        .readings
        .iter()
        .map(|(_, lines)| lines.as_str())
        .collect();
    assert_eq!(
        readings,
        [
            "delimiter = \";\"\ndecimal = \".\"\nthousands = \",\"",
            "delimiter = \";\"\ndecimal = \",\""
        ]
    );
    let said = Said::read(&["decimal = \",\"".to_owned()]).unwrap();
    let seen = look(text.as_bytes(), &said).unwrap();
    assert!(seen.open.is_empty(), "{:?}", seen.open);
    assert!(
        seen.logged
            .unwrap()
            .samples
            .torque_nm
            .iter()
            .all(|torque| *torque < 700.0)
    );
}

#[test]
fn what_is_said_must_be_lines_of_a_block() {
    for (line, why) in [
        ("rate_hz", "is no line of TOML"),
        ("rate = 250", "is no key of a logger"),
        ("[time]\ncolumn = 1", "is no key and its value"),
    ] {
        let refused = Said::read(&[line.to_owned()]).unwrap_err();
        assert!(refused.contains(why), "{line}: {refused}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn any_text_is_looked_at_without_a_panic(
        lines in prop::collection::vec("[0-9a-z ,;.:\t\"\\[\\]-]{0,24}", 0..40),
        rows in prop::collection::vec("[0-9]{1,3}[,.;\t][0-9]{1,3}([,.;\t][0-9]{1,3})?", 0..40),
        bytes in prop::collection::vec(any::<u8>(), 0..60),
    ) {
        let text = format!("{}\n{}\n", lines.join("\n"), rows.join("\n"));
        for bytes in [text.as_bytes(), &bytes] {
            if let Ok(seen) = look(bytes, &Said::default()) {
                // What is read is read by a block, and nothing is read while something is open but
                // what the samples themselves ask.
                prop_assert!(seen.logged.is_none() || !seen.block.is_empty());
            }
        }
    }
}
