//! The code of the site: the module and the one script, built from the source where it is there,
//! else those that the program carries.

use super::bundle::{self, Module};
use super::compile::{self, Part};
use super::mark::{self, Version};
use super::tool::source;
use super::{SiteError, bind, texts};
use std::borrow::Cow;
use std::path::Path;

/// Module, script and style, the first two each with its mark.
#[derive(Debug)]
pub struct Code {
    /// The version that module, script and texts have in common.
    pub version: Version,
    /// The WebAssembly.
    pub wasm: Cow<'static, [u8]>,
    /// The one script: binding, style sheet and the modules of `www/`; or, of plain modules, the one
    /// that the others hang from.
    pub script: Cow<'static, str>,
    /// The part that an article loads first; `None` where the script is not bundled.
    pub first: Option<First>,
    /// The loader for articles.
    pub loader: Cow<'static, str>,
    /// The other plain modules; none where the script is bundled.
    pub modules: Vec<Module>,
    /// The style sheet.
    pub style: String,
    /// Types of the binding.
    pub types: Cow<'static, str>,
    /// Why the module did not go through the optimiser; `None` if it did.
    pub not_optimised: Option<String>,
    /// Why the script is not bundled; `None` if it is.
    pub not_bundled: Option<String>,
}

/// What answers in an article until the whole is needed, each with its mark.
#[derive(Debug)]
pub struct First {
    /// The WebAssembly.
    pub wasm: Cow<'static, [u8]>,
    /// The script: binding, style sheet and those modules of `www/` that it needs.
    pub script: Cow<'static, str>,
}

/// The name of the module beside the page, and of the one that an article loads first.
pub const MODULE: &str = "job-torque.wasm";
/// The same of the part that an article loads first.
pub const FIRST_MODULE: &str = "job-torque-first.wasm";

/// Its script.
pub const FIRST_SCRIPT: &str = "job-torque-first.js";

/// The modules of `www/` that the others hang from, all and those of the first part, and a script that
/// is none of them.
const ENTRY: &str = "define.js";
const FIRST_ENTRY: &str = "first.js";
const NO_MODULE: &str = "live.js";

/// The loader, a script of its own.
const LOADER: &str = "embed.js";

/// The parts of the style sheet for what the first part never shows.
const NOT_FIRST_STYLES: [&str; 3] = ["table.css", "compare.css", "runs.css"];

/// The style of what the finished answer alone has, which is no part of the one style sheet.
const BAKED_STYLE: &str = "baked.css";

/// The script's second line says what the module went through, the third what the script did.
const OPTIMISED: &str = "// The module is optimised.";
const AS_COMPILED: &str = "// The module is as compiled.";
const BUNDLED: &str = "// The script is bundled.";
const PLAIN: &str = "// The script is not bundled.";

