//! A site is put in place as a set: a program that is killed before any change to the file system,
//! or cannot write on, leaves the whole old site or the whole new one, and the next run leaves
//! nothing over.
//!
//! The program that is killed is this test binary, which runs itself with [`CHILD`] set.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing
)]
#![cfg(unix)]

use jobtorque::site::files::File;
use jobtorque::site::guard::Guard;
use jobtorque::site::mark::{self, Version};
use jobtorque::site::put::{Step, put};
use std::fs;
use std::io::ErrorKind;
use std::path::Path;
use std::process::{Command, ExitStatus};

/// Set for the child: the folder, the build, the number of the change before which it dies, and
/// whether folders can be exchanged.
const CHILD: &str = "JOBTORQUE_TEST_PUT";

const NAMES: [&str; 4] = [
    "index.html",
    "job-torque.js",
    "job-torque.wasm",
    "results.json",
];

/// A file of the site is so many bytes long, and more.
const BYTES: usize = 100_000;

fn files(build: &str) -> Vec<File> {
    let version = Version::of(&[build.as_bytes()]);
    let text = build.repeat(BYTES / build.len());
    let file = |name: &'static str| File {
        name: name.into(),
        media_type: "text/plain",
        bytes: mark::sealed(mark::script(&version, &text).into_bytes()),
    };
    NAMES.map(file).into()
}

/// What the child does. Without [`CHILD`] there is nothing to do.
#[test]
fn child() {
    let Ok(told) = std::env::var(CHILD) else {
        return;
    };
    let parts: Vec<&str> = told.split('|').collect();
    let [folder, build, dies, exchange] = parts[..] else {
        panic!("{told}");
    };
    let (dies, mut steps): (usize, usize) = (dies.parse().unwrap(), 0);
    let done = put(
        &files(build),
        Path::new(folder),
        &Guard::default(),
        &mut |step| {
            if steps == dies {
                // No clean-up of any kind runs after this.
                std::process::abort();
            }
            steps += 1;
            if exchange == "no" && matches!(step, Step::Exchange(_)) {
                return Err(ErrorKind::Unsupported.into());
            }
            Ok(())
        },
    );
    if let Err(error) = done {
        eprintln!("{error}");
        std::process::exit(3);
    }
}

/// Runs the child; `limit` is the largest file it may write, in blocks of 512 or 1,024 bytes.
fn run(folder: &Path, build: &str, dies: usize, exchange: &str, limit: Option<u32>) -> ExitStatus {
    let program = std::env::current_exe().unwrap();
    let limit = limit.map_or_else(String::new, |blocks| {
        format!("trap '' XFSZ; ulimit -f {blocks};")
    });
    Command::new("sh")
        .arg("-c")
        .arg(format!(
            "{limit} ulimit -c 0; exec \"$0\" --exact child --nocapture"
        ))
        .arg(program)
        .env(
            CHILD,
            format!("{}|{build}|{dies}|{exchange}", folder.display()),
        )
        .stdout(std::process::Stdio::null())
        .stderr(std::process::Stdio::null())
        .status()
        .unwrap()
}

const NEVER: usize = usize::MAX;

fn holds(folder: &Path, build: &str) -> bool {
    files(build)
        .iter()
        .all(|file| fs::read(folder.join(file.name.as_ref())).ok().as_ref() == Some(&file.bytes))
}

/// Names in a folder, sorted.
fn names(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).unwrap();
    let mut names: Vec<String> = entries
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

/// Kills a run before each of its changes. What is seen then, and after the next run.
fn killed_everywhere(exchange: &str, seen: &mut dyn FnMut(usize, &Path)) -> usize {
    for dies in 0..1000 {
        let around = tempfile::tempdir().unwrap();
        let site = around.path().join("site");
        assert!(run(&site, "old", NEVER, "yes", None).success());
        fs::write(site.join("notes.txt"), "mine").unwrap();
        fs::create_dir(site.join("posts")).unwrap();
        fs::write(site.join("posts/first.html"), "mine too").unwrap();
        let ended = run(&site, "new", dies, exchange, None);
        seen(dies, &site);
        if ended.success() {
            return dies;
        }
        assert!(run(&site, "new", NEVER, exchange, None).success(), "{dies}");
        assert!(holds(&site, "new"), "{dies}");
        assert_eq!(names(around.path()), ["site"], "left over after {dies}");
        assert_eq!(names(&site).len(), NAMES.len() + 2, "{dies}");
        assert_eq!(fs::read(site.join("notes.txt")).unwrap(), b"mine");
        assert_eq!(
            fs::read(site.join("posts/first.html")).unwrap(),
            b"mine too"
        );
    }
    panic!("no run comes to its end")
}

#[test]
fn a_run_killed_before_any_change_leaves_a_whole_site() {
    let mut whole = [0, 0];
    let steps = killed_everywhere("yes", &mut |dies, site| {
        let (old, new) = (holds(site, "old"), holds(site, "new"));
        assert!(old != new, "killed before change {dies}: a mixture");
        whole[usize::from(new)] += 1;
        // What is not of the site is there at every moment.
        assert_eq!(fs::read(site.join("notes.txt")).unwrap(), b"mine");
        assert_eq!(
            fs::read(site.join("posts/first.html")).unwrap(),
            b"mine too"
        );
    });
    assert!(steps >= NAMES.len() + 9, "{steps} changes");
    assert!(whole[0] > NAMES.len() && whole[1] >= 4, "{whole:?}");
}

#[test]
fn where_folders_cannot_be_exchanged_there_is_never_a_mixture() {
    let mut none = 0;
    killed_everywhere("no", &mut |dies, site| {
        let whole = holds(site, "old") != holds(site, "new");
        assert!(whole || !site.exists(), "killed before change {dies}");
        none += usize::from(!site.exists());
    });
    assert_eq!(none, 1, "between the two renames alone");
}

#[test]
fn a_first_run_killed_before_any_change_leaves_no_half_site() {
    for dies in 0.. {
        let around = tempfile::tempdir().unwrap();
        let site = around.path().join("site");
        let ended = run(&site, "new", dies, "yes", None);
        assert!(!site.exists() || holds(&site, "new"), "{dies}");
        if ended.success() {
            assert!(dies > NAMES.len(), "{dies}");
            return;
        }
        assert!(run(&site, "new", NEVER, "yes", None).success());
        assert_eq!(names(around.path()), ["site"], "left over after {dies}");
        assert_eq!(names(&site).len(), NAMES.len());
    }
}

#[test]
fn a_write_that_fails_half_way_leaves_the_old_site_and_nothing_else() {
    let around = tempfile::tempdir().unwrap();
    let site = around.path().join("site");
    assert!(run(&site, "old", NEVER, "yes", None).success());
    // 20 blocks are less than a file of the site and more than the state.
    let ended = run(&site, "new", NEVER, "yes", Some(20));
    assert_eq!(ended.code(), Some(3), "the run says what failed");
    assert!(holds(&site, "old"));
    assert_eq!(names(around.path()), ["site"]);
    assert!(run(&site, "new", NEVER, "yes", None).success());
    assert!(holds(&site, "new"));
}
