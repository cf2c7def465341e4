//! The files of the site.

use super::publish::{self};
use super::{SiteError, bind, inline, page};
use crate::dataset::write::Publish;
use crate::results::Results;
use crate::site::compile::source;
use std::path::Path;

/// One file of the site.
#[derive(Debug)]
pub struct File {
    /// Its name.
    pub name: &'static str,
    /// Its media type.
    pub media_type: &'static str,
    /// Its bytes.
    pub bytes: Vec<u8>,
}

/// The whole site.
#[derive(Debug)]
pub struct Site {
    /// Its files; the first is the page.
    pub files: Vec<File>,
    /// Whether the module went through the optimiser.
    pub optimised: bool,
}

/// The modules of `www/`, the entry first.
const MODULES: [&str; 7] =
    ["define.js", "job-torque.js", "engine.js", "form.js", "answer.js", "table.js", "chart.js"];

/// The entry of the page's script.
const ENTRY: &str = "define.js";

impl Site {
    /// Builds the site from the text of a dataset and its results.
    ///
    /// # Errors
    ///
    /// Says what could not be compiled, read or published.
    pub fn build(text: &str, results: &Results, texts: &str, publish: Publish) -> Result<Self, SiteError> {
        let bound = bind::module()?;
        let (data, published) = publish::dataset(text, results, publish)?;
        let script = script(&bound.script)?;
        let parts = page::Parts { data: &data, texts, script: &script, wasm: &bound.wasm, results: &published };
        let file = |name, media_type, bytes| File { name, media_type, bytes };
        const HTML: &str = "text/html; charset=utf-8";
        const JSON: &str = "application/json";
        Ok(Self {
            files: vec![
                file("index.html", HTML, parts.render(&www("page.html")?)?.into_bytes()),
                file("post.html", HTML, parts.render(&www("post.html")?)?.into_bytes()),
                file("job-torque.js", "text/javascript", script.clone().into_bytes()),
                file("job-torque.wasm", "application/wasm", bound.wasm.clone()),
                file("job-torque.d.ts", "text/plain; charset=utf-8", bound.types.into_bytes()),
                file("texts.json", JSON, texts.as_bytes().to_vec()),
                file("results.json", JSON, data.clone().into_bytes()),
            ],
            optimised: bound.optimised,
        })
    }

    /// Writes every file into `folder`, each as a whole or not at all.
    ///
    /// # Errors
    ///
    /// Names the file that cannot be written.
    pub fn write(&self, folder: &Path) -> Result<(), SiteError> {
        std::fs::create_dir_all(folder).map_err(|error| SiteError::file("make", folder, &error))?;
        for file in &self.files {
            let (path, new) = (folder.join(file.name), folder.join(format!(".{}.new", file.name)));
            std::fs::write(&new, &file.bytes).map_err(|error| SiteError::file("write", &new, &error))?;
            std::fs::rename(&new, &path).map_err(|error| SiteError::file("write", &path, &error))?;
        }
        Ok(())
    }
}

/// A file of `www/`.
///
/// # Errors
///
/// If it cannot be read.
pub fn www(name: &str) -> Result<String, SiteError> {
    let path = source().join("www").join(name);
    std::fs::read_to_string(&path).map_err(|error| SiteError::file("read", &path, &error))
}

/// The one script: the binding, the style sheet as a module, and the modules of `www/`.
fn script(binding: &str) -> Result<String, SiteError> {
    let texts = MODULES.iter().map(|name| www(name)).collect::<Result<Vec<_>, _>>()?;
    let style = serde_json::to_string(&www("style.css")?).map_err(|error| SiteError(error.to_string()))?;
    let style = format!("export const styleText = {style};\n");
    let mut modules: Vec<inline::Module> =
        MODULES.iter().zip(&texts).map(|(name, text)| inline::Module { name, text }).collect();
    modules.push(inline::Module { name: "style.js", text: &style });
    // The binding comes first and whole; it imports nothing.
    modules.push(inline::Module { name: "jobtorque.js", text: "" });
    Ok(format!("{binding}\n{}", inline::script(&modules, ENTRY)?))
}
