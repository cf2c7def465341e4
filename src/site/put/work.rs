//! The folder beside the site's folder in which a new one is prepared.
//!
//! For a folder `site` it is `.site.jobtorque` and holds `new`, the folder being prepared and
//! after the exchange the old one; `old`, the old folder where the two cannot be exchanged; and
//! `state`, which says which of them `new` is.

use super::{Before, Step, others, sync, write};
use crate::site::SiteError;
use std::ffi::OsString;
use std::fs::File;
use std::io::{ErrorKind, Result};
use std::path::{Path, PathBuf};

/// The first word of the state, by which the folder is recognised.
const STATE: &str = "jobtorque";

/// See the module.
pub(super) struct Work {
    folder: PathBuf,
    parent: PathBuf,
}

impl Work {
    pub fn beside(folder: &Path) -> std::result::Result<Self, SiteError> {
        let (Some(parent), Some(name)) = (folder.parent(), folder.file_name()) else {
            return Err(SiteError(format!(
                "{} has no folder around it; name a folder in it",
                folder.display()
            )));
        };
        let mut own = OsString::from(".");
        own.push(name);
        own.push(".jobtorque");
        Ok(Self {
            folder: parent.join(own),
            parent: parent.to_owned(),
        })
    }

    /// The folder being prepared.
    pub fn new_folder(&self) -> PathBuf {
        self.folder.join("new")
    }

    fn old_folder(&self) -> PathBuf {
        self.folder.join("old")
    }

    fn state(&self) -> PathBuf {
        self.folder.join("state")
    }

    /// Waits for other runs that write in the same folder, and keeps them out for as long as the
    /// file is open. Where a system cannot lock a folder, nothing is locked.
    pub fn lock(&self) -> Option<File> {
        let folder = File::open(&self.parent).ok()?;
        folder.lock().ok()?;
        Some(folder)
    }

    /// Brings what a killed run left behind to an end: an old folder that was renamed away comes
    /// back, and the rest is removed.
    pub fn recover(
        &self,
        folder: &Path,
        names: &[&str],
        before: Before,
    ) -> std::result::Result<(), SiteError> {
        if !self.folder.exists() {
            return Ok(());
        }
        if !self.is_recognised() {
            return Err(SiteError(format!(
                "{} is in the way and was not made by this program: move it",
                self.folder.display()
            )));
        }
        let failed = |error| SiteError::file("remove", &self.folder, &error);
        let new = self.new_folder();
        let exchanged = new.exists() && number(&new) != self.numbered();
        let old = if exchanged { new } else { self.old_folder() };
        if !folder.exists() && old.exists() {
            before(&Step::Rename(folder))
                .and_then(|()| std::fs::rename(&old, folder))
                .map_err(|error| SiteError::file("bring back", folder, &error))?;
        }
        self.finish(Some(&old), folder, names, before)
            .map_err(failed)
    }

    /// Whether the folder was made by this program: by its state, or because a run was killed
    /// before the state was complete.
    fn is_recognised(&self) -> bool {
        if self.numbered().is_some() {
            return true;
        }
        let names = |folder: &Path| -> Vec<OsString> {
            let entries = std::fs::read_dir(folder).into_iter().flatten().flatten();
            entries.map(|entry| entry.file_name()).collect()
        };
        let own = ["new", "state"];
        self.folder.is_dir()
            && names(&self.folder)
                .iter()
                .all(|name| own.iter().any(|own| name == *own))
            && names(&self.new_folder()).is_empty()
            && self.state().metadata().map_or(0, |file| file.len()) < 64
    }

    /// The number in the state: that of the folder that was prepared.
    fn numbered(&self) -> Option<u64> {
        let state = std::fs::read_to_string(self.state()).ok()?;
        let number = state.strip_prefix(STATE)?.strip_suffix('\n')?;
        number.trim().parse().ok()
    }

    /// Makes the folders and writes the state.
    pub fn start(&self, before: Before) -> std::result::Result<(), SiteError> {
        let new = self.new_folder();
        for folder in [&self.folder, &new] {
            before(&Step::Make(folder))
                .and_then(|()| make(folder, folder == &new))
                .map_err(|error| {
                    SiteError(format!(
                        "cannot make {}: {error}; the site is prepared beside its folder, so write \
                        to a folder in one of your own",
                        folder.display()
                    ))
                })?;
        }
        let state = self.state();
        let text = format!("{STATE} {}\n", number(&new).unwrap_or_default());
        before(&Step::Write(&state))
            .and_then(|()| write(&state, text.as_bytes()))
            .map_err(|error| SiteError::file("write", &state, &error))?;
        sync(&self.folder);
        sync(&self.parent);
        Ok(())
    }

