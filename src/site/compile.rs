//! The library compiled to WebAssembly, by running cargo again. Cargo decides what is stale.

use super::SiteError;
use super::tool::{self, source};
use std::ffi::OsString;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::Command;

const TARGET: &str = "wasm32-unknown-unknown";

/// Whether the source is still there.
pub fn has_source() -> bool {
    source().join("Cargo.toml").is_file()
}

/// The target folder for everything that belongs to the browser: `web` in cargo's target folder,
/// so that this build and that of the program do not wait for each other.
///
/// # Errors
///
/// If `CARGO_TARGET_DIR` is no path.
pub fn target_dir() -> Result<PathBuf, SiteError> {
    let named = ["CARGO_TARGET_DIR", "CARGO_BUILD_TARGET_DIR"];
    let named = named.into_iter().filter_map(std::env::var_os);
    target_dir_in(
        named
            .filter(|folder| !folder.is_empty())
            .map(PathBuf::from)
            .next(),
    )
}

/// The same where cargo's target folder is `named`, or else is that of the source.
fn target_dir_in(named: Option<PathBuf>) -> Result<PathBuf, SiteError> {
    let target = named.unwrap_or_else(|| source().join("target"));
    // Cargo runs in the folder of the source, this program in any.
    std::path::absolute(&target)
        .map(|target| target.join("web"))
        .map_err(|error| SiteError::file("find", &target, &error))
}

/// Which module of the visitor's.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    /// Sentence, answer and chart.
    First,
    /// Everything.
    Whole,
}

impl Part {
    /// The features of the package that it is made with.
    fn features(self) -> &'static str {
        match self {
            Self::First => "",
            Self::Whole => "whole",
        }
    }
}

/// Compiles a module of the visitor's and returns its path, which is the same for both.
///
/// # Errors
///
/// If cargo, the target, the source or a crate is missing, in one line; or if the source does not
/// compile, after cargo's own words.
pub fn module(part: Part) -> Result<PathBuf, SiteError> {
    let source = source();
    if !has_source() {
        return Err(tool::missing(format!(
            "the source this program was built from is not at {}, and the program does not carry \
            the module (see \"A program without its source\" in DEVELOPERS.md)",
            source.display()
        )));
    }
    add_target()?;
    let target_dir = target_dir()?;
    let mut cargo = cargo();
    cargo
        .args([
            "rustc",
            "--quiet",
            "--lib",
            "--crate-type",
            "cdylib",
            "--no-default-features",
            "--features",
            part.features(),
            "--profile",
            "web",
        ])
        .args(["--target", TARGET, "--locked", "--target-dir"])
        .arg(&target_dir)
        .current_dir(source)
        // Flags meant for the native build must not leak in; a value given here wins over settings files.
        .env("CARGO_ENCODED_RUSTFLAGS", without_paths(&registries()))
        .env_remove("CARGO_BUILD_TARGET")
        .env_remove("RUSTC_WORKSPACE_WRAPPER");
    let output = tool::run(&mut cargo)?;
    if output.status.success() {
        return Ok(target_dir.join(TARGET).join("web").join("jobtorque.wasm"));
    }
    let said = String::from_utf8_lossy(&output.stderr);
    if NO_NETWORK.iter().any(|words| said.contains(words)) {
        return Err(tool::missing(format!(
            "crates of the module are not on this machine and cannot be downloaded ({})",
            tool::told(&output)
        )));
    }
    // Errors of the source: as cargo prints them.
    let _ = std::io::stderr().write_all(&output.stderr);
    Err(SiteError(format!(
        "cannot compile the module: cargo ended with {}",
        output.status
    )))
}

/// Folders in which cargo keeps the sources of crates.
fn registries() -> Vec<PathBuf> {
    let home = std::env::var_os("CARGO_HOME").map(PathBuf::from);
    let home = home.or_else(|| Some(std::env::home_dir()?.join(".cargo")));
    let entries = home.and_then(|home| std::fs::read_dir(home.join("registry/src")).ok());
    let mut folders: Vec<PathBuf> = entries
        .into_iter()
        .flatten()
        .filter_map(|entry| Some(entry.ok()?.path()))
        .collect();
    folders.sort_unstable();
    folders
}

/// Flags for the compiler, in cargo's encoding, by which the messages in the module name crates
/// without these folders: the module is the same on every machine and tells nothing of it.
fn without_paths(folders: &[PathBuf]) -> OsString {
    let mut flags = OsString::new();
    for folder in folders {
        if !flags.is_empty() {
            flags.push("\u{1f}");
        }
        flags.push("--remap-path-prefix=");
        flags.push(folder);
        flags.push("=crates");
    }
    flags
}

/// Words of cargo where it cannot download a crate.
const NO_NETWORK: [&str; 5] = [
    "failed to download",
    "unable to update registry",
    "failed to get `",
    "spurious network error",
    "Could not resolve host",
];

fn cargo() -> Command {
    Command::new(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into()))
}

/// Installs the target's standard library where it is missing, and says so.
fn add_target() -> Result<(), SiteError> {
    let rustc = std::env::var_os("RUSTC").unwrap_or_else(|| "rustc".into());
    let printed = tool::run(
        Command::new(rustc)
            .args(["--print", "target-libdir", "--target", TARGET])
            .current_dir(source()),
    )?;
    let folder = String::from_utf8_lossy(&printed.stdout);
    if printed.status.success() && Path::new(folder.trim()).is_dir() {
        return Ok(());
    }
    let mut rustup = Command::new("rustup");
    rustup.args(["target", "add", TARGET]).current_dir(source());
    let why = match rustup.output() {
        Ok(output) if output.status.success() => {
            let _ = writeln!(
                std::io::stderr(),
                "The Rust target {TARGET} was missing; rustup has installed it."
            );
            return Ok(());
        }
        Ok(output) => format!("rustup cannot install it ({})", tool::told(&output)),
        Err(_) => "there is no rustup to install it".into(),
    };
    Err(tool::missing(format!(
        "the Rust target {TARGET} is missing and {why}; install it with your system's packages"
    )))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_module_is_built_in_cargo_s_target_folder() {
        let named = target_dir_in(Some("/somewhere/else".into())).unwrap();
        assert_eq!(named, Path::new("/somewhere/else/web"));
        let relative = target_dir_in(Some("here".into())).unwrap();
        let here = std::env::current_dir().unwrap();
        assert_eq!(relative, here.join("here/web"));
        let own = target_dir_in(None).unwrap();
        assert_eq!(own, source().join("target/web"));
    }

    #[test]
    fn crates_are_named_without_the_folder_they_are_in() {
        assert_eq!(without_paths(&[]), "");
        assert_eq!(
            without_paths(&["/a b/one".into(), "/two".into()]),
            "--remap-path-prefix=/a b/one=crates\u{1f}--remap-path-prefix=/two=crates"
        );
    }
}
