//! What stands in the folder of the site and is not a file of the site: it is there in the new
//! folder too, the same files by hard links.

use super::{Before, Step};
use crate::site::SiteError;
use crate::site::guard::same;
use std::fs::{DirEntry, Metadata};
use std::io::{Error, ErrorKind, Result};
use std::path::Path;

/// The most files and folders that are linked.
const MOST_ENTRIES: usize = 10_000;

/// Links everything in `old` but the files of the site, given by their `names`, into `new`.
pub(super) fn link(
    old: &Path,
    new: &Path,
    names: &[&str],
    before: Before,
) -> std::result::Result<(), SiteError> {
    let mut linked = 0;
    entries(old, names)
        .and_then(|entries| {
            for entry in entries {
                link_entry(
                    &entry.path(),
                    &new.join(entry.file_name()),
                    &mut linked,
                    before,
                )?;
            }
            carry_attributes(old, new);
            Ok(())
        })
        .map_err(|error| {
            SiteError(format!(
                "nothing is written: {} holds other files, and they cannot be kept where they \
                are: {error}; write the site to a folder of its own",
                old.display()
            ))
        })
}

fn link_entry(old: &Path, new: &Path, linked: &mut usize, before: Before) -> Result<()> {
    *linked += 1;
    if *linked > MOST_ENTRIES {
        return Err(Error::other(format!("there are more than {MOST_ENTRIES}")));
    }
    let named = |error: Error| Error::new(error.kind(), format!("{}: {error}", old.display()));
    let kind = old.symlink_metadata().map_err(named)?.file_type();
    if kind.is_dir() {
        before(&Step::Make(new))?;
        std::fs::create_dir(new).map_err(named)?;
        for entry in entries(old, &[]).map_err(named)? {
            link_entry(&entry.path(), &new.join(entry.file_name()), linked, before)?;
        }
        carry_attributes(old, new);
        carry_times(old, new);
        return Ok(());
    }
    before(&Step::Link(new))?;
    if kind.is_symlink() {
        std::fs::read_link(old).and_then(|to| make_link(&to, new))
    } else if kind.is_file() {
        std::fs::hard_link(old, new)
    } else {
        Err(Error::other("neither a file, a folder nor a link"))
    }
    .map_err(named)
}

/// Moves what `old` holds and `new` does not hold, or holds in an older state, to `new`: files
/// that were written while the folders were exchanged.
pub(super) fn move_over(old: &Path, new: &Path, names: &[&str], before: Before) -> Result<()> {
    for entry in entries(old, names)? {
        let (from, to) = (entry.path(), new.join(entry.file_name()));
        let file = from.symlink_metadata()?;
        match to.symlink_metadata() {
            Err(error) if error.kind() == ErrorKind::NotFound => {}
            Err(error) => return Err(error),
            Ok(kept) if file.is_dir() && kept.is_dir() => {
                move_over(&from, &to, &[], before)?;
                continue;
            }
            Ok(kept) if same(&file, &kept) || !is_newer(&file, &kept) => continue,
            Ok(_) => {}
        }
        before(&Step::Rename(&to))?;
        std::fs::rename(&from, &to)?;
    }
    Ok(())
}

/// Whether `file` was written after `kept`. A link that was made again is not newer.
fn is_newer(file: &Metadata, kept: &Metadata) -> bool {
    let times = (file.modified(), kept.modified());
    matches!(times, (Ok(file), Ok(kept)) if file > kept)
}

/// The entries of a folder but those with these names.
fn entries(folder: &Path, names: &[&str]) -> Result<Vec<DirEntry>> {
    let entries = std::fs::read_dir(folder)?;
    let others = entries.filter(|entry| {
        let name = entry.as_ref().map(DirEntry::file_name);
        !name.is_ok_and(|name| names.iter().any(|own| name == *own))
    });
    others.collect()
}

/// Gives a folder the time of change of another.
fn carry_times(old: &Path, new: &Path) {
    let modified = old.metadata().and_then(|folder| folder.modified());
    if let (Ok(folder), Ok(modified)) = (std::fs::File::open(new), modified) {
        let _ = folder.set_times(std::fs::FileTimes::new().set_modified(modified));
    }
}

/// Gives a folder the permissions and, where allowed, the owner of another.
fn carry_attributes(old: &Path, new: &Path) {
    let Ok(attributes) = old.metadata() else {
        return;
    };
    #[cfg(unix)]
    {
        use std::os::unix::fs::MetadataExt;
        let _ = std::os::unix::fs::chown(new, Some(attributes.uid()), Some(attributes.gid()));
    }
    let _ = std::fs::set_permissions(new, attributes.permissions());
}

#[cfg(unix)]
fn make_link(to: &Path, new: &Path) -> Result<()> {
    std::os::unix::fs::symlink(to, new)
}

#[cfg(not(unix))]
fn make_link(_: &Path, _: &Path) -> Result<()> {
    Err(Error::other("a link"))
}
