//! Script and style made small by esbuild. Where it is not there the script stays as plain modules,
//! and the page finds them by an import map.

use super::{SiteError, tool};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::Command;

/// A script module.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Module {
    /// File name, such as `dom.js`.
    pub name: String,
    /// Its text.
    pub text: String,
}

/// What comes before the names of plain modules beside the page, so that they are told from other
/// files there.
pub const PREFIX: &str = "job-torque-";

/// The script with everything, which the first part imports when it is needed.
pub const WHOLE: &str = "job-torque.js";

/// What both kinds of script are written for.
const TARGET: &str = "--target=es2023";

/// esbuild, where the browser tests have installed it, or on the path.
///
/// # Errors
///
/// Says how to install it where it is missing.
pub fn esbuild() -> Result<PathBuf, SiteError> {
    tool::installed("esbuild").ok_or_else(|| {
        SiteError("esbuild is missing (`npm ci` in tests/browser installs it)".into())
    })
}

/// One script of `modules`, beginning from `entry`, made in a new folder at `folder`. What it imports
/// from [`WHOLE`] stays a file of its own.
///
/// # Errors
///
/// If the folder cannot be written, or in the words of esbuild.
pub fn script(
    esbuild: &Path,
    modules: &[Module],
    entry: &str,
    folder: &Path,
) -> Result<String, SiteError> {
    let bundled = write(modules, folder).and_then(|()| {
        minified(Command::new(esbuild).current_dir(folder).args([
            entry,
            "--bundle",
            "--format=esm",
            &format!("--external:./{WHOLE}"),
        ]))
    });
    // What is left behind does no harm.
    let _ = std::fs::remove_dir_all(folder);
    bundled
}

/// A style sheet made small, in a new folder at `folder`.
///
/// # Errors
///
/// As [`script`].
pub fn style(esbuild: &Path, style: &str, folder: &Path) -> Result<String, SiteError> {
    alone(esbuild, "style.css", style, folder)
}

/// One file made small, a script that imports nothing or a style sheet by the end of its `name`, in a
/// new folder at `folder`.
///
/// # Errors
///
/// As [`script`].
pub fn alone(esbuild: &Path, name: &str, text: &str, folder: &Path) -> Result<String, SiteError> {
    let file = Module {
        name: name.into(),
        text: text.into(),
    };
    let mut command = Command::new(esbuild);
    command.current_dir(folder).arg(name);
    if name.ends_with(".js") {
        command.arg("--format=esm");
    }
    let small = write(&[file], folder).and_then(|()| minified(&mut command));
    let _ = std::fs::remove_dir_all(folder);
    small
}

fn write(modules: &[Module], folder: &Path) -> Result<(), SiteError> {
    std::fs::create_dir_all(folder).map_err(|error| SiteError::file("make", folder, &error))?;
    for module in modules {
        let path = folder.join(&module.name);
        std::fs::write(&path, &module.text)
            .map_err(|error| SiteError::file("write", &path, &error))?;
    }
    Ok(())
}

fn minified(esbuild: &mut Command) -> Result<String, SiteError> {
    esbuild
        .args(["--minify", "--charset=utf8", "--legal-comments=none"])
        .args([TARGET, "--log-level=warning", "--color=false"]);
    let ended = tool::run(esbuild)?;
    // A warning is an error: nobody would read it.
    if !ended.status.success() || !ended.stderr.is_empty() {
        let program = esbuild.get_program().display();
        let said = String::from_utf8_lossy(&ended.stderr);
        return Err(SiteError(format!("{program}: {}", said.trim())));
    }
    String::from_utf8(ended.stdout)
        .map_err(|error| SiteError(format!("esbuild wrote no UTF-8: {error}")))
}

/// Plain modules as files of the site: all but `entry`, which is returned first, by their names
/// beside it.
///
/// # Errors
///
/// If `entry` is missing.
pub fn plain(modules: Vec<Module>, entry: &str) -> Result<(String, Vec<Module>), SiteError> {
    let renamed = |text: &str| text.replace(" from './", &format!(" from './{PREFIX}"));
    let (first, rest): (Vec<_>, Vec<_>) =
        modules.into_iter().partition(|module| module.name == entry);
    let first = first
        .first()
        .ok_or_else(|| SiteError(format!("no module {entry}")))?;
    let rest = rest.into_iter().map(|module| Module {
        name: format!("{PREFIX}{}", module.name),
        text: renamed(&module.text),
    });
    Ok((renamed(&first.text), rest.collect()))
}

/// A plain script for a page that holds all its modules: they are imported by name.
pub fn by_name(script: &str) -> String {
    script.replace(" from './", " from '")
}

/// What the loader says of the first part.
const HAS_FIRST: &str = "const HAS_FIRST = true;";

