//! A file written beside its place and renamed, so that it is there as a whole or not at all.

use std::fs::{self, OpenOptions};
use std::io::Write;
use std::path::{Path, PathBuf};
use std::time::Duration;

/// What a program that was killed left beside a place is cleared away when it is older than this.
/// No write takes so long.
const LEFT_OVER_AFTER: Duration = Duration::from_secs(600);

/// What may stand where a file is to be written.
#[derive(Clone, Copy, Debug)]
pub enum Existing<'a> {
    /// Nothing.
    Nothing,
    /// Anything but a link or a folder; it is replaced.
    Replaced,
    /// A file with these bytes, which is replaced.
    Bytes(&'a [u8]),
}

/// Writes a file.
///
/// # Errors
///
/// Says what stands in the way; what stood there is left as it was.
pub fn write_file(path: &Path, bytes: &[u8], existing: Existing) -> Result<(), String> {
    write_then(path, bytes, existing, |_| Ok(()))
}

/// The same, with something to be done between writing and renaming.
fn write_then(
    path: &Path,
    bytes: &[u8],
    existing: Existing,
    then: impl FnOnce(&Path) -> std::io::Result<()>,
) -> Result<(), String> {
    let failed =
        |path: &Path, error: &std::io::Error| format!("cannot write {}: {error}", path.display());
    allowed(path, existing)?;
    let new = beside(path)?;
    let renamed = write_new(&new, path, bytes)
        .and_then(|()| then(&new))
        .map_err(|error| failed(&new, &error))
        .and_then(|()| allowed(path, existing))
        .and_then(|()| fs::rename(&new, path).map_err(|error| failed(path, &error)));
    match renamed {
        Ok(()) => clear_left_over(path),
        // The message of what went wrong is worth more than that of clearing up.
        Err(_) => drop(fs::remove_file(&new)),
    }
    renamed
}

/// Removes what programs that were killed left beside a path.
pub fn clear_left_over(path: &Path) {
    let (Some(folder), Some(name)) = (path.parent(), path.file_name()) else {
        return;
    };
    let begins = format!(".{}.", name.to_string_lossy());
    let is_ours = |found: &str| {
        found
            .strip_prefix(&begins)
            .and_then(|rest| rest.strip_suffix(".new"))
            .is_some_and(|id| !id.is_empty() && id.bytes().all(|byte| byte.is_ascii_digit()))
    };
    // `read_dir` of the empty path, which stands for the current folder, finds nothing.
    let folder = if folder.as_os_str().is_empty() {
        Path::new(".")
    } else {
        folder
    };
    for entry in fs::read_dir(folder).into_iter().flatten().flatten() {
        let old = entry
            .metadata()
            .and_then(|there| there.modified())
            .is_ok_and(|time| time.elapsed().is_ok_and(|age| age > LEFT_OVER_AFTER));
        if old && is_ours(&entry.file_name().to_string_lossy()) {
            // What cannot be removed stays where it was.
            fs::remove_file(entry.path())
                .or_else(|_| fs::remove_dir_all(entry.path()))
                .ok();
        }
    }
}

/// A name beside a path that only this process uses.
pub fn beside(path: &Path) -> Result<PathBuf, String> {
    let name = path
        .file_name()
        .ok_or_else(|| format!("{} names no file", path.display()))?;
    let mut new = std::ffi::OsString::from(".");
    new.push(name);
    new.push(format!(".{}.new", std::process::id()));
    Ok(path.with_file_name(new))
}

fn write_new(new: &Path, path: &Path, bytes: &[u8]) -> std::io::Result<()> {
    let mut file = OpenOptions::new().write(true).create_new(true).open(new)?;
    file.write_all(bytes)?;
    if let Ok(kept) = fs::metadata(path) {
        file.set_permissions(kept.permissions())?;
    }
    file.sync_all()
}

