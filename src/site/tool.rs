//! Other programs that the module is made with, and what is said where one of them is missing.

use super::SiteError;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// Said where the site cannot be built.
const STILL_WORKS: &str =
    "the site cannot be built; all commands but `page` and `serve` work without it";

/// Something is missing, so that the site cannot be built.
pub fn missing(what: impl std::fmt::Display) -> SiteError {
    SiteError(format!("{what}: {STILL_WORKS}"))
}

/// Runs a program to its end and keeps what it says.
///
/// # Errors
///
/// Names a program that is not there or does not start.
pub fn run(command: &mut Command) -> Result<Output, SiteError> {
    command.output().map_err(|error| {
        let program = command.get_program().display().to_string();
        match error.kind() {
            ErrorKind::NotFound => missing(format!("{program} is missing")),
            _ => missing(format!("{program} does not start ({error})")),
        }
    })
}

/// A program of an npm package, where the browser tests have installed it, or else on the path.
pub fn installed(name: &str) -> Option<PathBuf> {
    let bin = source().join("tests/browser/node_modules/.bin");
    let path = std::env::var_os("PATH").unwrap_or_default();
    std::iter::once(bin)
        .chain(std::env::split_paths(&path))
        .map(|folder| folder.join(name))
        .find(|program| program.is_file())
}

/// What a program that failed says about it, in one line: its first error, or else its last line.
pub fn told(output: &Output) -> String {
    let said = String::from_utf8_lossy(&output.stderr);
    let mut lines = said.lines().map(str::trim).filter(|line| !line.is_empty());
    let error = lines.clone().find_map(|line| line.strip_prefix("error: "));
    match error.or_else(|| lines.next_back()) {
        Some(line) => line.to_owned(),
        None => output.status.to_string(),
    }
}

/// The folder of this program's source, where it was built.
pub fn source() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}
