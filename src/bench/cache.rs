//! What runs reduce to, kept from one call of the program to the next, so that only changed logs are
//! read again.
//!
//! An entry is a file named after everything that the samples of a log depend on: its bytes, its
//! logger's block, and the program. It holds the knots of its runs, each beside the other things that
//! they depend on. So an entry is never out of date, only unused. An entry that is damaged is as good
//! as none, and a folder that cannot be read or written is not used. Entries may be deleted at any
//! time; the oldest are when all together exceed `MOST_BYTES`.

use super::fingerprint::fingerprint;
use super::logger_block::Logger;
use super::write_file::beside;
use crate::dataset::types::BuildUp;
use etcetera::BaseStrategy;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::ffi::OsStr;
use std::fs;
use std::path::{Path, PathBuf};
use std::time::SystemTime;

/// The environment variable that names the folder of the cache; empty for no cache. Without it, the
/// folder `jobtorque` in the user's cache folder is used.
pub const VARIABLE: &str = "JOBTORQUE_CACHE";

/// The form of the entries.
const FORM: &str = "1";

/// With what names of entries end.
const ENDING: &str = "knots";

/// Entries are deleted, oldest first, when all together are larger than this.
const MOST_BYTES: u64 = 64 << 20;

/// The most runs in one entry; the newest are kept.
const MOST_RUNS: usize = 256;

/// A cache.
#[derive(Clone, Debug)]
pub struct Cache {
    folder: PathBuf,
    /// Tells one build of the program from another.
    program: String,
}

/// What is kept of a run.
#[derive(Clone, Debug, Deserialize, PartialEq, Serialize)]
pub struct KeptRun {
    /// What its knots depend on besides the entry's name.
    pub of: String,
    /// Its knots.
    pub knots: BuildUp,
}

impl Cache {
    /// The cache of this user and this program, if there can be one.
    pub fn of_user() -> Option<Self> {
        let folder = match std::env::var_os(VARIABLE) {
            Some(folder) if folder.is_empty() => return None,
            Some(folder) => PathBuf::from(folder),
            None => {
                let folders = etcetera::choose_base_strategy().ok()?;
                folders.cache_dir().join("jobtorque")
            }
        };
        Self::in_folder(folder)
    }

    /// A cache in a folder, which is made when something is kept in it.
    pub fn in_folder(folder: PathBuf) -> Option<Self> {
        // A changed program of the same version may reduce otherwise; every build writes its file.
        let program = fs::metadata(std::env::current_exe().ok()?).ok()?;
        let built = program.modified().ok()?;
        let built = built.duration_since(SystemTime::UNIX_EPOCH).ok()?;
        Some(Self {
            folder: folder.join("logs"),
            program: format!(
                "{FORM} {} {} {}",
                env!("CARGO_PKG_VERSION"),
                program.len(),
                built.as_nanos()
            ),
        })
    }

    /// The name of the entry of a log, by the SHA-256 of its bytes and its logger.
    pub fn name(&self, sha256: &str, logger: &Logger) -> String {
        // What chooses and names logs, and the limit of doubts, leave the samples as they are.
        let logger = Logger {
            id: String::new(),
            files: None,
            clips_at_nm: None,
            name_pattern: None,
            block: None,
            ..logger.clone()
        };
        let text = format!("{}\n{sha256}\n{logger:?}", self.program);
        fingerprint(text.as_bytes())
    }

    /// What is kept under a name; nothing where that is damaged.
    pub fn kept(&self, name: &str) -> Option<Vec<KeptRun>> {
        let text = fs::read_to_string(self.path(name)).ok()?;
        let (sum, runs) = text.split_once('\n')?;
        if sum != fingerprint(runs.as_bytes()) {
            return None;
        }
        serde_json::from_str(runs).ok()
    }

    /// Keeps runs by the names of their entries, in place of what was there. What cannot be written is
    /// not kept.
    pub fn keep(&self, entries: &BTreeMap<String, Vec<KeptRun>>) {
        if entries.is_empty() || fs::create_dir_all(&self.folder).is_err() {
            return;
        }
        for (name, runs) in entries {
            let newest = runs.len().saturating_sub(MOST_RUNS);
            let runs = runs.get(newest..).unwrap_or_default();
            let Ok(runs) = serde_json::to_string(runs) else {
                continue;
            };
            let text = format!("{}\n{runs}", fingerprint(runs.as_bytes()));
            write(&self.path(name), &text);
        }
        self.shrink(MOST_BYTES);
    }

    fn path(&self, name: &str) -> PathBuf {
        self.folder.join(name).with_extension(ENDING)
    }

    /// Deletes the oldest entries, and what a program that was killed left, if all together are larger
    /// than `most` bytes.
    fn shrink(&self, most: u64) {
        let entries = fs::read_dir(&self.folder).into_iter().flatten().flatten();
        let mut entries: Vec<(SystemTime, u64, PathBuf)> = entries
            .filter(|entry| is_ours(&entry.path()))
            .filter_map(|entry| {
                let there = entry.metadata().ok().filter(fs::Metadata::is_file)?;
                Some((there.modified().ok()?, there.len(), entry.path()))
            })
            .collect();
        let mut bytes: u64 = entries.iter().map(|(_, bytes, _)| bytes).sum();
        if bytes <= most {
            return;
        }
        entries.sort();
        for (_, size, path) in entries {
            // Further than needed, so that the next calls have nothing to delete.
            if bytes <= most / 4 * 3 {
                break;
            }
            if fs::remove_file(path).is_ok() {
                bytes -= size;
            }
        }
    }
}

