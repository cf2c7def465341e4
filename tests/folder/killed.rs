//! Commands that write, killed at random moments around that of writing: what stood there is there as it was, or as the
//! whole command would have left it.

use super::copied;
use rand_pcg::Pcg64Mcg;
use rand_pcg::rand_core::Rng;
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::Instant;

/// The files below a folder with their bytes. Hidden files are not read by the program: what a
/// killed command left beside its place is one, and is cleared away later.
fn files(folder: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    let (mut found, mut folders) = (BTreeMap::new(), vec![folder.to_owned()]);
    while let Some(next) = folders.pop() {
        for entry in fs::read_dir(next).into_iter().flatten() {
            let entry = entry.unwrap();
            if entry.file_name().to_string_lossy().starts_with('.') {
                continue;
            }
            if entry.path().is_dir() {
                folders.push(entry.path());
            } else {
                let name = entry.path().strip_prefix(folder).unwrap().to_owned();
                found.insert(name, fs::read(entry.path()).unwrap());
            }
        }
    }
    found
}

fn started(arguments: &[&str], folder: &Path) -> Child {
    Command::new(env!("CARGO_BIN_EXE_jobtorque"))
        .args(arguments)
        .current_dir(folder)
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .unwrap()
}

/// Kills a command `times` times, each time on a folder made anew by `prepare`: later after a kill
/// before which it had done nothing, sooner after one before which it had done all. So the kills
/// gather around the moment of writing, however fast or busy the machine is. Returns how often the
/// command had done nothing, and how often all.
fn killed(
    arguments: &[&str],
    prepare: impl Fn() -> (tempfile::TempDir, PathBuf),
    times: u32,
) -> (u32, u32) {
    let (around, _) = prepare();
    let before = files(around.path());
    let began = Instant::now();
    assert!(
        started(arguments, around.path()).wait().unwrap().success(),
        "{arguments:?}"
    );
    let mut moment = began.elapsed();
    let after = files(around.path());
    assert_ne!(before, after, "{arguments:?}");
    let mut random = Pcg64Mcg::new(u128::from(times));
    let (mut nothing, mut all) = (0, 0);
    for _ in 0..times {
        let (around, _) = prepare();
        let mut child = started(arguments, around.path());
        let part = f64::from(random.next_u32()) / f64::from(u32::MAX);
        std::thread::sleep(moment.mul_f64(0.7 + 0.6 * part));
        // It may have ended already.
        let _ = child.kill();
        child.wait().unwrap();
        let now = files(around.path());
        if now == before {
            nothing += 1;
            moment = moment.mul_f64(1.2);
        } else {
            assert!(now == after, "{arguments:?} left {:?}", now.keys());
            all += 1;
            moment = moment.mul_f64(1.0 / 1.2);
        }
    }
    (nothing, all)
}

/// The sample folder with a log that no row names.
fn with_a_new_log() -> (tempfile::TempDir, PathBuf) {
    let (around, folder) = copied();
    let logs = folder.join("logs/plain");
    let old = logs.join("2026-05-05_rook-18_thick-6_A_9.csv");
    fs::copy(old, logs.join("2026-05-05_wren-18_thin-3_A_10.csv")).unwrap();
    (around, folder)
}

/// The sample folder with a log that no logger reads.
fn with_a_log_of_no_logger() -> (tempfile::TempDir, PathBuf) {
    let (around, folder) = copied();
    fs::create_dir(folder.join("logs/new")).unwrap();
    let log: String = (0..50).map(|i| format!("{i};{}\n", i * i)).collect();
    let log = format!("t [ms];M [N·m]\n{log}");
    fs::write(folder.join("logs/new/a.csv"), log).unwrap();
    (around, folder)
}

/// The sample folder beside its bundled file.
fn with_its_file() -> (tempfile::TempDir, PathBuf) {
    let (around, folder) = copied();
    let bundled = started(&["bundle", "bench", "--out", "bench.json"], around.path()).wait();
    assert!(bundled.unwrap().success());
    (around, folder)
}

/// The sample folder beside a file that its bundled file replaces.
fn with_an_old_file() -> (tempfile::TempDir, PathBuf) {
    let (around, folder) = copied();
    fs::write(around.path().join("bench.json"), "mine").unwrap();
    (around, folder)
}

#[test]
fn a_command_that_is_killed_leaves_all_as_it_was_or_done() {
    let both = |(nothing, all): (u32, u32)| {
        println!("{nothing} times nothing, {all} times all");
        assert!(nothing > 0 && all > 0, "{nothing} {all}");
    };
    both(killed(&["gather", "bench"], with_a_new_log, 60));
    let look = "look bench/logs/new/a.csv --in bench --keep new";
    let look: Vec<&str> = look.split(' ').collect();
    both(killed(&look, with_a_log_of_no_logger, 40));
    let new = ["bundle", "bench", "--out", "new.json"];
    both(killed(&new, copied, 50));
    let over = ["bundle", "bench", "--out", "bench.json", "--force"];
    both(killed(&over, with_an_old_file, 40));
    let back = ["unbundle", "bench.json", "--out", "new"];
    both(killed(&back, with_its_file, 50));
}
