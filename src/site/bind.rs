//! The compiled module made ready for script, and made small where the optimiser is there.

use super::{SiteError, compile};
use sha2::{Digest, Sha256};
use std::path::{Path, PathBuf};
use std::process::Command;
use wasm_bindgen_cli_support::Bindgen;

/// A module ready for a browser.
#[derive(Debug)]
pub struct Bound {
    /// The WebAssembly.
    pub wasm: Vec<u8>,
    /// The binding script, an ES module.
    pub script: String,
    /// Its types.
    pub types: String,
    /// Whether the optimiser was there.
    pub optimised: bool,
}

/// Compiles, binds and, if asked to and `wasm-opt` is there, optimises the module.
///
/// # Errors
///
/// As [`compile::module`]; or if the module cannot be bound.
pub fn module(optimise: bool) -> Result<Bound, SiteError> {
    let compiled = compile::module()?;
    // One folder a process: two builds at once must not mix.
    let folder = compile::target_dir()?.join(format!("bound-{}", std::process::id()));
    let bound = bind(&compiled, &folder);
    // What is left behind does no harm.
    let _ = std::fs::remove_dir_all(&folder);
    let mut bound = bound?;
    if optimise && let Some(small) = optimised(&bound.wasm)? {
        bound.wasm = small;
        bound.optimised = true;
    }
    Ok(bound)
}

fn bind(compiled: &Path, folder: &Path) -> Result<Bound, SiteError> {
    let failed = |error: &dyn std::fmt::Display| {
        SiteError(format!("cannot bind {}: {error}", compiled.display()))
    };
    Bindgen::new()
        .input_path(compiled)
        .web(true)
        .map_err(|error| failed(&error))?
        .typescript(true)
        .omit_default_module_path(true)
        .reset_state_function(true)
        .generate_output()
        .and_then(|mut output| output.emit(folder))
        .map_err(|error| failed(&error))?;
    let text = |name: &str| {
        let path = folder.join(name);
        std::fs::read_to_string(&path).map_err(|error| SiteError::file("read", &path, &error))
    };
    let wasm = folder.join("jobtorque_bg.wasm");
    Ok(Bound {
        wasm: std::fs::read(&wasm).map_err(|error| SiteError::file("read", &wasm, &error))?,
        script: text("jobtorque.js")?,
        types: text("jobtorque.d.ts")?,
        optimised: false,
    })
}

/// The module made smaller, kept by its fingerprint; `None` where there is no optimiser.
fn optimised(wasm: &[u8]) -> Result<Option<Vec<u8>>, SiteError> {
    let Some(optimiser) = optimiser() else {
        return Ok(None);
    };
    let folder = compile::target_dir()?.join("optimised");
    let fingerprint: String = Sha256::digest(wasm)
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect();
    let kept = folder.join(format!("{fingerprint}.wasm"));
    if let Ok(small) = std::fs::read(&kept) {
        return Ok(Some(small));
    }
    std::fs::create_dir_all(&folder).map_err(|error| SiteError::file("make", &folder, &error))?;
    let (input, output) = (
        folder.join(format!("{}.in.wasm", std::process::id())),
        folder.join(format!("{}.out.wasm", std::process::id())),
    );
    std::fs::write(&input, wasm).map_err(|error| SiteError::file("write", &input, &error))?;
    // No feature flags: the optimiser reads the module's own feature section. Flat code and a second
    // round, and no function copied into its only caller: each makes the module smaller on the wire.
    let ended = Command::new(&optimiser)
        .args(["--flatten", "--rereloop", "-Oz", "-Oz"])
        .arg("--one-caller-inline-max-function-size=1")
        .arg(&input)
        .arg("-o")
        .arg(&output)
        .status();
    let _ = std::fs::remove_file(&input);
    if !ended.as_ref().is_ok_and(std::process::ExitStatus::success) {
        return Err(SiteError(format!(
            "{} cannot optimise the module ({ended:?})",
            optimiser.display()
        )));
    }
    std::fs::rename(&output, &kept).map_err(|error| SiteError::file("write", &kept, &error))?;
    std::fs::read(&kept)
        .map(Some)
        .map_err(|error| SiteError::file("read", &kept, &error))
}

/// The optimiser of the package `binaryen`, where the browser tests have installed it, or on the path.
fn optimiser() -> Option<PathBuf> {
    let installed = compile::source().join("tests/browser/node_modules/.bin/wasm-opt");
    if installed.is_file() {
        return Some(installed);
    }
    let path = std::env::var_os("PATH")?;
    std::env::split_paths(&path)
        .map(|folder| folder.join("wasm-opt"))
        .find(|program| program.is_file())
}
