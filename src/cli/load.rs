//! Datasets and text catalogues from files, or those inside the program.

use super::Failure;
use crate::results::Results;
use crate::words::catalogue::Catalogue;
use std::path::Path;

/// The invented demo dataset.
const DEMO: &str = include_str!("../../data/demo.json");

/// The text catalogues inside the program, by language.
const TEXTS: [(&str, &str); 1] = [("en", include_str!("../../www/texts/en.json"))];

/// A dataset's text and its results.
pub(super) struct Loaded {
    pub text: String,
    pub results: Results,
    /// The text of the catalogue.
    pub texts: &'static str,
}

/// Loads a dataset, or the demo where no file is named.
pub(super) fn dataset(file: Option<&Path>, lang: &str) -> Result<Loaded, Failure> {
    let (catalogue, texts) = catalogue(lang)?;
    let bytes = match file {
        Some(file) => read(file)?,
        None => DEMO.as_bytes().to_vec(),
    };
    let name = file.map_or_else(
        || "the demo dataset".into(),
        |file| file.display().to_string(),
    );
    let results = Results::read(&bytes, catalogue).map_err(|problems| {
        let mut lines: Vec<String> = problems
            .iter()
            .map(|problem| format!("{name}:{problem}"))
            .collect();
        lines.push(super::text::problems_found(&name, problems.len()));
        Failure::Data(lines)
    })?;
    let text = String::from_utf8(bytes).map_err(|error| Failure::Data(vec![error.to_string()]))?;
    Ok(Loaded {
        text,
        results,
        texts,
    })
}

/// The bytes of a file.
pub(super) fn read(file: &Path) -> Result<Vec<u8>, Failure> {
    std::fs::read(file)
        .map_err(|error| Failure::Misuse(format!("cannot open {}: {error}", file.display())))
}

/// The catalogue of a language, and its text.
pub(super) fn catalogue(lang: &str) -> Result<(Catalogue, &'static str), Failure> {
    let known = TEXTS.iter().find(|(known, _)| *known == lang);
    let (_, texts) = known.ok_or_else(|| {
        let languages: Vec<&str> = TEXTS.iter().map(|(lang, _)| *lang).collect();
        Failure::Misuse(format!(
            "--lang: there is no language \"{lang}\" here, only {}",
            languages.join(", ")
        ))
    })?;
    let catalogue = serde_json::from_str(texts)
        .map_err(|error| Failure::Misuse(format!("the texts of {lang}: {error}")))?;
    Ok((catalogue, texts))
}
