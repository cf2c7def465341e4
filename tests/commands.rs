//! The program as people call it: contracts, exit codes, error texts, and the README's commands.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing
)]

use serde_json::Value;
use std::collections::BTreeSet;
use std::process::{Command, Output};

fn jobtorque(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_jobtorque"))
        .args(arguments)
        .output()
        .unwrap()
}

fn stdout(arguments: &[&str]) -> String {
    let output = jobtorque(arguments);
    let errors = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{arguments:?}: {errors}");
    String::from_utf8(output.stdout).unwrap()
}

fn json(arguments: &[&str]) -> Value {
    serde_json::from_str(&stdout(arguments)).unwrap()
}

/// Exit code and what is said on the error stream.
fn refused(arguments: &[&str]) -> (i32, String) {
    let output = jobtorque(arguments);
    (
        output.status.code().unwrap(),
        String::from_utf8(output.stderr).unwrap(),
    )
}

/// Every name of an answer, as published.
const ANSWER: &[&str] = &[
    "basis",
    "verdict",
    "tool",
    "pack",
    "rig",
    "setup",
    "edition",
    "newest_edition",
    "invented",
    "fits",
    "job",
    "direction",
    "score",
    "job_torque_nm",
    "condition_factor",
    "condition_from",
    "loss_percent",
    "required_torque_nm",
    "window_s",
    "within_s",
    "peak_torque_nm",
    "largest_sample_nm",
    "mean_torque_nm",
    "early_torque_nm",
    "typical_end_nm",
    "still_rising",
    "time_to_job_s",
    "work_j",
    "average_power_w",
    "rise_rate_nm_per_s",
    "best_of_three_power_w",
    "best_of_three_rise_rate_nm_per_s",
    "torque_19_of_20_nm",
    "reach_probability",
    "time_nine_in_ten_s",
    "rank",
    "rank_low",
    "rank_high",
    "rank_of",
    "runs_used",
    "runs_excluded",
    "specimens",
    "run_scatter_percent",
    "unit_scatter_percent",
    "pack_scatter_percent",
    "day_scatter_percent",
    "jobs_per_charge",
    "least_trigger_s",
    "field_checks",
    "warnings",
    "remarks",
    "sentence",
    "list",
    "of",
    "reach_count",
    "label",
    "notice",
    "headline",
    "checks",
    "lines",
    "stressed",
    "further",
    "units",
    "job_torque",
    "cautions",
    "reminders",
    "rests_on",
    "bolt",
    "brief",
    "asked",
    "before",
    "caution",
    "setup_costs",
    "nuts_tried",
];

#[test]
fn an_answer_has_every_name_of_the_contract() {
    for more in [
        &["--tool", "sorrel-18-medium", "--pack", "slim-4-0"][..],
        &["--tool", "sorrel-18-medium"],
        &[],
    ] {
        let answer = json(&[&["ask", "--json", "--job", "650 N·m"], more].concat());
        let names = answer.as_object().unwrap();
        let names: BTreeSet<&str> = names.keys().map(String::as_str).collect();
        let wanted: BTreeSet<&str> = ANSWER.iter().copied().collect();
        let differ: Vec<_> = names.symmetric_difference(&wanted).collect();
        assert!(
            differ.is_empty(),
            "in the answer or in `ANSWER` alone: {differ:?}"
        );
        assert_eq!(answer["verdict"].is_null(), answer["list"].is_array());
        assert_eq!(answer["required_torque_nm"], 650.0);
    }
}

#[test]
fn a_nut_that_held_is_told_under_the_verdict() {
    let pair = ["--tool", "sorrel-18-medium", "--pack", "two-row-8-0"];
    let job = ["--job", "heavy-truck-wheel-loosen"];
    let words = stdout(&[&["ask"], &pair[..], &job].concat());
    let paragraphs: Vec<&str> = words.split("\n\n").collect();
    let headline = paragraphs
        .iter()
        .position(|text| text.ends_with("is within reach."));
    let check = paragraphs[headline.unwrap() + 1].replace('\n', " ");
    assert_eq!(
        check,
        "This pair failed on a nut at 640 N·m (two winters old, dry)."
    );
    let answer = json(&[&["ask", "--json"], &pair[..], &job].concat());
    assert_eq!(answer["field_checks"][0]["came_loose"], false);
    assert_eq!(answer["field_checks"][0]["installed_nm"], 640.0);
}

