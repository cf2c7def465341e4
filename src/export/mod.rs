//! What people take along of an answer: the plain part of a page, a text, a table of exact figures.

pub mod csv;
pub mod data;
pub mod html;
pub mod plain;
pub mod plain_text;

use crate::answer::data::Answer;
use crate::dataset::types::Edition;
use crate::problem::Problem;
use crate::query::question::Question;
use crate::results::Results;
use crate::study::Study;
use crate::table::data::Table;
use crate::text;
use crate::text::fold::{is_letter, lower};
use data::Taken;

/// At most this many bytes of a title become the name of a file.
const LONGEST_NAME: usize = 80;

/// What may be taken along of the answer to `question`. `saved` is the day on which a page is
/// saved, such as `2026-03-02`.
///
/// # Errors
///
/// A problem that names the faulty part of the question, with a message for visitors.
pub fn take(results: &Results, question: &Question, saved: Option<&str>) -> Result<Taken, Problem> {
    taken(&results.study(question)?, saved)
}

/// The same of a question that is open already.
///
/// # Errors
///
/// As [`take`].
pub fn taken(study: &Study, saved: Option<&str>) -> Result<Taken, Problem> {
    let results = study.results();
    let contents = results.contents();
    let answer = study.answer()?;
    // Whatever is narrowed on the screen, what is taken along is whole.
    let field = study.unfiltered();
    let edition = edition(results, answer.edition);
    let words = text::edition(results.catalogue(), edition);
    let table = field.table()?;
    let credit = plain_text::credit(
        results.catalogue(),
        &contents.title,
        &words,
        &contents.license,
    );
    let title = title(study, &answer);
    Ok(Taken {
        name: name(&title),
        plain: plain::Plain {
            catalogue: results.catalogue(),
            contents: &contents,
            answer: &answer,
            table: &field.in_words(&table),
            edition,
            saved,
        }
        .html(),
        text: plain_text::text(results.catalogue(), &contents, &answer, &credit),
        credit,
        csv: csv_of(results, edition, &table),
        title,
    })
}

/// The answer alone as HTML, with its edition and licence: what stands inside an embedded element.
///
/// # Errors
///
/// As [`take`].
#[cfg(not(target_arch = "wasm32"))]
pub fn brief(results: &Results, question: &Question) -> Result<String, Problem> {
    let study = results.study(question)?;
    let answer = study.answer()?;
    let plain = plain::Plain {
        catalogue: results.catalogue(),
        contents: &results.contents(),
        answer: &answer,
        table: &study.worded_table()?,
        edition: edition(results, answer.edition),
        saved: None,
    };
    Ok(plain.brief())
}

/// The field of a question as CSV.
///
/// # Errors
///
/// As [`take`].
#[cfg(not(target_arch = "wasm32"))]
pub fn field(results: &Results, question: &Question) -> Result<String, Problem> {
    let newest = results
        .dataset()
        .editions
        .last()
        .map(|edition| edition.edition);
    let edition = edition(results, question.edition.or(newest).unwrap_or_default());
    Ok(csv_of(results, edition, &results.table(question)?))
}

fn csv_of(results: &Results, edition: Option<&Edition>, table: &Table) -> String {
    let catalogue = results.catalogue();
    csv::csv(
        table.rows.iter().chain(&table.estimates),
        &text::edition(catalogue, edition),
        text::notice(catalogue, results.dataset()).as_deref(),
        results.digits(),
    )
}

/// The edition that answers.
pub fn edition(results: &Results, edition: u32) -> Option<&Edition> {
    let mut editions = results.dataset().editions.iter();
    editions.find(|shown| shown.edition == edition)
}

/// The title of a page with this answer: that of the results, and before it what was asked for
/// unless that is what the page asks of its own accord.
pub fn title(study: &Study, answer: &Answer) -> String {
    let (results, job) = (study.results(), study.question().job.as_ref());
    let title = &results.dataset().title;
    let own = job.is_none_or(|job| *job == results.default_job()) && answer.label.is_empty();
    if own {
        return title.clone();
    }
    let catalogue = results.catalogue();
    let needed = study.needed().map(|needed| needed.words(catalogue));
    let needed = needed.unwrap_or_default();
    let values = [
        ("torque", needed.as_str()),
        ("pair", &answer.label),
        ("title", title),
    ];
    let key = if answer.label.is_empty() {
        "taken.title"
    } else {
        "taken.title_of_pair"
    };
    catalogue.fill(key, &values)
}

/// A title as the name of a file: letters and digits as they are, all else a hyphen.
fn name(title: &str) -> String {
    let mut name = String::new();
    for sign in title.chars().map(lower) {
        if name.len() + sign.len_utf8() > LONGEST_NAME {
            break;
        }
        if sign.is_ascii_digit() || is_letter(sign) {
            name.push(sign);
        } else if !name.is_empty() && !name.ends_with('-') {
            name.push('-');
        }
    }
    name.trim_end_matches('-').to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_of_a_file_holds_letters_digits_and_hyphens() {
        assert_eq!(
            name("650 N·m, Sorrel 18 with slim 4.0: Results"),
            "650-n-m-sorrel-18-with-slim-4-0-results"
        );
        assert_eq!(name("../../etc: \"<x>\" Größe"), "etc-x-größe");
        assert_eq!(name("…"), "");
        assert!(name(&"ab ".repeat(99)).len() <= LONGEST_NAME);
        assert!(name(&"aßö".repeat(99)).len() <= LONGEST_NAME);
    }
}
