//! Golden printed answers: what each command and export prints, whole, for the demo and for a dataset
//! of other flags. A change of any word, figure or line turns this red and is to be explained where
//! changes are listed.
//!
//! One file of `tests/golden/printed/` a command. To take what the program prints now:
//!
//! ```text
//! UPDATE_GOLDEN=1 cargo test --test printed
//! ```

#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing)]

use jobtorque::export;
use jobtorque::query::question::Question;
use jobtorque::results::Results;
use serde_json::{Value, json};
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

/// Commands that are asked of the demo: the name of the golden file, and the arguments.
const OF_DEMO: &[(&str, &str)] = &[
    (
        "ask-pair",
        "ask --tool sorrel-18-medium --pack two-row-8-0 --job 650Nm",
    ),
    ("ask-list", "ask --job 650Nm"),
    ("ask-tool", "ask --tool sorrel-18-medium --job 650Nm"),
    (
        "ask-bolt",
        "ask --tool sorrel-18-medium --pack two-row-8-0 --job M20~10.9",
    ),
    (
        "ask-tighten",
        "ask --tool sorrel-18-medium --pack two-row-8-0 --job 120Nm --tighten",
    ),
    (
        "ask-wheel",
        "ask --job heavy-truck-wheel-loosen --condition 1.5 --loss 12",
    ),
    (
        "ask-pounds",
        "ask --tool sorrel-18-medium --pack two-row-8-0 --job 480lbf·ft --within 2",
    ),
    (
        "ask-best-of-three",
        "ask --tool sorrel-18-medium --pack two-row-8-0 --job 650Nm --score best-of-three",
    ),
    (
        "ask-out-of-reach",
        "ask --tool sorrel-18-medium --pack two-row-8-0 --job 1500Nm",
    ),
    ("rank", "rank --job 650Nm --stated"),
    ("rank-mean-per-kg", "rank --by mean-per-kg --currency EUR"),
    (
        "rank-filtered",
        "rank --job 300Nm --heaviest 2.5 --longest 160 --reaching --sort mass",
    ),
    ("rank-csv", "rank --job 650Nm --csv"),
    (
        "compare",
        "compare --tool sorrel-18-medium --pack two-row-8-0 --with-tool sorrel-18-medium --with-pack two-row-5-0 --job 650Nm",
    ),
    (
        "compare-tools",
        "compare --tool sorrel-18-medium --pack two-row-8-0 --with-tool burdock-18-medium --with-pack two-row-8-0",
    ),
    ("packs", "packs --tool sorrel-18-medium --job 650Nm"),
    ("choices", "choices --job 650Nm"),
    (
        "choices-quickest",
        "choices --job 300Nm --by quickest --heaviest 3",
    ),
    ("choices-none", "choices --job 2500Nm"),
    (
        "runs",
        "runs --tool sorrel-18-medium --pack two-row-8-0 --job 650Nm",
    ),
    ("changes", "changes"),
    ("changes-markdown", "changes --markdown"),
    ("drift", "drift"),
    ("plan", "plan --runs 12"),
    ("check", "check data/demo.json"),
    ("check-folder", "check data/demo"),
    (
        "ask-wheel-tighten",
        "ask --tool sorrel-18-medium --pack two-row-8-0 --job car-wheel-tighten",
    ),
    (
        "ask-estimate",
        "ask --tool tansy-18-small --pack three-row-12 --job 150Nm",
    ),
    (
        "ask-cold-packs",
        "ask --tool sorrel-18-medium --pack two-row-8-0 --job 650Nm --setup cold-packs",
    ),
    (
        "ask-edition-1",
        "ask --tool sorrel-18-medium --pack two-row-8-0 --job 650Nm --edition 1",
    ),
    (
        "ask-json",
        "ask --tool sorrel-18-medium --pack two-row-8-0 --job 650Nm --json",
    ),
    ("ask-unknown", "ask --tool sorel --job 650Nm"),
    ("ask-no-unit", "ask --job 650"),
    ("ask-range", "ask --job 90-110Nm --tool sorrel-18-medium"),
    ("ask-thread", "ask --job M22x1.5"),
    ("ask-socket", "ask --job rusty~19mm~socket"),
    ("ask-words", "ask --job lorry~wheel"),
    ("ask-pounds-alone", "ask --job 480~lbs"),
    ("ask-ambiguous", "ask --job 1.234"),
];