#[test]
fn a_table_has_the_names_of_the_contract() {
    let table = json(&["rank", "--json", "--job", "650 N·m"]);
    for name in ["job_torque_nm", "required_torque_nm", "by", "score", "rows"] {
        assert!(table.get(name).is_some(), "{name}");
    }
    let ranks: Vec<u64> = table["rows"]
        .as_array()
        .unwrap()
        .iter()
        .map(|row| row["rank"].as_u64().unwrap())
        .collect();
    assert!(ranks.is_sorted() && ranks[0] == 1);
    let reaches: Vec<bool> = table["rows"]
        .as_array()
        .unwrap()
        .iter()
        .map(|row| row["reaches"].as_bool().unwrap())
        .collect();
    assert!(
        reaches.is_sorted_by(|a, b| a >= b),
        "those that reach the job come first"
    );
}

#[test]
fn a_table_without_a_job_is_ranked_by_mean_torque() {
    let table = json(&["rank", "--json"]);
    assert_eq!(table["by"], "mean");
    let means: Vec<f64> = table["rows"]
        .as_array()
        .unwrap()
        .iter()
        .map(|row| row["mean_torque_nm"].as_f64().unwrap())
        .collect();
    assert!(means.is_sorted_by(|a, b| a >= b));
    let per_kg = json(&["rank", "--json", "--by", "peak-per-kg"]);
    let first = &per_kg["rows"][0];
    let quotient = first["peak_torque_nm"].as_f64().unwrap() / first["mass_kg"].as_f64().unwrap();
    assert_eq!(first["value"].as_f64().unwrap(), quotient);
}

#[test]
fn csv_says_on_every_row_that_data_are_invented() {
    let text = stdout(&["rank", "--csv", "--job", "650 N·m"]);
    let mut lines = text.lines();
    assert!(lines.next().unwrap().starts_with("tool,pack,setup,rank,"));
    assert!(
        lines.all(|line| line.ends_with("Invented data. These tools do not exist.")),
        "{text}"
    );
}

#[test]
fn people_read_the_notice_and_the_answer_first() {
    let text = stdout(&[
        "ask",
        "--tool",
        "sorrel-18-medium",
        "--pack",
        "slim-4-0",
        "--job",
        "650 N·m",
    ]);
    let paragraphs: Vec<&str> = text.split("\n\n").collect();
    assert_eq!(paragraphs[0], "Invented data. These tools do not exist.");
    assert!(
        paragraphs[1] == "Question: 650 N·m to loosen."
            && paragraphs[2] == "Made-up data: 650 N·m is within reach.",
        "{text}"
    );
    assert!(
        text.contains("We measured tightening. Your nut may hold harder."),
        "{text}"
    );
}

#[test]
fn units_change_the_words_and_never_the_figures() {
    let question = [
        "ask",
        "--tool",
        "sorrel-18-medium",
        "--pack",
        "slim-4-0",
        "--job",
        "650 N·m",
    ];
    let foot = stdout(&[&question[..], &["--units", "lbf-ft"]].concat());
    assert!(
        foot.contains("480 lbf·ft"),
        "650 N·m is 479.4 lbf·ft, and what is needed is rounded up: {foot}"
    );
    let figures = |units| {
        json(&[&question[..], &["--json", "--units", units]].concat())["peak_torque_nm"].clone()
    };
    assert_eq!(figures("n-m"), figures("lbf-ft"));
    let own = stdout(&[
        "ask",
        "--tool",
        "sorrel-18-medium",
        "--pack",
        "slim-4-0",
        "--job",
        "480,0 ft-lb",
    ]);
    assert!(
        own.contains("480.0 lbf·ft"),
        "the visitor's own number is not changed: {own}"
    );
}

