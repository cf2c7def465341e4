//! The logs below `logs/`: which are there, and all that runs name read at once.

use super::cache::{Cache, KeptRun};
use super::fingerprint::fingerprint;
use super::logger::{Logged, read_log};
use super::logger_block::Logger;
use crate::dataset::MOST_BYTES;
use crate::problem::Problem;
use rayon::prelude::*;
use std::collections::BTreeSet;
use std::path::{Component, Path};
use std::sync::OnceLock;

/// Name of the folder of logs.
pub const FOLDER: &str = "logs";

/// Files that a system puts beside logs.
const OF_THE_SYSTEM: [&str; 2] = ["Thumbs.db", "desktop.ini"];

/// The paths of all logs below `logs/`, with `/` between their parts. Hidden files are no logs.
///
/// # Errors
///
/// If a folder cannot be listed.
pub fn list(bench: &Path) -> std::io::Result<BTreeSet<String>> {
    let mut found = BTreeSet::new();
    let mut folders = vec![String::new()];
    while let Some(folder) = folders.pop() {
        let entries = match std::fs::read_dir(bench.join(FOLDER).join(&folder)) {
            Ok(entries) => entries,
            Err(error) if folder.is_empty() && error.kind() == std::io::ErrorKind::NotFound => {
                break;
            }
            Err(error) => return Err(error),
        };
        for entry in entries {
            let entry = entry?;
            let name = entry.file_name().to_string_lossy().into_owned();
            if name.starts_with('.') || OF_THE_SYSTEM.contains(&name.as_str()) {
                continue;
            }
            let path = if folder.is_empty() {
                name
            } else {
                format!("{folder}/{name}")
            };
            // A linked folder is not entered: it may lead back.
            if entry.file_type()?.is_dir() {
                folders.push(path);
            } else if !entry.path().is_dir() {
                found.insert(path);
            }
        }
    }
    Ok(found)
}

/// A path below `logs/` as a run names it, with `/` between its parts; `None` if it leads elsewhere.
pub fn path_below(written: &str) -> Option<String> {
    let path = written.replace('\\', "/");
    let parts = Path::new(&path).components();
    let mut normal = Vec::new();
    for part in parts {
        match part {
            Component::Normal(part) => normal.push(part.to_str()?),
            Component::CurDir => {}
            _ => return None,
        }
    }
    (!normal.is_empty()).then(|| normal.join("/"))
}

/// A log as read.
#[derive(Debug)]
pub struct ReadLog {
    /// SHA-256 of its bytes in hexadecimal.
    pub sha256: String,
    /// Its samples, or every problem; not yet read where runs of it are kept.
    logged: OnceLock<Result<Logged, Vec<Problem>>>,
    /// What is kept of its runs.
    pub kept: Vec<KeptRun>,
}

impl ReadLog {
    fn new(sha256: String, logged: Result<Logged, Vec<Problem>>) -> Self {
        Self {
            sha256,
            logged: logged.into(),
            kept: Vec::new(),
        }
    }

    /// Its problems, as far as it was read.
    pub fn problems(&self) -> &[Problem] {
        match self.logged.get() {
            Some(Err(problems)) => problems,
            _ => &[],
        }
    }

    /// Its samples, or every problem.
    ///
    /// # Errors
    ///
    /// Every problem.
    pub fn into_logged(self) -> Result<Logged, Vec<Problem>> {
        self.logged.into_inner().unwrap_or(Err(Vec::new()))
    }

    /// Its samples, or every problem; its file is read now if it was not yet.
    pub fn logged(
        &self,
        bench: &Path,
        path: &str,
        logger: &Logger,
    ) -> &Result<Logged, Vec<Problem>> {
        self.logged.get_or_init(|| {
            let one = |found: String, wanted| Err(vec![Problem::new("", found, wanted)]);
            match read_one(bench, path, logger) {
                Ok(read) if read.sha256 == self.sha256 => read.into_logged(),
                Ok(_) => one("a log that changed meanwhile".into(), "the log as it was"),
                Err(error) => one(format!("a log that cannot be read: {error}"), "a file"),
            }
        })
    }
}

/// Reads logs, spread over the cores, in their order. Of those that `cache` keeps runs of, the bytes
/// alone are read.
pub fn read_all(
    bench: &Path,
    logs: &[(String, &Logger)],
    cache: Option<&Cache>,
) -> Vec<std::io::Result<ReadLog>> {
    let read = |(path, logger): &(String, &Logger)| read_or_kept(bench, path, logger, cache);
    logs.par_iter().map(read).collect()
}

/// Reads a log by its path below `logs/`.
///
/// # Errors
///
/// If its file cannot be read.
pub fn read_one(bench: &Path, path: &str, logger: &Logger) -> std::io::Result<ReadLog> {
    read_or_kept(bench, path, logger, None)
}

fn read_or_kept(
    bench: &Path,
    path: &str,
    logger: &Logger,
    cache: Option<&Cache>,
) -> std::io::Result<ReadLog> {
    let file = bench.join(FOLDER).join(path);
    let there = std::fs::metadata(&file)?;
    // A pipe or a device may never end.
    let refused = if !there.is_file() {
        Some(("a pipe, socket or device", "a regular file"))
    } else if there.len() > MOST_BYTES as u64 {
        Some(("a log of more than 256 MB", "at most 256 MB"))
    } else {
        None
    };
    if let Some((found, wanted)) = refused {
        let problem = Problem::new("", found, wanted);
        return Ok(ReadLog::new(String::new(), Err(vec![problem])));
    }
    let bytes = std::fs::read(&file)?;
    let sha256 = fingerprint(&bytes);
    if let Some(kept) = cache.and_then(|cache| cache.kept(&cache.name(&sha256, logger))) {
        return Ok(ReadLog {
            sha256,
            logged: OnceLock::new(),
            kept,
        });
    }
    Ok(ReadLog::new(sha256, read_log(&bytes, logger)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[cfg(unix)]
    #[test]
    fn what_is_no_regular_file_is_refused_and_not_waited_for() {
        let bench = tempfile::tempdir().unwrap();
        std::fs::create_dir(bench.path().join(FOLDER)).unwrap();
        let socket = bench.path().join(FOLDER).join("a.csv");
        let _socket = std::os::unix::net::UnixListener::bind(socket).unwrap();
        let read = read_one(bench.path(), "a.csv", &Logger::default()).unwrap();
        assert_eq!(read.problems()[0].found, "a pipe, socket or device");
    }

    #[test]
    fn a_log_stands_below_the_folder_of_logs() {
        assert_eq!(path_below("a/b.csv").as_deref(), Some("a/b.csv"));
        assert_eq!(path_below(".\\a\\b.csv").as_deref(), Some("a/b.csv"));
        for outside in ["../a.csv", "a/../../b.csv", "/etc/a.csv", "", "."] {
            assert_eq!(path_below(outside), None, "{outside}");
        }
    }
}
