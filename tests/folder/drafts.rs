//! Drafts: counted only where they are asked for, and then every view says so first.

use super::{bundled, copied, edit, json_of, refused, stdout};

const SAID: &str = "Draft, not published.";

const VIEWS: &[&[&str]] = &[
    &["ask", "--job", "120 N·m"],
    &[
        "ask", "--job", "120 N·m", "--tool", "rook-18", "--pack", "thick-6",
    ],
    &["rank", "--job", "120 N·m"],
    &[
        "compare",
        "--tool",
        "rook-18",
        "--pack",
        "thin-3",
        "--with-tool",
        "rook-18",
        "--with-pack",
        "thick-6",
    ],
    &["packs", "--tool", "rook-18", "--job", "200 N·m"],
    &["choices", "--job", "120 N·m"],
    &["runs", "--tool", "rook-18", "--pack", "thick-6"],
];

#[test]
fn every_view_of_drafts_says_so_first() {
    let (around, folder) = copied();
    let file = bundled(&folder, around.path());
    for dataset in [folder.to_str().unwrap(), file.to_str().unwrap()] {
        for view in VIEWS {
            let (command, options) = view.split_first().unwrap();
            let plain = stdout(&[&[*command, dataset], options].concat());
            assert!(!plain.contains(SAID), "{plain}");
            let draft = stdout(&[&[*command, dataset, "--drafts"], options].concat());
            assert!(draft.starts_with(SAID), "{view:?}: {draft}");
        }
    }
}

#[test]
fn drafts_count_after_the_newest_edition() {
    let (_around, folder) = copied();
    let folder = folder.to_str().unwrap();
    let used = |more: &[&str]| {
        let question = [
            "ask", folder, "--json", "--job", "120 N·m", "--tool", "rook-18", "--pack", "thick-6",
        ];
        let answer = json_of(&[&question, more].concat());
        (
            answer["edition"].as_u64().unwrap(),
            answer["runs_used"].as_u64().unwrap(),
        )
    };
    assert_eq!(used(&[]), (2, 3));
    assert_eq!(used(&["--drafts"]), (3, 4));
    assert_eq!(used(&["--drafts", "--edition", "2"]), (2, 3));
    let runs = stdout(&[
        "runs", folder, "--drafts", "--tool", "rook-18", "--pack", "thick-6",
    ]);
    assert!(
        runs.contains("specimen A; draft") || runs.contains("; draft"),
        "{runs}"
    );
}

#[test]
fn without_drafts_nothing_is_marked() {
    let (_around, folder) = copied();
    edit(
        &folder,
        "runs.csv",
        "2026-05-05,,,,,,,,,,\n",
        "2026-05-05,,,2,,,,,,,\n",
    );
    let said = stdout(&["rank", folder.to_str().unwrap(), "--drafts"]);
    assert!(!said.contains(SAID), "{said}");
}

#[test]
fn an_edition_older_than_its_runs_is_not_published() {
    let (_around, folder) = copied();
    let path = folder.to_str().unwrap();
    edit(
        &folder,
        "bench.toml",
        "date = 2026-04-20",
        "date = 2026-04-05",
    );
    let (code, said) = refused(&["page", "--data", path, "--out", "/nowhere/at/all"]);
    assert_eq!(code, 1, "{said}");
    assert!(said.contains("bench.toml:12:8: editions.0.date: found \"2026-04-05\", wanted a day not before 2026-04-06"), "{said}");
}

#[test]
fn a_draft_edition_in_a_file_is_not_published_unasked() {
    let (_around, folder) = copied();
    edit(
        &folder,
        "bench.toml",
        "note = \"the second pack of the small tool\"",
        "draft = true",
    );
    let (code, said) = refused(&[
        "page",
        "--data",
        folder.to_str().unwrap(),
        "--out",
        "/nowhere/at/all",
    ]);
    assert_eq!(code, 1, "{said}");
    assert!(
        said.contains("editions.1.draft: found a draft edition"),
        "{said}"
    );
}
