//! The files of the site.

use super::code::{Code, www};
use super::{SiteError, page, publish};
use crate::dataset::write::Publish;
use crate::results::Results;
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

impl Site {
    /// Builds the site from the text of a dataset and its results; `optimise` the module where the
    /// optimiser is there.
    ///
    /// # Errors
    ///
    /// Says what could not be compiled, read or published.
    pub fn build(
        text: &str,
        results: &Results,
        texts: &str,
        publish: Publish,
        optimise: bool,
    ) -> Result<Self, SiteError> {
        let code = Code::get(optimise)?;
        let (data, published) = publish::dataset(text, results, publish)?;
        let parts = page::Parts {
            data: &data,
            texts,
            script: &code.script,
            wasm: &code.wasm,
            results: &published,
        };
        let file = |name, media_type, bytes| File {
            name,
            media_type,
            bytes,
        };
        const HTML: &str = "text/html; charset=utf-8";
        const JSON: &str = "application/json";
        Ok(Self {
            files: vec![
                file(
                    "index.html",
                    HTML,
                    parts.render(&www("page.html")?)?.into_bytes(),
                ),
                file(
                    "post.html",
                    HTML,
                    parts.render(&www("post.html")?)?.into_bytes(),
                ),
                file(
                    "job-torque.js",
                    "text/javascript",
                    code.script.into_owned().into_bytes(),
                ),
                file(
                    "job-torque.wasm",
                    "application/wasm",
                    code.wasm.into_owned(),
                ),
                file(
                    "job-torque.d.ts",
                    "text/plain; charset=utf-8",
                    code.types.into_owned().into_bytes(),
                ),
                file("texts.json", JSON, texts.as_bytes().to_vec()),
                file("results.json", JSON, data.clone().into_bytes()),
            ],
            optimised: code.optimised,
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
            let (path, new) = (
                folder.join(file.name),
                folder.join(format!(".{}.new", file.name)),
            );
            std::fs::write(&new, &file.bytes)
                .map_err(|error| SiteError::file("write", &new, &error))?;
            std::fs::rename(&new, &path)
                .map_err(|error| SiteError::file("write", &path, &error))?;
        }
        Ok(())
    }
}
