//! The rules of a folder that already holds something. That a killed run leaves a whole site is
//! tested by killing a program, in `tests/put.rs`.

use super::*;
use crate::site::mark::{self, Version};
use std::fs;

const NAMES: [&str; 3] = ["index.html", "job-torque.js", "results.json"];

fn files(build: &str) -> Vec<File> {
    let version = Version::of(&[build.as_bytes()]);
    let file = |name: &'static str| File {
        name: name.into(),
        media_type: "text/plain",
        bytes: mark::sealed(mark::script(&version, build).into_bytes()),
    };
    NAMES.map(file).into()
}

fn write_site(build: &str, folder: &Path, guard: &Guard) -> Result<(), String> {
    put(&files(build), folder, guard, &mut |_| Ok(())).map_err(|error| error.0)
}

/// Every entry below a folder, with what it holds.
fn tree(folder: &Path) -> Vec<(PathBuf, Vec<u8>)> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let kind = path.symlink_metadata().unwrap().file_type();
        if kind.is_dir() {
            found.extend(tree(&path));
            found.push((path, Vec::new()));
        } else if kind.is_symlink() {
            let to = fs::read_link(&path).unwrap();
            found.push((path, to.to_string_lossy().as_bytes().to_vec()));
        } else {
            let bytes = fs::read(&path).unwrap();
            found.push((path, bytes));
        }
    }
    found.sort();
    found
}

fn holds(folder: &Path, build: &str) -> bool {
    files(build)
        .iter()
        .all(|file| fs::read(folder.join(file.name.as_ref())).ok().as_ref() == Some(&file.bytes))
}

#[test]
fn a_site_is_replaced_and_all_else_in_the_folder_stays() {
    let around = tempfile::tempdir().unwrap();
    let folder = around.path().join("a/b/site");
    write_site("one", &folder, &Guard::default()).unwrap();
    assert!(holds(&folder, "one"));
    fs::write(folder.join("notes.txt"), "mine").unwrap();
    fs::create_dir_all(folder.join("posts/old")).unwrap();
    fs::write(folder.join("posts/old/first.html"), "mine too").unwrap();
    #[cfg(unix)]
    std::os::unix::fs::symlink("posts/old", folder.join("latest")).unwrap();
    let others = |folder: &Path| {
        let mut others = tree(folder);
        others.retain(|(path, _)| !NAMES.iter().any(|name| path.ends_with(name)));
        others
    };
    let before = others(&folder);
    assert!(before.len() >= 4);
    write_site("two", &folder, &Guard::default()).unwrap();
    assert!(holds(&folder, "two"));
    assert_eq!(others(&folder), before);
    assert_eq!(fs::read_dir(folder.parent().unwrap()).unwrap().count(), 1);
}

#[test]
fn a_file_without_the_mark_is_replaced_only_by_name() {
    let around = tempfile::tempdir().unwrap();
    let folder = around.path();
    fs::write(folder.join("index.html"), "<h1>Mine</h1>").unwrap();
    let site = folder.join("site");
    fs::create_dir(&site).unwrap();
    fs::write(site.join("index.html"), "<h1>Mine</h1>").unwrap();
    fs::write(site.join("results.json"), "{}").unwrap();
    let before = tree(folder);
    let said = write_site("one", &site, &Guard::default()).unwrap_err();
    assert!(said.contains("not written by this program"), "{said}");
    for name in ["--force index.html", "--force results.json"] {
        assert!(said.contains(name), "{said}");
    }
    let forced = |names: &[&str]| Guard {
        force: names.iter().map(ToString::to_string).collect(),
        ..Guard::default()
    };
    let said = write_site("one", &site, &forced(&["index.html"])).unwrap_err();
    assert!(!said.contains("--force index.html"), "{said}");
    assert!(said.contains("--force results.json"), "{said}");
    let said = write_site("one", &site, &forced(&["notes.txt"])).unwrap_err();
    assert!(said.contains("no file \"notes.txt\""), "{said}");
    assert_eq!(tree(folder), before, "nothing is written");
    write_site("one", &site, &forced(&["index.html", "results.json"])).unwrap();
    assert!(holds(&site, "one"));
    assert_eq!(
        fs::read(folder.join("index.html")).unwrap(),
        b"<h1>Mine</h1>"
    );
}

#[test]
fn a_file_that_was_changed_since_is_spared() {
    let around = tempfile::tempdir().unwrap();
    let site = around.path().join("site");
    write_site("one", &site, &Guard::default()).unwrap();
    let mut page = fs::read(site.join("index.html")).unwrap();
    page.push(b'\n');
    fs::write(site.join("index.html"), &page).unwrap();
    let before = tree(&site);
    let said = write_site("two", &site, &Guard::default()).unwrap_err();
    assert!(
        said.contains("changed since this program wrote it"),
        "{said}"
    );
    assert_eq!(tree(&site), before);
}

