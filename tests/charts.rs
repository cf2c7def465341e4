//! `chart`: what the file states, and which files are replaced.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing
)]

use resvg::tiny_skia::Pixmap;
use resvg::usvg::roxmltree::Document;
use std::fs;
use std::path::Path;
use std::process::Command;

const QUESTION: [&str; 6] = [
    "--tool",
    "sorrel-18-medium",
    "--pack",
    "two-row-5-0",
    "--job",
    "650 N·m",
];

/// Exit code and what is said, for `chart` with these.
fn chart(arguments: &[&str]) -> (i32, String) {
    let output = Command::new(env!("CARGO_BIN_EXE_jobtorque"))
        .arg("chart")
        .args(arguments)
        .output()
        .unwrap();
    let said = [output.stdout, output.stderr].concat();
    (
        output.status.code().unwrap(),
        String::from_utf8(said).unwrap(),
    )
}

/// `chart` of the question to a file.
fn to(file: &Path, more: &[&str]) -> (i32, String) {
    let file = file.to_str().unwrap();
    chart(&[&QUESTION, ["--svg", file].as_slice(), more].concat())
}

#[test]
fn a_chart_states_title_units_edition_and_licence() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("chart.svg");
    let (code, said) = to(&file, &[]);
    assert_eq!(
        (code, said),
        (0, format!("Written to {}.\n", file.display()))
    );
    let text = fs::read_to_string(&file).unwrap();
    let document = Document::parse(&text).unwrap();
    let words: Vec<&str> = document
        .descendants()
        .filter(|node| node.has_tag_name("text"))
        .map(|node| node.text().unwrap())
        .collect();
    assert_eq!(words[0], "Invented data. These tools do not exist.");
    for exact in ["torque, N·m", "time, s", "needed: 650 N·m", "0", "5"] {
        assert!(words.contains(&exact), "{exact}: {words:?}");
    }
    let dataset: serde_json::Value =
        serde_json::from_str(include_str!("../data/demo.json")).unwrap();
    let together = words.join(" ");
    for stated in [
        dataset["title"].as_str().unwrap(),
        dataset["license"].as_str().unwrap(),
        "Edition 3, 11 July 2026.",
        "● Sorrel 18 medium with two-row 5.0",
    ] {
        assert!(together.contains(stated), "{stated}: {together}");
    }
    let left: Vec<_> = fs::read_dir(folder.path()).unwrap().collect();
    assert_eq!(left.len(), 1, "nothing else is left there");
}

#[test]
fn options_of_the_question_and_of_reading_are_those_of_the_answer() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("chart.svg");
    let of = |more: &[&str]| {
        assert_eq!(to(&file, more).0, 0, "{more:?}");
        fs::read_to_string(&file).unwrap()
    };
    assert!(of(&["--units", "lbf-ft"]).contains(">needed: 480 lbf·ft<"));
    // Of the first plot: the places below it are left out where the runs are drawn.
    let first = |text: &str| text.split("</g>").next().map(str::to_owned);
    let lines = |text: &str| first(text).map_or(0, |plot| plot.matches("<polyline").count());
    let alone = of(&[]);
    assert!(lines(&of(&["--runs"])) > lines(&alone) + 2);
    let overlaid = of(&[
        "--with-tool",
        "burdock-18-medium",
        "--with-pack",
        "two-row-8-0",
    ]);
    assert!(overlaid.contains("stroke-dasharray") && !alone.contains("stroke-dasharray"));
    assert!(overlaid.contains(">■ "));
    // The comparison in the words of `compare`.
    let apart = "As tested, ";
    assert!(overlaid.contains(apart) && !alone.contains(apart));
}

/// Replaces a file of `kind` with what is drawn now: exit code and what is said.
fn over(file: &Path, kind: &str, more: &[&str]) -> (i32, String) {
    let file = file.to_str().unwrap();
    chart(&[&QUESTION, [kind, file].as_slice(), more].concat())
}

#[test]
fn no_file_is_replaced_that_the_program_did_not_write_or_that_was_changed_since() {
    let folder = tempfile::tempdir().unwrap();
    for kind in ["--svg", "--png"] {
        let own = folder.path().join(format!("chart.{}", &kind[2..]));
        assert_eq!(over(&own, kind, &[]).0, 0);
        let written = fs::read(&own).unwrap();
        assert_eq!(
            over(&own, kind, &["--units", "lbf-ft"]).0,
            0,
            "its own file is"
        );
        assert_ne!(fs::read(&own).unwrap(), written);

        let changed = [&written[..], b" "].concat();
        let before_the_mark = String::from_utf8_lossy(&written).replace("960", "961");
        let files: [(&[u8], &str); 5] = [
            (
                b"<svg xmlns=\"http://www.w3.org/2000/svg\"></svg>",
                "not written by this program",
            ),
            (b"\x89PNG\r\n\x1a\n", "not written by this program"),
            (b"", "not written by this program"),
            (&changed, "changed since this program wrote it"),
            (
                before_the_mark.as_bytes(),
                "changed since this program wrote it",
            ),
        ];
        for (bytes, why) in files {
            fs::write(&own, bytes).unwrap();
            let (code, said) = over(&own, kind, &[]);
            assert_eq!(code, 2);
            assert!(said.contains(why) && said.contains("--force"), "{said}");
            assert_eq!(fs::read(&own).unwrap(), bytes);
        }
        assert_eq!(over(&own, kind, &["--force"]).0, 0);
        assert_eq!(fs::read(&own).unwrap(), written);
        let (code, said) = over(folder.path(), kind, &["--force"]);
        assert_eq!(code, 2);
        assert!(said.contains("not a file"), "{said}");
    }
    let left = fs::read_dir(folder.path()).unwrap().count();
    assert_eq!(left, 2, "nothing is left beside the files");
}

