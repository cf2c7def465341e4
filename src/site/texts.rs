//! The text catalogue as the parts of a site load it.

use super::SiteError;

/// The name of the texts that the whole reads.
pub const FILE: &str = "texts.json";

/// Those that the first part reads.
pub const FIRST_FILE: &str = "texts-first.json";

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

#[cfg(test)]
mod tests {
    use super::*;

    const TEXTS: &str = r#"{"lang": "en", "texts": {
        "changes.title": "Changed", "table.peak": "peak", "chart.places": "places", "chart.time": "time"
    }}"#;

    #[test]
    fn the_first_part_has_no_texts_of_tables() {
        let page = of_page(TEXTS).unwrap();
        assert!(
            page.contains("table.peak") && !page.contains("changes.title"),
            "{page}"
        );
        let first = of_first(&page).unwrap();
        assert_eq!(first, r#"{"lang":"en","texts":{"chart.time":"time"}}"#);
        assert!(
            about(&first)
                .unwrap()
                .starts_with("export const textCount = 1;\n")
        );
    }

    #[test]
    fn what_is_no_catalogue_is_said() {
        for text in ["[]", "{}", "{\"texts\": 3}"] {
            for read in [of_page, of_first, about] {
                assert!(
                    read(text).unwrap_err().to_string().contains("texts"),
                    "{text}"
                );
            }
        }
    }
}