#[test]
fn an_input_is_never_replaced() {
    let around = tempfile::tempdir().unwrap();
    let site = around.path().join("site");
    fs::create_dir(&site).unwrap();
    let raw = site.join("results.json");
    fs::write(&raw, "{\"raw\": 1}").unwrap();
    let hard = around.path().join("hard.json");
    fs::hard_link(&raw, &hard).unwrap();
    let mut ways = vec![raw.clone(), hard, site.join("../site/./results.json")];
    #[cfg(unix)]
    {
        let soft = around.path().join("soft.json");
        std::os::unix::fs::symlink(&raw, &soft).unwrap();
        let door = around.path().join("door");
        std::os::unix::fs::symlink(&site, &door).unwrap();
        ways.extend([soft, door.join("results.json")]);
    }
    let before = tree(around.path());
    for input in ways {
        let guard = Guard {
            inputs: vec![input.clone()],
            force: vec!["results.json".into()],
        };
        let said = write_site("one", &site, &guard).unwrap_err();
        assert!(said.contains("is made from it"), "{input:?}: {said}");
    }
    // A folder that is read is not written to either.
    let guard = Guard {
        inputs: vec![site.clone()],
        force: vec!["results.json".into()],
    };
    let said = write_site("one", &site, &guard).unwrap_err();
    assert!(said.contains("is read from"), "{said}");
    assert_eq!(tree(around.path()), before);
}

#[cfg(unix)]
#[test]
fn links_are_not_written_through() {
    use std::os::unix::fs::symlink;
    let around = tempfile::tempdir().unwrap();
    let site = around.path().join("site");
    write_site("one", &site, &Guard::default()).unwrap();
    let precious = around.path().join("precious.js");
    fs::copy(site.join("job-torque.js"), &precious).unwrap();
    fs::remove_file(site.join("job-torque.js")).unwrap();
    symlink(&precious, site.join("job-torque.js")).unwrap();
    symlink(around.path().join("gone"), site.join("gone")).unwrap();
    let before = tree(around.path());
    let guard = Guard {
        force: vec!["job-torque.js".into()],
        ..Guard::default()
    };
    let said = write_site("two", &site, &guard).unwrap_err();
    assert!(
        said.contains("links are neither followed nor replaced"),
        "{said}"
    );
    assert_eq!(tree(around.path()), before);
    // The folder itself may be a link: the folder it leads to gets the site, and the link stays.
    fs::remove_file(site.join("job-torque.js")).unwrap();
    let door = around.path().join("door");
    symlink("site", &door).unwrap();
    write_site("two", &door, &Guard::default()).unwrap();
    assert!(holds(&site, "two") && door.is_symlink());
    // One that leads nowhere is not followed to make a folder there.
    let nowhere = around.path().join("nowhere");
    symlink("void", &nowhere).unwrap();
    write_site("two", &nowhere, &Guard::default()).unwrap_err();
    assert!(!around.path().join("void").exists());
}

#[cfg(unix)]
#[test]
fn permissions_stay_as_they_were() {
    use std::os::unix::fs::PermissionsExt;
    let around = tempfile::tempdir().unwrap();
    let mode = |path: &Path| path.metadata().unwrap().permissions().mode() & 0o777;
    let set = |path: &Path, mode| {
        fs::set_permissions(path, fs::Permissions::from_mode(mode)).unwrap();
    };
    let (site, plain) = (around.path().join("site"), around.path().join("plain"));
    fs::create_dir(&plain).unwrap();
    write_site("one", &site, &Guard::default()).unwrap();
    assert_eq!(mode(&site), mode(&plain), "a new folder is like any other");
    let page = site.join("index.html");
    fs::create_dir(site.join("posts")).unwrap();
    for (path, mode) in [(&site, 0o750), (&page, 0o640), (&site.join("posts"), 0o701)] {
        set(path, mode);
    }
    let mut during = 0;
    put(&files("two"), &site, &Guard::default(), &mut |step| {
        if matches!(step, Step::Exchange(_)) {
            during = mode(&around.path().join(".site.jobtorque"));
        }
        Ok(())
    })
    .unwrap();
    assert!(holds(&site, "two"));
    assert_eq!((mode(&site), mode(&page)), (0o750, 0o640));
    assert_eq!(mode(&site.join("posts")), 0o701);
    assert_eq!(during, 0o700, "what is prepared is for its owner alone");
}

#[test]
fn the_folder_one_is_in_is_not_replaced() {
    let here = std::env::current_dir().unwrap();
    for folder in [here.as_path(), here.parent().unwrap()] {
        let said = write_site("one", folder, &Guard::default()).unwrap_err();
        assert!(said.contains("the folder you are in"), "{said}");
    }
}