/// Stands in the script for the version, which depends on the rest of the script.
const VERSION_HERE: &str = "version of this build";

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
        let bound = bind::module(Part::Whole, optimise)?;
        let esbuild = if optimise {
            bundle::esbuild()
        } else {
            Err(SiteError(bind::NOT_ASKED_FOR.into()))
        };
        let style = style(esbuild.as_deref().ok())?;
        let first = match &esbuild {
            Ok(esbuild) => Some(First::build(optimise, esbuild, texts)?),
            Err(_) => None,
        };
        let modules = modules(&bound.script, &style, texts, MODULE)?;
        let loader = www(LOADER)?;
        let (script, loader, modules) = match &esbuild {
            Ok(esbuild) => {
                let folder = bundle_folder()?;
                let script = bundle::script(esbuild, &modules, ENTRY, &folder)?;
                let loader = bundle::alone(esbuild, LOADER, &loader, &folder)?;
                (script, loader, Vec::new())
            }
            Err(_) => {
                let all = modules.into_iter();
                let all = all.filter(|module| module.name != FIRST_ENTRY).collect();
                let (script, modules) = bundle::plain(all, ENTRY)?;
                // Without a first part there is the whole alone.
                (script, bundle::of_whole(&loader), modules)
            }
        };
        let mut parts = vec![
            &*bound.wasm,
            script.as_bytes(),
            texts.as_bytes(),
            loader.as_bytes(),
        ];
        if let Some(first) = &first {
            parts.extend([&*first.wasm, first.script.as_bytes()]);
        }
        parts.extend(modules.iter().map(|module| module.text.as_bytes()));
        let version = Version::of(&parts);
        let optimised = bound.not_optimised.is_none();
        let went_through = if optimised { OPTIMISED } else { AS_COMPILED };
        let made = if esbuild.is_ok() { BUNDLED } else { PLAIN };
        let marked = modules.iter().map(|module| Module {
            name: module.name.clone(),
            text: marked_script(&version, &module.text),
        });
        Ok(Self {
            wasm: mark::sealed(mark::module(&version, &bound.wasm)).into(),
            script: marked_script(&version, &format!("{went_through}\n{made}\n{script}")).into(),
            first: first.map(|first| first.marked(&version)),
            loader: marked_script(&version, &loader).into(),
            modules: marked.collect(),
            style,
            types: marked_script(&version, &bound.types).into(),
            not_optimised: bound.not_optimised,
            not_bundled: esbuild.err().map(|why| why.0),
            version,
        })
    }
}

impl First {
    /// The first part, without a mark.
    fn build(optimise: bool, esbuild: &Path, texts: &str) -> Result<Self, SiteError> {
        let bound = bind::module(Part::First, optimise)?;
        let style = styles_without(&NOT_FIRST_STYLES)?;
        let style = bundle::style(esbuild, &style, &bundle_folder()?)?;
        let texts = texts::of_first(texts)?;
        let modules = modules(&bound.script, &style, &texts, FIRST_MODULE)?;
        Ok(Self {
            wasm: bound.wasm.into(),
            script: bundle::script(esbuild, &modules, FIRST_ENTRY, &bundle_folder()?)?.into(),
        })
    }

    fn marked(self, version: &Version) -> Self {
        Self {
            wasm: mark::sealed(mark::module(version, &self.wasm)).into(),
            script: marked_script(version, &self.script).into(),
        }
    }
}

/// A script with its version and its mark.
fn marked_script(version: &Version, text: &str) -> String {
    let text = text.replace(VERSION_HERE, version.as_str());
    let sealed = mark::sealed(mark::script(version, &text).into_bytes());
    String::from_utf8_lossy(&sealed).into_owned()
}

/// One folder a process: two builds at once must not mix.
fn bundle_folder() -> Result<std::path::PathBuf, SiteError> {
    compile::target_dir().map(|target| target.join(format!("bundled-{}", std::process::id())))
}

/// What a program built with the feature `carry` takes along: the files that `page` wrote before.
struct Carried {
    wasm: &'static [u8],
    script: &'static str,
    first_wasm: &'static [u8],
    first_script: &'static str,
    loader: &'static str,
    types: &'static str,
}

#[cfg(feature = "carry")]
const CARRIED: Option<Carried> = Some(Carried {
    wasm: include_bytes!("../../target/site/job-torque.wasm"),
    script: include_str!("../../target/site/job-torque.js"),
    first_wasm: include_bytes!("../../target/site/job-torque-first.wasm"),
    first_script: include_str!("../../target/site/job-torque-first.js"),
    loader: include_str!("../../target/site/embed.js"),
    types: include_str!("../../target/site/job-torque.d.ts"),
});
#[cfg(not(feature = "carry"))]
const CARRIED: Option<Carried> = None;

