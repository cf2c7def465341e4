//! The compiled module made ready for script, and made small where the optimiser is there.

use super::mark::hex;
use super::{SiteError, compile, tool};
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
    /// Why the module is not optimised; `None` if it is.
    pub not_optimised: Option<String>,
}

/// Why something is not made small where that is not wanted.
pub const NOT_ASKED_FOR: &str = "it was not asked for";

/// Compiles, binds and, if asked to, optimises the module. A module that cannot be optimised is
/// used as compiled: it is larger and answers alike.
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
    if optimise {
        let kept = compile::target_dir()?.join("optimised");
        match optimised(&bound.wasm, tool::installed("wasm-opt"), &kept) {
            Ok(small) => {
                bound.wasm = small;
                bound.not_optimised = None;
            }
            Err(error) => bound.not_optimised = Some(error.0),
        }
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
        not_optimised: Some(NOT_ASKED_FOR.into()),
    })
}

/// The module made smaller by `optimiser`, kept in `folder` by its fingerprint.
fn optimised(wasm: &[u8], optimiser: Option<PathBuf>, folder: &Path) -> Result<Vec<u8>, SiteError> {
    let optimiser = optimiser.ok_or_else(|| {
        SiteError(
            "wasm-opt is missing (`npm ci` in tests/browser installs it, or the package binaryen)"
                .into(),
        )
    })?;
    let fingerprint = hex(&Sha256::digest(wasm));
    let kept = folder.join(format!("{fingerprint}.wasm"));
    if let Ok(small) = std::fs::read(&kept) {
        return Ok(small);
    }
    std::fs::create_dir_all(folder).map_err(|error| SiteError::file("make", folder, &error))?;
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
        .output();
    let _ = std::fs::remove_file(&input);
    let why = match ended {
        Ok(ended) if ended.status.success() => None,
        Ok(ended) => Some(tool::told(&ended)),
        Err(error) => Some(error.to_string()),
    };
    if let Some(why) = why {
        let _ = std::fs::remove_file(&output);
        return Err(SiteError(format!("{}: {why}", optimiser.display())));
    }
    std::fs::rename(&output, &kept).map_err(|error| SiteError::file("write", &kept, &error))?;
    std::fs::read(&kept).map_err(|error| SiteError::file("read", &kept, &error))
}

#[cfg(all(test, unix))]
mod tests {
    use super::*;
    use std::os::unix::fs::PermissionsExt;

    #[test]
    fn a_missing_or_failing_optimiser_says_why_and_leaves_nothing() {
        let around = tempfile::tempdir().unwrap();
        let folder = around.path().join("optimised");
        let said = optimised(b"module", None, &folder).unwrap_err().0;
        assert!(
            said.contains("wasm-opt is missing") && said.contains("npm ci"),
            "{said}"
        );
        let program = around.path().join("wasm-opt");
        for (script, why) in [
            (
                "#!/bin/sh\necho 'Fatal: unknown option' >&2\nexit 1\n",
                "Fatal: unknown option",
            ),
            ("#!/gone\n", "No such file"),
        ] {
            std::fs::write(&program, script).unwrap();
            std::fs::set_permissions(&program, std::fs::Permissions::from_mode(0o755)).unwrap();
            let said = optimised(b"module", Some(program.clone()), &folder)
                .unwrap_err()
                .0;
            assert!(said.contains(why) && !said.contains('\n'), "{said}");
            assert_eq!(std::fs::read_dir(&folder).unwrap().count(), 0);
        }
    }
}
