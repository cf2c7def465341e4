//! Datasets that are refused: most files of `tests/cases/` are `healthy.json` with one fault, and
//! `expected.txt` holds every problem that is said of each, as the command line prints it.

#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing)]

use jobtorque::dataset::limits::{MOST_DIFFERING, MOST_EDITIONS};
use jobtorque::dataset::{MOST_BYTES, MOST_COMBINATIONS, MOST_ELEMENTS, MOST_KNOTS, MOST_SAMPLES};
use jobtorque::problem::{MOST_KEPT, Problem, Problems};
use jobtorque::results::Results;
use jobtorque::text::catalogue::Catalogue;
use serde_json::Value;
use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::fs;
use std::path::PathBuf;

const HEALTHY: &str = include_str!("cases/healthy.json");

fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/cases")
}

fn read(bytes: &[u8]) -> Result<Results, Problems> {
    thread_local! {
        static ENGLISH: Catalogue =
            serde_json::from_str(include_str!("../www/texts/en.json")).unwrap();
    }
    Results::read(bytes, ENGLISH.with(Clone::clone))
}

/// What is wrong with the text of a dataset; nothing if it is read.
fn problems(text: &str) -> Vec<Problem> {
    read(text.as_bytes()).err().unwrap_or_default().to_vec()
}

/// What is wrong, as the command line prints it.
fn printed(text: &str) -> Vec<String> {
    problems(text).iter().map(ToString::to_string).collect()
}

/// `text` with `from`, which stands there once, replaced.
fn with(text: &str, from: &str, to: &str) -> String {
    assert_eq!(text.matches(from).count(), 1, "{from}");
    text.replace(from, to)
}

/// The bytes of every broken file by its name.
fn cases() -> BTreeMap<String, Vec<u8>> {
    let files = fs::read_dir(folder())
        .unwrap()
        .map(|file| file.unwrap().path());
    files
        .map(|path| {
            (
                path.file_name().unwrap().to_string_lossy().into_owned(),
                fs::read(path).unwrap(),
            )
        })
        .filter(|(name, _)| name != "healthy.json" && name != "expected.txt")
        .collect()
}

#[test]
fn the_healthy_file_has_no_problem() {
    assert_eq!(problems(HEALTHY), []);
}

#[test]
fn of_every_broken_file_exactly_the_expected_problems_are_said() {
    let expected = fs::read_to_string(folder().join("expected.txt")).unwrap();
    let mut found = Vec::new();
    for (name, bytes) in cases() {
        let mut case = name;
        for problem in read(&bytes).err().unwrap_or_default().iter() {
            write!(case, "\n{problem}").unwrap();
        }
        found.push(case);
    }
    let expected: Vec<_> = expected.trim_end().split("\n\n").collect();
    let unexpected: Vec<_> = found
        .iter()
        .filter(|case| !expected.contains(&case.as_str()))
        .collect();
    assert!(
        unexpected.is_empty(),
        "not as expected:\n\n{}",
        unexpected
            .iter()
            .map(|case| format!("{case}\n\n"))
            .collect::<String>()
    );
    assert_eq!(found, expected);
}

#[test]
fn every_broken_dataset_is_the_healthy_one_but_for_a_few_lines() {
    let healthy: Vec<&str> = HEALTHY.lines().collect();
    for (name, bytes) in cases() {
        let text = String::from_utf8_lossy(&bytes);
        if !serde_json::from_str::<Value>(&text).is_ok_and(|value| value.is_object()) {
            continue;
        }
        let lines: Vec<&str> = text.lines().collect();
        let same = |pair: &(&&str, &&str)| pair.0 == pair.1;
        let least = healthy.len().min(lines.len());
        let head = healthy.iter().zip(&lines).take_while(same).count();
        let tail = healthy
            .iter()
            .rev()
            .zip(lines.iter().rev())
            .take_while(same)
            .count();
        let kept = (head + tail).min(least);
        let changed = healthy.len().max(lines.len()) - kept;
        assert!(
            (1..=6).contains(&changed),
            "{name} differs in {changed} lines"
        );
    }
}