impl Carried {
    fn code(self) -> Result<Code, SiteError> {
        let version = Version::in_file(self.script.as_bytes());
        let optimised = self.script.lines().nth(1) == Some(OPTIMISED);
        if self.script.lines().nth(2) != Some(BUNDLED) {
            return Err(SiteError(
                "this program was built with a script that is not bundled: install esbuild and build \
                the program again"
                    .into(),
            ));
        }
        Ok(Code {
            version: version.ok_or_else(|| SiteError("the script carries no mark".into()))?,
            wasm: self.wasm.into(),
            script: self.script.into(),
            first: Some(First {
                wasm: self.first_wasm.into(),
                script: self.first_script.into(),
            }),
            loader: self.loader.into(),
            modules: Vec::new(),
            style: style(None)?,
            types: self.types.into(),
            not_optimised: (!optimised)
                .then(|| "this program was built with a module as compiled".into()),
            not_bundled: None,
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
    ("form.css", include_str!("../../www/form.css")),
    ("chart.css", include_str!("../../www/chart.css")),
    ("lists.css", include_str!("../../www/lists.css")),
    ("table.css", include_str!("../../www/table.css")),
    ("compare.css", include_str!("../../www/compare.css")),
    ("runs.css", include_str!("../../www/runs.css")),
    ("hands.css", include_str!("../../www/hands.css")),
    ("layout.css", include_str!("../../www/layout.css")),
    ("print.css", include_str!("../../www/print.css")),
    (BAKED_STYLE, include_str!("../../www/baked.css")),
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
    let path = source().join("www").join(name);
    std::fs::read_to_string(&path)
        .map(Cow::Owned)
        .map_err(|error| SiteError::file("read", &path, &error))
}

/// The one style sheet as it is written.
///
/// # Errors
///
/// As [`www`].
pub fn all_styles() -> Result<String, SiteError> {
    styles_without(&[])
}

/// The same without some of its parts.
fn styles_without(left_out: &[&str]) -> Result<String, SiteError> {
    let names = TEMPLATES.iter().map(|(name, _)| *name);
    let sheets = names.filter(|name| name.ends_with(".css") && *name != BAKED_STYLE);
    let sheets = sheets.filter(|name| !left_out.contains(name));
    let parts = sheets.map(www).collect::<Result<Vec<_>, _>>()?;
    Ok(parts.join("\n"))
}

/// The one style sheet, made small where esbuild is given.
fn style(esbuild: Option<&Path>) -> Result<String, SiteError> {
    let style = all_styles()?;
    match esbuild {
        Some(esbuild) => bundle::style(esbuild, &style, &bundle_folder()?),
        None => Ok(style),
    }
}

/// The modules of the script: those of `www/`, and as modules the binding, the style sheet, the
/// version, the name of the module and what the script knows of the texts.
fn modules(
    binding: &str,
    style: &str,
    texts: &str,
    module_file: &str,
) -> Result<Vec<Module>, SiteError> {
    let style = serde_json::to_string(style).map_err(|error| SiteError(error.to_string()))?;
    let about_texts = texts::about(texts)?;
    let module = |name: &str, text: String| Module {
        name: name.into(),
        text,
    };
    let mut modules = vec![
        module("jobtorque.js", binding.into()),
        module("style.js", format!("export const styleText = {style};\n")),
        module(
            "version.js",
            format!(
                "export const version = '{VERSION_HERE}';\n\
                export const moduleFile = '{module_file}';\n{about_texts}"
            ),
        ),
    ];
    let mut names: Vec<String> = inputs()
        .iter()
        .filter_map(|path| path.file_name()?.to_str().map(String::from))
        .filter(|name| name.ends_with(".js") && name != NO_MODULE && name != LOADER)
        .collect();
    names.sort_unstable();
    for name in names {
        let text = www(&name)?.into_owned();
        modules.push(Module { name, text });
    }
    Ok(modules)
}

/// The files of `www/` that a site is made from, where the source is there.
pub fn inputs() -> Vec<std::path::PathBuf> {
    let www = source().join("www");
    let files = std::fs::read_dir(www).into_iter().flatten().flatten();
    files.map(|entry| entry.path()).collect()
}