/// Commands that are asked of the other dataset.
const OF_OTHER: &[(&str, &str)] = &[
    ("ask-pair", "ask --tool north --pack tall --job 150Nm"),
    ("ask-list", "ask --job 150Nm"),
    ("ask-estimate", "ask --tool south --pack flat --job 120Nm"),
    (
        "ask-second-rig",
        "ask --tool north --pack tall --job 150Nm --rig second",
    ),
    ("rank", "rank --job 150Nm"),
    ("rank-price", "rank --by mean-per-price --currency USD"),
    ("rank-csv", "rank --job 150Nm --csv"),
    (
        "compare",
        "compare --tool north --pack tall --with-tool north --with-pack flat --job 150Nm",
    ),
    ("packs", "packs --tool north"),
    (
        "choices",
        "choices --job 150Nm --by least-costly --currency EUR",
    ),
    ("runs", "runs --tool north --pack tall"),
    ("plan", "plan --runs 6"),
    ("check", "check"),
];

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/golden/printed")
}

/// What a command prints, and with which code it ends if not with 0. A `~` in an argument is a space.
fn printed(arguments: &str, file: Option<&Path>) -> String {
    let words = arguments.split(' ').map(|word| word.replace('~', " "));
    let mut words: Vec<String> = words.collect();
    let file = file.map(|file| file.to_str().unwrap().to_owned());
    words.splice(1..1, file);
    let output = Command::new(env!("CARGO_BIN_EXE_jobtorque"))
        .args(&words)
        .output()
        .unwrap();
    let errors = String::from_utf8_lossy(&output.stderr);
    let said = String::from_utf8(output.stdout).unwrap();
    if output.status.success() && errors.is_empty() {
        return said;
    }
    format!(
        "{said}-- ends with {:?}, on the error stream: --\n{errors}",
        output.status.code()
    )
}

/// Holds a text against its golden file, or takes it.
fn hold(differing: &mut Vec<String>, taken: &mut BTreeSet<PathBuf>, name: &str, now: &str) {
    let path = folder().join(name);
    taken.insert(path.clone());
    if std::env::var_os("UPDATE_GOLDEN").is_some() {
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, now).unwrap();
        return;
    }
    let golden = fs::read_to_string(&path).unwrap_or_default();
    if golden == now {
        return;
    }
    let lines = golden.lines().chain(std::iter::repeat("(no line)"));
    let (at, was, is) = lines
        .zip(now.lines().chain(["(no line)"]))
        .enumerate()
        .find_map(|(at, (was, is))| (was != is).then_some((at + 1, was, is)))
        .unwrap_or((0, "", "the same lines with other endings"));
    differing.push(format!("{name}, line {at}:\n  was: {was}\n  is:  {is}"));
}

/// The texts that people take along of a question, and its picture.
fn exports(
    file: Option<&Path>,
    question: &Question,
    arguments: &str,
) -> Vec<(&'static str, String)> {
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("data/demo.json");
    let bytes = fs::read(file.unwrap_or(&demo)).unwrap();
    let texts = include_str!("../www/texts/en.json");
    let results = Results::read(&bytes, serde_json::from_str(texts).unwrap()).unwrap();
    let taken = export::take(&results, question, None).unwrap();
    let out = tempfile::tempdir().unwrap();
    let picture = out.path().join("a.svg");
    printed(
        &format!("chart {arguments} --svg {}", picture.display()),
        file,
    );
    vec![
        ("plain.html", taken.plain),
        ("text.txt", taken.text),
        ("brief.html", export::brief(&results, question).unwrap()),
        ("chart.svg", fs::read_to_string(picture).unwrap()),
    ]
}

fn all_of(set: &str, file: Option<&Path>, commands: &[(&str, &str)], pair: [&str; 3]) {
    let (mut differing, mut taken) = (Vec::new(), BTreeSet::new());
    for (name, arguments) in commands {
        let now = printed(arguments, file);
        // Where the file lies is no part of what is held.
        let now = file.map_or(now.clone(), |file| {
            now.replace(file.to_str().unwrap(), "other.json")
        });
        hold(
            &mut differing,
            &mut taken,
            &format!("{set}/{name}.txt"),
            &now,
        );
    }
    let [tool, pack, job] = pair.map(String::from);
    let arguments = format!("--tool {tool} --pack {pack} --job {job}");
    let question = Question {
        tool: Some(tool),
        pack: Some(pack),
        job: Some(job),
        ..Question::default()
    };
    for (name, now) in exports(file, &question, &arguments) {
        hold(&mut differing, &mut taken, &format!("{set}/{name}"), &now);
    }
    assert!(
        differing.is_empty(),
        "{}\nif this is meant: UPDATE_GOLDEN=1 cargo test --test printed",
        differing.join("\n")
    );
    let there = fs::read_dir(folder().join(set)).unwrap();
    let there: BTreeSet<PathBuf> = there.map(|entry| entry.unwrap().path()).collect();
    assert_eq!(there, taken, "golden files that nothing is held against");
}