/// One fault in each of many places that do not hide each other.
const FAULTS: [(&str, &str); 14] = [
    (
        "\"match_margin_percent\": 3",
        "\"match_margin_percent\": -3",
    ),
    ("2026-04-13", "13.04.2026"),
    ("\"smooth_s\": 0", "\"smooth_s\": -1"),
    ("[0, 150, 420]", "[0, 150, 150]"),
    ("\"joint\": \"stiff\"", "\"joint\": \"soft\""),
    ("\"amount\": 129", "\"amount\": 0"),
    ("\"mass_kg\": 2.9", "\"mass_kg\": -2.9"),
    (
        "\"capacity_ah\": 2",
        "\"capacity_ah\": 2, \"nominal_v\": 36",
    ),
    (
        "{\"pack\": \"two-rows\", \"specimen\": \"1\", \"got\": \"lent\"",
        "{\"pack\": \"two-rows\", \"got\": \"lent\"",
    ),
    (
        "\"edition\": 1,\n      \"start_s\"",
        "\"edition\": 7,\n      \"start_s\"",
    ),
    ("18800, 18800, 18800]", "18800, 18800]"),
    ("301000, 350000]", "301000, 0]"),
    ("[140, 900, 1700, 1200]", "[140, 900, -1700, 1200]"),
    ("[110, 120]", "[120, 110]"),
];

#[test]
fn many_faults_are_all_listed_in_the_order_of_the_text() {
    let said = |problem: &Problem| (problem.pointer.clone(), problem.message.clone());
    let mut one_by_one = Vec::new();
    let mut all = HEALTHY.to_owned();
    for (from, to) in FAULTS {
        let alone = problems(&with(HEALTHY, from, to));
        assert_eq!(alone.len(), 1, "{from}: {alone:?}");
        one_by_one.extend(alone.iter().map(said));
        all = with(&all, from, to);
    }
    let together = problems(&all);
    assert_eq!(together.iter().map(said).collect::<Vec<_>>(), one_by_one);
    assert!(together.is_sorted_by_key(|problem| (problem.line, problem.column)));
}

/// The byte of a text at a line and a column, both from 1.
fn byte_at(text: &str, line: u32, column: u32) -> usize {
    let lines = text.split_inclusive('\n').take(line as usize - 1);
    lines.map(str::len).sum::<usize>() + column as usize - 1
}

/// Asserts that the place of a problem holds the very value its pointer leads to, or its key.
fn assert_points_right(name: &str, text: &str, problem: &Problem) {
    let (line, column) = (problem.line.unwrap(), problem.column.unwrap());
    let there = text.get(byte_at(text, line, column)..).unwrap();
    let key = problem.pointer.rsplit('/').next().unwrap();
    if there.starts_with(&format!("\"{key}\": ")) {
        assert!(problem.message.contains("twice"), "{name}: {problem}");
        return;
    }
    let document: Value = serde_json::from_str(text).unwrap();
    let meant = document
        .pointer(&problem.pointer)
        .unwrap_or_else(|| panic!("{name}: {problem}"));
    let stands = serde_json::Deserializer::from_str(there)
        .into_iter::<Value>()
        .next();
    assert_eq!(stands.unwrap().unwrap(), *meant, "{name}: {problem}");
}

#[test]
fn every_problem_points_at_the_value_it_speaks_of() {
    let mut pointed = 0;
    for (name, bytes) in cases() {
        let Ok(text) = str::from_utf8(&bytes) else {
            continue;
        };
        // What is no JSON for others has no values to point at.
        if serde_json::from_str::<Value>(text).is_err() {
            continue;
        }
        for problem in problems(text) {
            assert_points_right(&name, text, &problem);
            pointed += 1;
        }
    }
    assert!(pointed > 60, "{pointed}");
}

#[test]
fn a_mark_before_the_text_and_other_line_ends_move_no_problem() {
    let text = with(HEALTHY, "\"mass_kg\": 2.9", "\"mass_kg\": -2.9");
    let plain = printed(&text);
    assert_eq!(printed(&format!("\u{feff}{text}")), plain);
    assert_eq!(printed(&text.replace('\n', "\r\n")), plain);
    assert_eq!(printed(&text.replace('\n', "\r")), plain);
}