#[test]
fn of_two_files_none_is_written_where_one_must_not_be_replaced() {
    let folder = tempfile::tempdir().unwrap();
    let (svg, png) = (folder.path().join("a.svg"), folder.path().join("a.png"));
    fs::write(&png, "somebody's").unwrap();
    let files = [
        "--svg",
        svg.to_str().unwrap(),
        "--png",
        png.to_str().unwrap(),
    ];
    let (code, said) = chart(&[&QUESTION, &files[..]].concat());
    assert_eq!(code, 2, "{said}");
    assert!(!svg.exists());
    assert_eq!(fs::read(&png).unwrap(), b"somebody's");
    let (code, said) = chart(&[&QUESTION, &files[..], &["--force"]].concat());
    let written = format!("Written to {} and {}.\n", svg.display(), png.display());
    assert_eq!((code, said), (0, written));
}

#[test]
fn a_png_file_is_the_picture_at_two_pixels_for_each_of_its_width() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("chart.png");
    for (width, pixels) in [("960", 1920), ("400", 800)] {
        let (code, said) = over(&file, "--png", &["--width", width]);
        assert_eq!(code, 0, "{said}");
        let picture = Pixmap::decode_png(&fs::read(&file).unwrap()).unwrap();
        assert_eq!(picture.width(), pixels);
        let ground = picture.pixel(0, 0).unwrap();
        let inked = picture.pixels().iter().filter(|pixel| **pixel != ground);
        assert!(inked.count() > 10_000);
    }
    for width in ["319", "4001", "wide"] {
        assert_eq!(over(&file, "--png", &["--width", width]).0, 2, "{width}");
    }
}

#[test]
fn a_picture_needs_a_file_and_one_subject() {
    let (code, said) = chart(&QUESTION);
    assert_eq!(code, 2);
    assert!(said.contains("--svg FILE, --png FILE, or both"), "{said}");
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("a.svg");
    let file = ["--svg", file.to_str().unwrap()];
    for subject in [
        ["--drift", "--job", "650 N·m"].as_slice(),
        &["--drift", "--tool", "sorrel-18-medium"],
        &["data/demo", "--log", "a.csv", "--drift"],
        &["data/demo", "--log", "a.csv", "--pack", "two-row-5-0"],
        &["--log", "a.csv"],
        &["data/demo", "--part", "1"],
    ] {
        let (code, said) = chart(&[subject, &file].concat());
        assert_eq!(code, 2, "{subject:?}: {said}");
        assert!(said.contains("Usage:"), "{said}");
    }
}

#[test]
fn the_dataset_is_never_replaced() {
    let folder = tempfile::tempdir().unwrap();
    let data = folder.path().join("data.json");
    let text = include_str!("../data/demo.json");
    fs::write(&data, text).unwrap();
    let name = data.to_str().unwrap();
    // By another way to the same file too.
    let around = format!("{}/./data.json", folder.path().display());
    for file in [name, &around] {
        for kind in ["--svg", "--png"] {
            let (code, said) = chart(&[&[name], &QUESTION[..], &[kind, file, "--force"]].concat());
            assert_eq!(code, 2);
            assert!(said.contains("the picture is made from it"), "{said}");
            assert_eq!(fs::read_to_string(&data).unwrap(), text);
        }
    }
}

#[cfg(unix)]
#[test]
fn a_link_is_neither_written_through_nor_replaced() {
    let folder = tempfile::tempdir().unwrap();
    let (own, link) = (
        folder.path().join("chart.svg"),
        folder.path().join("link.svg"),
    );
    assert_eq!(to(&own, &[]).0, 0);
    let before = fs::read(&own).unwrap();
    std::os::unix::fs::symlink(&own, &link).unwrap();
    for more in [[].as_slice(), &["--force"]] {
        let (code, said) = to(&link, more);
        assert_eq!(code, 2);
        assert!(said.contains("a link"), "{said}");
        assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
        assert_eq!(fs::read(&own).unwrap(), before);
    }
}

#[test]
fn where_there_is_nothing_to_draw_no_file_is_written() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("chart.svg");
    let name = file.to_str().unwrap();
    let pair = ["--tool", "vetch-18-small", "--pack", "ten-cell-4-0"];
    let (code, said) = chart(&[&pair, ["--job", "150 N·m", "--svg", name].as_slice()].concat());
    assert_eq!(code, 2);
    assert!(said.contains("no curve to draw"), "{said}");
    assert!(said.contains("does not fit this tool"), "{said}");
    assert!(!file.exists());
    let (code, said) = chart(&["--job", "650 lbs", "--svg", name]);
    assert_eq!(code, 2);
    assert!(said.contains("--job"), "{said}");
    assert!(!file.exists());
}
