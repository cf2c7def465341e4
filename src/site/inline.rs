//! The modules of `www/` put together to one script, in dependency order.
//!
//! Every import is relative, named and on one line, there is no default export and no name stands
//! at the top level of two modules; so the lines of import can go and the rest stays as it is.
//! What this does not understand it refuses.

use super::SiteError;
use std::collections::{BTreeMap, BTreeSet};

/// A script module: its name and its text.
#[derive(Debug)]
pub struct Module<'a> {
    /// File name, such as `form.js`.
    pub name: &'a str,
    /// Its text.
    pub text: &'a str,
}

/// One script of `modules`, each after those it imports, beginning from `entry`.
///
/// # Errors
///
/// Names the module and the line that are not understood.
pub fn script(modules: &[Module], entry: &str) -> Result<String, SiteError> {
    let mut joined = Joined {
        modules,
        done: BTreeSet::new(),
        open: Vec::new(),
        names: BTreeMap::new(),
        text: String::new(),
    };
    joined.add(entry)?;
    Ok(joined.text)
}

struct Joined<'a> {
    modules: &'a [Module<'a>],
    done: BTreeSet<String>,
    open: Vec<String>,
    names: BTreeMap<String, String>,
    text: String,
}

impl Joined<'_> {
    fn add(&mut self, name: &str) -> Result<(), SiteError> {
        if self.done.contains(name) {
            return Ok(());
        }
        if self.open.iter().any(|open| open == name) {
            return Err(SiteError(format!(
                "{name} imports itself by way of {}",
                self.open.join(", ")
            )));
        }
        let modules = self.modules;
        let module = modules.iter().find(|module| module.name == name);
        let module = module.ok_or_else(|| SiteError(format!("no module {name}")))?;
        self.open.push(name.to_owned());
        let mut kept = String::new();
        for (number, line) in module.text.lines().enumerate() {
            if let Some(imported) =
                imported(line).map_err(|why| SiteError(format!("{name}:{}: {why}", number + 1)))?
            {
                self.add(imported)?;
                continue;
            }
            if let Some(top) = top_level_name(line)
                && let Some(other) = self.names.insert(top.to_owned(), name.to_owned())
            {
                return Err(SiteError(format!(
                    "{name}:{}: \"{top}\" is a name of {other} too",
                    number + 1
                )));
            }
            kept.push_str(line);
            kept.push('\n');
        }
        self.text.push_str(&kept);
        self.open.pop();
        self.done.insert(name.to_owned());
        Ok(())
    }
}

/// The module that a line imports from.
fn imported(line: &str) -> Result<Option<&str>, String> {
    if line.contains("import(") && !line.trim_start().starts_with(['*', '/']) {
        return Err("an import at run time".into());
    }
    if line.starts_with("export default") {
        return Err("a default export".into());
    }
    if line.starts_with("export") && line.contains(" from ") {
        return Err("an export of another module's names".into());
    }
    if !line.starts_with("import") {
        return Ok(None);
    }
    let named = line
        .strip_prefix("import { ")
        .and_then(|rest| rest.split_once(" } from './"));
    let (names, file) =
        named.ok_or("an import that is not `import { name } from './module.js';`")?;
    if names.contains(" as ") {
        return Err("an import under another name".into());
    }
    file.strip_suffix("';")
        .map(Some)
        .ok_or_else(|| "an import that does not end its line".into())
}

/// The name that a line declares at the top level.
fn top_level_name(line: &str) -> Option<&str> {
    let declared = line.strip_prefix("export ").unwrap_or(line);
    let declared = declared.strip_prefix("async ").unwrap_or(declared);
    let rest = ["function ", "class ", "const ", "let ", "var "]
        .iter()
        .find_map(|word| declared.strip_prefix(word))?;
    let end = rest
        .find(|sign: char| !sign.is_alphanumeric() && sign != '_' && sign != '$')
        .unwrap_or(rest.len());
    rest.get(..end).filter(|name| !name.is_empty())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn joined(modules: &[(&str, &str)], entry: &str) -> Result<String, String> {
        let modules: Vec<Module> = modules
            .iter()
            .map(|&(name, text)| Module { name, text })
            .collect();
        script(&modules, entry).map_err(|error| error.0)
    }

    #[test]
    fn modules_come_after_those_they_import_and_only_once() {
        let modules = [
            (
                "a.js",
                "import { b } from './b.js';\nimport { c } from './c.js';\nb(c);",
            ),
            (
                "b.js",
                "import { c } from './c.js';\nexport function b() { return c; }",
            ),
            ("c.js", "export const c = 1;"),
        ];
        assert_eq!(
            joined(&modules, "a.js").unwrap(),
            "export const c = 1;\nexport function b() { return c; }\nb(c);\n"
        );
    }

    #[test]
    fn what_is_not_understood_is_refused() {
        for (text, why) in [
            ("import b from './b.js';", "an import that is not"),
            ("import { b } from 'b';", "an import that is not"),
            ("import { b as c } from './b.js';", "another name"),
            ("const b = await import('./b.js');", "at run time"),
            ("export default 1;", "default export"),
            ("export { b } from './b.js';", "another module's names"),
            ("import { b } from './gone.js';", "no module gone.js"),
            ("import { a } from './a.js';", "imports itself"),
        ] {
            let refused =
                joined(&[("a.js", text), ("b.js", "export const b = 1;")], "a.js").unwrap_err();
            assert!(refused.contains(why), "{text}: {refused}");
        }
        let twice = joined(
            &[
                ("a.js", "import { b } from './b.js';\nconst x = 1;"),
                ("b.js", "let x = 1;"),
            ],
            "a.js",
        );
        assert!(twice.unwrap_err().contains("\"x\" is a name of b.js too"));
    }
}