#[test]
fn sizes_beyond_the_limits_are_refused() {
    let list =
        |value: &str, count: usize| format!("[{value}{}]", format!(", {value}").repeat(count - 1));
    let torque = "[1, 2, 2, 280, 640, 900, 1110, 1230]";
    let times = "[0, 50000, 100000, 151000, 200000, 250000, 301000, 350000]";
    let samples = |count| {
        let text = with(HEALTHY, torque, &list("900", count).replacen("900", "0", 5));
        let counted: Vec<_> = (0..count).map(|time| time.to_string()).collect();
        with(&text, times, &format!("[{}]", counted.join(", ")))
    };
    assert_eq!(printed(&samples(MOST_SAMPLES)), Vec::<String>::new());
    let found = printed(&samples(MOST_SAMPLES + 1));
    assert_eq!(
        found,
        ["48:21: /runs/1/torque_dnm: found 2000001 samples, wanted at most 2000000"]
    );

    let steps = list("1", MOST_KNOTS + 1).replacen('1', "0", 1);
    let text = with(HEALTHY, "[0, 4, 9, 30]", &steps);
    let text = with(
        &text,
        "[140, 900, 1700, 1200]",
        &list("100", MOST_KNOTS + 1),
    );
    assert_eq!(
        printed(&text),
        ["50:79: /runs/2/buildup/step: found 60001 knots, wanted at most 60000"]
    );

    let check = "{\"date\": \"2026-03-09\", \"tool\": \"alder\", \"pack\": \"one-row\", \"fastener\": \"M12 wheel nut\", \"came_loose\": true, \"tried_s\": 0.8}";
    let many = list("{}", MOST_ELEMENTS + 1);
    let text = with(HEALTHY, check, &many[1..many.len() - 1]);
    assert_eq!(
        printed(&text),
        ["56:19: /field_checks: found 500001 elements, wanted at most 500000"]
    );

    let mut setups = String::new();
    let mut runs = String::new();
    for setup in 0..MOST_COMBINATIONS {
        write!(setups, ",\n    {{\"id\": \"s{setup}\", \"name\": \"s\"}}").unwrap();
        write!(
            runs,
            ",\n    {{\"tool\": \"alder\", \"pack\": \"one-row\", \"day\": \"tuesday\", \"setup\": \"s{setup}\", \"interval_s\": 1, \"torque_dnm\": [0, 0, 0, 5, 5, 5]}}"
        )
        .unwrap();
    }
    let text = with(
        HEALTHY,
        "\"start_charge_percent\": 100}",
        &format!("\"start_charge_percent\": 100}}{setups}"),
    );
    let text = with(
        &text,
        "\"gap_us\": 5000}}",
        &format!("\"gap_us\": 5000}}}}{runs}"),
    );
    let found = printed(&text);
    assert_eq!(
        found,
        [
            "5040:11: /runs: found 5002 combinations of tool, pack, setup and rig, wanted at most 5000"
        ]
    );

    let runs: String = (0..MOST_DIFFERING)
        .map(|unit| {
            format!(
                ",\n    {{\"tool\": \"alder\", \"pack\": \"one-row\", \"pack_specimen\": \"{unit}\", \"day\": \"tuesday\", \"interval_s\": 1, \"torque_dnm\": [0, 0, 0, 5, 5, 5]}}"
            )
        })
        .collect();
    let text = with(
        HEALTHY,
        "\"gap_us\": 5000}}",
        &format!("\"gap_us\": 5000}}}}{runs}"),
    );
    let found = printed(&text);
    assert_eq!(found.len(), 1, "{found:?}");
    let wanted = "further specimens of tools and packs, and days, wanted at most 2000";
    assert!(found[0].ends_with(wanted), "{found:?}");

    let editions: Vec<_> = (3..=MOST_EDITIONS)
        .map(|edition| format!("{{\"edition\": {edition}, \"date\": \"2026-05-01\"}}"))
        .collect();
    let last = "\"torque_factor\": 0.985}\n    ]}";
    let with_editions = |more: &str| {
        with(
            HEALTHY,
            last,
            &format!("{last}, {}{more}", editions.join(", ")),
        )
    };
    assert_eq!(printed(&with_editions("")), Vec::<String>::new());
    assert_eq!(
        printed(&with_editions(
            ", {\"edition\": 5000, \"date\": \"2026-05-01\"}"
        )),
        ["8:15: /editions: found 1001 editions, wanted at most 1000"]
    );

    let bytes = vec![b' '; MOST_BYTES + 1];
    let found = read(&bytes).unwrap_err();
    assert_eq!(
        found[0].message,
        "found 256000001 bytes, wanted at most 256000000 bytes (256 MB)"
    );
}

