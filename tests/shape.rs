//! The shape of the source: which module may use which, what the visitor's module is made of, which
//! texts are used, how long a file may be.

#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing)]

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

/// The modules of the crate in their order.
fn modules() -> Vec<String> {
    let text = text("src/lib.rs");
    let declared = text
        .lines()
        .filter_map(|line| line.strip_prefix("pub mod ")?.strip_suffix(';'));
    declared.map(String::from).collect()
}

/// The module of the crate that a file belongs to.
fn module_of(file: &str) -> &str {
    let inside = file.trim_start_matches("src/");
    inside.split(['/', '.']).next().unwrap()
}

/// The names that follow `path` in a source: one, or those in braces.
fn named_after(source: &str, path: &str) -> BTreeSet<String> {
    let word = |text: &str| -> String {
        text.chars()
            .take_while(|c| c.is_ascii_alphanumeric() || *c == '_')
            .collect()
    };
    let mut names = BTreeSet::new();
    for (at, _) in source.match_indices(path) {
        let before = source[..at].chars().next_back();
        if before.is_some_and(|c| c.is_ascii_alphanumeric() || c == '_' || c == ':') {
            continue;
        }
        let rest = &source[at + path.len()..];
        let Some(list) = rest.strip_prefix('{') else {
            names.insert(word(rest));
            continue;
        };
        let mut depth = 0;
        let mut starts = true;
        for (i, c) in list.char_indices() {
            match c {
                '{' => depth += 1,
                '}' if depth == 0 => break,
                '}' => depth -= 1,
                ',' if depth == 0 => starts = true,
                _ if starts && !c.is_whitespace() => {
                    names.insert(word(&list[i..]));
                    starts = false;
                }
                _ => {}
            }
        }
    }
    names
}

