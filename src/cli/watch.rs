//! Watching a dataset or bench folder for changes.

use notify::{EventKind, RecommendedWatcher, RecursiveMode, Watcher};
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::time::{Duration, Instant};

/// Changes that come closer together than this are one: programs write a file in several steps.
const TOGETHER: Duration = Duration::from_millis(150);

/// Changes that never stop are told after so long.
const AT_LEAST_EVERY: Duration = Duration::from_millis(600);

/// A watched dataset or bench folder.
pub(super) struct Watch {
    changes: Receiver<()>,
    /// Watches as long as it is there.
    _watcher: RecommendedWatcher,
}

impl Watch {
    /// Watches a file, or a folder and all below it.
    ///
    /// # Errors
    ///
    /// If the system gives no notice of changes there.
    pub fn new(data: &Path) -> notify::Result<Self> {
        let data = data.canonicalize().map_err(notify::Error::io)?;
        let is_folder = data.is_dir();
        // A program that saves a file by renaming another leaves a watch on the old one.
        let (watched, mode) = match data.parent() {
            Some(parent) if !is_folder => (parent.to_owned(), RecursiveMode::NonRecursive),
            _ => (data.clone(), RecursiveMode::Recursive),
        };
        let (changed, changes) = channel();
        let mut watcher = notify::recommended_watcher(move |event: notify::Result<_>| {
            // Where the system lost events anything may have changed.
            if event.is_ok_and(|event: notify::Event| {
                event.need_rescan() || concerns(&event, &data, is_folder)
            }) {
                // If nobody waits any more, nobody is told.
                let _ = changed.send(());
            }
        })?;
        watcher.watch(&watched, mode)?;
        Ok(Self {
            changes,
            _watcher: watcher,
        })
    }

    /// Waits for the next change and for the end of those that come with it; `false` if there will
    /// be none.
    pub fn wait(&self) -> bool {
        if self.changes.recv().is_err() {
            return false;
        }
        let began = Instant::now();
        while began.elapsed() < AT_LEAST_EVERY {
            match self.changes.recv_timeout(TOGETHER) {
                Ok(()) => {}
                Err(RecvTimeoutError::Timeout) => break,
                Err(RecvTimeoutError::Disconnected) => return false,
            }
        }
        true
    }
}

/// Whether an event may change what is read: no mere reading, no file that programs hide.
fn concerns(event: &notify::Event, data: &Path, is_folder: bool) -> bool {
    let hidden = |path: &PathBuf| {
        let below = path.strip_prefix(data).unwrap_or(path);
        below
            .components()
            .any(|part| part.as_os_str().to_string_lossy().starts_with('.'))
    };
    let concerned = |path: &PathBuf| {
        if is_folder {
            !hidden(path)
        } else {
            path == data
        }
    };
    !matches!(event.kind, EventKind::Access(_)) && event.paths.iter().any(concerned)
}
