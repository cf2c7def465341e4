//! `chart --log`, `chart --drift` and `drift --svg`: pictures that agree with what is told in text.

use super::{copied, edit, orchard, refused, stdout};
use resvg::usvg::roxmltree::Document;
use serde_json::Value;
use std::fs;
use std::path::Path;

/// The texts of a picture in their order.
fn texts(file: &Path) -> Vec<String> {
    let svg = fs::read_to_string(file).unwrap();
    let document = Document::parse(&svg).unwrap();
    let texts = document
        .descendants()
        .filter(|node| node.has_tag_name("text"));
    texts.map(|node| node.text().unwrap().to_owned()).collect()
}

/// The texts of the picture that `chart` draws of a run of a folder.
fn run_of(folder: &Path, options: &[&str]) -> Vec<String> {
    let around = tempfile::tempdir().unwrap();
    let file = around.path().join("run.svg");
    let dir = [folder.to_str().unwrap()];
    let to = ["--svg", file.to_str().unwrap()];
    stdout(&[&["chart"], &dir[..], options, &to].concat());
    texts(&file)
}

const LOG: &str = "plain/2026-05-04_rook-18_thin-3_A_7.csv";

#[test]
fn a_run_is_drawn_with_the_figures_of_its_reduction() {
    let folder = orchard();
    let dir = folder.to_str().unwrap();
    for (log, part) in [(LOG, None), ("cell/2026-05-04 wren thick.csv", Some("2"))] {
        let part: Vec<&str> = part
            .map(|part| ["--part", part])
            .into_iter()
            .flatten()
            .collect();
        let exact = stdout(&[&["reduce", log, "--in", dir, "--json"], &part[..]].concat());
        let exact: Value = serde_json::from_str(&exact).unwrap();
        let texts = run_of(&folder, &[&["--log", log], &part[..]].concat());
        let number = |name: &str| exact[name].as_f64().unwrap();
        for said in [
            format!("onset {:.4} s", number("onset_s")),
            format!("end {:.4} s", number("end_s")),
        ] {
            assert!(texts.contains(&said), "{said}: {texts:?}");
        }
        let peak = texts
            .iter()
            .find_map(|text| text.strip_prefix("peak ")?.strip_suffix(" N·m"));
        let peak: f64 = peak.unwrap().parse().unwrap();
        assert!(
            (peak - number("peak_torque_nm")).abs() < 0.06,
            "{peak}: {exact}"
        );
        for note in exact["notes"].as_array().unwrap() {
            let together = texts.join(" ");
            let sentence = note["sentence"].as_str().unwrap();
            assert!(together.contains(sentence), "{sentence}: {together}");
        }
    }
}

#[test]
fn a_run_says_what_was_run_and_whether_it_is_published() {
    let folder = orchard();
    let published = run_of(&folder, &["--log", LOG]);
    assert_eq!(published[0], "Invented data. These tools do not exist.");
    assert_eq!(published[1], "Rook 18 (invented) with Thin 3.0 (invented)");
    assert_eq!(published[2], format!("specimen A, 4 May 2026, log {LOG}"));
    let together = published.join(" ");
    for said in [
        "Check run.",
        "Orchard bench, made up for a test. Edition 2, 10 May 2026. Licence: CC0-1.0.",
    ] {
        assert!(together.contains(said), "{said}: {together}");
    }
    let draft = run_of(
        &folder,
        &["--log", "plain/2026-05-05_rook-18_thick-6_A_9.csv"],
    );
    assert!(draft[0].starts_with("Draft, not published."), "{draft:?}");
    assert!(
        draft
            .join(" ")
            .contains("Draft with runs up to 5 May 2026."),
        "{draft:?}"
    );
    let aside = run_of(&folder, &["--log", "amp/wren-2.txt"]);
    assert!(
        aside.contains(&"Set aside: socket slipped.".to_owned()),
        "{aside:?}"
    );
    let (_around, folder) = copied();
    fs::copy(
        folder.join("logs").join(LOG),
        folder.join("logs/plain/new.csv"),
    )
    .unwrap();
    let new = run_of(&folder, &["--log", "plain/new.csv"]);
    assert!(new[0].starts_with("Draft, not published."), "{new:?}");
    assert_eq!(new[1], "A log that no row of the notebook names");
}