#[test]
fn misuse_is_told_with_what_to_do() {
    for (arguments, words) in [
        (
            &["ask", "--job", "650 lbs"][..],
            "write one of:\n    --job \"650 lbf·ft\"\n    --job \"650 lbf·in\"  (55 lbf·ft)",
        ),
        (
            &["ask", "--job", "rusty M20 10.9"],
            "write one of:\n    --job \"M20 10.9\" --condition 1.5  (610 N·m times 1.5)",
        ),
        (&["ask", "--job", "-650"], "--job \"650 N·m\""),
        (&["ask", "--job", "650 J"], "--job: That is an energy."),
        (
            &["ask", "--job", "1,234 N·m"],
            "--job: Is that 1234 or 1.234?",
        ),
        (&["ask", "--job", "NaN N·m"], "--job:"),
        (
            &["ask", "--job", "20001 N·m"],
            "--job: We take torques from 1 N·m to 20,000 N·m.",
        ),
        (
            &["ask", "--job", "1 N·m", "--condition", "0.1"],
            "--job: We take torques from 1 N·m to 20,000 N·m.",
        ),
        (
            &["ask", "--job", "19000 N·m", "--condition", "2"],
            "--job: With the factor and the loss",
        ),
        (&["ask"], "--job: Which torque?"),
        (
            &["ask", "--job", "9 N·m", "--tool", "x"],
            "wanted: one of sedge-18-small",
        ),
        (
            &["ask", "--job", "9 N·m", "--loss", "100"],
            "--loss: The loss goes from 0 to below 100 %.",
        ),
        (
            &["ask", "--job", "9 N·m", "--loss", "NaN"],
            "--loss: The loss goes",
        ),
        (
            &["ask", "--job", "9 N·m", "--within", "0"],
            "--within: The limit goes above 0 and up to 5 s.",
        ),
        (
            &["ask", "--job", "9 N·m", "--condition", "inf"],
            "--condition: The factor goes above 0 and up to 10.",
        ),
        (
            &["ask", "--job", "9 N·m", "--tighten", "--condition", "2"],
            "--condition: The factor is for loosening only.",
        ),
        (
            &["ask", "--job", "9 N·m", "--edition", "9"],
            "--edition: There is no edition 9 here.",
        ),
        (&["rank", "--by", "time"], "--job: Which torque?"),
        (
            &["ask", "--job", "9 N·m", "--lang", "xx"],
            "--lang: there is no language \"xx\" here, only en",
        ),
        (
            &["ask", "gone.json", "--job", "9 N·m"],
            "cannot open gone.json",
        ),
        (&["check", "gone.json"], "cannot open gone.json"),
        (&["reduce", "gone.csv"], "cannot open gone.csv"),
        (&["reduce", "gone.csv", "--at", "90"], "--at: no unit"),
        (
            &["reduce", "gone.csv", "--torque-unit", "furlong"],
            "found the unit \"furlong\" in --torque-unit, wanted one of N·m, kN·m",
        ),
        (&["reduce", "gone.csv", "--delimiter", "ab"], "delimiter"),
        (&["reduce", "gone.csv", "--rate", "0"], "a rate of 0 Hz"),
        (&["reduce", "gone.csv", "--factor=-1"], "--inverted"),
        (&["reduce", "gone.csv", "--encoding", "runes"], "encoding"),
        (
            &["reduce", "gone.csv", "--thousands", ",", "--decimal-comma"],
            "two different marks",
        ),
        (&["frobnicate"], "unrecognized subcommand"),
    ] {
        let (code, said) = refused(arguments);
        assert_eq!(code, 2, "{arguments:?}: {said}");
        assert!(said.contains(words), "{arguments:?}: {said}");
    }
}

#[test]
fn problems_in_the_data_end_with_1_and_are_all_told() {
    let (good, bad) = (
        concat!(env!("CARGO_MANIFEST_DIR"), "/tests/cases/healthy.json"),
        concat!(env!("CARGO_MANIFEST_DIR"), "/tests/cases/unknown-tool.json"),
    );
    assert!(stdout(&["check", good]).contains("fine"));
    let output = jobtorque(&["check", "--json", good, bad]);
    assert_eq!(output.status.code(), Some(1));
    let found: Value = serde_json::from_slice(&output.stdout).unwrap();
    let problem = &found["problems"][0];
    for name in [
        "file", "pointer", "line", "column", "found", "wanted", "hint", "message",
    ] {
        assert!(problem.get(name).is_some(), "{name}");
    }
    assert!(
        problem["file"]
            .as_str()
            .unwrap()
            .ends_with("unknown-tool.json")
    );
    let (code, said) = refused(&["ask", bad, "--job", "9 N·m"]);
    assert_eq!(code, 1, "{said}");
    assert!(
        said.contains("unknown-tool.json:") && said.contains("1 problem"),
        "{said}"
    );
}

