//! Every kind of problem of a folder, with file, line and column.

use super::{checked, checked_all, copied, edit};
use std::fs;
use std::path::Path;

/// Changes a copy of the folder; the lines that `check` then prints, notes and the count left out.
fn found(change: impl Fn(&Path)) -> Vec<String> {
    let (_around, folder) = copied();
    change(&folder);
    let lines = checked(&folder).into_iter();
    lines.filter(|line| line.contains("found ")).collect()
}

/// One problem, which begins so and tells so.
fn one(change: impl Fn(&Path), begins: &str, tells: &str) {
    let found = found(change);
    let [problem] = found.as_slice() else {
        panic!("{begins}: {found:#?}")
    };
    assert!(problem.starts_with(begins), "{problem}\n{begins}");
    assert!(problem.contains(tells), "{problem}\n{tells}");
}

#[test]
fn the_folder_as_it_is_has_none_and_names_what_is_not_known_once() {
    let (_around, folder) = copied();
    let mut doubts = checked_all(&folder);
    doubts.retain(|line| line.starts_with("doubt "));
    let lines = checked(&folder);
    // Two logs of this folder were made with the same samples.
    assert_eq!(doubts.len(), 1, "{doubts:#?}");
    assert!(doubts[0].starts_with("doubt same-samples:"), "{doubts:#?}");
    assert_eq!(lines.len(), 4, "{lines:#?}");
    assert!(
        lines[0].starts_with("bench.toml:8:10: season: the field \"season\" is not known"),
        "{lines:#?}"
    );
    assert!(
        lines[1].starts_with("tools.csv:1:74: the column \"colour\" is not known"),
        "{lines:#?}"
    );
    assert!(
        lines[2].starts_with("runs.csv:1:145: the column \"grease_batch\""),
        "{lines:#?}"
    );
    assert!(
        lines[3].ends_with("fine, 15 runs, 1 of them not in an edition yet"),
        "{lines:#?}"
    );
}

#[test]
fn problems_of_the_notebook() {
    one(
        |f| edit(f, "runs.csv", ",excluded,", ",exclued,"),
        "runs.csv:1:75: found the column \"exclued\"",
        "wanted \"excluded\"",
    );
    one(
        |f| edit(f, "runs.csv", "_A_5.csv,,rook-18", "_A_5.csv,,rock-18"),
        "runs.csv:6:43: tool: found the unknown tool \"rock-18\"",
        "rook-18",
    );
    one(
        |f| edit(f, "runs.csv", "10:15", "25:15"),
        "runs.csv:6:74: clock: found \"25:15\"",
        "14:05",
    );
    one(
        |f| edit(f, "runs.csv", "15:00,yes", "15:00,perhaps"),
        "runs.csv:14:78: control: found \"perhaps\"",
        "yes, no",
    );
    one(
        |f| {
            edit(
                f,
                "runs.csv",
                "plain/2026-05-05_rook",
                "plain/2026-05-05_rok",
            )
        },
        "runs.csv:16:1: log: found the log \"plain/2026-05-05_rok-18",
        "there is \"plain/2026-05-05_rook-18",
    );
    one(
        |f| {
            edit(
                f,
                "runs.csv",
                "plain/2026-05-05_rook",
                "../bench/plain/2026-05-05_rook",
            )
        },
        "runs.csv:16:1: log: found",
        "a path below logs/",
    );
    one(
        |f| edit(f, "runs.csv", "98,volts", "98,volt"),
        "runs.csv:3:96: logger: found the unknown logger \"volt\"",
        "bench.toml",
    );
    one(
        |f| edit(f, "runs.csv", "thick.csv,3,", "thick.csv,4,"),
        "runs.csv:13:32: part: found part 4 of a log with 3",
        "from 1",
    );
    one(
        |f| edit(f, "runs.csv", "thick.csv,3,", "thick.csv,,"),
        "runs.csv:13:32: part: found a log with 3 runs and no part",
        "from 1",
    );
    one(
        |f| edit(f, "runs.csv", "A_9.csv,,", "A_9.csv,2,"),
        "runs.csv:16:42: part: found part 2 of a log with 1",
        "\"split\"",
    );
    one(
        |f| edit(f, "runs.csv", "\"loud, then fine\"", "loud, then fine"),
        "runs.csv:3:118: found 19 cells",
        "quotation marks",
    );
    one(
        |f| edit(f, "runs.csv", "\"loud, then fine\"", "\"loud, then fine"),
        "runs.csv:3:102: found a quotation mark",
        "",
    );
    one(
        |f| edit(f, "runs.csv", "slipped,2", "slipped,"),
        "runs.csv:9:51: excluded: found no \"edition\"",
        "1 or later",
    );
    one(
        |f| edit(f, "runs.csv", ",,1,,,4,", ",,9,,,4,"),
        "runs.csv:5:81: edition: found the unknown edition 9",
        "there is 1, 2",
    );
    one(
        |f| edit(f, "runs.csv", ",,1,,,4,", ",,1,,,4.5,"),
        "runs.csv:5:85: bolt_use: found \"4.5\"",
        "a whole number",
    );
}