#[test]
fn a_run_is_drawn_though_another_log_cannot_be_read() {
    let (_around, folder) = copied();
    fs::write(
        folder.join("logs/plain/2026-04-06_rook-18_thin-3_A_1.csv"),
        "no log",
    )
    .unwrap();
    assert!(run_of(&folder, &["--log", LOG]).len() > 10);
    edit(&folder, "tools.csv", "square;12,7;rail", "square;wide;rail");
    let dir = folder.to_str().unwrap();
    let to = folder.join("run.svg");
    let (code, said) = refused(&["chart", dir, "--log", LOG, "--svg", to.to_str().unwrap()]);
    assert_eq!(code, 1, "{said}");
    assert!(said.contains("tools.csv"), "{said}");
}

#[test]
fn what_cannot_be_drawn_is_told_and_nothing_is_written() {
    let (around, folder) = copied();
    let dir = folder.to_str().unwrap();
    let to = around.path().join("run.svg");
    let to = ["--svg", to.to_str().unwrap()];
    let said = |arguments: &[&str]| refused(&[&["chart"], arguments, &to].concat());
    let (code, text) = said(&[dir, "--log", "gone.csv"]);
    assert_eq!(code, 1, "{text}");
    assert!(text.contains("\"gone.csv\", which is not there"), "{text}");
    let (code, text) = said(&[dir, "--log", "cell/2026-05-04 wren thick.csv"]);
    assert_eq!(code, 1, "{text}");
    assert!(text.contains("say which with --part"), "{text}");
    let (code, text) = said(&["data/demo.json", "--log", "a.csv"]);
    assert_eq!(code, 2, "{text}");
    assert!(text.contains("below the logs/ of a bench folder"), "{text}");
    // A log of the folder is never replaced by its own picture.
    let log = folder.join("logs").join(LOG);
    let before = fs::read(&log).unwrap();
    let into = ["--svg", log.to_str().unwrap(), "--force"];
    let (code, text) = refused(&[&["chart", dir, "--log", LOG], &into[..]].concat());
    assert_eq!(code, 2, "{text}");
    assert!(text.contains("lies among the logs"), "{text}");
    assert_eq!(fs::read(&log).unwrap(), before);
    let table = folder.join("runs.csv");
    let into = ["--svg", table.to_str().unwrap(), "--force"];
    let (code, text) = refused(&[&["chart", dir, "--log", LOG], &into[..]].concat());
    assert_eq!(code, 2, "{text}");
    assert!(text.contains("the picture is made from it"), "{text}");
    assert_eq!(fs::read_dir(around.path()).unwrap().count(), 1);
}

/// The demo with a day that reads low and a day that lost its check run, in a file.
fn faulty() -> (tempfile::TempDir, String) {
    let mut dataset: Value = serde_json::from_str(include_str!("../../data/demo.json")).unwrap();
    let corrections = dataset["editions"][2]["corrections"]
        .as_array_mut()
        .unwrap();
    corrections.push(serde_json::json!(
        {"text": "made up for a test", "days": ["2026-06-29"], "torque_factor": 0.8}
    ));
    let runs = dataset["runs"].as_array_mut().unwrap();
    runs.retain(|run| run["day"] != "2026-04-20" || run["control"] != true);
    let around = tempfile::tempdir().unwrap();
    let file = around.path().join("bench.json");
    fs::write(&file, dataset.to_string()).unwrap();
    let file = file.to_str().unwrap().to_owned();
    (around, file)
}