#[test]
fn a_log_is_reduced_with_every_name_of_the_contract() {
    let folder = tempfile::tempdir().unwrap();
    let log = folder.path().join("log.csv");
    let rows: String = (0..400)
        .map(|i| {
            format!(
                "{},{}\n",
                f64::from(i) * 0.005,
                if i < 50 { 1.0 } else { f64::from(i) }
            )
        })
        .collect();
    std::fs::write(&log, format!("time [s],torque [N·m]\n{rows}")).unwrap();
    let run = json(&["reduce", log.to_str().unwrap(), "--json", "--at", "90 N·m"]);
    for name in [
        "onset_s",
        "zero_nm",
        "end_s",
        "duration_s",
        "peak_torque_nm",
        "largest_sample_nm",
        "mean_torque_nm",
        "samples",
        "repeated_stamps",
        "knots",
        "thinning_nm",
        "short",
        "no_quiet",
        "zero_kept",
        "notes",
        "columns",
        "time_to_s",
        "work_j",
        "average_power_w",
        "rise_rate_nm_per_s",
        "log_time_s",
    ] {
        assert!(run.get(name).is_some(), "{name}");
    }
    assert_eq!(run["samples"], 400);
    assert_eq!(run["zero_nm"], 1.0);
    assert_eq!(run["work_j"], Value::Null, "no angle, no work");
    assert_eq!(run["zero_kept"], Value::Null);
    let note = &run["notes"][0];
    assert_eq!(note["code"], "short");
    assert!(
        note["sentence"]
            .as_str()
            .unwrap()
            .starts_with("The run is short")
    );
    let torque = &run["columns"][1];
    assert_eq!(
        (&torque["channel"], &torque["unit"]),
        (&"torque".into(), &"N·m".into())
    );
    assert_eq!(
        (&torque["column"], &torque["header"]),
        (&2.into(), &"torque [N·m]".into())
    );
    std::fs::write(&log, "time [s],torque [N·m]\n0,1\n0.1,1\n").unwrap();
    let (code, said) = refused(&["reduce", log.to_str().unwrap()]);
    assert_eq!(code, 1);
    assert!(said.contains("torque that never rises"), "{said}");
}

#[test]
fn the_commands_of_the_readme_work() {
    let readme = include_str!("../README.md");
    // The tour of the section before, which makes folders, is run in the browsers' tests.
    let (_, section) = readme.split_once("## On the command line").unwrap();
    let commands: Vec<&str> = section
        .lines()
        .filter_map(|line| line.strip_prefix("$ jobtorque "))
        .collect();
    assert!(commands.len() >= 3);
    for command in commands {
        let quoted: Vec<&str> = command.split('"').collect();
        let arguments: Vec<&str> = quoted
            .iter()
            .enumerate()
            .flat_map(|(place, part)| {
                if place % 2 == 1 {
                    vec![*part]
                } else {
                    part.split_whitespace().collect()
                }
            })
            .collect();
        assert!(
            stdout(&arguments).starts_with("Invented data."),
            "{command}"
        );
    }
}

#[test]
fn the_readme_and_the_help_name_the_same_commands() {
    let help = stdout(&["--help"]);
    let readme = include_str!("../README.md");
    let listed: Vec<&str> = help
        .lines()
        .skip_while(|line| !line.starts_with("Commands:"))
        .skip(1)
        .take_while(|line| !line.is_empty())
        .filter_map(|line| {
            line.strip_prefix("  ")
                .filter(|rest| !rest.starts_with(' '))
        })
        .filter_map(|line| line.split_whitespace().next())
        .filter(|name| *name != "help")
        .collect();
    assert!(listed.len() >= 8, "{help}");
    for name in listed {
        assert!(readme.contains(&format!("jobtorque {name}`")), "{name}");
    }
}

/// Whether a terminal or a spreadsheet acts on what is printed: control signs but line ends, and
/// signs that change the direction of writing.
fn acts(text: &str) -> Option<char> {
    let bidi = |sign: char| matches!(sign, '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}');
    text.chars()
        .find(|&sign| sign.is_control() && sign != '\n' || bidi(sign))
}

