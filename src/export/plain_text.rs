//! An answer as text, to be pasted into a letter or a note.

use crate::answer::data::Answer;
use crate::contents::data::Contents;
use crate::text::catalogue::Catalogue;

/// The answer, and what whoever reads it elsewhere must know: the pair, the setup, the runs, the
/// edition, the licence, and that the data are made up, if they are.
pub(super) fn text(
    catalogue: &Catalogue,
    contents: &Contents,
    answer: &Answer,
    credit: &str,
) -> String {
    let setup = contents
        .setups
        .iter()
        .find(|setup| setup.id == answer.setup)
        .map_or(answer.setup.as_str(), |setup| &setup.name);
    let pair = match answer.label.as_str() {
        "" => String::new(),
        pair => catalogue.fill("taken.pair", &[("pair", pair)]),
    };
    let setup = catalogue.fill("taken.setup", &[("setup", setup)]);
    let paragraphs = [
        answer.notice.clone().unwrap_or_default(),
        answer.asked.clone(),
        answer.before.join(" "),
        answer.headline.clone(),
        answer.checks.join(" "),
        answer.lines.join(" "),
        answer.further.join(" "),
        answer.cautions.join(" "),
        answer.warnings.join(" "),
        answer.rests_on.join(" "),
        joined(&[&pair, &setup]),
        credit.to_owned(),
    ];
    let written = paragraphs.iter().filter(|text| !text.is_empty());
    written.map(String::as_str).collect::<Vec<_>>().join("\n")
}

/// Whose the results are: title, edition in words, and licence.
pub fn credit(catalogue: &Catalogue, title: &str, edition: &str, license: &str) -> String {
    let values = [("title", title), ("edition", edition), ("license", license)];
    catalogue.fill("taken.data", &values)
}

fn joined(sentences: &[&str]) -> String {
    let written = sentences.iter().filter(|text| !text.is_empty());
    written.copied().collect::<Vec<_>>().join(" ")
}
