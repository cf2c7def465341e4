//! Doubts of a folder: told, answered, told again when their bytes change.

use super::{all, copied, doubts_of, edit, refused, run, stdout};
use std::fs;
use std::path::Path;

/// The doubts of a folder that are no facts: name and what they are about.
fn open(folder: &Path) -> Vec<String> {
    let doubts = doubts_of(folder).into_iter();
    doubts
        .filter(|doubt| doubt["fact"] == false)
        .map(|doubt| {
            format!(
                "{}:{}",
                doubt["name"].as_str().unwrap(),
                doubt["about"].as_str().unwrap()
            )
        })
        .collect()
}

const COPY: &str = "same-samples:plain/2026-04-06_rook-18_thin-3_A_1.csv";

#[test]
fn an_answered_doubt_is_quiet_until_its_bytes_change() {
    let (_around, folder) = copied();
    let name = folder.to_str().unwrap();
    assert_eq!(open(&folder), [COPY]);
    assert!(!run(&["check", "--strict", name]).status.success());
    assert!(run(&["check", name]).status.success());
    let told = stdout(&[
        "settle",
        name,
        "same-samples",
        "made so, for \"tests\"; 1,2",
    ]);
    assert!(told.contains("Settled same-samples:plain"), "{told}");
    assert_eq!(open(&folder), [""; 0]);
    assert!(run(&["check", "--strict", name]).status.success());
    let answers = fs::read_to_string(folder.join("doubts.csv")).unwrap();
    assert_eq!(answers.lines().count(), 2, "{answers}");
    // A remark changes nothing of what was measured; the pack does.
    edit(&folder, "runs.csv", "volts,,7\n", "volts,calm,7\n");
    assert_eq!(open(&folder), [""; 0]);
    edit(
        &folder,
        "runs.csv",
        "A_1.csv,,rook-18,thin-3",
        "A_1.csv,,rook-18,thick-6",
    );
    assert!(open(&folder).contains(&COPY.to_owned()));
    let lines = stdout(&["check", name]);
    assert!(
        lines.contains("Answered before its bytes changed: \"made so"),
        "{lines}"
    );
}

#[test]
fn an_answer_by_hand_counts_and_a_name_that_is_no_doubt_is_told() {
    let (_around, folder) = copied();
    let about = "plain/2026-04-06_rook-18_thin-3_A_1.csv";
    let text = format!("doubt;about;words\nsame-samples;{about};known\nsame-sample;;x\n");
    fs::write(folder.join("doubts.csv"), text).unwrap();
    assert_eq!(open(&folder), [""; 0]);
    let lines = stdout(&["check", folder.to_str().unwrap()]);
    assert!(
        lines.contains("doubts.csv:2:1: fingerprint: this answer has no fingerprint"),
        "{lines}"
    );
    assert!(
        lines.contains("no doubt has the name \"same-sample\"")
            && lines.contains("there is same-samples"),
        "{lines}"
    );
}

#[test]
fn what_cannot_be_settled_leaves_the_folder_as_it_was() {
    let (_around, folder) = copied();
    let name = folder.to_str().unwrap();
    let before = all(&folder);
    let (code, why) = refused(&["settle", name, "short", "let go"]);
    assert!(
        code == 2 && why.contains("no open doubt \"short\""),
        "{why}"
    );
    let (code, why) = refused(&["settle", name, "same-samples", " "]);
    assert!(code == 2 && why.contains("no words"), "{why}");
    assert_eq!(all(&folder), before);
    fs::write(folder.join("doubts.csv"), "doubt,words\n").unwrap();
    let before = all(&folder);
    let (code, why) = refused(&["settle", name, "same-samples", "known"]);
    assert!(code == 2 && why.contains("no column \"about\""), "{why}");
    assert_eq!(all(&folder), before);
}

#[test]
fn a_name_that_contradicts_the_notebook_is_told() {
    let (_around, folder) = copied();
    edit(
        &folder,
        "runs.csv",
        "B_3.csv,,rook-18,thin-3,B",
        "B_3.csv,,rook-18,thin-3,A",
    );
    let found = open(&folder);
    assert!(
        found
            .iter()
            .any(|doubt| doubt == "name-differs:plain/2026-04-06_rook-18_thin-3_B_3.csv"),
        "{found:?}"
    );
}

#[test]
fn doubts_change_nothing_that_is_published() {
    let (_around, folder) = copied();
    let name = folder.to_str().unwrap();
    let before = stdout(&["rank", name, "--job", "120 N·m", "--json"]);
    stdout(&["settle", name, "same-samples", "known"]);
    assert_eq!(
        stdout(&["rank", name, "--job", "120 N·m", "--json"]),
        before
    );
}

#[test]
fn lines_fit_a_terminal() {
    let (_around, folder) = copied();
    let lines = stdout(&["check", folder.to_str().unwrap()]);
    let doubt = lines.lines().skip_while(|line| !line.starts_with("doubt "));
    let doubt: Vec<&str> = doubt
        .take_while(|line| !line.starts_with("fact "))
        .collect();
    assert!(doubt.len() >= 4, "{lines}");
    assert!(
        doubt.iter().all(|line| line.chars().count() <= 80),
        "{doubt:#?}"
    );
}
