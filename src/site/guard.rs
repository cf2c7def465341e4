//! What the program must not replace: an input, a link, a file of somebody else.

use super::SiteError;
use super::mark::{Origin, origin};
use std::fs::Metadata;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

/// What is to be spared in a folder that the site is written to.
#[derive(Clone, Debug, Default)]
pub struct Guard {
    /// Files and folders that the site is made from. They are never replaced.
    pub inputs: Vec<PathBuf>,
    /// Names of files of the site that may replace a file without the program's own mark.
    pub force: Vec<String>,
}

impl Guard {
    /// Checks that files with these `names` may be written to `folder`, which need not be there.
    ///
    /// # Errors
    ///
    /// Lists each file that must not be replaced, with the reason.
    pub fn check(&self, folder: &Path, names: &[&str]) -> Result<(), SiteError> {
        if let Some(unknown) = self
            .force
            .iter()
            .find(|name| !names.contains(&name.as_str()))
        {
            return Err(SiteError(format!(
                "--force: the site has no file \"{unknown}\"; its files are {}",
                names.join(", ")
            )));
        }
        let inputs: Vec<Input> = self.inputs.iter().filter_map(|path| input(path)).collect();
        if let Some(input) = inputs.iter().find(|input| input.is(folder)) {
            return Err(SiteError(format!(
                "{} is read from {}: write the site to another folder",
                folder.display(),
                input.path.display()
            )));
        }
        let mut refused = Vec::new();
        for name in names {
            let path = folder.join(name);
            let why = self.refusal(&path, name, &inputs)?;
            refused.extend(why.map(|why| format!("{}: {why}", path.display())));
        }
        if refused.is_empty() {
            return Ok(());
        }
        refused.insert(0, "nothing is written:".into());
        Err(SiteError(refused.join("\n  ")))
    }

    fn refusal(
        &self,
        path: &Path,
        name: &str,
        inputs: &[Input],
    ) -> Result<Option<String>, SiteError> {
        let forced = self.force.iter().any(|forced| forced == name);
        Ok(match found(path, inputs, forced)? {
            Found::Nothing | Found::Replaceable(_) => None,
            Found::Input(input) => Some(format!(
                "the site is made from it ({}); write to another folder",
                input.display()
            )),
            Found::Kept(why) => Some(why.into()),
            Found::NotOwn(why) => Some(format!("{why}; --force {name} replaces it")),
        })
    }
}

/// Checks that one file may be written: it is not there, or was written by this program and not
/// changed since, or is to be replaced with `force`. No input, link or folder is ever replaced.
/// Returns the bytes of the file that will be replaced.
///
/// # Errors
///
/// Says why the file must not be replaced.
pub fn file(path: &Path, inputs: &[PathBuf], force: bool) -> Result<Option<Vec<u8>>, SiteError> {
    let inputs: Vec<Input> = inputs.iter().filter_map(|path| input(path)).collect();
    let shown = path.display();
    let why = match found(path, &inputs, force)? {
        Found::Nothing => return Ok(None),
        Found::Replaceable(bytes) => return Ok(Some(bytes)),
        Found::Input(input) => format!(
            "the picture is made from it ({}); name another file to write to",
            input.display()
        ),
        Found::Kept(why) => why.into(),
        Found::NotOwn(why) => {
            format!("{why}; name another file, or replace it with --force")
        }
    };
    Err(SiteError(format!("{shown}: {why}")))
}

/// What stands where a file is to be written.
enum Found<'a> {
    Nothing,
    /// A file that may be replaced, with its bytes.
    Replaceable(Vec<u8>),
    /// An input, by the path it is read from.
    Input(&'a Path),
    /// What is never replaced, and why.
    Kept(&'static str),
    /// What is replaced only by force, and why.
    NotOwn(&'static str),
}

fn found<'a>(path: &Path, inputs: &[Input<'a>], force: bool) -> Result<Found<'a>, SiteError> {
    let file = match path.symlink_metadata() {
        Ok(file) => file,
        Err(error) if error.kind() == ErrorKind::NotFound => return Ok(Found::Nothing),
        Err(error) => return Err(SiteError::file("look at", path, &error)),
    };
    if let Some(input) = inputs.iter().find(|input| input.is(path)) {
        return Ok(Found::Input(input.path));
    }
    if file.is_symlink() {
        return Ok(Found::Kept(
            "a link, and links are neither followed nor replaced; remove it yourself",
        ));
    }
    if !file.is_file() {
        return Ok(Found::Kept("not a file; remove it yourself"));
    }
    let bytes = std::fs::read(path).map_err(|error| SiteError::file("read", path, &error))?;
    Ok(match origin(&bytes) {
        Origin::Own => Found::Replaceable(bytes),
        _ if force => Found::Replaceable(bytes),
        Origin::Changed => Found::NotOwn("changed since this program wrote it"),
        Origin::Foreign => {
            Found::NotOwn("not written by this program (it does not carry its mark)")
        }
    })
}

/// An input that is there.
struct Input<'a> {
    path: &'a Path,
    canonical: PathBuf,
    file: Metadata,
}

fn input(path: &Path) -> Option<Input<'_>> {
    Some(Input {
        path,
        canonical: path.canonicalize().ok()?,
        file: path.metadata().ok()?,
    })
}

impl Input<'_> {
    /// Whether `path` leads to this file or folder, by whatever links and in whatever case.
    fn is(&self, path: &Path) -> bool {
        path.canonicalize()
            .is_ok_and(|canonical| canonical == self.canonical)
            || path.metadata().is_ok_and(|file| same(&file, &self.file))
    }
}

/// Whether two files are one. Where a system does not number its files, this cannot be told.
#[cfg(unix)]
pub fn same(one: &Metadata, other: &Metadata) -> bool {
    use std::os::unix::fs::MetadataExt;
    (one.dev(), one.ino()) == (other.dev(), other.ino())
}

/// Whether two files are one. Where a system does not number its files, this cannot be told.
#[cfg(not(unix))]
pub fn same(_: &Metadata, _: &Metadata) -> bool {
    false
}
