//! The files of the site.

use super::byte_text::byte_text;
use super::code::{self, Code, www};
use super::mark::{self, Version};
use super::{SiteError, page, publish, texts};
use crate::dataset::types::Dataset;
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

/// The names of the files of the site, without those of plain modules and of each edition.
pub const NAMES: [&str; 15] = [
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
    texts::FILE,
    texts::FIRST_FILE,
    "results.json",
    RESULTS,
    SUMMARY,
];

/// The results as the whole reads them. In script this name is made of that of the JSON.
const RESULTS: &str = "results.txt";
/// Those that the first part of an article reads, of the newest edition.
const SUMMARY: &str = "results-summary.txt";
/// What the names begin with of those of each edition, before its number; script makes them too.
pub const SUMMARY_OF: &str = "results-summary-";

const SCRIPT: &str = "text/javascript";
const TEXT: &str = "text/plain; charset=utf-8";
const JSON: &str = "application/json";
const WASM: &str = "application/wasm";

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
        let first_texts = marked(&texts::of_first(texts)?);
        let (data, texts) = (marked(&data), marked(texts));
        let dataset = publish::parsed(&String::from_utf8_lossy(&data))?;
        let (packed, packed_text) = packed_text_of(&code.version, &publish::results(&dataset));
        let published = publish::as_visitor(&packed, results.catalogue())?;
        let parts = page::Parts {
            data: &String::from_utf8_lossy(&packed_text),
            texts: &String::from_utf8_lossy(&texts),
            code,
            results: &published,
        };
        let chart = mark::png(&code.version, &chart(&published)?);
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
            file(texts::FILE, JSON, texts.clone()),
            file("results.json", JSON, data.clone()),
            file(RESULTS, TEXT, packed_text.clone()),
        ];
        files.extend(of_first(code, &dataset, &published, first_texts)?);
        files.extend(code.modules.iter().map(|module| File {
            name: module.name.clone().into(),
            media_type: SCRIPT,
            bytes: module.text.as_bytes().to_vec(),
        }));
        Ok(Self { files })
    }
}

/// A file of the site, its mark sealed.
fn file(name: &'static str, media_type: &'static str, bytes: Vec<u8>) -> File {
    File {
        name: name.into(),
        media_type,
        bytes: mark::sealed(bytes),
    }
}

/// The files of the first part of an article, if there is one: its script, its module, its texts and each
/// edition's results in short.
fn of_first(
    code: &Code,
    dataset: &Dataset,
    results: &Results,
    texts: Vec<u8>,
) -> Result<Vec<File>, SiteError> {
    let Some(first) = &code.first else {
        return Ok(Vec::new());
    };
    let script = first.script.as_bytes().to_vec();
    let mut files = vec![
        file(code::FIRST_SCRIPT, SCRIPT, script),
        file(code::FIRST_MODULE, WASM, first.wasm.to_vec()),
        file(texts::FIRST_FILE, JSON, texts),
    ];
    let newest = results.newest_edition();
    for edition in &dataset.editions {
        let number = edition.edition;
        let summary = publish::summary(dataset, results, number)?;
        let (_, bytes) = packed_text_of(&code.version, &summary);
        if number == newest {
            files.push(file(SUMMARY, TEXT, bytes.clone()));
        }
        files.push(File {
            name: format!("{SUMMARY_OF}{number}.txt").into(),
            media_type: TEXT,
            bytes,
        });
    }
    Ok(files)
}

/// Packed results with their mark, and the file that holds them as text, with a mark of its own.
fn packed_text_of(version: &Version, packed: &[u8]) -> (Vec<u8>, Vec<u8>) {
    let packed = mark::sealed(mark::results(version, packed));
    let text = mark::results(version, byte_text(&packed).as_bytes());
    (packed, mark::sealed(text))
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::site::mark::{Origin, origin};

    #[test]
    fn script_makes_the_names_of_what_it_reads_from_that_of_the_json() {
        for script in ["engine.js", "embed.js"] {
            let script_text = www(script).unwrap();
            for name in [RESULTS, SUMMARY] {
                let ending = name.strip_prefix("results").unwrap();
                assert!(
                    script_text.contains(&format!("'{ending}'")),
                    "{script}: {name}"
                );
                assert!(NAMES.contains(&name), "{name}");
            }
        }
    }

    #[test]
    fn results_and_the_text_of_them_are_each_marked_and_whole() {
        let version = Version::of(&[b"one build"]);
        let (packed, text) = packed_text_of(&version, b"packed");
        for file in [&packed, &text] {
            assert_eq!(origin(file), Origin::Own);
            assert!(file.starts_with(format!("Jobtorque {} ", version.as_str()).as_bytes()));
        }
        assert!(packed.ends_with(b"\npacked"));
        assert!(text.ends_with(byte_text(&packed).as_bytes()));
    }
}