/// The `loader` of a site without a first part: it begins with the whole and what that reads.
pub fn of_whole(loader: &str) -> String {
    loader.replace(HAS_FIRST, "const HAS_FIRST = false;")
}

/// The import map of a page that holds all its `modules`; none for a page without plain modules.
///
/// # Errors
///
/// None that is known.
pub fn import_map(modules: &[Module]) -> Result<Option<String>, SiteError> {
    if modules.is_empty() {
        return Ok(None);
    }
    let imports: BTreeMap<_, _> = modules
        .iter()
        .map(|module| (module.name.as_str(), data_address(&by_name(&module.text))))
        .collect();
    serde_json::to_string(&serde_json::json!({ "imports": imports }))
        .map(Some)
        .map_err(|error| SiteError(error.to_string()))
}

/// A script as a data address. Escaped is what an address gives another meaning or leaves out, and
/// the `<` that could end the block of the page; all else stays as it is and compresses well.
///
/// Source: the URL standard (fragments, percent-encoding; ends of lines and tabs are left out).
fn data_address(script: &str) -> String {
    let mut address = String::from("data:text/javascript,");
    for sign in script.chars() {
        match sign {
            '%' | '#' | '<' | '\n' | '\r' | '\t' => {
                address.push_str(&format!("%{:02X}", u32::from(sign)));
            }
            _ => address.push(sign),
        }
    }
    address
}

#[cfg(test)]
mod tests {
    use super::*;

    fn modules() -> Vec<Module> {
        let module = |name: &str, text: &str| Module {
            name: name.into(),
            text: text.into(),
        };
        vec![
            module("a.js", "/** What. */\nimport { b } from './b.js';\nb();\n"),
            module("b.js", "export function b() { return 'ä'; }\n"),
        ]
    }

    #[test]
    fn plain_modules_import_each_other_by_their_names_beside_the_page_or_in_it() {
        let (entry, rest) = plain(modules(), "a.js").unwrap();
        assert!(entry.contains("import { b } from './job-torque-b.js';"));
        assert!(by_name(&entry).contains("import { b } from 'job-torque-b.js';"));
        assert_eq!(rest.len(), 1);
        assert_eq!(rest[0].name, "job-torque-b.js");
        let map: serde_json::Value =
            serde_json::from_str(&import_map(&rest).unwrap().unwrap()).unwrap();
        let address = map["imports"]["job-torque-b.js"].as_str().unwrap();
        let text = address.strip_prefix("data:text/javascript,").unwrap();
        assert_eq!(text, "export function b() { return 'ä'; }%0A");
        assert_eq!(
            data_address("'%23#a'\t< 1;\r\n"),
            "data:text/javascript,'%2523%23a'%09%3C 1;%0D%0A"
        );
        assert_eq!(import_map(&[]).unwrap(), None);
        assert!(plain(modules(), "c.js").unwrap_err().0.contains("c.js"));
    }

    #[test]
    fn the_loader_of_a_site_without_a_first_part_says_so() {
        let loader = crate::site::code::www("embed.js").unwrap();
        assert_eq!(loader.matches(HAS_FIRST).count(), 1);
        let whole = of_whole(&loader);
        assert!(whole.contains("HAS_FIRST = false;") && !whole.contains("HAS_FIRST = true"));
    }

    #[cfg(unix)]
    #[test]
    fn a_failing_or_warning_bundler_says_why_and_leaves_nothing() {
        use std::os::unix::fs::PermissionsExt;
        let around = tempfile::tempdir().unwrap();
        let (program, folder) = (around.path().join("esbuild"), around.path().join("bundled"));
        for script_text in [
            "#!/bin/sh\necho 'Could not resolve \"./c.js\"' >&2\nexit 1\n",
            "#!/bin/sh\necho 'Could not resolve \"./c.js\"' >&2\necho 'a();'\n",
        ] {
            std::fs::write(&program, script_text).unwrap();
            std::fs::set_permissions(&program, std::fs::Permissions::from_mode(0o755)).unwrap();
            let said = script(&program, &modules(), "a.js", &folder).unwrap_err().0;
            assert!(said.contains("Could not resolve"), "{said}");
            assert!(style(&program, "a {}", &folder).is_err());
            assert!(!folder.exists());
        }
        std::fs::write(&program, "#!/bin/sh\nprintf '%s ' \"$@\"\ncat b.js\n").unwrap();
        let bundled = script(&program, &modules(), "a.js", &folder).unwrap();
        let asked = "a.js --bundle --format=esm --external:./job-torque.js --minify ";
        assert!(bundled.starts_with(asked), "{bundled}");
        assert!(bundled.ends_with("{ return 'ä'; }\n"), "{bundled}");
    }
}
