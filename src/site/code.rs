//! The code of the site: the module and the one script, built from the source where it is there,
//! else those that the program carries.

use super::mark::{self, Version};
use super::{SiteError, bind, comments, compile, inline};
use std::borrow::Cow;

/// Module and script, each with its mark.
#[derive(Debug)]
pub struct Code {
    /// The version that module, script and texts have in common.
    pub version: Version,
    /// The WebAssembly.
    pub wasm: Cow<'static, [u8]>,
    /// The one script: binding, style sheet and the modules of `www/`.
    pub script: Cow<'static, str>,
    /// Types of the binding.
    pub types: Cow<'static, str>,
    /// Why the module did not go through the optimiser; `None` if it did.
    pub not_optimised: Option<String>,
}

/// The modules of `www/`, and the one that the others hang from.
const MODULES: &[&str] = &[
    "job-torque.js",
    "choice.js",
    "blocks.js",
    "engine.js",
    "load.js",
    "form.js",
    "sentence.js",
    "typed.js",
    "answer.js",
    "table.js",
    "mark.js",
    "chart.js",
    "reading.js",
    "beside.js",
    "runs.js",
    "edition.js",
    "picture.js",
    "sheet.js",
    "save.js",
    "take.js",
    "compare.js",
    "narrow.js",
    "others.js",
    "pairs.js",
    "rows.js",
    ENTRY,
];
const ENTRY: &str = "define.js";

/// The script's second line says what the module went through.
const OPTIMISED: &str = "// The module is optimised.";
const AS_COMPILED: &str = "// The module is as compiled.";

/// The texts that the script has with it, for when those beside it are missing or of another
/// version.
const SPARE: [&str; 5] = [
    "error.no_results",
    "error.other_version",
    "error.silent",
    "load.again",
    "section.full",
];

impl Code {
    /// Builds the code, or takes what the program carries where the source is not there;
    /// `optimise` the module where the optimiser is there. `texts` is the text catalogue that the
    /// code is to work with.
    ///
    /// # Errors
    ///
    /// Says what could not be compiled or put together.
    pub fn get(optimise: bool, texts: &str) -> Result<Self, SiteError> {
        match CARRIED {
            Some(carried) if !compile::has_source() => carried.code(),
            _ => Self::build(optimise, texts),
        }
    }

    fn build(optimise: bool, texts: &str) -> Result<Self, SiteError> {
        let bound = bind::module(optimise)?;
        let first = if bound.not_optimised.is_none() {
            OPTIMISED
        } else {
            AS_COMPILED
        };
        let about_texts = about_texts(texts)?;
        let script = |version: &str| {
            let script = script(&bound.script, version, &about_texts)?;
            Ok(format!("{first}\n{script}"))
        };
        let unnamed = script("")?;
        let version = Version::of(&[&bound.wasm, unnamed.as_bytes(), texts.as_bytes()]);
        let script = mark::script(&version, &script(version.as_str())?);
        let types = mark::script(&version, &bound.types);
        let text = |marked: String| {
            let sealed = mark::sealed(marked.into_bytes());
            String::from_utf8_lossy(&sealed).into_owned().into()
        };
        Ok(Self {
            wasm: mark::sealed(mark::module(&version, &bound.wasm)).into(),
            script: text(script),
            types: text(types),
            not_optimised: bound.not_optimised,
            version,
        })
    }
}

/// What a program built with the feature `carry` takes along: the files that `page` wrote before.
struct Carried {
    wasm: &'static [u8],
    script: &'static str,
    types: &'static str,
}

#[cfg(feature = "carry")]
const CARRIED: Option<Carried> = Some(Carried {
    wasm: include_bytes!("../../target/site/job-torque.wasm"),
    script: include_str!("../../target/site/job-torque.js"),
    types: include_str!("../../target/site/job-torque.d.ts"),
});
#[cfg(not(feature = "carry"))]
const CARRIED: Option<Carried> = None;

impl Carried {
    fn code(self) -> Result<Code, SiteError> {
        let version = Version::in_file(self.script.as_bytes());
        let optimised = self.script.lines().nth(1) == Some(OPTIMISED);
        Ok(Code {
            version: version.ok_or_else(|| SiteError("the script carries no mark".into()))?,
            wasm: self.wasm.into(),
            script: self.script.into(),
            types: self.types.into(),
            not_optimised: (!optimised)
                .then(|| "this program was built with a module as compiled".into()),
        })
    }
}