#[test]
fn problems_of_tables() {
    one(
        |f| edit(f, "tools.csv", "1,850", "1,850.5"),
        "tools.csv:2:75: mass_kg: found \"1,850.5\"",
        "thousands",
    );
    one(
        |f| edit(f, "tools.csv", "0,95", "heavy"),
        "tools.csv:3:61: mass_kg: found \"heavy\"",
        "a number",
    );
    one(
        |f| edit(f, "tools.csv", "maker", "makr"),
        "tools.csv:1:9: found the column \"makr\"",
        "wanted \"maker\"",
    );
    one(
        |f| edit(f, "tools.csv", "colour", "maker"),
        "tools.csv:1:74: found the column \"maker\" again",
        "once",
    );
    one(
        |f| edit(f, "tools.csv", ";mass_kg", ";mass_g"),
        "tools.csv:1:56: found the column \"mass_g\"",
        "\"mass_kg\"",
    );
    one(
        |f| edit(f, "tools.csv", "colour", "prices"),
        "tools.csv:1:74: found the column \"prices\"",
        "prices.csv",
    );
    one(
        |f| edit(f, "packs.csv", "id,name", "identifier,name"),
        "packs.csv:1:1: found no column \"id\"",
        "",
    );
    one(
        |f| edit(f, "packs.csv", "5,2,0.81", "5,2.5,0.81"),
        "packs.csv:5:50: cells.parallel: found \"2.5\"",
        "a whole number",
    );
    one(
        |f| edit(f, "packs.csv", "6.0,21700", "-6,21700"),
        "packs.csv:5:38: capacity_ah: found -6",
        "a number from 0.01 to 1000 A·h",
    );
    one(
        |f| {
            edit(
                f,
                "days.csv",
                "2026-05-05,2026-05-05",
                "2026-05-05,5.5.2026",
            )
        },
        "days.csv:4:12: date: found \"5.5.2026\"",
        "2026-03-02",
    );
    one(
        |f| edit(f, "prices.csv", ";thick-6", "rook-18;thick-6"),
        "prices.csv:3:9: pack: found both tool and pack",
        "one of the two",
    );
    one(
        |f| edit(f, "prices.csv", ";thick-6", ";thick-7"),
        "prices.csv:3:2: pack: found the unknown pack \"thick-7\"",
        "packs.csv",
    );
    one(
        |f| edit(f, "prices.csv", "99,00;EUR", "99,00;eur"),
        "prices.csv:3:16: currency: found \"eur\"",
        "EUR",
    );
    one(
        |f| {
            edit(
                f,
                "specimens.csv",
                "\tbought\t\tnew\t7",
                "\tfound\t\tnew\t7",
            )
        },
        "specimens.csv:4:12: got: found \"found\"",
        "bought",
    );
    one(
        |f| edit(f, "field_checks.csv", "0.8", "-0.8"),
        "field_checks.csv:2:55: tried_s: found -0.8",
        "",
    );
    one(
        |f| fs::remove_file(f.join("days.csv")).unwrap(),
        "days.csv: found no such file",
        "a row for each day",
    );
    one(
        |f| fs::write(f.join("days.csv"), b"id,date,note\nd,2026-04-06,Caf\xe9\n").unwrap(),
        "days.csv:2:17: found bytes that are not UTF-8",
        "windows-1252",
    );
}

#[test]
fn another_encoding_of_tables_is_read_where_it_is_said() {
    let (_around, folder) = copied();
    let days = fs::read_to_string(folder.join("days.csv"))
        .unwrap()
        .replace("cold start", "caf\u{e9}");
    let latin: Vec<u8> = days
        .chars()
        .map(|c| u8::try_from(u32::from(c)).unwrap())
        .collect();
    fs::write(folder.join("days.csv"), latin).unwrap();
    edit(
        &folder,
        "bench.toml",
        "season =",
        "tables_encoding = \"latin-1\"\nseason =",
    );
    fs::write(
        folder.join("tools.csv"),
        fs::read_to_string(folder.join("tools.csv")).unwrap(),
    )
    .unwrap();
    assert!(
        checked(&folder).last().unwrap().contains("fine"),
        "{:#?}",
        checked(&folder)
    );
}

