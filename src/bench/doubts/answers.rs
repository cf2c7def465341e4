//! The tester's answers to doubts: `doubts.csv`.
//!
//! A row holds the name of a doubt, what it is about, the tester's words, and the fingerprint of the
//! bytes that it was about. The doubt stays quiet while these bytes are the same; of several rows
//! any may answer it. A row written by hand may lack the fingerprint: it then holds whatever changes,
//! and `check` says so.

use super::super::append_rows::append_rows;
use super::super::columns::{DOUBTS, RUNS};
use super::super::document::decoded;
use super::super::file_problem::FileProblem;
use super::super::files;
use super::super::table::{Style, Table, TableEncoding};
use super::super::write_file::{Existing, write_file};
use super::super::{Bench, read};
use super::doubt::{Doubt, NAMES, UNNAMED_LOGS};
use super::of_bench;
use crate::bench::near::nearly;
use crate::problem::{Problem, quoted};
use std::path::Path;

/// One answer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Answer {
    /// Name of the doubt.
    pub doubt: String,
    /// What it is about.
    pub about: String,
    /// The tester's words.
    pub words: String,
    /// Fingerprint of the bytes it was about; empty if not given.
    pub fingerprint: String,
}

/// The answers of a folder.
#[derive(Debug, Default)]
pub struct Answers {
    /// In the order of their rows.
    pub all: Vec<Answer>,
    /// What is strange about `doubts.csv` itself.
    pub notes: Vec<FileProblem>,
}

/// The doubts of a folder that are left, and those that are answered.
#[derive(Debug, Default)]
pub struct Judged {
    /// Not answered, or answered before their bytes changed.
    pub open: Vec<Doubt>,
    /// Answered.
    pub answered: Vec<Doubt>,
}

/// Reads `doubts.csv`; a folder without one has no answers.
///
/// # Errors
///
/// A file that is no table or lacks a column.
pub fn answers(folder: &Path, bench: &Bench) -> Result<Answers, Vec<FileProblem>> {
    let encoding = files::tables_encoding(&bench.sources.settings).map_err(|one| vec![one])?;
    let bytes = files::file(folder, DOUBTS.file).map_err(|problem| vec![problem])?;
    match bytes {
        Some(bytes) => Ok(of_table(&table(&bytes, encoding)?)),
        None => Ok(Answers::default()),
    }
}

fn table(bytes: &[u8], encoding: TableEncoding) -> Result<Table, Vec<FileProblem>> {
    let table = Table::read(&DOUBTS, bytes, encoding)?;
    let lacking = DOUBTS
        .needed
        .iter()
        .find(|name| table.column(name).is_none());
    match lacking {
        None => Ok(table),
        Some(name) => {
            let (line, column) = table.position(None, 0);
            let wanted = format!("the column \"{name}\"");
            let problem = Problem::new("", format!("no column \"{name}\""), wanted);
            let problem = problem.at(line, column);
            Err(vec![FileProblem::file(DOUBTS.file, problem)])
        }
    }
}

fn of_table(table: &Table) -> Answers {
    let mut answers = Answers::default();
    for row in 0..table.rows.len() {
        let cell = |name: &str| {
            let cell = table.cell(row, name);
            decoded(cell).unwrap_or_else(|| cell.to_owned())
        };
        let answer = Answer {
            doubt: cell("doubt"),
            about: cell("about"),
            words: cell("words"),
            fingerprint: cell("fingerprint"),
        };
        let mut note = |name: &str, found: String, wanted: String, message: String| {
            let column = table.column(name).unwrap_or_default();
            let (line, column) = table.position(Some(row), column);
            let problem = Problem::new("", found, wanted).message(message);
            answers
                .notes
                .push(FileProblem::file(DOUBTS.file, problem.at(line, column)).field(name));
        };
        let known = NAMES.iter().chain([&UNNAMED_LOGS]);
        if !known.clone().any(|name| *name == answer.doubt) {
            let near = nearly(&answer.doubt, known.copied());
            let near = near.map_or(String::new(), |near| format!("; there is {near}"));
            let message = format!(
                "no doubt has the name {}, so this row answers nothing{near}",
                quoted(&answer.doubt)
            );
            note(
                "doubt",
                quoted(&answer.doubt),
                "the name of a doubt".into(),
                message,
            );
        } else if answer.words.is_empty() {
            let message = "an answer without words answers nothing".to_owned();
            note(
                "words",
                "no words".into(),
                "the answer in words".into(),
                message,
            );
        } else if answer.fingerprint.is_empty() {
            let message = "this answer has no fingerprint, so it holds whatever changes; `jobtorque settle` writes one".to_owned();
            note(
                "fingerprint",
                "no fingerprint".into(),
                "the fingerprint that `settle` writes".into(),
                message,
            );
        }
        answers.all.push(answer);
    }
    answers
}