    /// Puts the new folder in the place of the old one, and says where the old one is now.
    pub fn exchange(
        &self,
        folder: &Path,
        before: Before,
    ) -> std::result::Result<Option<PathBuf>, SiteError> {
        let new = self.new_folder();
        let failed = |error| {
            SiteError(format!(
                "cannot put the new folder in the place of {}: {error}; write to a folder in it",
                folder.display()
            ))
        };
        if !folder.exists() {
            before(&Step::Rename(folder))
                .and_then(|()| std::fs::rename(&new, folder))
                .map_err(failed)?;
            sync(&self.parent);
            return Ok(None);
        }
        let done = before(&Step::Exchange(folder)).and_then(|()| exchanged(&new, folder));
        let old = match done {
            Ok(()) => new,
            Err(error) if cannot_exchange(&error) => {
                let old = self.old_folder();
                self.rename_both(folder, &new, &old, before)
                    .map_err(failed)?;
                old
            }
            Err(error) => return Err(failed(error)),
        };
        sync(&self.parent);
        sync(&self.folder);
        Ok(Some(old))
    }

    /// Renames the old folder away and the new one in.
    fn rename_both(&self, folder: &Path, new: &Path, old: &Path, before: Before) -> Result<()> {
        before(&Step::Rename(old))?;
        std::fs::rename(folder, old)?;
        let done = before(&Step::Rename(folder)).and_then(|()| std::fs::rename(new, folder));
        if done.is_err() {
            std::fs::rename(old, folder)?;
        }
        done
    }

    /// Moves over what somebody wrote to the old folder in the meantime, and removes the rest.
    pub fn finish(
        &self,
        old: Option<&Path>,
        folder: &Path,
        names: &[&str],
        before: Before,
    ) -> Result<()> {
        if let Some(old) = old.filter(|old| old.exists()) {
            others::move_over(old, folder, names, before)?;
        }
        for left in [self.new_folder(), self.old_folder()] {
            if left.exists() {
                before(&Step::Remove(&left))?;
                std::fs::remove_dir_all(&left)?;
            }
        }
        // The state goes last: without it, a folder with anything in it is not recognised.
        match before(&Step::Remove(&self.state())).and_then(|()| std::fs::remove_file(self.state()))
        {
            Err(error) if error.kind() != ErrorKind::NotFound => return Err(error),
            _ => {}
        }
        before(&Step::Remove(&self.folder))?;
        std::fs::remove_dir(&self.folder)
    }

    /// Removes what was prepared after a failure, if the old folder is in its place.
    pub fn discard(&self, folder: &Path) {
        if folder.exists() || !self.old_folder().exists() {
            // What cannot be removed now is removed by the next run.
            let _ = std::fs::remove_dir_all(self.new_folder());
            let _ = std::fs::remove_file(self.state());
            let _ = std::fs::remove_dir(&self.folder);
        }
    }
}

/// Makes a folder. One that is not `open` can be looked into by its owner alone, where the system
/// knows owners: links to files that the old folder keeps from others are kept from them here too.
fn make(folder: &Path, open: bool) -> Result<()> {
    let mut builder = std::fs::DirBuilder::new();
    #[cfg(unix)]
    if !open {
        std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    }
    builder.create(folder)
}

#[cfg(any(target_os = "linux", target_os = "macos"))]
fn exchanged(new: &Path, folder: &Path) -> Result<()> {
    use rustix::fs::{CWD, RenameFlags, renameat_with};
    renameat_with(CWD, new, CWD, folder, RenameFlags::EXCHANGE).map_err(Into::into)
}

#[cfg(not(any(target_os = "linux", target_os = "macos")))]
fn exchanged(_: &Path, _: &Path) -> Result<()> {
    Err(ErrorKind::Unsupported.into())
}

/// Whether an error of the exchange says that the file system has no exchange.
fn cannot_exchange(error: &std::io::Error) -> bool {
    matches!(
        error.kind(),
        ErrorKind::Unsupported | ErrorKind::InvalidInput
    )
}

/// The number of a folder on its file system; none where folders are not numbered.
#[cfg(unix)]
fn number(folder: &Path) -> Option<u64> {
    use std::os::unix::fs::MetadataExt;
    folder.metadata().ok().map(|folder| folder.ino())
}

/// The number of a folder on its file system; none where folders are not numbered.
#[cfg(not(unix))]
fn number(folder: &Path) -> Option<u64> {
    folder.exists().then_some(0)
}