#[test]
fn problems_of_the_settings() {
    one(
        |f| edit(f, "bench.toml", "disclosure =", "disclosur ="),
        "bench.toml:6:1: disclosur: found the field \"disclosur\"",
        "\"disclosure\"",
    );
    one(
        |f| edit(f, "bench.toml", "window_s = 0.35", "window_s = -1"),
        "bench.toml:29:12: rigs.0.window_s: found -1",
        "0.1 to 60",
    );
    one(
        |f| {
            edit(
                f,
                "bench.toml",
                "torque_factor = 0.990",
                "torque_factor = 9.9",
            )
        },
        "bench.toml:23:17: editions.1.corrections.0.torque_factor",
        "0.5 to 2",
    );
    one(
        |f| edit(f, "bench.toml", "title = \"", "title = Orchard \""),
        "bench.toml:2:",
        "not TOML",
    );
    one(
        |f| edit(f, "bench.toml", "license = \"CC0-1.0\"\n", ""),
        "bench.toml:1:1: found no \"license\"",
        "",
    );
    one(
        |f| {
            edit(
                f,
                "bench.toml",
                "angle_deg = [0, 30, 60]",
                "angle_deg = [0, 30, 20]",
            )
        },
        "bench.toml:46:21: rigs.0.joints.0.angle_deg.2: found 20 after 30",
        "rise",
    );
    one(
        |f| edit(f, "bench.toml", "delimiter = \";\"", "delimiter = \";;\""),
        "bench.toml:74:13: loggers.0.delimiter",
        "one character",
    );
    one(
        |f| edit(f, "bench.toml", ", unit = \"ms\"", ""),
        "bench.toml:76:8: loggers.0.time: found a column whose unit nobody says",
        "\"ms\"",
    );
    one(
        |f| fs::remove_file(f.join("bench.toml")).unwrap(),
        "bench.toml: found no such file",
        "jobtorque start",
    );
}

#[test]
fn problems_of_logs() {
    let in_log = "logs/plain/2026-05-05_rook-18_thick-6_A_9.csv";
    one(
        |f| edit(f, in_log, "\n0.100,", "\n0.1oo,"),
        &format!("{in_log}:22:1: found \"0.1oo\""),
        "time [s]",
    );
    one(
        |f| edit(f, in_log, "torque [N·m]", "torque"),
        &format!("{in_log}:1:1:"),
        "torque [N·m]",
    );
    // Advice is on the block of bench.toml, not on options of another command.
    one(
        |f| {
            let mut bytes = fs::read(f.join(in_log)).unwrap();
            bytes.push(0xff);
            fs::write(f.join(in_log), bytes).unwrap();
        },
        &format!("{in_log}: found bytes that are not UTF-8"),
        "(its logger is \"plain\": jobtorque look LOG --in DIR shows what its block should say)",
    );
    let found = found(|f| edit(f, "bench.toml", "nm_per_kn = 3.2\n", ""));
    assert!(
        found.is_empty(),
        "another calibration is in force: {found:#?}"
    );
    let lacking = super::problems::found(|f| edit(f, "bench.toml", "nm_per_kn = 3.3\n", ""));
    assert_eq!(lacking.len(), 3, "{lacking:#?}");
    assert!(lacking[0].starts_with("runs.csv:11:1: log: found bolt tension in kN, and no \"nm_per_kn\" in force on \"2026-05-04\""), "{lacking:#?}");
}

#[test]
fn a_log_that_no_row_names_is_told_and_no_problem() {
    let (_around, folder) = copied();
    fs::write(folder.join("logs/late.csv"), "time [s],torque [N·m]\n0,1\n").unwrap();
    let lines = checked_all(&folder);
    assert!(
        lines.iter().any(|line| line.starts_with(
            "fact unnamed-logs: No row of runs.csv names 1 log below logs/: late.csv"
        )),
        "{lines:#?}"
    );
    assert!(lines.last().unwrap().contains("fine"), "{lines:#?}");
}

#[test]
fn every_problem_is_told_at_once() {
    let (_around, folder) = copied();
    edit(&folder, "tools.csv", "0,95", "heavy");
    edit(&folder, "days.csv", "18.5", "warm");
    edit(&folder, "runs.csv", "10:15", "25:15");
    edit(&folder, "bench.toml", "window_s = 0.35", "window_s = -1");
    let lines = checked(&folder);
    let files: Vec<&str> = lines
        .iter()
        .filter(|line| line.contains("found "))
        .map(|line| line.split(':').next().unwrap())
        .collect();
    assert_eq!(
        files,
        ["bench.toml", "tools.csv", "days.csv", "runs.csv"],
        "{lines:#?}"
    );
    // Problems stand first, then notes.
    assert!(lines[4].ends_with("4 problems"), "{lines:#?}");
}
