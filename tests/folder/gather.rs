//! `gather`: rows are added, and nothing else of the notebook changes.

use super::{all, checked, checked_all, copied, edit, refused, stdout};
use std::fs;

#[test]
fn rows_are_added_from_the_names_of_logs() {
    let (_around, folder) = copied();
    let log = fs::read(folder.join("logs/plain/2026-05-05_rook-18_thick-6_A_9.csv")).unwrap();
    fs::write(
        folder.join("logs/plain/2026-05-05_wren-18_thin-3_A_10.csv"),
        &log,
    )
    .unwrap();
    fs::write(folder.join("logs/plain/odd.csv"), &log).unwrap();
    let before = fs::read(folder.join("runs.csv")).unwrap();
    let said = stdout(&["gather", folder.to_str().unwrap()]);
    assert!(said.starts_with("Added 2 rows"), "{said}");
    assert!(
        said.contains("day 2026-05-05, tool wren-18, pack thin-3, specimen A"),
        "{said}"
    );
    assert!(said.contains("does not fit the pattern"), "{said}");
    let after = fs::read(folder.join("runs.csv")).unwrap();
    assert!(after.starts_with(&before));
    let added = String::from_utf8(after[before.len()..].to_vec()).unwrap();
    assert_eq!(
        added,
        "plain/2026-05-05_wren-18_thin-3_A_10.csv,,wren-18,thin-3,A,,,2026-05-05,,,,,,,,,,\nplain/odd.csv,,,,,,,,,,,,,,,,,\n"
    );
    let again = stdout(&["gather", folder.to_str().unwrap()]);
    assert!(again.contains("nothing was added"), "{again}");
    assert_eq!(fs::read(folder.join("runs.csv")).unwrap(), after);
}

#[test]
fn the_style_of_a_spreadsheet_is_kept() {
    let (_around, folder) = copied();
    let name = "2026-05-05_wren-18_thin-3_A_10.csv";
    let old = fs::read_to_string(folder.join("runs.csv")).unwrap();
    let kept: Vec<&str> = old.lines().collect();
    let cells = kept.iter().map(|line| {
        line.replace("\"loud, then fine\"", "loud then fine")
            .replace(',', ";")
    });
    let text = cells.collect::<Vec<_>>().join("\r\n");
    let text = format!("\u{feff}{text}\r\n;;;;;;;;;;;;;;;;;");
    fs::write(folder.join("runs.csv"), &text).unwrap();
    fs::copy(
        folder.join("logs/plain/2026-05-05_rook-18_thick-6_A_9.csv"),
        folder.join("logs/plain").join(name),
    )
    .unwrap();
    fs::write(folder.join("logs/semi;colon.csv"), "").unwrap();
    stdout(&["gather", folder.to_str().unwrap()]);
    let after = fs::read_to_string(folder.join("runs.csv")).unwrap();
    let added = after.strip_prefix(&text).expect("the bytes before stay");
    assert_eq!(
        added,
        format!(
            "\r\nplain/{name};;wren-18;thin-3;A;;;2026-05-05;;;;;;;;;;\r\n\"semi;colon.csv\";;;;;;;;;;;;;;;;;\r\n"
        )
    );
}

#[test]
fn a_pattern_with_a_fault_adds_nothing() {
    let (_around, folder) = copied();
    fs::write(folder.join("logs/late.csv"), "").unwrap();
    edit(&folder, "bench.toml", "{day}_{tool}", "{day}_{tol}");
    let before = all(&folder);
    let (code, said) = refused(&["gather", folder.to_str().unwrap()]);
    assert_eq!(code, 1, "{said}");
    assert!(
        said.contains("bench.toml:90:16: loggers.2.name_pattern: found {tol}"),
        "{said}"
    );
    assert_eq!(all(&folder), before);
}

#[cfg(unix)]
#[test]
fn a_linked_notebook_is_not_written_through() {
    let (around, folder) = copied();
    let elsewhere = around.path().join("elsewhere.csv");
    fs::rename(folder.join("runs.csv"), &elsewhere).unwrap();
    std::os::unix::fs::symlink(&elsewhere, folder.join("runs.csv")).unwrap();
    fs::write(folder.join("logs/late.csv"), "").unwrap();
    let before = fs::read(&elsewhere).unwrap();
    let (code, said) = refused(&["gather", folder.to_str().unwrap()]);
    assert_eq!(code, 2, "{said}");
    assert!(said.contains("is a link"), "{said}");
    assert_eq!(fs::read(&elsewhere).unwrap(), before);
    assert_eq!(checked(&folder).len(), 4);
    let lines = checked_all(&folder);
    let told = lines
        .iter()
        .any(|line| line.starts_with("fact unnamed-logs: "));
    assert!(told, "{lines:#?}");
}