/// Parts doubts by whether they are answered.
pub fn judged(doubts: Vec<Doubt>, answers: &[Answer]) -> Judged {
    let mut judged = Judged::default();
    for mut doubt in doubts {
        let of_it: Vec<&Answer> = answers
            .iter()
            .filter(|answer| answer.doubt == doubt.name && answer.about == doubt.about)
            .filter(|answer| !answer.words.is_empty())
            .collect();
        // Several doubts may have one name and subject; the fingerprint tells which is answered.
        let holds = |answer: &&Answer| {
            answer.fingerprint.is_empty() || answer.fingerprint == doubt.fingerprint
        };
        if of_it.iter().any(holds) {
            judged.answered.push(doubt);
        } else {
            doubt.answered_before = of_it.last().map(|answer| answer.words.clone());
            judged.open.push(doubt);
        }
    }
    judged
}

/// Why a doubt was not settled.
#[derive(Debug)]
pub enum Unsettled {
    /// Problems of the folder.
    Problems(Vec<FileProblem>),
    /// No open doubt, or several, go by that name: what to do.
    Unknown(String),
    /// The file cannot be written.
    Unwritten(String),
}

/// Writes the tester's answer to the open doubt that `name` names: its name alone where one open
/// doubt has it, or `NAME:ABOUT`. What stands in `doubts.csv` stays as it is, to the byte.
///
/// # Errors
///
/// See [`Unsettled`]; a file that changed meanwhile is left as it is.
pub fn settle(folder: &Path, name: &str, words: &str) -> Result<Doubt, Unsettled> {
    let words = words.trim();
    if words.is_empty() {
        return Err(Unsettled::Unknown("the answer has no words".into()));
    }
    let bench = read(folder).map_err(Unsettled::Problems)?;
    let found = answers(folder, &bench).map_err(Unsettled::Problems)?;
    let doubt = named(judged(of_bench(folder, &bench), &found.all), name)?;
    let encoding = files::tables_encoding(&bench.sources.settings)
        .map_err(|problem| Unsettled::Problems(vec![problem]))?;
    let old =
        files::file(folder, DOUBTS.file).map_err(|problem| Unsettled::Problems(vec![problem]))?;
    let header: Vec<String> = DOUBTS
        .columns
        .iter()
        .map(|column| column.name.to_owned())
        .collect();
    let mut bytes = old.clone().unwrap_or_default();
    let unwritten = |why: String| Unsettled::Unwritten(format!("{}: {why}", DOUBTS.file));
    let (style, header) = if bytes.is_empty() {
        // A new file is written like the notebook, so that the same spreadsheet opens it.
        let notebook = bench.sources.tables.get(RUNS.list);
        let style = notebook.map_or(
            Style {
                delimiter: b',',
                crlf: false,
            },
            |table| table.style,
        );
        append_rows(&mut bytes, style, std::slice::from_ref(&header), encoding)
            .map_err(unwritten)?;
        (style, header)
    } else {
        let table = table(&bytes, encoding).map_err(Unsettled::Problems)?;
        if let Some(lacking) = header.iter().find(|name| table.column(name).is_none()) {
            return Err(unwritten(format!(
                "there is no column \"{lacking}\"; add it to the first line"
            )));
        }
        (table.style, table.header)
    };
    let cell = |name: &String| match name.as_str() {
        "doubt" => doubt.name.to_owned(),
        "about" => as_text(&doubt.about),
        "words" => as_text(words),
        "fingerprint" => doubt.fingerprint.clone(),
        _ => String::new(),
    };
    let row: Vec<String> = header.iter().map(cell).collect();
    append_rows(&mut bytes, style, &[row], encoding).map_err(unwritten)?;
    let existing = old.as_deref().map_or(Existing::Nothing, Existing::Bytes);
    write_file(&folder.join(DOUBTS.file), &bytes, existing).map_err(Unsettled::Unwritten)?;
    Ok(doubt)
}

/// A text as a cell that is read back as it: what would be taken for JSON stands in quotation marks.
fn as_text(text: &str) -> String {
    let json = super::super::document::Json::text(text);
    match json {
        super::super::document::Json::Raw(json) => {
            super::super::cell::write(&json, super::super::cell::Kind::Text)
        }
        _ => text.to_owned(),
    }
}

