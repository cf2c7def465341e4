//! One doubt.

use super::super::sources::Sources;
use crate::problem::Problem;
use serde::Serialize;

/// What a doubt is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Subject {
    /// One run.
    Run,
    /// A tool with a pack.
    Pair,
    /// A day.
    Day,
    /// A file, a table or a field of `bench.toml`.
    File,
}

/// The names of all doubts, the same in every version.
pub const NAMES: [&str; 40] = [
    "wrong-sign",
    "below-zero",
    "loaded-start",
    "no-lead-in",
    "clipped",
    "short",
    "sampled-slowly",
    "repeated-stamps",
    "time-unit",
    "zero-not-flat",
    "torque-still-zero",
    "start-charge",
    "pack-not-full",
    "pack-resistance",
    "same-bytes",
    "same-samples",
    "same-log",
    "same-moment",
    "far-from-fellows",
    "retest-differs",
    "pair-far-from-estimate",
    "packs-out-of-order",
    "lone-run",
    "nominal-voltage",
    "edition-before-runs",
    "before-calibration",
    "calibration-unused",
    "calibration-jump",
    "correction-twice",
    "no-check-runs",
    "check-runs-outside",
    "check-run-mark",
    "day-name",
    "name-differs",
    "stamp-differs",
    "log-changed",
    "unlisted-specimen",
    "price-after-editions",
    "one-day-only",
    "one-unit-only",
];

/// The names of facts that are found in folders only.
pub const UNNAMED_LOGS: &str = "unnamed-logs";

/// Something strange.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Doubt {
    /// Its kind: one of [`NAMES`] or [`UNNAMED_LOGS`].
    pub name: &'static str,
    /// What kind of thing it is about.
    pub subject: Subject,
    /// What it is about: the path of a log, `TOOL with PACK`, a day; empty where it is about all.
    pub about: String,
    /// Whether it states a fact that a sound season may have too, and no suspicion.
    pub fact: bool,
    /// The file of the folder in which it stands.
    pub file: Option<String>,
    /// The line in that file or in the dataset's text, from 1.
    pub line: Option<u32>,
    /// What was found, with its unit.
    pub figure: String,
    /// What is usual.
    pub usual: String,
    /// What it may mean.
    pub meaning: String,
    /// Fingerprint of the bytes that it is about, "x" and 16 hexadecimal digits; empty for a dataset file.
    pub fingerprint: String,
    /// The words in which it was answered before those bytes changed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub answered_before: Option<String>,
    /// JSON pointer to what it is about.
    #[serde(skip)]
    pub pointer: String,
}

impl Doubt {
    /// A doubt that is not located yet.
    pub fn new(name: &'static str, subject: Subject, about: impl Into<String>) -> Self {
        Self {
            name,
            subject,
            about: about.into(),
            fact: false,
            file: None,
            line: None,
            figure: String::new(),
            usual: String::new(),
            meaning: String::new(),
            fingerprint: String::new(),
            answered_before: None,
            pointer: String::new(),
        }
    }

    /// The same doubt with what was found, what is usual and what it may mean.
    #[must_use]
    pub fn says(
        mut self,
        figure: impl Into<String>,
        usual: impl Into<String>,
        meaning: impl Into<String>,
    ) -> Self {
        self.figure = figure.into();
        self.usual = usual.into();
        self.meaning = meaning.into();
        self
    }

    /// The same doubt about the value at a JSON pointer.
    #[must_use]
    pub fn at(mut self, pointer: impl Into<String>) -> Self {
        self.pointer = pointer.into();
        self
    }

    /// The same doubt with the fingerprint of the bytes that it is about.
    #[must_use]
    pub fn of_bytes(mut self, fingerprint: String) -> Self {
        self.fingerprint = fingerprint;
        self
    }

    /// The same as a fact.
    #[must_use]
    pub fn fact(mut self) -> Self {
        self.fact = true;
        self
    }

    /// Finds file and line of the folder.
    pub(super) fn locate(&mut self, sources: &Sources) {
        if self.pointer.is_empty() {
            return;
        }
        let problem = Problem::new(self.pointer.as_str(), "", "");
        let located = sources.located(problem);
        self.file = Some(located.file);
        self.line = located.problem.line;
    }

    /// What `settle` takes to name this doubt.
    pub fn key(&self) -> String {
        if self.about.is_empty() {
            self.name.into()
        } else {
            format!("{}:{}", self.name, self.about)
        }
    }

    /// The doubt in sentences, without its name and place.
    pub fn sentence(&self) -> String {
        let mut sentence = format!("{}.", self.figure);
        if !self.usual.is_empty() {
            sentence.push_str(&format!(" Usual: {}.", self.usual));
        }
        if !self.meaning.is_empty() {
            sentence.push_str(&format!(" May mean: {}.", self.meaning));
        }
        sentence
    }
}