/// Puts a hostile text behind every text of a dataset that is shown and names nothing.
fn hostile(value: &mut Value, key: &str) {
    const SHOWN: [&str; 25] = [
        "title",
        "summary",
        "publisher",
        "contact",
        "license",
        "disclosure",
        "note",
        "text",
        "name",
        "lubricant",
        "tool_mode",
        "adapters",
        "maker",
        "drive_shape",
        "where",
        "format",
        "got_from",
        "operator",
        "reason",
        "file",
        "label",
        "fastener",
        "source",
        "state",
        "aka",
    ];
    match value {
        Value::String(text) if SHOWN.contains(&key) && !text.starts_with("jobtorque/") => {
            text.push_str(" \u{1b}[31m\u{9b}2J\u{7}\u{8}\r\n\t\u{61c}\u{200e}\u{200f}\u{7f}end");
        }
        Value::Array(elements) => elements.iter_mut().for_each(|value| hostile(value, key)),
        Value::Object(members) => members
            .iter_mut()
            .for_each(|(key, value)| hostile(value, key)),
        _ => {}
    }
}

#[test]
fn no_text_of_a_dataset_reaches_the_terminal_as_a_command() {
    let folder = tempfile::tempdir().unwrap();
    let healthy = include_str!("cases/healthy.json");
    let mut document: Value = serde_json::from_str(healthy).unwrap();
    hostile(&mut document, "");
    // Identifiers too: those of the second tool, its pack and its mount.
    let odd = "as\u{1b}]0;pen\u{7}\u{200f}\n-";
    let text = document.to_string();
    let text = text.replace("\"aspen\"", &serde_json::to_string(odd).unwrap());
    let file = folder.path().join("hostile.json");
    std::fs::write(&file, &text).unwrap();
    let file = file.to_str().unwrap();
    let pair = ["--tool", "alder", "--pack", "one-row"];
    let job = ["--job", "100 N·m"];
    let mut said = 0;
    for arguments in [
        &["check", file][..],
        &["rank", file],
        &[&["rank", file], &job[..]].concat(),
        &[&["rank", file, "--csv"], &job[..]].concat(),
        &[&["rank", file, "--json"], &job[..]].concat(),
        &[&["ask", file], &job[..]].concat(),
        &[
            "ask", file, "--job", "wheel", "--tool", odd, "--pack", "two-rows",
        ],
        &[
            "ask", file, "--job", "wheel", "--tool", odd, "--pack", "two-rows", "--json",
        ],
        &[&["ask", file, "--json"], &job[..]].concat(),
        &[&["ask", file], &pair[..], &job[..]].concat(),
        &[&["runs", file], &pair[..], &job[..]].concat(),
        &[&["runs", file, "--json"], &pair[..]].concat(),
        &[
            "runs",
            file,
            "--tool",
            odd,
            "--pack",
            "two-rows",
            "--edition",
            "2",
        ],
        &[
            &[
                "compare",
                file,
                "--with-tool",
                odd,
                "--with-pack",
                "two-rows",
            ],
            &pair[..],
            &job[..],
        ]
        .concat(),
        &[
            &[
                "compare",
                file,
                "--json",
                "--with-tool",
                odd,
                "--with-pack",
                "two-rows",
            ],
            &pair[..],
        ]
        .concat(),
        &["packs", file, "--tool", "alder"],
        &["packs", file, "--tool", "alder", "--json"],
        &[&["choices", file], &job[..]].concat(),
        &[&["choices", file, "--json"], &job[..]].concat(),
        // Refused, with names of the file and of the question in what is said.
        &["ask", file, "--job", "9 N·m", "--tool", "\u{1b}[2Jnone"],
        &["ask", file, "--job", "9 N·m", "--setup", "\u{202e}none"],
        &["ask", "gone\u{1b}[2J.json", "--job", "9 N·m"],
    ] {
        let output = jobtorque(arguments);
        for text in [output.stdout, output.stderr] {
            let text = String::from_utf8(text).unwrap();
            assert_eq!(acts(&text), None, "{arguments:?}: {text:?}");
            said += usize::from(text.contains("\\u{1b}") || text.contains("\\u001b"));
        }
    }
    assert!(said >= 15, "{said}: the hostile texts are not told at all");
    // A broken file's keys and values are told as well.
    let broken = text.replacen(
        "\"tools\"",
        "\"t\\u001b[2J\\u202e\": 1, \"t\\u001b[2J\\u202e\": 2, \"tools\"",
        1,
    );
    let broken = broken.replacen("\"slide\"", "\"\\u001b[2J\\u202eslide\"", 1);
    std::fs::write(file, broken).unwrap();
    for arguments in [
        &["check", file][..],
        &["check", "--json", file],
        &["rank", file],
    ] {
        let output = jobtorque(arguments);
        assert_eq!(output.status.code(), Some(1), "{arguments:?}");
        let text = String::from_utf8([output.stdout, output.stderr].concat()).unwrap();
        assert_eq!(acts(&text), None, "{arguments:?}: {text:?}");
        assert!(text.contains("twice") && text.contains("202e"), "{text}");
    }
}