/// The one open doubt of a name.
fn named(judged: Judged, name: &str) -> Result<Doubt, Unsettled> {
    let of = |doubt: &&Doubt| doubt.key() == name || doubt.name == name;
    let exact = judged.open.iter().filter(|doubt| doubt.key() == name);
    let found: Vec<&Doubt> = match exact.clone().count() {
        0 => judged.open.iter().filter(of).collect(),
        _ => exact.collect(),
    };
    match found.as_slice() {
        [one] => Ok((*one).clone()),
        [] => {
            let answered = judged.answered.iter().any(|doubt| of(&doubt));
            let open: Vec<String> = judged.open.iter().map(Doubt::key).collect();
            let near = nearly(name, open.iter().map(String::as_str));
            let near = near.map_or(String::new(), |near| format!("; there is {}", quoted(near)));
            Err(Unsettled::Unknown(if answered {
                format!("the doubt {} is answered already", quoted(name))
            } else {
                format!(
                    "there is no open doubt {}{near}; `check` lists them",
                    quoted(name)
                )
            }))
        }
        [first, ..] if found.iter().all(|one| one.key() == first.key()) => Ok((*first).clone()),
        several => {
            let keys: Vec<String> = several
                .iter()
                .take(5)
                .map(|one| quoted(&one.key()))
                .collect();
            let more = several.len().saturating_sub(keys.len());
            let more = match more {
                0 => String::new(),
                more => format!(" and {more} more"),
            };
            Err(Unsettled::Unknown(format!(
                "{} doubts are named {}; say which: {}{more}",
                several.len(),
                quoted(name),
                keys.join(", ")
            )))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::doubt::Subject;
    use super::*;

    fn doubt(fingerprint: &str) -> Doubt {
        Doubt::new("short", Subject::Run, "a.csv").of_bytes(fingerprint.into())
    }

    fn answer(about: &str, words: &str, fingerprint: &str) -> Answer {
        Answer {
            doubt: "short".into(),
            about: about.into(),
            words: words.into(),
            fingerprint: fingerprint.into(),
        }
    }

    #[test]
    fn an_answer_holds_until_the_bytes_change() {
        let open = |answers: &[Answer]| judged(vec![doubt("one")], answers).open;
        assert_eq!(open(&[]).len(), 1);
        assert_eq!(open(&[answer("a.csv", "let go on purpose", "one")]), []);
        assert_eq!(open(&[answer("a.csv", "let go on purpose", "")]), []);
        assert_eq!(
            open(&[answer("b.csv", "let go on purpose", "one")]).len(),
            1
        );
        assert_eq!(open(&[answer("a.csv", "", "one")]).len(), 1);
        let changed = open(&[answer("a.csv", "let go on purpose", "two")]);
        assert_eq!(
            changed[0].answered_before.as_deref(),
            Some("let go on purpose")
        );
        // Any row may answer, and several doubts may have one name and subject.
        let rows = [answer("a.csv", "old", "two"), answer("a.csv", "new", "one")];
        assert_eq!(open(&rows), []);
        let both = judged(vec![doubt("one"), doubt("two")], &rows);
        assert_eq!((both.open.len(), both.answered.len()), (0, 2));
        let rows = [
            answer("a.csv", "old", "two"),
            answer("a.csv", "new", "three"),
        ];
        assert_eq!(open(&rows)[0].answered_before.as_deref(), Some("new"));
    }

    #[test]
    fn a_name_alone_is_enough_where_one_doubt_has_it() {
        let of = |name: &str, abouts: &[&str]| {
            let open = abouts
                .iter()
                .map(|about| Doubt::new("short", Subject::Run, *about));
            let judged = Judged {
                open: open.collect(),
                answered: Vec::new(),
            };
            match named(judged, name) {
                Ok(doubt) => doubt.about,
                Err(Unsettled::Unknown(why)) => why,
                Err(other) => format!("{other:?}"),
            }
        };
        assert_eq!(of("short", &["a.csv"]), "a.csv");
        assert_eq!(of("short:b.csv", &["a.csv", "b.csv"]), "b.csv");
        let several = of("short", &["a.csv", "b.csv"]);
        assert!(
            several.contains("say which: \"short:a.csv\", \"short:b.csv\""),
            "{several}"
        );
        let none = of("short:c.csv", &["a.csv"]);
        assert!(none.contains("there is \"short:a.csv\""), "{none}");
    }
}
