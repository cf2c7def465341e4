//! The code of the site: the module and the one script, built from the source where it is there,
//! else those that the program carries.

use super::{SiteError, bind, comments, compile, inline};
use std::borrow::Cow;

/// Module and script.
#[derive(Debug)]
pub struct Code {
    /// The WebAssembly.
    pub wasm: Cow<'static, [u8]>,
    /// The one script: binding, style sheet and the modules of `www/`.
    pub script: Cow<'static, str>,
    /// Types of the binding.
    pub types: Cow<'static, str>,
    /// Whether the module went through the optimiser.
    pub optimised: bool,
}

/// The modules of `www/`, and the one that the others hang from.
const MODULES: &[&str] = &[
    "job-torque.js",
    "choice.js",
    "blocks.js",
    "engine.js",
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

/// The script's first line says what the module went through.
const OPTIMISED: &str = "// Jobtorque. The module is optimised.";
const AS_COMPILED: &str = "// Jobtorque. The module is as compiled.";

impl Code {
    /// Builds the code, or takes what the program carries where the source is not there;
    /// `optimise` the module where the optimiser is there.
    ///
    /// # Errors
    ///
    /// Says what could not be compiled or put together.
    pub fn get(optimise: bool) -> Result<Self, SiteError> {
        match CARRIED {
            Some(carried) if !compile::has_source() => {
                let optimised = carried.script.starts_with(OPTIMISED);
                Ok(Self {
                    optimised,
                    ..carried
                })
            }
            _ => {
                let bound = bind::module(optimise)?;
                let first = if bound.optimised {
                    OPTIMISED
                } else {
                    AS_COMPILED
                };
                let script = format!("{first}\n{}", script(&bound.script)?).into();
                Ok(Self {
                    wasm: bound.wasm.into(),
                    script,
                    types: bound.types.into(),
                    optimised: bound.optimised,
                })
            }
        }
    }
}

/// What a program built with the feature `carry` takes along: the files that `page` wrote before.
#[cfg(feature = "carry")]
const CARRIED: Option<Code> = Some(Code {
    wasm: Cow::Borrowed(include_bytes!("../../target/site/job-torque.wasm")),
    script: Cow::Borrowed(include_str!("../../target/site/job-torque.js")),
    types: Cow::Borrowed(include_str!("../../target/site/job-torque.d.ts")),
    optimised: false,
});
#[cfg(not(feature = "carry"))]
const CARRIED: Option<Code> = None;

/// The templates that every program carries, and the parts of the style sheet in their order.
const TEMPLATES: &[(&str, &str)] = &[
    ("page.html", include_str!("../../www/page.html")),
    ("post.html", include_str!("../../www/post.html")),
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

/// The one script: the binding, the style sheet as a module, and the modules of `www/`.
fn script(binding: &str) -> Result<String, SiteError> {
    let texts = MODULES
        .iter()
        .map(|name| www(name))
        .collect::<Result<Vec<_>, _>>()?;
    let style = serde_json::to_string(&style()?).map_err(|error| SiteError(error.to_string()))?;
    let style = format!("export const styleText = {style};\n");
    let mut modules: Vec<inline::Module> = MODULES
        .iter()
        .zip(&texts)
        .map(|(name, text)| inline::Module { name, text })
        .collect();
    modules.push(inline::Module {
        name: "style.js",
        text: &style,
    });
    // The binding comes first and whole; it imports nothing.
    modules.push(inline::Module {
        name: "jobtorque.js",
        text: "",
    });
    let script = format!("{binding}\n{}", inline::script(&modules, ENTRY)?);
    comments::without(&script)
}