/// The value of an attribute of an element, as a browser reads it.
fn read_attribute(html: &str, element: &str, name: &str) -> String {
    let (_, rest) = html.split_once(&format!("<{element} ")).unwrap();
    let (tag, _) = rest.split_once('>').unwrap();
    let (_, rest) = tag.split_once(&format!("{name}=\"")).unwrap();
    let (value, _) = rest.split_once('"').unwrap();
    let value = value.replace("&lt;", "<").replace("&gt;", ">");
    let value = value.replace("&quot;", "\"").replace("&nbsp;", "\u{a0}");
    value.replace("&amp;", "&")
}

#[test]
fn an_element_for_an_article_names_exactly_what_was_asked_and_is_printed_to_the_byte() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("odd.json");
    let odd = "as<pen>&\"\u{ad}x";
    // A name in a script from right to left, with its marks, and a soft hyphen.
    let name = "אלון\u{200f} (מומצא) Al\u{ad}der";
    let text = include_str!("cases/healthy.json");
    let text = text.replace("\"aspen\"", &serde_json::to_string(odd).unwrap());
    let text = text.replace("Aspen (invented)", name);
    std::fs::write(&file, &text).unwrap();
    let file = file.to_str().unwrap();
    let pair = ["--tool", odd, "--pack", "two-rows", "--job", "wheel"];
    let html = stdout(&[&["ask", file, "--html"], &pair[..]].concat());
    assert_eq!(read_attribute(&html, "job-torque", "tool"), odd);
    assert!(html.contains(name), "{html}");
    assert!(!html.contains("\\u{"), "{html}");
    let acting = html.chars().find(|sign| sign.is_control() && *sign != '\n');
    assert_eq!(acting, None);
    assert!(html.ends_with("</job-torque>\n"), "{html}");
    // What no attribute can hold is refused: a blank in its place could name another tool.
    let text = include_str!("cases/healthy.json").replace("\"aspen\"", "\"as\\u001bpen\"");
    std::fs::write(file, text).unwrap();
    let pair = [
        "--tool",
        "as\u{1b}pen",
        "--pack",
        "two-rows",
        "--job",
        "wheel",
    ];
    let (code, said) = refused(&[&["ask", file, "--html"], &pair[..]].concat());
    assert_eq!(code, 2, "{said}");
    assert!(
        said.contains("the tool \"as\\u{1b}pen\" holds a sign"),
        "{said}"
    );
}

#[test]
fn no_draft_is_pinned_in_an_article() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("draft.json");
    let draft = include_str!("cases/healthy.json").replace(
        "\"edition\": 2, \"date\"",
        "\"edition\": 2, \"draft\": true, \"date\"",
    );
    assert!(draft.contains("\"draft\": true"));
    std::fs::write(&file, draft).unwrap();
    let ask = ["ask", file.to_str().unwrap(), "--job", "wheel", "--html"];
    let (code, said) = refused(&ask);
    assert_eq!(code, 2, "{said}");
    assert!(
        said.contains("edition 2 is a draft, which is not published"),
        "{said}"
    );
    let html = stdout(&[&ask[..], &["--edition", "1"]].concat());
    assert_eq!(read_attribute(&html, "job-torque", "edition"), "1");
}

#[test]
fn a_published_file_that_was_changed_is_not_read() {
    use jobtorque::site::mark::{Version, json as marked, sealed};
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("results.json");
    let healthy = include_str!("cases/healthy.json");
    let published = sealed(marked(&Version::of_program(), healthy).into_bytes());
    let name = file.to_str().unwrap();
    let made = folder.path().join("made");
    let commands = [
        &["check", name][..],
        &["check", "--json", name],
        &["ask", name, "--job", "100 N·m"],
        &["page", name, "--out", made.to_str().unwrap()],
        &["unbundle", name, "--out", made.to_str().unwrap()],
    ];
    std::fs::write(&file, &published).unwrap();
    assert!(stdout(&["check", name]).contains("fine"));
    let text = String::from_utf8(published).unwrap();
    let cut = text.replacen("sha256:", "sha256:0", 1);
    for (text, words) in [
        (
            text.replacen("\"mass_kg\": 1.4", "\"mass_kg\": 1.5", 1),
            "changed since",
        ),
        (cut, "not whole"),
    ] {
        std::fs::write(&file, &text).unwrap();
        for arguments in commands {
            let output = jobtorque(arguments);
            assert_eq!(output.status.code(), Some(1), "{arguments:?}");
            let said = String::from_utf8([output.stdout, output.stderr].concat()).unwrap();
            assert!(said.contains(words), "{arguments:?}: {said}");
            assert!(said.contains("without the member"), "{said}");
        }
    }
    assert!(!made.exists());
}