/// Refuses what may not be written over.
fn allowed(path: &Path, existing: Existing) -> Result<(), String> {
    let shown = path.display();
    let there = match fs::symlink_metadata(path) {
        Ok(there) => there,
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => {
            return match existing {
                Existing::Bytes(_) => Err(format!("{shown} has gone meanwhile")),
                _ => Ok(()),
            };
        }
        Err(error) => return Err(format!("cannot write {shown}: {error}")),
    };
    if there.file_type().is_symlink() {
        return Err(format!("{shown} is a link, and is not written through"));
    }
    if there.is_dir() {
        return Err(format!("{shown} is a folder"));
    }
    match existing {
        Existing::Nothing => Err(format!("{shown} is there already, and is left as it is")),
        Existing::Replaced => Ok(()),
        Existing::Bytes(bytes) => match fs::read(path) {
            Ok(now) if now == bytes => Ok(()),
            Ok(_) => Err(format!(
                "{shown} changed meanwhile, and is left as it is; try again"
            )),
            Err(error) => Err(format!("cannot read {shown}: {error}")),
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The files of a folder with their bytes.
    fn all(folder: &Path) -> Vec<(String, Vec<u8>)> {
        let entries = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap());
        let mut files: Vec<_> = entries
            .map(|entry| {
                (
                    entry.file_name().into_string().unwrap(),
                    fs::read(entry.path()).unwrap(),
                )
            })
            .collect();
        files.sort();
        files
    }

    #[test]
    fn what_a_killed_program_left_is_cleared_away_when_it_is_old() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.csv");
        let names = [
            ".a.csv.17.new",
            ".a.csv.18.new",
            ".a.csv.x.new",
            ".b.csv.17.new",
            "a.csv.17.new",
        ];
        for name in names {
            fs::write(folder.path().join(name), "x").unwrap();
            if name != ".a.csv.18.new" {
                let file = fs::File::options()
                    .write(true)
                    .open(folder.path().join(name))
                    .unwrap();
                file.set_modified(std::time::SystemTime::now() - LEFT_OVER_AFTER * 2)
                    .unwrap();
            }
        }
        write_file(&path, b"new", Existing::Nothing).unwrap();
        let left: Vec<String> = all(folder.path())
            .into_iter()
            .map(|(name, _)| name)
            .collect();
        assert_eq!(
            left,
            [
                ".a.csv.18.new",
                ".a.csv.x.new",
                ".b.csv.17.new",
                "a.csv",
                "a.csv.17.new"
            ]
        );
    }

    #[test]
    fn a_failure_before_the_renaming_leaves_all_as_it_was() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.csv");
        fs::write(&path, "old").unwrap();
        let broken = || Err(std::io::Error::other("no power"));
        let said = write_then(&path, b"new", Existing::Bytes(b"old"), |_| broken()).unwrap_err();
        assert!(said.contains("no power"), "{said}");
        assert_eq!(all(folder.path()), [("a.csv".to_owned(), b"old".to_vec())]);
    }

    #[test]
    fn a_file_that_changes_meanwhile_is_left_as_it_is() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.csv");
        fs::write(&path, "old").unwrap();
        let said = write_then(&path, b"new", Existing::Bytes(b"old"), |_| {
            fs::write(&path, "theirs")
        })
        .unwrap_err();
        assert!(said.contains("changed meanwhile"), "{said}");
        assert_eq!(
            all(folder.path()),
            [("a.csv".to_owned(), b"theirs".to_vec())]
        );
        let other = folder.path().join("b.json");
        let said = write_then(&other, b"new", Existing::Nothing, |_| {
            fs::write(&other, "theirs")
        })
        .unwrap_err();
        assert!(said.contains("there already"), "{said}");
        assert_eq!(all(folder.path()).len(), 2);
    }

    #[test]
    fn files_are_replaced_only_where_that_is_asked_for() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a");
        write_file(&path, b"1", Existing::Nothing).unwrap();
        assert!(write_file(&path, b"2", Existing::Nothing).is_err());
        write_file(&path, b"2", Existing::Replaced).unwrap();
        write_file(&path, b"3", Existing::Bytes(b"2")).unwrap();
        assert!(write_file(folder.path(), b"4", Existing::Replaced).is_err());
        assert_eq!(all(folder.path()), [("a".to_owned(), b"3".to_vec())]);
    }

    #[cfg(unix)]
    #[test]
    fn a_link_is_not_written_through() {
        let folder = tempfile::tempdir().unwrap();
        let (target, link) = (folder.path().join("target"), folder.path().join("link"));
        fs::write(&target, "old").unwrap();
        std::os::unix::fs::symlink(&target, &link).unwrap();
        let said = write_file(&link, b"new", Existing::Replaced).unwrap_err();
        assert!(said.contains("is a link"), "{said}");
        assert_eq!(fs::read(&target).unwrap(), b"old");
    }
}
