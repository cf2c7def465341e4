//! Datasets and text catalogues from files, or those inside the program.

use super::Failure;
use crate::bench::Bench;
use crate::bench::cache::Cache;
use crate::bench::file_problem::FileProblem;
use crate::bench::files;
use crate::bench::sources::Sources;
use crate::dataset::drafts::{count, count_in_text};
use crate::dataset::types::Edition;
use crate::dataset::{MOST_BYTES, json};
use crate::problem::{Problem, Problems};
use crate::results::Results;
use crate::site::mark;
use crate::text::catalogue::Catalogue;
use std::io::Read;
use std::path::{Path, PathBuf};

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
    source: Source,
}

/// Where a dataset was loaded from.
enum Source {
    /// A file of this name and text.
    File(String, String),
    /// A bench folder and its files.
    Folder(PathBuf, Sources),
}

/// Loads a dataset or bench folder, or the demo where none is named; `drafts` count if asked for.
pub(super) fn dataset(file: Option<&Path>, lang: &str, drafts: bool) -> Result<Loaded, Failure> {
    let (catalogue, texts) = catalogue(lang)?;
    if let Some(folder) = file.filter(|file| file.is_dir()) {
        let mut bench = crate::bench::read_reduced(folder, Cache::of_user())
            .map_err(|problems| in_folder(folder, &problems))?;
        let draft = drafts.then(|| bench.count_drafts()).flatten();
        let text = with_draft(&bench.text(), draft)?;
        let (results, sources) = bench
            .results(catalogue)
            .map_err(|problems| in_folder(folder, &problems))?;
        return Ok(Loaded {
            text,
            results,
            texts,
            source: Source::Folder(folder.to_owned(), sources),
        });
    }
    let bytes = match file {
        Some(file) => read(file)?,
        None => DEMO.as_bytes().to_vec(),
    };
    let name = file.map_or_else(
        || "the demo dataset".into(),
        |file| file.display().to_string(),
    );
    let (mut draft, mut text) = (None, String::new());
    let results = self::text(&bytes)
        .and_then(|read| {
            text = read.to_owned();
            let mut reading = json::parse(read)?;
            draft = drafts.then(|| count(&mut reading.dataset)).flatten();
            Results::new(reading, catalogue).map_err(|problems| json::located(read, problems))
        })
        .map_err(|problems| Failure::of_problems(&name, &problems))?;
    Ok(Loaded {
        text: with_draft(&text, draft)?,
        results,
        texts,
        source: Source::File(name, text),
    })
}

/// The text of a dataset with its drafts counted in `draft`, if there is one.
fn with_draft(text: &str, draft: Option<Edition>) -> Result<String, Failure> {
    let Some(draft) = draft else {
        return Ok(text.to_owned());
    };
    count_in_text(text, &draft)
        .map_err(|error| Failure::Misuse(format!("cannot count drafts: {error}")))
}

impl Loaded {
    /// Problems of the dataset, where they stand in its file or folder.
    pub fn refused(&self, problems: Vec<Problem>) -> Failure {
        match &self.source {
            Source::File(name, text) => {
                Failure::of_problems(name, &json::located(text, problems.into_iter().collect()))
            }
            Source::Folder(folder, sources) => {
                let located = problems.into_iter().map(|problem| sources.located(problem));
                in_folder(folder, &located.collect::<Vec<_>>())
            }
        }
    }
}

/// Reads a bench folder with the samples of its runs.
pub(super) fn bench(folder: &Path) -> Result<Bench, Failure> {
    crate::bench::read(folder).map_err(|problems| in_folder(folder, &problems))
}

/// The problems of a bench folder.
pub(super) fn in_folder(folder: &Path, problems: &[FileProblem]) -> Failure {
    Failure::Data(problems_in(folder, problems))
}

/// Lines that list the problems of a bench folder, and how many there are.
pub(super) fn problems_in(folder: &Path, problems: &[FileProblem]) -> Vec<String> {
    let lines = problems.iter().map(|problem| problem_in(folder, problem));
    super::text::listed(&folder.display().to_string(), lines, problems.len())
}

/// A problem of a bench folder with the path of its file.
pub(super) fn problem_in(folder: &Path, problem: &FileProblem) -> String {
    format!("{}", folder.join(problem.to_string()).display())
}

/// What a dataset is read from: its file, or what of its bench folder is read.
pub(super) fn inputs(data: &Path) -> Vec<PathBuf> {
    if data.is_dir() {
        files::inputs(data)
    } else {
        vec![data.to_owned()]
    }
}

/// Refuses to write among the logs of a bench folder, where each file is taken for a log.
pub(super) fn not_among_logs(data: Option<&Path>, option: &str, to: &Path) -> Result<(), Failure> {
    if !data.is_some_and(|data| files::is_among_logs(data, to)) {
        return Ok(());
    }
    Err(Failure::Misuse(format!(
        "{option}: {} lies among the logs of the bench folder, where each file is a log; write to another folder",
        to.display()
    )))
}

/// The bytes of a dataset.
pub(super) fn read(file: &Path) -> Result<Vec<u8>, Failure> {
    bounded(file, "dataset")
}

/// The text of a dataset.
///
/// # Errors
///
/// Bytes that are no text, or that `page` wrote and somebody changed.
pub(super) fn text(bytes: &[u8]) -> Result<&str, Problems> {
    let text = json::text(bytes)?;
    mark::unchanged(bytes).map_err(|problem| json::located(text, problem.into()))?;
    Ok(text)
}

/// The bytes of a log.
pub(super) fn log(file: &Path) -> Result<Vec<u8>, Failure> {
    bounded(file, "log")
}

/// Where a system keeps what is open already, such as standard input: what another program writes
/// there has an end.
const OPEN: [&str; 3] = ["/dev/stdin", "/dev/fd", "/proc/self/fd"];

/// The bytes of a regular file or of standard input, as many as are read of one. A device may never
/// end, and a pipe may never begin.
fn bounded(file: &Path, what: &str) -> Result<Vec<u8>, Failure> {
    let failed = |why: String| Failure::Misuse(format!("cannot open {}: {why}", file.display()));
    let there = std::fs::metadata(file).map_err(|error| failed(error.to_string()))?;
    if !there.is_file() && !OPEN.iter().any(|open| file.starts_with(open)) {
        return Err(failed(
            "not a regular file; name a file, or /dev/stdin for what another program writes".into(),
        ));
    }
    let mut bytes = Vec::new();
    std::fs::File::open(file)
        .and_then(|file| file.take(MOST_BYTES as u64 + 1).read_to_end(&mut bytes))
        .map_err(|error| failed(error.to_string()))?;
    if bytes.len() > MOST_BYTES {
        return Err(Failure::Misuse(format!(
            "{} has more than 256 MB, the most that is read of a {what}",
            file.display()
        )));
    }
    Ok(bytes)
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
