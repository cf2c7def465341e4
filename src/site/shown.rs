//! What the preview server shows: the last good site, and what keeps a newer one from being made.

use super::SiteError;
use super::code::www;
use super::files::{File, Site};
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};
use std::time::{Duration, SystemTime, UNIX_EPOCH};

/// What a page of the site may load; a page that is watched also listens to the server.
const POLICY: &str = "default-src 'none';";
const POLICY_WATCHED: &str = "default-src 'none'; connect-src 'self';";

/// The site as shown, which may change while it is served.
#[derive(Debug)]
pub struct Shown {
    now: Mutex<Now>,
    changed: Condvar,
    watched: bool,
}

/// The state at one moment.
#[derive(Clone, Debug)]
pub struct Now {
    /// The last good site.
    pub site: Arc<Site>,
    /// Its number, which no other site of this or another server has.
    pub version: u64,
    /// What keeps a newer site from being made, if something does.
    pub fault: Option<Arc<str>>,
    /// Counts the changes of all this.
    pub changes: u64,
}

impl Shown {
    /// A site that stays as it is.
    pub fn fixed(site: Site) -> Self {
        let since = SystemTime::now().duration_since(UNIX_EPOCH);
        let version = since.map_or(0, |since| since.as_micros() as u64);
        Self {
            now: Mutex::new(Now {
                site: Arc::new(site),
                version,
                fault: None,
                changes: 0,
            }),
            changed: Condvar::new(),
            watched: false,
        }
    }

    /// A site that may change: its pages listen for that.
    ///
    /// # Errors
    ///
    /// As [`Shown::show`].
    pub fn watched(site: Site) -> Result<Self, SiteError> {
        let shown = Self {
            watched: true,
            ..Self::fixed(Site { files: Vec::new() })
        };
        shown.show(site)?;
        Ok(shown)
    }

    /// Whether the site may change.
    pub fn is_watched(&self) -> bool {
        self.watched
    }

    /// Shows a newer site, whose pages listen for the next.
    ///
    /// # Errors
    ///
    /// If the script that does so is not there.
    pub fn show(&self, mut site: Site) -> Result<(), SiteError> {
        let script = www("live.js")?;
        let mut now = self.lock();
        let version = now.version + 1;
        for file in &mut site.files {
            if file.media_type.starts_with("text/html") {
                file.bytes = listening(file, &script, version);
            }
        }
        *now = Now {
            site: Arc::new(site),
            version,
            fault: None,
            changes: now.changes + 1,
        };
        self.changed.notify_all();
        Ok(())
    }

    /// Keeps the site and says what keeps a newer one from being made.
    pub fn fail(&self, fault: &str) {
        let mut now = self.lock();
        now.fault = Some(fault.into());
        now.changes += 1;
        self.changed.notify_all();
    }

    /// The state now.
    pub fn now(&self) -> Now {
        self.lock().clone()
    }

    /// The state as soon as there are other than `changes` changes, or after `patience`.
    pub fn after(&self, changes: u64, patience: Duration) -> Now {
        let waited = self
            .changed
            .wait_timeout_while(self.lock(), patience, |now| now.changes == changes);
        waited.map_or_else(|_| self.now(), |(now, _)| now.clone())
    }

    fn lock(&self) -> MutexGuard<'_, Now> {
        self.now.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// A page with the script that listens.
fn listening(page: &File, script: &str, version: u64) -> Vec<u8> {
    let text = String::from_utf8_lossy(&page.bytes).replacen(POLICY, POLICY_WATCHED, 1);
    let script = format!("<script data-version=\"{version}\">{script}</script>");
    match text.rfind("</body>") {
        Some(end) => {
            let (before, after) = text.split_at(end);
            format!("{before}{script}{after}")
        }
        None => text + &script,
    }
    .into_bytes()
}
