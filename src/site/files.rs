//! The files of the site.

use super::byte_text::byte_text;
use super::code::{self, Code, www};
use super::{SiteError, mark, page, publish};
use crate::dataset::write::Publish;
use crate::picture::{Size, picture, png::png};
use crate::query::question::Question;
use crate::results::Results;
use std::borrow::Cow;

/// One file of the site.
#[derive(Debug)]
pub struct File {
    /// Its name.
    pub name: Cow<'static, str>,
    /// Its media type.
    pub media_type: &'static str,
    /// Its bytes.
    pub bytes: Vec<u8>,
}

/// The whole site.
#[derive(Debug)]
pub struct Site {
    /// Its files, each with its mark; the first is the page.
    pub files: Vec<File>,
}

/// The names of the files of the site, without those of plain modules.
pub const NAMES: [&str; 13] = [
    "index.html",
    "post.html",
    "how.html",
    "embed.js",
    code::FIRST_SCRIPT,
    code::FIRST_MODULE,
    "job-torque.js",
    code::MODULE,
    "job-torque.d.ts",
    page::PICTURE,
    "texts.json",
    "results.json",
    "results.txt",
];

impl Site {
    /// Builds the site from its code, the text of a dataset and its results.
    ///
    /// # Errors
    ///
    /// Says what could not be read or published.
    pub fn build(
        code: &Code,
        text: &str,
        results: &Results,
        texts: &str,
        publish: Publish,
    ) -> Result<Self, SiteError> {
        let (data, _) = publish::dataset(text, results, publish)?;
        let marked = |text: &str| mark::sealed(mark::json(&code.version, text).into_bytes());
        let (data, texts) = (marked(&data), marked(texts));
        let packed = publish::packed(&String::from_utf8_lossy(&data))?;
        let packed = mark::sealed(mark::results(&code.version, &packed));
        let packed_text = mark::results(&code.version, byte_text(&packed).as_bytes());
        let packed_text = mark::sealed(packed_text);
        let published = publish::as_visitor(&packed, results.catalogue())?;
        let parts = page::Parts {
            data: &String::from_utf8_lossy(&packed_text),
            texts: &String::from_utf8_lossy(&texts),
            code,
            results: &published,
        };
        let file = |name: &'static str, media_type, bytes| File {
            name: name.into(),
            media_type,
            bytes: mark::sealed(bytes),
        };
        let chart = mark::png(&code.version, &chart(&published)?);
        const SCRIPT: &str = "text/javascript";
        const TEXT: &str = "text/plain; charset=utf-8";
        const JSON: &str = "application/json";
        const WASM: &str = "application/wasm";
        let page = |name, template| {
            let html = parts.render(&www(template)?)?;
            Ok::<_, SiteError>(file(name, "text/html; charset=utf-8", html.into_bytes()))
        };
        let mut files = vec![
            page("index.html", "page.html")?,
            page("post.html", "post.html")?,
            page("how.html", "how.html")?,
            file("embed.js", SCRIPT, code.loader.as_bytes().to_vec()),
            file("job-torque.js", SCRIPT, code.script.as_bytes().to_vec()),
            file(code::MODULE, WASM, code.wasm.to_vec()),
            file("job-torque.d.ts", TEXT, code.types.as_bytes().to_vec()),
            file(page::PICTURE, "image/png", chart),
            file("texts.json", JSON, texts.clone()),
            file("results.json", JSON, data.clone()),
            file("results.txt", TEXT, packed_text.clone()),
        ];
        if let Some(first) = &code.first {
            let script = first.script.as_bytes().to_vec();
            files.push(file(code::FIRST_SCRIPT, SCRIPT, script));
            files.push(file(code::FIRST_MODULE, WASM, first.wasm.to_vec()));
        }
        files.extend(code.modules.iter().map(|module| File {
            name: module.name.clone().into(),
            media_type: SCRIPT,
            bytes: module.text.as_bytes().to_vec(),
        }));
        Ok(Self { files })
    }
}

/// The picture to share the page by: the default answer with its chart.
fn chart(results: &Results) -> Result<Vec<u8>, SiteError> {
    let question = Question {
        job: Some(results.contents().default_job),
        ..Question::default()
    };
    let picture = picture(results, &question, false, &Size::SHARED)
        .map_err(|error| SiteError(format!("the default question has no picture: {error}")))?;
    png(&picture.svg, 1).map_err(|error| SiteError(format!("cannot paint the picture: {error}")))
}
