//! Puts the files of the site into a folder as a set.
//!
//! The new folder is prepared beside the old one, with hard links to everything in the old folder
//! that is not a file of the site, and the two are exchanged in one step of the file system. So a
//! program that is killed, a full disk or a power cut leaves the whole old site or the whole new
//! one, and other files in the folder are there at every moment. What a killed run leaves behind
//! is removed by the next run for the same folder; a run that fails removes it itself.
//!
//! Where the file system cannot exchange folders, the old folder is renamed away and the new one
//! renamed in. A run killed between these two leaves no folder, and the next run brings the old one
//! back. There is never a mixture.
//!
//! Permissions and, where allowed, owners are carried over; access lists and extended attributes
//! of the folder are not.

mod others;
mod work;

use super::SiteError;
use super::files::File;
use super::guard::Guard;
use std::io::{ErrorKind, Write};
use std::path::{Path, PathBuf};
use work::Work;

/// A change to the file system that is about to be made.
#[derive(Debug)]
pub enum Step<'a> {
    /// A folder is made.
    Make(&'a Path),
    /// A file is written.
    Write(&'a Path),
    /// A file of somebody else is linked, or a link of theirs made again, at this path.
    Link(&'a Path),
    /// The folder at the path is exchanged with the new one.
    Exchange(&'a Path),
    /// Something is renamed to this path.
    Rename(&'a Path),
    /// A file or a folder with all in it is removed.
    Remove(&'a Path),
}

/// Called before each change; an error it returns counts as that of the change.
pub type Before<'a> = &'a mut dyn FnMut(&Step) -> std::io::Result<()>;

/// Puts `files` into `folder`, which is made if it is not there. A link to a folder counts as that
/// folder.
///
/// # Errors
///
/// As [`Guard::check`]; if the folder is the one that the program runs in or lies around it; if
/// something cannot be written. The folder is then as it was.
pub fn put(files: &[File], folder: &Path, guard: &Guard, before: Before) -> Result<(), SiteError> {
    let target = Target::find(folder)?;
    let made = target.make_parents(before)?;
    let done = put_beside(files, &target.folder, guard, before);
    if done.is_err() {
        for parent in made.iter().rev() {
            // Only if it is empty, as it was made.
            let _ = std::fs::remove_dir(parent);
        }
    }
    done
}

fn put_beside(
    files: &[File],
    folder: &Path,
    guard: &Guard,
    before: Before,
) -> Result<(), SiteError> {
    let work = Work::beside(folder)?;
    let _lock = work.lock();
    let names: Vec<&str> = files.iter().map(|file| file.name.as_ref()).collect();
    work.recover(folder, &names, before)?;
    guard.check(folder, &names)?;
    let staged = work
        .start(before)
        .and_then(|()| stage(files, &names, folder, &work.new_folder(), before))
        .and_then(|()| work.exchange(folder, before));
    let old = match staged {
        Ok(old) => old,
        Err(error) => {
            work.discard(folder);
            return Err(error);
        }
    };
    work.finish(old.as_deref(), folder, &names, before)
        .map_err(|error| {
            SiteError(format!(
                "the new site is in {}, but what was prepared beside it is not removed: {error}; \
                the next run tries again",
                folder.display()
            ))
        })
}

/// Where the folder is, or is to be.
struct Target {
    folder: PathBuf,
    /// Folders around it that are not there, from the outermost.
    missing: Vec<PathBuf>,
}

impl Target {
    fn find(folder: &Path) -> Result<Self, SiteError> {
        let failed = |error: std::io::Error| SiteError::file("find", folder, &error);
        let absolute = std::path::absolute(folder).map_err(failed)?;
        let mut there = absolute.as_path();
        let mut missing = Vec::new();
        // A link that leads nowhere is there, and is no folder.
        while there.symlink_metadata().is_err() {
            missing.push(there.file_name().unwrap_or_default().to_owned());
            there = there
                .parent()
                .ok_or_else(|| failed(ErrorKind::NotFound.into()))?;
        }
        let mut folder = there
            .canonicalize()
            .map_err(|error| SiteError::file("open", there, &error))?;
        if !folder.is_dir() {
            return Err(SiteError(format!("{} is not a folder", folder.display())));
        }
        if missing.is_empty() && std::env::current_dir().is_ok_and(|own| own.starts_with(&folder)) {
            return Err(SiteError(format!(
                "{} is the folder you are in, or lies around it: a new folder takes its place, so \
                that this one would be gone; go up until you are outside, or name a folder in it",
                folder.display()
            )));
        }
        let mut paths = Vec::new();
        for name in missing.into_iter().rev() {
            folder.push(name);
            paths.push(folder.clone());
        }
        paths.pop();
        Ok(Self {
            folder,
            missing: paths,
        })
    }

    /// Makes the folders around it and returns them.
    fn make_parents(&self, before: Before) -> Result<Vec<PathBuf>, SiteError> {
        let mut made = Vec::new();
        for parent in &self.missing {
            let done = before(&Step::Make(parent)).and_then(|()| std::fs::create_dir(parent));
            if let Err(error) = done {
                for parent in made.iter().rev() {
                    let _ = std::fs::remove_dir(parent);
                }
                return Err(SiteError::file("make", parent, &error));
            }
            made.push(parent.clone());
        }
        Ok(made)
    }
}

/// Fills the new folder: the files of the site, and links to all else that stands in the old one.
fn stage(
    files: &[File],
    names: &[&str],
    old: &Path,
    new: &Path,
    before: Before,
) -> Result<(), SiteError> {
    for file in files {
        let path = new.join(file.name.as_ref());
        before(&Step::Write(&path))
            .and_then(|()| write(&path, &file.bytes))
            .map_err(|error| SiteError::file("write", &path, &error))?;
        if let Ok(replaced) = old.join(file.name.as_ref()).metadata() {
            // Who could read the old file can read the new one.
            let _ = std::fs::set_permissions(&path, replaced.permissions());
        }
    }
    if old.exists() {
        others::link(old, new, names, before)?;
    }
    sync(new);
    Ok(())
}

/// Writes a file and waits until it is on the disk.
fn write(path: &Path, bytes: &[u8]) -> std::io::Result<()> {
    let mut file = std::fs::File::create_new(path)?;
    file.write_all(bytes)?;
    file.sync_all()
}

/// Waits until a folder's entries are on the disk, where the system can.
fn sync(folder: &Path) {
    let _ = std::fs::File::open(folder).and_then(|folder| folder.sync_all());
}

#[cfg(test)]
mod tests;