#[test]
fn the_demo_is_told_as_before() {
    all_of(
        "demo",
        None,
        OF_DEMO,
        ["sorrel-18-medium", "two-row-8-0", "650Nm"],
    );
}

#[test]
fn a_dataset_of_other_flags_is_told_as_before() {
    let around = tempfile::tempdir().unwrap();
    let file = around.path().join("other.json");
    fs::write(&file, other().to_string()).unwrap();
    all_of("other", Some(&file), OF_OTHER, ["north", "tall", "150Nm"]);
}

/// What the demo is not: `invented` is false, though these are no measurements but formulas, no joint
/// has an angle, one specimen of each tool, prices in several currencies, two rigs, one edition.
fn other() -> Value {
    let mut runs = Vec::new();
    for (day, factor) in [("may", 1.0), ("june", 0.98)] {
        for (tool, tool_nm) in [("north", 260.0), ("south", 210.0), ("west", 140.0)] {
            for (pack, pack_factor) in [("tall", 1.0), ("flat", 0.86)] {
                if (tool, pack) == ("south", "flat") {
                    continue;
                }
                for (number, luck) in [1.0, 1.02, 0.985].into_iter().enumerate() {
                    let peak_dnm: f64 = tool_nm * pack_factor * luck * factor * 10.0;
                    runs.push(run(tool, pack, day, number, peak_dnm));
                }
            }
        }
    }
    let price = |amount: f64, currency: &str| json!({"amount": amount, "currency": currency, "date": "2026-04-01"});
    let tool = |id: &str, name: &str, size: &str, mass_kg: f64, amount: f64| {
        json!({"id": id, "name": name, "size": size, "pack_mount": "slide", "mass_kg": mass_kg,
               "prices": [price(amount, "EUR"), price(amount + 20.0, "USD")]})
    };
    let pack = |id: &str, name: &str, mass_kg: f64, amount: f64| {
        json!({"id": id, "name": name, "pack_mount": "slide", "nominal_v": 18, "capacity_ah": 4, "mass_kg": mass_kg,
               "prices": [price(amount, "EUR"), price(amount + 5.0, "USD")]})
    };
    let rig = |id: &str, name: &str| {
        json!({"id": id, "name": name, "torque_from": "torque sensor", "window_s": 3,
               "calibrations": [{"date": "2026-01-10", "expanded_uncertainty_percent": 2, "coverage_factor": 2}]})
    };
    json!({
        "format": jobtorque::dataset::FORMAT,
        "title": "Formulas, no measurements: a file with the flags of a real one",
        "license": "CC0-1.0",
        "invented": false,
        "disclosure": "Nobody paid for this.",
        "match_margin_percent": 3,
        "editions": [{"edition": 1, "date": "2026-06-20"}],
        "rigs": [rig("first", "First rig"), rig("second", "Second rig")],
        "setups": [{"id": "standard", "name": "full pack, forward", "rotation": "forward"}],
        "tools": [tool("north", "North 18", "large", 2.2, 240.0), tool("south", "South 18", "medium", 1.7, 180.0),
                  tool("west", "West 18", "small", 1.1, 120.0)],
        "packs": [pack("tall", "Tall 4.0", 0.7, 80.0), pack("flat", "Flat 4.0", 0.6, 70.0)],
        "days": [{"id": "may", "date": "2026-05-04", "rig": "first", "ambient_c": 19},
                 {"id": "june", "date": "2026-06-15", "rig": "second", "ambient_c": 24}],
        "runs": runs,
        "jobs": [{"id": "gate", "label": "hinge of a gate", "direction": "loosen", "torque_nm": 150}],
        "field_checks": []
    })
}

/// Three seconds of a torque that rises to a peak, sampled each 20 ms after a quiet start.
fn run(tool: &str, pack: &str, day: &str, number: usize, peak_dnm: f64) -> Value {
    let torque_dnm: Vec<i64> = (0..170)
        .map(|sample| {
            let time_s = 0.02 * f64::from(sample) - 0.2;
            let rise = if time_s > 0.0 {
                1.0 - libm::exp(-time_s / 0.6)
            } else {
                0.0
            };
            (peak_dnm * rise).round() as i64 + i64::from(sample % 3) - 1
        })
        .collect();
    json!({"tool": tool, "pack": pack, "day": day, "edition": 1, "start_s": 0, "interval_s": 0.02,
           "torque_dnm": torque_dnm, "note": format!("try {}", number + 1)})
}