#[cfg(unix)]
#[test]
fn what_may_never_end_or_begin_is_not_read() {
    let folder = tempfile::tempdir().unwrap();
    let pipe = folder.path().join("pipe.json");
    let made = Command::new("mkfifo").arg(&pipe).status().unwrap();
    assert!(made.success());
    let pipe = pipe.to_str().unwrap();
    for arguments in [
        &["check", pipe][..],
        &["ask", pipe, "--job", "9 N·m"],
        &["unbundle", pipe, "--out", "gone"],
        &["reduce", pipe],
        &["check", "/dev/zero"],
        &["rank", "/dev/zero"],
        &["reduce", "/dev/zero"],
    ] {
        let (code, said) = refused(arguments);
        assert_eq!(code, 2, "{arguments:?}: {said}");
        assert!(said.contains("not a regular file; name a file"), "{said}");
    }
    let bench = folder.path().join("bench");
    stdout(&["start", bench.to_str().unwrap()]);
    for (file, wanted) in [("days.csv", "days.csv: "), ("bench.toml", "bench.toml: ")] {
        let file = bench.join(file);
        std::fs::remove_file(&file).unwrap();
        let made = Command::new("mkfifo").arg(&file).status().unwrap();
        assert!(made.success());
        let output = jobtorque(&["check", bench.to_str().unwrap()]);
        let said = String::from_utf8([output.stdout, output.stderr].concat()).unwrap();
        assert_eq!(output.status.code(), Some(1), "{said}");
        let told = format!("{wanted}found what is no regular file");
        assert!(said.contains(&told), "{said}");
    }
    // Standard input has an end.
    let healthy = std::fs::File::open("tests/cases/healthy.json").unwrap();
    let output = Command::new(env!("CARGO_BIN_EXE_jobtorque"))
        .args(["check", "/dev/stdin"])
        .stdin(healthy)
        .output()
        .unwrap();
    assert!(output.status.success(), "{output:?}");
    let mut check = Command::new(env!("CARGO_BIN_EXE_jobtorque"))
        .args(["check", "/dev/stdin"])
        .stdin(std::process::Stdio::piped())
        .stdout(std::process::Stdio::piped())
        .spawn()
        .unwrap();
    let healthy = include_bytes!("cases/healthy.json");
    std::io::Write::write_all(&mut check.stdin.take().unwrap(), healthy).unwrap();
    assert!(check.wait_with_output().unwrap().status.success());
}

#[test]
fn a_table_of_hostile_names_keeps_one_line_a_row() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("lines.json");
    let text = include_str!("cases/healthy.json");
    let text = text.replace("Alder (invented)", "Alder\\n 1  Forged \\u001b[8m row");
    std::fs::write(&file, text).unwrap();
    let told = stdout(&["rank", file.to_str().unwrap(), "--job", "100 N·m"]);
    assert!(told.contains("Alder\\n 1  Forged \\u{1b}[8m row"), "{told}");
}

#[test]
fn of_many_problems_fifty_are_printed_and_the_rest_is_counted() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("broken.json");
    let healthy = include_str!("cases/healthy.json");
    let nulls = vec!["null"; 200_000].join(",");
    let text = healthy.replace(
        "\"field_checks\": [",
        &format!("\"field_checks\": [{nulls},"),
    );
    std::fs::write(&file, text).unwrap();
    let file = file.to_str().unwrap();
    for command in [&["check", file][..], &["rank", file]] {
        let output = jobtorque(command);
        assert_eq!(output.status.code(), Some(1));
        let text = String::from_utf8([output.stdout, output.stderr].concat()).unwrap();
        let lines: Vec<&str> = text.lines().collect();
        assert_eq!(lines.len(), 52, "{command:?}");
        assert!(lines[49].contains("/field_checks/49: found null, wanted an object"));
        assert!(lines[50].ends_with(": and 199,950 more"), "{}", lines[50]);
        assert!(lines[51].ends_with(": 200,000 problems"), "{}", lines[51]);
    }
    let output = jobtorque(&["check", "--json", file, file]);
    let found: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(found["problems"].as_array().unwrap().len(), 100);
    assert_eq!(found["more"], 2 * 199_950);
}