/// Whether a file is an entry, or the beginning of one.
fn is_ours(path: &Path) -> bool {
    let ending = path.extension().and_then(OsStr::to_str);
    let name = path.file_name().and_then(OsStr::to_str).unwrap_or_default();
    ending == Some(ENDING)
        || ending == Some("new") && name.starts_with('.') && name.contains(&format!(".{ENDING}."))
}

/// Writes beside the place and renames, so that an entry is there as a whole or not at all.
fn write(path: &Path, text: &str) {
    let Ok(new) = beside(path) else { return };
    let written = fs::write(&new, text).and_then(|()| fs::rename(&new, path));
    if written.is_err() {
        fs::remove_file(&new).ok();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cache() -> (tempfile::TempDir, Cache) {
        let folder = tempfile::tempdir().unwrap();
        let cache = Cache::in_folder(folder.path().to_owned()).unwrap();
        (folder, cache)
    }

    fn run(of: &str) -> KeptRun {
        KeptRun {
            of: of.into(),
            knots: BuildUp {
                tick_us: 100,
                step: vec![0, 7],
                rise_dnm: vec![3, 4_000],
                ..BuildUp::default()
            },
        }
    }

    fn entries(names: &[&str]) -> BTreeMap<String, Vec<KeptRun>> {
        let entry = |name: &&str| ((*name).to_owned(), vec![run("a run")]);
        names.iter().map(entry).collect()
    }

    #[test]
    fn what_is_kept_is_found_again() {
        let (_folder, cache) = cache();
        assert_eq!(cache.kept("one"), None);
        cache.keep(&entries(&["one"]));
        assert_eq!(cache.kept("one"), Some(vec![run("a run")]));
        assert_eq!(cache.kept("other"), None);
    }

    #[test]
    fn a_damaged_entry_is_as_good_as_none() {
        let (_folder, cache) = cache();
        cache.keep(&entries(&["one"]));
        let path = cache.path("one");
        let text = fs::read_to_string(&path).unwrap();
        for damaged in [&text[..text.len() - 1], &text[..10], ""] {
            fs::write(&path, damaged).unwrap();
            assert_eq!(cache.kept("one"), None, "{damaged}");
        }
        fs::write(&path, text.replace("4000", "4001")).unwrap();
        assert_eq!(cache.kept("one"), None);
        fs::write(&path, &text).unwrap();
        assert!(cache.kept("one").is_some());
    }

    #[test]
    fn a_folder_that_cannot_be_written_is_not_used() {
        let (folder, _) = cache();
        let file = folder.path().join("a file");
        fs::write(&file, "").unwrap();
        let cache = Cache::in_folder(file).unwrap();
        cache.keep(&entries(&["one"]));
        assert_eq!(cache.kept("one"), None);
    }

    #[test]
    fn the_name_follows_the_log_the_logger_and_the_program() {
        let (folder, cache) = cache();
        let logger = Logger {
            decimal: Some(",".into()),
            ..Logger::default()
        };
        let name = cache.name("ab", &Logger::default());
        assert_ne!(name, cache.name("ac", &Logger::default()));
        assert_ne!(name, cache.name("ab", &logger));
        let other = Cache {
            folder: folder.path().to_owned(),
            program: "another".into(),
        };
        assert_ne!(name, other.name("ab", &Logger::default()));
        let named = Logger {
            id: "a".into(),
            block: Some(1),
            clips_at_nm: Some(5.0),
            ..Logger::default()
        };
        assert_eq!(name, cache.name("ab", &named));
    }

    #[test]
    fn the_oldest_entries_are_deleted_and_nothing_else() {
        let (_folder, cache) = cache();
        for name in ["a", "b", "c", "d"] {
            cache.keep(&entries(&[name]));
        }
        let foreign = cache.folder.join("notes.txt");
        fs::write(&foreign, vec![b'x'; 10_000]).unwrap();
        let hour = std::time::Duration::from_secs(3_600);
        for (name, hours) in [("a", 1), ("b", 3), ("c", 2), ("d", 0)] {
            let file = fs::File::options().write(true).open(cache.path(name));
            let then = SystemTime::now() - hours * hour;
            file.unwrap().set_modified(then).unwrap();
        }
        let size = fs::metadata(cache.path("a")).unwrap().len();
        cache.shrink(4 * size);
        assert!(
            ["a", "b", "c", "d"]
                .iter()
                .all(|name| cache.kept(name).is_some())
        );
        // Three quarters of this are two entries and a half.
        cache.shrink(4 * size - 2);
        let left: Vec<bool> = ["a", "b", "c", "d"]
            .map(|name| cache.kept(name).is_some())
            .to_vec();
        assert_eq!(left, [true, false, false, true]);
        assert!(foreign.exists());
    }

    #[test]
    fn an_entry_has_the_newest_runs_alone() {
        let (_folder, cache) = cache();
        let runs: Vec<KeptRun> = (0..MOST_RUNS + 2).map(|i| run(&i.to_string())).collect();
        cache.keep(&BTreeMap::from([("one".to_owned(), runs)]));
        let kept = cache.kept("one").unwrap();
        assert_eq!((kept.len(), kept[0].of.as_str()), (MOST_RUNS, "2"));
    }
}
