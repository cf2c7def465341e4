//! The shape of the source: which module may use which, what the visitor's module is made of, which
//! texts are used, how long a file and a function may be.

#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing)]

mod imports;
mod lengths;
mod page;
mod syntax;
mod texts;

use jobtorque::dataset::FORMAT;
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn text(name: &str) -> String {
    fs::read_to_string(root().join(name)).unwrap_or_else(|error| panic!("{name}: {error}"))
}

/// Every file of text below a folder, by its name from the root, with its text. Pictures hold none.
fn files(folder: &str) -> BTreeMap<String, String> {
    let mut found = BTreeMap::new();
    let mut folders = vec![root().join(folder)];
    while let Some(folder) = folders.pop() {
        let entries = fs::read_dir(&folder)
            .unwrap()
            .map(|entry| entry.unwrap().path());
        let (inner, files): (Vec<PathBuf>, Vec<PathBuf>) = entries.partition(|path| path.is_dir());
        folders.extend(inner);
        let is_text = |file: &PathBuf| file.extension().is_none_or(|kind| kind != "webp");
        for file in files.into_iter().filter(is_text) {
            let name = file
                .strip_prefix(root())
                .unwrap()
                .to_string_lossy()
                .replace('\\', "/");
            found.insert(name, fs::read_to_string(&file).unwrap());
        }
    }
    assert!(!found.is_empty(), "{folder} is empty");
    found
}

/// The source of the program, without its comments and the tests at the foot of its files.
fn sources() -> BTreeMap<String, String> {
    let code = |text: &str| {
        let test =
            |line: &str| line.starts_with("#[cfg(test)]") || line.starts_with("#[cfg(all(test,");
        let lines = text.lines().take_while(|line| !test(line));
        let lines = lines.filter(|line| !line.trim_start().starts_with("//"));
        lines.map(|line| format!("{line}\n")).collect::<String>()
    };
    let rust = files("src")
        .into_iter()
        .filter(|(name, _)| name.ends_with(".rs"));
    let rust = rust.filter(|(name, _)| !name.ends_with("/tests.rs"));
    rust.map(|(name, text)| (name, code(&text))).collect()
}

/// What the visitor's module may be made of.
const IN_THE_MODULE: [&str; 21] = [
    "jobtorque",
    // Elementary functions that give the same bits everywhere.
    "libm",
    // The chart.
    "plotters-backend",
    "plotters-canvas",
    // The dataset's types from a document, the answer's types to script.
    "serde",
    "serde_core",
    "serde-wasm-bindgen",
    "tsify",
    // The allocator, and what it pulls in.
    "const-default",
    "rlsf",
    // The boundary to script, and what it pulls in.
    "cfg-if",
    "futures-core",
    "futures-task",
    "futures-util",
    "js-sys",
    "pin-project-lite",
    "slab",
    "unicode-ident",
    "wasm-bindgen",
    "wasm-bindgen-shared",
    "web-sys",
];

#[test]
fn the_module_of_the_visitor_is_made_of_named_crates() {
    let tree = Command::new(env!("CARGO"))
        .current_dir(root())
        .args([
            "tree",
            "--locked",
            "--no-default-features",
            "--target",
            "wasm32-unknown-unknown",
        ])
        .args([
            "--edges",
            "normal,no-proc-macro",
            "--prefix",
            "none",
            "--format",
            "{p}",
        ])
        .output()
        .unwrap();
    assert!(
        tree.status.success(),
        "{}",
        String::from_utf8_lossy(&tree.stderr)
    );
    let tree = String::from_utf8(tree.stdout).unwrap();
    let crates: BTreeSet<&str> = tree
        .lines()
        .filter_map(|line| line.split_whitespace().next())
        .collect();
    let named: BTreeSet<&str> = IN_THE_MODULE.into_iter().collect();
    assert_eq!(crates, named);
}

/// The packages that the project is fixed to.
const FIXED: [&str; 6] = [
    "wasm-bindgen",
    "web-sys",
    "serde",
    "serde-wasm-bindgen",
    "plotters-canvas",
    "js-sys",
];

#[test]
fn the_fixed_packages_are_dependencies_are_used_and_are_explained() {
    let (manifest, developers) = (text("Cargo.toml"), text("DEVELOPERS.md"));
    let sources = sources();
    for package in FIXED {
        let line = format!("\n{package} = ");
        assert_eq!(manifest.matches(&line).count(), 1, "{package}");
        let path = format!("{}::", package.replace('-', "_"));
        let used = sources.values().any(|source| source.contains(&path));
        assert!(used, "{package} is not used");
        assert!(
            developers.contains(&format!("- `{package}`: ")),
            "DEVELOPERS.md does not say what {package} is for"
        );
    }
}

#[test]
fn nothing_points_out_of_the_page() {
    // Names, not places: nothing is fetched from them. The last is this machine.
    const NAMES: [&str; 5] = [
        "http://www.w3.org/",
        "https://schema.org\"",
        "https://json-schema.org/draft/2020-12/schema",
        "https://datapackage.org/profiles/2.0/",
        "http://{}:{port}/",
    ];
    let mut wrong = Vec::new();
    for (name, text) in files("src").into_iter().chain(files("www")) {
        for address in ["http://", "https://", "=\"//", "='//", "url(//"] {
            let found = text.match_indices(address).map(|(at, _)| &text[at..]);
            let strange = found.filter(|there| !NAMES.iter().any(|name| there.starts_with(name)));
            wrong.extend(strange.map(|there| format!("{name}: {}", there.lines().next().unwrap())));
        }
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

#[test]
fn the_binding_library_and_its_builder_have_one_number() {
    let manifest = text("Cargo.toml");
    let pinned = |name: &str| {
        let start = format!("{name} = \"=");
        let line = manifest.lines().find_map(|line| line.strip_prefix(&start));
        line.unwrap_or_else(|| panic!("{name} is not pinned"))
            .trim_end_matches('"')
            .to_owned()
    };
    let number = pinned("wasm-bindgen");
    assert_eq!(number, pinned("wasm-bindgen-cli-support"));
    let lock = text("Cargo.lock");
    for name in ["wasm-bindgen", "wasm-bindgen-cli-support"] {
        assert!(
            lock.contains(&format!("name = \"{name}\"\nversion = \"{number}\"\n")),
            "{name} in Cargo.lock"
        );
    }
}

#[test]
fn the_name_of_the_format_is_the_same_everywhere() {
    let (name, _) = FORMAT.split_once('/').unwrap();
    let start = format!("{name}/");
    let mut files: Vec<_> = files("src").into_iter().chain(files("www")).collect();
    for data in [
        "data/demo.json",
        "data/schema.json",
        "tests/cases/healthy.json",
    ] {
        assert!(text(data).contains(&format!("\"{FORMAT}\"")), "{data}");
        files.push((data.to_owned(), text(data)));
    }
    for (file, text) in files {
        for (at, _) in text.match_indices(&start) {
            let number = text[at + start.len()..].starts_with(|c: char| c.is_ascii_digit());
            assert!(
                !number || text[at..].starts_with(FORMAT),
                "{file}: {}",
                text[at..].lines().next().unwrap()
            );
        }
    }
}
