//! Which file may use which.

use super::syntax::{self, Path};
use std::collections::{BTreeMap, BTreeSet};

/// The files that each file uses, all by the modules they are.
fn used() -> BTreeMap<Path, BTreeSet<Path>> {
    let sources = syntax::sources();
    let is_module = |path: &Path| sources.contains_key(path);
    let file_of = |path: Path| {
        let mut known = (1..=path.len()).rev().map(|length| path[..length].to_vec());
        known.find(&is_module)
    };
    let used_by = |module: &Path| {
        let used = sources[module].uses(module, &is_module);
        let used = used.into_iter().filter_map(file_of);
        used.filter(|other| other != module).collect()
    };
    sources
        .keys()
        .map(|module| (module.clone(), used_by(module)))
        .collect()
}

#[test]
fn a_module_uses_those_above_it_and_never_those_below() {
    let order = syntax::order();
    assert!(order.len() > 20, "{order:?}");
    let at = |module: &Path| {
        let found = order.iter().position(|name| *name == module[0]);
        found.unwrap_or_else(|| panic!("{module:?} is no module of src/lib.rs"))
    };
    let mut wrong = Vec::new();
    let mut seen = 0;
    for (module, used) in used() {
        for other in used {
            seen += 1;
            if at(&other) > at(&module) {
                wrong.push(format!("{} uses {}", module.join("::"), other.join("::")));
            }
        }
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
    assert!(seen > 1000, "{seen}");
}

/// The groups of files that use each other in a circle. That a folder's `mod.rs` uses the files in it
/// is no use but what it is made of.
fn circles(used: &BTreeMap<Path, BTreeSet<Path>>) -> Vec<Vec<Path>> {
    let next = |module: &Path| {
        let used = used[module].iter();
        used.filter(|other| !other.starts_with(module))
            .cloned()
            .collect::<Vec<Path>>()
    };
    let reached = |from: &Path| {
        let mut reached = BTreeSet::new();
        let mut open = next(from);
        while let Some(module) = open.pop() {
            if reached.insert(module.clone()) {
                open.extend(next(&module));
            }
        }
        reached
    };
    let reached: BTreeMap<&Path, BTreeSet<Path>> =
        used.keys().map(|from| (from, reached(from))).collect();
    let circle = |module: &Path| -> Vec<Path> {
        let both = reached[module].iter();
        both.filter(|other| reached[*other].contains(module))
            .cloned()
            .collect()
    };
    let mut circles: Vec<Vec<Path>> = used.keys().map(circle).collect();
    circles.retain(|circle| !circle.is_empty());
    circles.sort();
    circles.dedup();
    circles
}

#[test]
fn no_files_use_each_other_in_a_circle() {
    assert_eq!(circles(&used()), Vec::<Vec<Path>>::new());
    // The search sees one.
    let module = |name: &str| vec![name.to_owned()];
    let uses = |names: &[&str]| {
        names
            .iter()
            .map(|name| module(name))
            .collect::<BTreeSet<Path>>()
    };
    let made = [
        ("a", uses(&["b"])),
        ("b", uses(&["c"])),
        ("c", uses(&["b"])),
        ("d", uses(&["a"])),
    ];
    let made = made.map(|(name, used)| (module(name), used)).into();
    assert_eq!(circles(&made), [[module("b"), module("c")]]);
}

/// Folders of one capability: each holds what comes back, how it is worked out and how it is said.
const CAPABILITIES: [&str; 11] = [
    "contents",
    "setups",
    "nuts",
    "answer",
    "table",
    "compare",
    "packs",
    "alternatives",
    "runs",
    "changes",
    "drift",
];

#[test]
fn within_a_capability_words_may_use_figures_and_not_the_other_way() {
    let used = used();
    let mut seen = 0;
    for name in CAPABILITIES {
        let file = |part: &str| vec![name.to_owned(), part.to_owned()];
        assert!(used.contains_key(&file("data")), "{name} has no data.rs");
        for (module, used) in &used {
            let is_words = |module: &Path| {
                module.len() > 1 && module[0] == name && module[1].ends_with("words")
            };
            let puts_together = module.len() == 1 || module[1] == "answering";
            if module[0] != name || is_words(module) || puts_together {
                continue;
            }
            seen += 1;
            let words: Vec<&Path> = used.iter().filter(|other| is_words(other)).collect();
            assert!(words.is_empty(), "{} uses {words:?}", module.join("::"));
        }
    }
    assert!(seen > 20, "{seen}");
}

/// The modules that may depend on the outside world.
const SHELLS: [&str; 5] = ["logs", "bench", "web", "site", "cli"];

#[test]
fn the_core_knows_no_files_clock_printing_or_browser() {
    const OUTSIDE: [&str; 14] = [
        "std::fs",
        "std::env",
        "std::io",
        "std::net",
        "std::path",
        "std::process",
        "std::thread",
        "std::time",
        "println!",
        "eprintln!",
        "dbg!",
        "js_sys",
        "web_sys",
        "wasm_bindgen",
    ];
    let mut wrong = Vec::new();
    for (file, source) in super::sources() {
        if SHELLS.contains(&module_of(&file)) || file == "src/main.rs" {
            continue;
        }
        let used = OUTSIDE.iter().filter(|name| source.contains(*name));
        wrong.extend(used.map(|name| format!("{file} uses {name}")));
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

/// The module of the crate that a file belongs to.
fn module_of(file: &str) -> &str {
    let inside = file.trim_start_matches("src/");
    inside.split(['/', '.']).next().unwrap()
}
