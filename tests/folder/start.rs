//! A new folder: its examples make a sound bench, and until then it says what is missing.

use super::{checked, refused, stdout};
use std::fs;
use std::path::Path;

/// Takes the mark of comments away from every example.
fn filled(folder: &Path) {
    let settings = fs::read_to_string(folder.join("bench.toml")).unwrap();
    let example = |line: &str| match line.strip_prefix("# ") {
        Some(rest)
            if rest.starts_with("[[")
                || rest
                    .split_once(" = ")
                    .is_some_and(|(key, _)| !key.contains(' ')) =>
        {
            rest.to_owned()
        }
        _ => line.to_owned(),
    };
    let lines: Vec<String> = settings.lines().map(example).collect();
    let text = lines
        .join("\n")
        .replace("delimiter = \";\"\n", "")
        .replace("decimal = \",\"\n", "");
    fs::write(folder.join("bench.toml"), text).unwrap();
    for entry in fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
    {
        if entry.extension().is_some_and(|kind| kind == "csv") {
            let text = fs::read_to_string(&entry).unwrap();
            fs::write(&entry, text.replace("\n# ", "\n")).unwrap();
        }
    }
    let rows = (0..60).map(|i| format!("{},{}\n", i * 10, if i < 10 { 0 } else { (i - 9) * 5 }));
    let log = format!("t,M\n{}", rows.collect::<String>());
    fs::write(
        folder.join("logs/2026-03-02_example-tool_example-pack_A_1.csv"),
        log,
    )
    .unwrap();
}

#[test]
fn the_examples_make_a_sound_bench() {
    let around = tempfile::tempdir().unwrap();
    let folder = around.path().join("new");
    let said = stdout(&["start", folder.to_str().unwrap()]);
    assert!(said.contains("jobtorque check"), "{said}");
    filled(&folder);
    let lines = checked(&folder);
    assert_eq!(lines.len(), 1, "{lines:#?}");
    assert!(lines[0].ends_with("fine, 1 run"), "{lines:#?}");
}

#[test]
fn a_new_folder_says_what_comes_next() {
    let around = tempfile::tempdir().unwrap();
    let folder = around.path().join("new");
    let name = folder.to_str().unwrap();
    stdout(&["start", name]);
    let lines = checked(&folder);
    let told = [
        "bench.toml:1:1: found no \"title\"",
        "bench.toml:1:1: found no \"license\"",
        "bench.toml:1:1: found no \"disclosure\"",
        "bench.toml:1:1: found no \"editions\"",
        "bench.toml:1:1: found no \"rigs\"",
        "tools.csv:1:1: found no tool yet, wanted a row for each tool",
        "packs.csv:1:1: found no pack yet",
        "days.csv:1:1: found no day yet",
    ];
    for (line, told) in lines.iter().zip(told) {
        assert!(line.starts_with(told), "{line}");
    }
    assert_eq!(lines.len(), told.len() + 1, "{lines:#?}");
    let (code, said) = refused(&["ask", name, "--job", "100 N·m"]);
    assert_eq!(code, 1);
    assert!(said.contains("no tool yet"), "{said}");
}

#[test]
fn a_folder_that_is_not_empty_is_left_alone() {
    let around = tempfile::tempdir().unwrap();
    fs::write(around.path().join("mine.txt"), "mine").unwrap();
    let (code, said) = refused(&["start", around.path().to_str().unwrap()]);
    assert_eq!(code, 2);
    assert!(said.contains("not empty"), "{said}");
    assert_eq!(fs::read_dir(around.path()).unwrap().count(), 1);
}