#[test]
fn a_module_uses_those_above_it_and_never_those_below() {
    let order = modules();
    assert!(order.len() > 10, "{order:?}");
    let place = |module: &str| order.iter().position(|other| other == module);
    let mut wrong = Vec::new();
    let mut seen = 0;
    for (file, source) in sources() {
        if file == "src/lib.rs" || file == "src/main.rs" {
            continue;
        }
        let module = module_of(&file);
        let Some(own) = place(module) else {
            wrong.push(format!("{file} belongs to no module of src/lib.rs"));
            continue;
        };
        // As many steps up as lead from the file to the crate.
        let depth = file.matches('/').count() - usize::from(file.ends_with("/mod.rs"));
        let mut used = named_after(&source, "crate::");
        used.extend(
            named_after(&source, &"super::".repeat(depth))
                .into_iter()
                .filter(|name| name != "super"),
        );
        for name in used {
            seen += 1;
            match place(&name) {
                Some(other) if other <= own => {}
                Some(_) => wrong.push(format!(
                    "{file} uses crate::{name}, which stands below {module}"
                )),
                None => wrong.push(format!(
                    "{file} uses crate::{name}, which is no module of the crate"
                )),
            }
        }
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
    assert!(seen > 50, "{seen}");
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
    for (file, source) in sources() {
        if SHELLS.contains(&module_of(&file)) || file == "src/main.rs" {
            continue;
        }
        let used = OUTSIDE.iter().filter(|name| source.contains(*name));
        wrong.extend(used.map(|name| format!("{file} uses {name}")));
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
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
        let used = sources
            .values()
            .any(|source| !named_after(source, &path).is_empty());
        assert!(used, "{package} is not used");
        assert!(
            developers.contains(&format!("- `{package}`: ")),
            "DEVELOPERS.md does not say what {package} is for"
        );
    }
}

/// The keys of the catalogue.
fn keys() -> BTreeSet<String> {
    let catalogue: serde_json::Value = serde_json::from_str(&text("www/texts/en.json")).unwrap();
    catalogue["texts"]
        .as_object()
        .unwrap()
        .keys()
        .cloned()
        .collect()
}

/// The texts in quotes in the program and the script.
fn quoted() -> BTreeSet<String> {
    let script = files("www")
        .into_iter()
        .filter(|(name, _)| name.ends_with(".js") || name.ends_with(".html"));
    let mut found = BTreeSet::new();
    for (name, source) in sources().into_iter().chain(script) {
        let quotes: &[char] = if name.ends_with(".rs") {
            &['"']
        } else {
            &['"', '\'', '`']
        };
        for line in source
            .lines()
            .filter(|line| !line.trim_start().starts_with(['*', '/']))
        {
            // Each kind of quote for itself: a template in one kind holds texts in another.
            found.extend(
                quotes
                    .iter()
                    .flat_map(|quote| line.split(*quote).skip(1).step_by(2))
                    .map(String::from),
            );
        }
    }
    found
}

/// A text with one blank, such as `table.{key}` or `form.${key}`: what stands before and behind it.
fn around_blank(text: &str) -> Option<(&str, &str)> {
    let (before, rest) = text.split_once('{')?;
    let (_, behind) = rest.split_once('}')?;
    (!behind.contains('{')).then_some((before.trim_end_matches('$'), behind))
}

/// The endings of a key that depends on a count.
const COUNTED: [&str; 2] = [".one", ".other"];

/// The keys that the program or the script may ask for. A key is asked for if it stands in quotes as
/// it is; without the ending for a count; or with one blank, where what fills the blank stands in
/// quotes too or is a number.
fn used_keys() -> BTreeSet<String> {
    let quoted = quoted();
    let blanks: Vec<_> = quoted
        .iter()
        .filter_map(|text| around_blank(text))
        .collect();
    let number = |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
    let asked = |key: &str| {
        quoted.contains(key)
            || blanks.iter().any(|(before, behind)| {
                let filled = key
                    .strip_prefix(before)
                    .and_then(|rest| rest.strip_suffix(behind));
                filled.is_some_and(|filled| quoted.contains(filled) || number(filled))
            })
    };
    let uncounted = |key: &str| {
        COUNTED
            .iter()
            .find_map(|ending| key.strip_suffix(ending).map(String::from))
    };
    keys()
        .into_iter()
        .filter(|key| asked(key) || uncounted(key).is_some_and(|key| asked(&key)))
        .collect()
}

#[test]
fn every_text_of_the_catalogue_is_used() {
    let used = used_keys();
    let unused: Vec<String> = keys()
        .into_iter()
        .filter(|key| !used.contains(key))
        .collect();
    assert!(unused.is_empty(), "not used: {unused:?}");
}

#[test]
fn every_text_that_is_asked_for_is_in_the_catalogue() {
    const ENDINGS_OF_FILES: [&str; 9] = [
        ".js", ".css", ".csv", ".html", ".json", ".png", ".rs", ".svg", ".toml",
    ];
    let keys = keys();
    let groups: BTreeSet<&str> = keys
        .iter()
        .filter_map(|key| Some(key.split_once('.')?.0))
        .collect();
    let is_key = |text: &str| {
        let of_key = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_' || c == '.';
        text.split_once('.')
            .is_some_and(|(group, rest)| groups.contains(group) && !rest.is_empty())
            && text.chars().all(of_key)
            && !ENDINGS_OF_FILES.iter().any(|ending| text.ends_with(ending))
    };
    let asked: Vec<String> = quoted().into_iter().filter(|text| is_key(text)).collect();
    assert!(asked.len() > 80, "{}", asked.len());
    let there = |key: &String| {
        keys.contains(key)
            || COUNTED
                .iter()
                .all(|ending| keys.contains(&format!("{key}{ending}")))
    };
    let missing: Vec<&String> = asked.iter().filter(|key| !there(key)).collect();
    assert!(missing.is_empty(), "{missing:?}");
}

#[test]
fn no_file_is_too_long_to_be_held_in_the_head() {
    const MOST_LINES: usize = 500;
    let mut long = Vec::new();
    // A catalogue of texts is data, with one text a line.
    let code = files("www")
        .into_iter()
        .filter(|(name, _)| !name.ends_with(".json"));
    for (name, text) in files("src").into_iter().chain(code) {
        let lines = text.lines().count();
        if lines > MOST_LINES {
            long.push(format!("{name}: {lines} lines, at most {MOST_LINES}"));
        }
    }
    assert!(long.is_empty(), "\n{}", long.join("\n"));
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

/// The words between `before` and `end` wherever they stand in the texts.
fn between<'a>(
    texts: impl Iterator<Item = &'a String>,
    before: &str,
    end: &[char],
) -> BTreeSet<String> {
    texts
        .flat_map(|text| text.split(before).skip(1))
        .filter_map(|rest| rest.split(end).next().map(String::from))
        .collect()
}

#[test]
fn the_page_how_it_works_names_every_property_part_and_attribute_of_the_element() {
    let how = text("www/how.html");
    let table = how.split("to set</th>").nth(1).unwrap();
    let table = table.split("</table>").next().unwrap();
    let table = table.replace("<code>", "`").replace("</code>", "`");
    let www = files("www");
    let of_kind = |kind: &'static str| {
        let files = www.iter().filter(move |(name, _)| name.ends_with(kind));
        files.map(|(_, text)| text)
    };
    let mut properties = between(of_kind(".css"), "var(--job-torque-", &[',', ')']);
    // Not for pages: worked out in the sheet.
    properties.remove("root-size");
    // Five curves are told by their ends.
    properties.retain(|name| !["curve-2", "curve-3", "curve-4"].contains(&name.as_str()));
    let told = between([&table].into_iter(), "`--job-torque-", &['`']);
    assert_eq!(told, properties);

    let parts = between(of_kind(".js"), "'part', '", &['\'']);
    let row = |start: &str| {
        let start = format!("<tr><th scope=\"row\">{start}<");
        let row = table.lines().find(|line| line.starts_with(&start)).unwrap();
        let names = row.split('`').skip(1).step_by(2).map(String::from);
        names.collect::<BTreeSet<String>>()
    };
    let mut told = row("single parts");
    assert!(told.remove("::part(…)"));
    assert_eq!(told, parts);

    let choice = text("www/attributes.js");
    let asked = choice.split("const PARTS = [").nth(1).unwrap();
    let asked = asked.split("\n];").next().unwrap().to_owned();
    let mut attributes = between([&asked].into_iter(), "\n  ['", &['\'']);
    // What is laid over the chart and how the table stands is for links, not for authors.
    let for_links = [
        "beside", "find", "size", "mount", "sold", "longest", "heaviest", "dearest", "reaching",
        "currency", "sort", "order", "stated",
    ];
    attributes.retain(|name| !for_links.contains(&name.as_str()));
    assert_eq!(row("the question"), attributes);
}
