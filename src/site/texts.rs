//! The text catalogue as the parts of a site load it.

use super::SiteError;

/// What the keys of texts begin with that the first part never shows.
const NOT_FIRST_TEXTS: [&str; 17] = [
    "choices.",
    "cite.",
    "compare.",
    "measured.",
    "narrow.",
    "offer.",
    "packs.",
    "price.",
    "product.",
    "runs.",
    "score.",
    "specimen.",
    "stated.",
    "table.",
    "take.",
    "typed.",
    "chart.places",
];

/// The texts that the script has with it, for when those beside it are missing or of another
/// version.
const SPARE: [&str; 5] = [
    "error.no_results",
    "error.other_version",
    "error.silent",
    "load.again",
    "section.full",
];

/// The text of the catalogue as the page loads it: without the texts of `changes`, which stand in the
/// page already where they are used.
///
/// # Errors
///
/// If the text is no catalogue.
pub fn of_page(texts: &str) -> Result<String, SiteError> {
    without(texts, &["changes."])
}

/// The text of that catalogue as the first part of an article loads it.
///
/// # Errors
///
/// If the text is no catalogue.
pub fn of_first(texts: &str) -> Result<String, SiteError> {
    without(texts, &NOT_FIRST_TEXTS)
}

/// A catalogue without the texts whose keys begin with one of these.
fn without(texts: &str, left_out: &[&str]) -> Result<String, SiteError> {
    let failed = |error: serde_json::Error| SiteError(format!("the texts: {error}"));
    let mut catalogue: serde_json::Value = serde_json::from_str(texts).map_err(failed)?;
    let texts = catalogue
        .get_mut("texts")
        .and_then(|texts| texts.as_object_mut())
        .ok_or_else(|| SiteError("the catalogue has no texts".into()))?;
    texts.retain(|key, _| !left_out.iter().any(|start| key.starts_with(start)));
    serde_json::to_string(&catalogue).map_err(failed)
}

/// What the script knows of the text catalogue, as the end of a module: how many texts it has, and
/// the spare ones.
///
/// # Errors
///
/// If the text is no catalogue.
pub fn about(texts: &str) -> Result<String, SiteError> {
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