#[test]
fn the_picture_of_the_check_runs_says_what_the_text_says() {
    let (around, file) = faulty();
    let (one, other) = (around.path().join("a.svg"), around.path().join("b.svg"));
    let said = stdout(&["drift", &file, "--svg", one.to_str().unwrap()]);
    assert!(
        said.ends_with(&format!("Written to {}.\n", one.display())),
        "{said}"
    );
    stdout(&["chart", &file, "--drift", "--svg", other.to_str().unwrap()]);
    assert_eq!(fs::read(&one).unwrap(), fs::read(&other).unwrap());

    let words = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let (said, texts) = (words(&said), texts(&one));
    let drawn = words(&texts.join(" "));
    for sentence in [
        "Outside its limits: 2026-06-29 (−19.0 %).",
        "New calibration of the rig: 2026-06-15.",
        "Days with runs and without a check run: 2026-04-20.",
        "Each day is held against the other days;",
    ] {
        assert!(said.contains(sentence), "{sentence}: {said}");
        assert!(drawn.contains(sentence), "{sentence}: {drawn}");
    }
    for word in [
        "2026-06-29 (−19.0 %)",
        "new calibration 2026-06-15",
        "2026-04-20",
    ] {
        assert!(texts.iter().any(|text| text == word), "{word}: {texts:?}");
    }
    assert_eq!(texts[0], "Invented data. These tools do not exist.");
    let credit = "Hedgerow lending bench: which wrench to borrow. Edition 3, 11 July 2026. Licence: CC0-1.0.";
    assert!(drawn.ends_with(credit), "{drawn}");
}

#[test]
fn exact_figures_of_the_check_runs_stay_json_beside_a_picture() {
    let (around, file) = faulty();
    let png = around.path().join("a.png");
    let said = stdout(&["drift", &file, "--json", "--png", png.to_str().unwrap()]);
    let exact: Value = serde_json::from_str(&said).unwrap();
    let series = &exact["series"][0];
    assert_eq!(series["calibrations"], serde_json::json!(["2026-06-15"]));
    for day in series["days"].as_array().unwrap() {
        let number = |name: &str| day[name].as_f64().unwrap();
        let off = 100.0 * (number("mean_torque_nm") / number("mean_of_others_nm") - 1.0);
        assert!((off - number("off_percent")).abs() < 1e-9, "{day}");
    }
    assert!(fs::read(&png).unwrap().starts_with(b"\x89PNG"));
}

#[test]
fn without_check_runs_no_picture_is_written() {
    let (around, folder) = copied();
    edit(&folder, "runs.csv", "15:00,yes,2", "15:00,,2");
    let svg = around.path().join("a.svg");
    let (code, said) = refused(&[
        "drift",
        folder.to_str().unwrap(),
        "--svg",
        svg.to_str().unwrap(),
    ]);
    assert_eq!(code, 2);
    assert!(said.contains("There is no check run"), "{said}");
    assert!(!svg.exists());
}

#[test]
fn a_picture_is_drawn_again_where_it_was_drawn_before() {
    let (_around, folder) = copied();
    let dir = folder.to_str().unwrap();
    fs::create_dir(folder.join("pictures")).unwrap();
    for file in ["run.svg", "pictures/run.svg"] {
        let to = folder.join(file);
        let draw = ["chart", dir, "--log", LOG, "--svg", to.to_str().unwrap()];
        stdout(&draw);
        let first = fs::read(&to).unwrap();
        stdout(&draw);
        assert_eq!(fs::read(&to).unwrap(), first);
    }
    // Among the logs it would be taken for one.
    for file in ["logs/run.svg", "logs/plain/run.svg", "logs/../logs/run.svg"] {
        let to = folder.join(file);
        let draw = ["chart", dir, "--log", LOG, "--svg", to.to_str().unwrap()];
        let (code, text) = refused(&draw);
        assert_eq!(code, 2, "{text}");
        assert!(
            text.contains("lies among the logs of the bench folder"),
            "{text}"
        );
        assert!(!to.exists());
    }
}

#[test]
fn one_file_cannot_hold_both_kinds_of_picture() {
    let (around, folder) = copied();
    let dir = folder.to_str().unwrap();
    let one = around.path().join("run.svg");
    let other = around
        .path()
        .join(".")
        .join("bench")
        .join("..")
        .join("run.svg");
    for both in [&one, &other] {
        let to = [
            "--svg",
            one.to_str().unwrap(),
            "--png",
            both.to_str().unwrap(),
        ];
        let (code, text) = refused(&[&["chart", dir, "--log", LOG], &to[..]].concat());
        assert_eq!(code, 2, "{text}");
        assert!(text.contains("--svg and --png name one file"), "{text}");
        assert!(!one.exists());
    }
}
