//! A folder made as a whole: written beside its place and renamed.

use super::unbundle::File;
use super::write_file::{beside, clear_left_over};
use std::fs::{self, OpenOptions};
use std::io::Write;
use std::path::Path;

/// Makes the folder `path` of `files`. `proof` may look at it before it is renamed to its place, and
/// refuse it.
///
/// # Errors
///
/// If something that is not an empty folder stands there, or a file cannot be written. Nothing is
/// left of it then.
pub fn new_folder(
    path: &Path,
    files: &[File],
    proof: impl FnOnce(&Path) -> Result<(), String>,
) -> Result<(), String> {
    vacant(path)?;
    // `.` and a path with an ending slash have a name once they are whole.
    let whole = std::path::absolute(path).map_err(|error| failed(path, &error))?;
    let new = beside(&whole)?;
    let made = make(&new, files)
        .and_then(|()| proof(&new))
        .and_then(|()| vacant(path))
        .and_then(|()| {
            // An empty folder makes room; a folder that is no longer empty stays.
            fs::remove_dir(&whole).ok();
            fs::rename(&new, &whole).map_err(|error| failed(path, &error))
        });
    match made {
        Ok(()) => clear_left_over(&whole),
        Err(_) => drop(fs::remove_dir_all(&new)),
    }
    made
}

fn failed(path: &Path, error: &std::io::Error) -> String {
    format!("cannot make {}: {error}", path.display())
}

/// Refuses all but nothing and an empty folder.
fn vacant(path: &Path) -> Result<(), String> {
    let shown = path.display();
    match fs::symlink_metadata(path) {
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => Ok(()),
        Err(error) => Err(failed(path, &error)),
        Ok(there) if !there.is_dir() => Err(format!("{shown} is there already and is no folder")),
        Ok(_) => match fs::read_dir(path).map(|mut entries| entries.next().is_none()) {
            Ok(true) => Ok(()),
            Ok(false) => Err(format!(
                "{shown} is not empty, and is left as it is; name a new folder"
            )),
            Err(error) => Err(failed(path, &error)),
        },
    }
}

fn make(new: &Path, files: &[File]) -> Result<(), String> {
    fs::create_dir_all(new.parent().unwrap_or(new)).map_err(|error| failed(new, &error))?;
    fs::create_dir(new).map_err(|error| failed(new, &error))?;
    for (name, bytes) in files {
        let path = new.join(name);
        let folder = if name.ends_with('/') {
            Some(path.as_path())
        } else {
            path.parent()
        };
        if let Some(folder) = folder {
            fs::create_dir_all(folder).map_err(|error| failed(folder, &error))?;
        }
        if !name.ends_with('/') {
            let file = OpenOptions::new().write(true).create_new(true).open(&path);
            let written = file.and_then(|mut file| file.write_all(bytes));
            written.map_err(|error| failed(&path, &error))?;
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn file(name: &str) -> File {
        (name.to_owned(), b"x".to_vec())
    }

    #[test]
    fn a_folder_is_there_as_a_whole_or_not_at_all() {
        let around = tempfile::tempdir().unwrap();
        let path = around.path().join("bench");
        let files = [file("a"), file("logs/deep/b")];
        let said = new_folder(&path, &files, |new| {
            assert!(new.join("logs/deep/b").exists() && !path.exists());
            Err("no".into())
        });
        assert_eq!(said, Err("no".into()));
        assert_eq!(fs::read_dir(around.path()).unwrap().count(), 0);
        new_folder(&path, &[file("a"), file("empty/")], |_| Ok(())).unwrap();
        assert!(path.join("empty").is_dir());
        assert_eq!(fs::read(path.join("a")).unwrap(), b"x");
        assert!(
            new_folder(&path, &files, |_| Ok(()))
                .unwrap_err()
                .contains("not empty")
        );
        assert!(
            new_folder(&path.join("a"), &files, |_| Ok(()))
                .unwrap_err()
                .contains("no folder")
        );
        let empty = around.path().join("empty");
        fs::create_dir(&empty).unwrap();
        new_folder(&empty, &files, |_| Ok(())).unwrap();
        assert!(empty.join("a").exists());
    }

    #[test]
    fn two_files_of_one_name_are_refused_and_nothing_is_left() {
        let around = tempfile::tempdir().unwrap();
        let path = around.path().join("bench");
        assert!(new_folder(&path, &[file("a"), file("a")], |_| Ok(())).is_err());
        assert_eq!(fs::read_dir(around.path()).unwrap().count(), 0);
    }
}