#[test]
fn each_failure_leaves_everything_as_it_was() {
    let around = tempfile::tempdir().unwrap();
    let site = around.path().join("site");
    write_site("one", &site, &Guard::default()).unwrap();
    fs::write(site.join("notes.txt"), "mine").unwrap();
    fs::create_dir(site.join("posts")).unwrap();
    let before = tree(around.path());
    for fails in 0.. {
        let mut steps = 0;
        let mut exchanged = false;
        let done = put(&files("two"), &site, &Guard::default(), &mut |step| {
            steps += 1;
            if steps > fails {
                return Err(ErrorKind::StorageFull.into());
            }
            exchanged |= matches!(step, Step::Exchange(_));
            Ok(())
        });
        if done.is_ok() {
            assert!(fails > 8, "{fails} steps");
            break;
        }
        if exchanged {
            assert!(holds(&site, "two"), "step {fails}");
            // The next run removes what this one could not.
            write_site("one", &site, &Guard::default()).unwrap();
        }
        assert_eq!(tree(around.path()), before, "step {fails}");
    }
    // Where the folder is new, what was made on the way to it goes too.
    let far = around.path().join("a/b/site");
    for fails in 0..6 {
        let mut steps = 0;
        let done = put(&files("two"), &far, &Guard::default(), &mut |_| {
            steps += 1;
            (steps <= fails)
                .then_some(())
                .ok_or_else(|| ErrorKind::StorageFull.into())
        });
        assert!(
            done.is_err() && !around.path().join("a").exists(),
            "{fails}"
        );
    }
}

#[test]
fn what_is_written_to_the_folder_in_the_meantime_is_kept() {
    let around = tempfile::tempdir().unwrap();
    let site = around.path().join("site");
    write_site("one", &site, &Guard::default()).unwrap();
    fs::create_dir(site.join("posts")).unwrap();
    fs::write(site.join("kept.txt"), "as it was").unwrap();
    fs::write(site.join("saved.txt"), "before").unwrap();
    let late = std::time::SystemTime::now() + std::time::Duration::from_secs(9);
    put(&files("two"), &site, &Guard::default(), &mut |step| {
        if matches!(step, Step::Exchange(_)) {
            // As editors save: a new file in the place of the old one.
            fs::write(site.join("saving"), "after")?;
            fs::File::options()
                .write(true)
                .open(site.join("saving"))?
                .set_modified(late)?;
            fs::rename(site.join("saving"), site.join("saved.txt"))?;
            fs::write(site.join("posts/new.txt"), "new")?;
        }
        Ok(())
    })
    .unwrap();
    assert!(holds(&site, "two"));
    for (name, text) in [
        ("kept.txt", "as it was"),
        ("saved.txt", "after"),
        ("posts/new.txt", "new"),
    ] {
        assert_eq!(fs::read_to_string(site.join(name)).unwrap(), text, "{name}");
    }
    assert_eq!(fs::read_dir(around.path()).unwrap().count(), 1);
}

#[test]
fn what_is_written_in_the_meantime_is_kept_even_if_the_run_ends_there() {
    let around = tempfile::tempdir().unwrap();
    let site = around.path().join("site");
    write_site("one", &site, &Guard::default()).unwrap();
    let said = put(&files("two"), &site, &Guard::default(), &mut |step| {
        if matches!(step, Step::Exchange(_)) {
            fs::write(site.join("new.txt"), "new")?;
        }
        let moving = matches!(step, Step::Rename(_));
        (!moving)
            .then_some(())
            .ok_or_else(|| ErrorKind::Other.into())
    })
    .unwrap_err();
    assert!(said.0.contains("the next run tries again"), "{said}");
    assert!(holds(&site, "two") && !site.join("new.txt").exists());
    write_site("two", &site, &Guard::default()).unwrap();
    assert_eq!(fs::read(site.join("new.txt")).unwrap(), b"new");
    assert_eq!(fs::read_dir(around.path()).unwrap().count(), 1);
}

#[test]
fn a_folder_of_somebody_else_beside_it_is_not_removed() {
    let around = tempfile::tempdir().unwrap();
    let work = around.path().join(".site.jobtorque");
    fs::create_dir(&work).unwrap();
    fs::write(work.join("thesis.txt"), "mine").unwrap();
    let said = write_site("one", &around.path().join("site"), &Guard::default()).unwrap_err();
    assert!(said.contains("is in the way"), "{said}");
    assert_eq!(fs::read(work.join("thesis.txt")).unwrap(), b"mine");
}

#[test]
fn a_folder_with_too_much_in_it_or_with_what_cannot_be_linked_is_refused() {
    let around = tempfile::tempdir().unwrap();
    let site = around.path().join("site");
    fs::create_dir(&site).unwrap();
    for number in 0..=10_000 {
        fs::write(site.join(format!("{number}.txt")), "").unwrap();
    }
    let said = write_site("one", &site, &Guard::default()).unwrap_err();
    assert!(said.contains("more than 10000"), "{said}");
    assert!(said.contains("a folder of its own"), "{said}");
    assert_eq!(fs::read_dir(&site).unwrap().count(), 10_001);
    assert_eq!(fs::read_dir(around.path()).unwrap().count(), 1);
}