#[test]
fn peaks_are_held_against_the_limit_as_corrections_make_them() {
    let factor = |text: &str, day: &str, factor: &str| {
        let from = "\"days\": [\"monday\"], \"torque_factor\": 0.985";
        let to = format!("\"days\": [\"{day}\", \"{day}\"], \"torque_factor\": {factor}");
        with(text, from, &to)
    };
    let knots = with(
        HEALTHY,
        "[140, 900, 1700, 1200]",
        "[140, 900, 1700, 197259]",
    );
    assert_eq!(printed(&knots), Vec::<String>::new());
    assert_eq!(
        printed(&factor(&knots, "tuesday", "1.001")),
        [
            "51:21: /runs/2/buildup/rise_dnm: found a sum of 199999, which corrections make 20019.8999 N·m, wanted at most 20000 N·m"
        ]
    );
    let samples = with(HEALTHY, "1500, 1530, 1540]", "1500, 160000, 160000]");
    assert_eq!(
        printed(&factor(&samples, "monday", "1.25")),
        Vec::<String>::new()
    );
    assert_eq!(
        printed(&factor(&samples, "monday", "1.5")),
        [
            "41:5: /runs/0: found samples that reduce to a sum of 160000, which corrections make 24000 N·m in \"rise_dnm\", wanted at most 20000 N·m"
        ]
    );
}

#[test]
fn of_very_many_problems_the_first_are_told_and_all_are_counted() {
    let check = "{\"date\": \"2026-03-09\", \"tool\": \"alder\", \"pack\": \"one-row\", \"fastener\": \"M12 wheel nut\", \"came_loose\": true, \"tried_s\": 0.8}";
    let pairs = 100_000;
    let text = with(
        HEALTHY,
        check,
        &format!(
            "{check}, {}{check}",
            "null, {\"tried_s\": 0}, ".repeat(pairs)
        ),
    );
    let problems = read(text.as_bytes()).unwrap_err();
    assert_eq!(problems.count(), 2 * pairs);
    let (shown, more) = problems.shown();
    assert_eq!((shown.len(), more), (50, 2 * pairs - 50));
    assert_eq!(shown[0].pointer, "/field_checks/1");
    assert_eq!(shown[49].line, Some(57));
    assert_eq!(problems.len(), MOST_KEPT);
    assert_eq!(
        problems.last().unwrap().pointer,
        format!("/field_checks/{}", 2 * MOST_KEPT - 1)
    );
}

#[test]
fn brackets_nested_without_end_exhaust_nothing() {
    let nested = format!("{}{}", "[".repeat(100_000), "]".repeat(100_000));
    assert_eq!(
        printed(&nested),
        [
            "1:1: found an array at the top, wanted an object (a dataset begins with {\"format\": \"jobtorque/1\", …)"
        ]
    );
    // In a field that is not known it is kept and not looked at.
    assert_eq!(
        printed(&with(
            HEALTHY,
            "\"invented\": true",
            &format!("\"invented\": true, \"x\": {nested}")
        )),
        Vec::<String>::new()
    );
    for (place, message) in [
        (
            "\"match_margin_percent\": 3",
            "7:27: /match_margin_percent: found an array, wanted a number",
        ),
        (
            "\"torque_nm\": [110, 120]",
            "54:84: /jobs/0/torque_nm/0: found an array, wanted a number",
        ),
        (
            "\"reason\": \"socket slipped\"",
            "46:30: /runs/1/excluded/reason: found an array, wanted a text",
        ),
    ] {
        let key = place.split(": ").next().unwrap();
        let found = printed(&with(HEALTHY, place, &format!("{key}: {nested}")));
        assert_eq!(found, [message]);
    }
    let objects = format!("{}1{}", "{\"a\":".repeat(100_000), "}".repeat(100_000));
    let text = with(
        HEALTHY,
        "\"invented\": true",
        &format!("\"invented\": {objects}"),
    );
    assert_eq!(
        printed(&text),
        ["5:15: /invented: found an object, wanted true or false"]
    );
}
