//! The library compiled to WebAssembly, by running cargo again. Cargo decides what is stale.

use super::SiteError;
use std::path::{Path, PathBuf};
use std::process::Command;

const TARGET: &str = "wasm32-unknown-unknown";

/// The folder of this program's source, where it was built.
pub fn source() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Whether the source is still there.
pub fn has_source() -> bool {
    source().join("Cargo.toml").is_file()
}

/// The target folder for everything that belongs to the browser: beside the running program's own,
/// so that neither waits for the other's lock.
///
/// # Errors
///
/// If the program does not know where it is.
pub fn target_dir() -> Result<PathBuf, SiteError> {
    let program = std::env::current_exe()
        .map_err(|error| SiteError(format!("where is this program? {error}")))?;
    let target = program.ancestors().nth(2).unwrap_or(Path::new("target"));
    // Tests and examples lie one folder deeper.
    let target = if target.ends_with("release") || target.ends_with("debug") {
        target.parent().unwrap_or(target)
    } else {
        target
    };
    Ok(target.join("web"))
}

/// Compiles the visitor's module and returns its path.
///
/// # Errors
///
/// If cargo, the target or the source is missing, or the source does not compile; cargo's own words
/// have been printed by then.
pub fn module() -> Result<PathBuf, SiteError> {
    let source = source();
    if !has_source() {
        return Err(SiteError(format!(
            "the source is not at {}: build the program where it is",
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
            "--profile",
            "web",
        ])
        .args(["--target", TARGET, "--locked", "--target-dir"])
        .arg(&target_dir)
        .current_dir(source)
        // Flags meant for the native build must not leak in; an empty value wins over settings files.
        .env("CARGO_ENCODED_RUSTFLAGS", "")
        .env_remove("CARGO_BUILD_TARGET")
        .env_remove("RUSTC_WORKSPACE_WRAPPER");
    run(cargo, "compile the module")?;
    Ok(target_dir.join(TARGET).join("web").join("jobtorque.wasm"))
}

fn cargo() -> Command {
    Command::new(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into()))
}

/// Installs the target's standard library where it is missing, and says so.
fn add_target() -> Result<(), SiteError> {
    let rustc = std::env::var_os("RUSTC").unwrap_or_else(|| "rustc".into());
    let printed = Command::new(rustc)
        .args(["--print", "target-libdir", "--target", TARGET])
        .current_dir(source())
        .output();
    let folder = printed
        .ok()
        .filter(|output| output.status.success())
        .and_then(|output| String::from_utf8(output.stdout).ok());
    if folder.is_some_and(|folder| Path::new(folder.trim()).is_dir()) {
        return Ok(());
    }
    eprintln!("The target {TARGET} is missing: running `rustup target add {TARGET}`.");
    let mut rustup = Command::new("rustup");
    rustup.args(["target", "add", TARGET]).current_dir(source());
    run(rustup, "install the target").map_err(|error| {
        SiteError(format!(
            "{error}; install it by hand, or see DEVELOPERS.md for a machine without rustup"
        ))
    })
}

fn run(mut command: Command, doing: &str) -> Result<(), SiteError> {
    let program = command.get_program().to_string_lossy().into_owned();
    match command.status() {
        Ok(status) if status.success() => Ok(()),
        Ok(status) => Err(SiteError(format!(
            "cannot {doing}: {program} ended with {status}"
        ))),
        Err(error) => Err(SiteError(format!(
            "cannot {doing}: {program} does not start ({error})"
        ))),
    }
}