/// The templates that every program carries, and the parts of the style sheet in their order.
const TEMPLATES: &[(&str, &str)] = &[
    ("page.html", include_str!("../../www/page.html")),
    ("live.js", include_str!("../../www/live.js")),
    ("post.html", include_str!("../../www/post.html")),
    ("how.html", include_str!("../../www/how.html")),
    ("style.css", include_str!("../../www/style.css")),
    ("sentence.css", include_str!("../../www/sentence.css")),
    ("chart.css", include_str!("../../www/chart.css")),
    ("lists.css", include_str!("../../www/lists.css")),
    ("table.css", include_str!("../../www/table.css")),
    ("compare.css", include_str!("../../www/compare.css")),
    ("runs.css", include_str!("../../www/runs.css")),
    ("layout.css", include_str!("../../www/layout.css")),
];

/// A file of `www/`: from the source where it is there, so that a change shows without compiling.
///
/// # Errors
///
/// If it is neither there nor carried.
pub fn www(name: &str) -> Result<Cow<'static, str>, SiteError> {
    let carried = TEMPLATES.iter().find(|(carried, _)| *carried == name);
    if let Some((_, text)) = carried.filter(|_| !compile::has_source()) {
        return Ok(Cow::Borrowed(text));
    }
    let path = compile::source().join("www").join(name);
    std::fs::read_to_string(&path)
        .map(Cow::Owned)
        .map_err(|error| SiteError::file("read", &path, &error))
}

/// The one style sheet.
///
/// # Errors
///
/// As [`www`].
pub fn style() -> Result<String, SiteError> {
    let names = TEMPLATES.iter().map(|(name, _)| *name);
    let sheets = names.filter(|name| name.ends_with(".css"));
    let parts = sheets.map(www).collect::<Result<Vec<_>, _>>()?;
    comments::without(&parts.join("\n"))
}

/// The text of the catalogue as the page loads it: without the texts of `changes`, which stand in the
/// page already where they are used.
///
/// # Errors
///
/// If the text is no catalogue.
pub fn page_texts(texts: &str) -> Result<String, SiteError> {
    let failed = |error: serde_json::Error| SiteError(format!("the texts: {error}"));
    let mut catalogue: serde_json::Value = serde_json::from_str(texts).map_err(failed)?;
    let texts = catalogue
        .get_mut("texts")
        .and_then(|texts| texts.as_object_mut())
        .ok_or_else(|| SiteError("the catalogue has no texts".into()))?;
    texts.retain(|key, _| !key.starts_with("changes."));
    serde_json::to_string(&catalogue).map_err(failed)
}

/// What the script knows of the text catalogue, as the end of a module: how many texts it has, and
/// the spare ones.
fn about_texts(texts: &str) -> Result<String, SiteError> {
    let failed = |error: serde_json::Error| SiteError(format!("the texts: {error}"));
    let catalogue: serde_json::Value = serde_json::from_str(texts).map_err(failed)?;
    let texts = catalogue
        .get("texts")
        .and_then(serde_json::Value::as_object);
    let texts = texts.ok_or_else(|| SiteError("the catalogue has no texts".into()))?;
    let spare: serde_json::Map<_, _> = SPARE
        .iter()
        .filter_map(|key| Some(((*key).to_owned(), texts.get(*key)?.clone())))
        .collect();
    Ok(format!(
        "export const textCount = {};\nexport const spareTexts = {};\n",
        texts.len(),
        serde_json::to_string(&spare).map_err(failed)?
    ))
}

/// The one script: the binding, the style sheet and the version as modules, and the modules of
/// `www/`.
fn script(binding: &str, version: &str, about_texts: &str) -> Result<String, SiteError> {
    let texts = MODULES
        .iter()
        .map(|name| www(name))
        .collect::<Result<Vec<_>, _>>()?;
    let style = serde_json::to_string(&style()?).map_err(|error| SiteError(error.to_string()))?;
    let style = format!("export const styleText = {style};\n");
    let version = format!("export const version = \"{version}\";\n{about_texts}");
    let mut modules: Vec<inline::Module> = MODULES
        .iter()
        .zip(&texts)
        .map(|(name, text)| inline::Module { name, text })
        .collect();
    let made = [("style.js", &style), ("version.js", &version)];
    modules.extend(made.map(|(name, text)| inline::Module { name, text }));
    // The binding comes first and whole; it imports nothing.
    modules.push(inline::Module {
        name: "jobtorque.js",
        text: "",
    });
    let script = format!("{binding}\n{}", inline::script(&modules, ENTRY)?);
    comments::without(&script)
}

/// The files of `www/` that a site is made from, where the source is there.
pub fn inputs() -> Vec<std::path::PathBuf> {
    let www = compile::source().join("www");
    let files = std::fs::read_dir(www).into_iter().flatten().flatten();
    files.map(|entry| entry.path()).collect()
}
