//! The compiled module made ready for script, and made small where the optimiser is there.

use super::compile::{self, Part};
use super::mark::hex;
use super::{SiteError, tool};
use sha2::{Digest, Sha256};
use std::collections::BTreeSet;
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

/// Compiles, binds and, if asked to, optimises a module. One that cannot be optimised is
/// used as compiled: it is larger and answers alike.
///
/// # Errors
///
/// As [`compile::module`]; or if the module cannot be bound.
pub fn module(part: Part, optimise: bool) -> Result<Bound, SiteError> {
    let compiled = compile::module(part)?;
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
    let wasm = std::fs::read(&wasm).map_err(|error| SiteError::file("read", &wasm, &error))?;
    let (wasm, script) = numbered(wasm, text("jobtorque.js")?);
    Ok(Bound {
        wasm,
        script,
        types: text("jobtorque.d.ts")?,
        not_optimised: Some(NOT_ASKED_FOR.into()),
    })
}

/// Length of the hash at the end of the name of a function that the module imports.
const HASH_LENGTH: usize = 16;

/// Module and script with numbers in place of the hashes in the names of functions that the one
/// imports from the other. A hash does not compress, and stands in both.
fn numbered(mut wasm: Vec<u8>, mut script: String) -> (Vec<u8>, String) {
    let of_a_name = |c: char| c.is_ascii_alphanumeric() || c == '_';
    let names: BTreeSet<String> = script
        .match_indices("__wb")
        .filter_map(|(at, _)| script.get(at..)?.split(|c| !of_a_name(c)).next())
        .filter(|name| ends_with_hash(name))
        .map(String::from)
        .collect();
    for (number, name) in names.iter().enumerate() {
        let start = name.len() - HASH_LENGTH;
        let short = format!(
            "{}{number:0HASH_LENGTH$}",
            name.get(..start).unwrap_or_default()
        );
        script = script.replace(name, &short);
        // As long as before, so that nothing else of the module moves.
        let mut from = 0;
        while let Some(at) = position(wasm.get(from..).unwrap_or_default(), name.as_bytes()) {
            let range = from + at..from + at + name.len();
            from = range.end;
            if let Some(old) = wasm.get_mut(range) {
                old.copy_from_slice(short.as_bytes());
            }
        }
    }
    (wasm, script)
}

fn ends_with_hash(name: &str) -> bool {
    let hash = name.rsplit_once('_').map(|(_, hash)| hash);
    let digit = |c: u8| c.is_ascii_digit() || (b'a'..=b'f').contains(&c);
    hash.is_some_and(|hash| hash.len() == HASH_LENGTH && hash.bytes().all(digit))
}

fn position(bytes: &[u8], wanted: &[u8]) -> Option<usize> {
    bytes.windows(wanted.len()).position(|part| part == wanted)
}

/// No feature flags: the optimiser reads the module's own feature section. Flat code and a second
/// round, and no function copied into its only caller: each makes the module smaller on the wire. The
/// first 1,024 bytes of memory are the far end of the stack, so no address that is in use wraps around
/// to them.
const OPTIONS: [&str; 8] = [
    "--flatten",
    "--rereloop",
    "-Oz",
    "-Oz",
    "--one-caller-inline-max-function-size=1",
    "--low-memory-unused",
    "--strip-producers",
    "--strip-target-features",
];

/// The module made smaller by `optimiser`, kept in `folder` by its fingerprint.
fn optimised(wasm: &[u8], optimiser: Option<PathBuf>, folder: &Path) -> Result<Vec<u8>, SiteError> {
    let optimiser = optimiser.ok_or_else(|| {
        SiteError(
            "wasm-opt is missing (`npm ci` in tests/browser installs it, or the package binaryen)"
                .into(),
        )
    })?;
    let fingerprint = hex(&Sha256::new()
        .chain_update(OPTIONS.join(" "))
        .chain_update(wasm)
        .finalize());
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
    let ended = Command::new(&optimiser)
        .args(OPTIONS)
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
    fn imported_functions_are_numbered_alike_in_module_and_script() {
        let script = "a = { __wbg_new_0123456789abcdef: 1, __wbg_new_fedcba9876543210() {}, __wbindgen_free };";
        let wasm = b"\x1a__wbg_new_fedcba9876543210\x1a__wbg_new_0123456789abcdef\x0f__wbindgen_free\x1a__wbg_new_0123456789abcdef";
        let (wasm, script) = numbered(wasm.to_vec(), script.into());
        assert_eq!(
            script,
            "a = { __wbg_new_0000000000000000: 1, __wbg_new_0000000000000001() {}, __wbindgen_free };"
        );
        assert_eq!(
            String::from_utf8(wasm).unwrap(),
            "\x1a__wbg_new_0000000000000001\x1a__wbg_new_0000000000000000\x0f__wbindgen_free\x1a__wbg_new_0000000000000000"
        );
    }

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