#[test]
fn shells_get_their_completions() {
    assert!(stdout(&["completions", "bash"]).contains("jobtorque"));
    assert!(stdout(&["completions", "zsh"]).contains("--job"));
}

#[test]
fn runs_stand_behind_the_answer_of_the_same_pair() {
    let pair = [
        "--tool",
        "sorrel-18-medium",
        "--pack",
        "slim-4-0",
        "--job",
        "650 N·m",
    ];
    let called = |command: &str, more: &str| {
        let mut arguments = vec![command];
        arguments.extend(pair);
        arguments.extend((!more.is_empty()).then_some(more));
        stdout(&arguments)
    };
    let runs: Value = serde_json::from_str(&called("runs", "--json")).unwrap();
    let answer: Value = serde_json::from_str(&called("ask", "--json")).unwrap();
    let all = runs["runs"].as_array().unwrap();
    let counted = all.iter().filter(|run| run["set_aside"].is_null()).count();
    assert_eq!(answer["runs_used"], counted);
    assert_eq!(answer["runs_excluded"], all.len() - counted);
    assert_eq!(runs["places"][0]["rank"], answer["rank"]);
    let text = called("runs", "");
    assert!(text.starts_with("Invented data."), "{text}");
    assert!(text.contains("Set aside, and why"), "{text}");
    let (code, said) = refused(&["runs", "--tool", "sorrel-18-medium"]);
    assert!(code == 2 && said.contains("--pack"), "{said}");
}

#[test]
fn two_pairs_side_by_side_and_the_packs_on_a_tool() {
    let first = ["--tool", "sorrel-18-medium", "--pack", "two-row-8-0"];
    let second = ["--with-tool", "sorrel-18-medium", "--with-pack", "slim-4-0"];
    let compare = |more: &[&'static str]| [&["compare"], &first[..], &second, more].concat();
    let told = json(&compare(&["--job", "650 N·m", "--json"]));
    for name in [
        "invented",
        "edition",
        "required_torque_nm",
        "match_margin_percent",
        "verdict",
        "leads",
        "chance_ahead",
    ] {
        assert!(!told[name].is_null(), "{name}: {told}");
    }
    for name in [
        "mean_torque_ratio",
        "peak_torque_ratio",
        "time_to_job_ratio",
    ] {
        let [low, ratio, high] = ["low", "ratio", "high"].map(|end| told[name][end].as_f64());
        assert!(low < ratio && ratio < high, "{name}: {told}");
    }
    // Without a job there is no time to it.
    let told = json(&compare(&["--json"]));
    assert!(told["time_to_job_ratio"].is_null() && !told["chance_ahead"].is_null());
    let words = stdout(&compare(&["--units", "lbf-ft"]));
    assert!(
        words.starts_with("Invented data.") && words.contains("lbf·ft"),
        "{words}"
    );
    let one = stdout(&["packs", "--tool", "teasel-18-large", "--setup", "extension"]);
    assert_eq!(
        one.trim(),
        "We have run fewer than two packs on this tool in this setup."
    );
    let packs = json(&["packs", "--tool", "sorrel-18-medium", "--json"]);
    assert_eq!(packs["packs"].as_array().unwrap().len(), 6);
    let words = stdout(&["packs", "--tool", "sorrel-18-medium"]);
    assert!(words.starts_with("Invented data.") && words.contains("Held against slim 2.5"));
    let unknown = ["--with-tool", "no-such", "--with-pack", "slim-4-0"];
    let (code, said) = refused(&[&["compare"], &first[..], &unknown].concat());
    assert_eq!(code, 2);
    assert!(
        said.contains("--with-tool") && said.contains("no-such"),
        "{said}"
    );
    let itself = ["--with-tool", first[1], "--with-pack", first[3]];
    let (code, said) = refused(&[&["compare"], &first[..], &itself].concat());
    assert!(code == 2 && said.contains("the pair itself"), "{said}");
}
