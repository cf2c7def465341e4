//! `page`: the site written to a folder.

use super::options::Data;
use super::{Failure, load, print};
use crate::dataset::types::Edition;
use crate::dataset::write::Publish;
use crate::history::editions::before_their_runs;
use crate::problem::{Problem, quoted};
use crate::site::bundle::PREFIX;
use crate::site::code::{Code, inputs};
use crate::site::compile::has_source;
use crate::site::files::{NAMES, SUMMARY_OF, Site};
use crate::site::guard::Guard;
use crate::site::put::put;
use crate::site::texts;
use crate::site::tool::source;
use clap::Args;
use std::path::PathBuf;

#[derive(Debug, Args)]
pub(super) struct Page {
    #[command(flatten)]
    data: Data,
    /// Folder to write to [default: target/site where the source is, else site]
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    /// Replace this file of the site, such as index.html, though it does not carry this program's
    /// mark; may be given several times
    #[arg(long, value_name = "FILE")]
    force: Vec<String>,
    /// Leave module and script as they are, even where wasm-opt and esbuild are there
    #[arg(long)]
    unoptimised: bool,
    /// Publish who held the tools
    #[arg(long)]
    with_operators: bool,
    /// Publish the last digits of serial numbers
    #[arg(long)]
    with_serials: bool,
}

impl Page {
    pub fn run(&self) -> Result<(), Failure> {
        let loaded = load::dataset(self.data.path(), "en", self.data.drafts)?;
        publishable(&loaded, self.data.drafts)?;
        let out = self.out.clone().unwrap_or_else(default_folder);
        load::not_among_logs(self.data.path(), "--out", &out)?;
        let data = self.data.path().map(load::inputs);
        let guard = Guard {
            inputs: data.into_iter().flatten().chain(inputs()).collect(),
            force: self.force.clone(),
        };
        // Before the build, which takes its time, and once more when the files are put in place: only
        // then it is known which plain modules and editions there are.
        let forced = self.force.iter().map(String::as_str);
        let is_more = |name: &&str| {
            [PREFIX, SUMMARY_OF]
                .iter()
                .any(|start| name.starts_with(start))
        };
        let names: Vec<&str> = NAMES.into_iter().chain(forced.filter(is_more)).collect();
        guard.check(&out, &names)?;
        let publish = Publish {
            operators: self.with_operators,
            serials: self.with_serials,
        };
        let texts = texts::of_page(loaded.texts)?;
        let code = Code::get(!self.unoptimised, &texts)?;
        let site = Site::build(&code, &loaded.text, &loaded.results, &texts, publish)?;
        put(&site.files, &out, &guard, &mut |_| Ok(()))?;
        let mut lines = vec![format!("Written to {}:", out.display())];
        lines.extend(
            site.files
                .iter()
                .map(|file| format!("{:>10} bytes  {}", file.bytes.len(), file.name)),
        );
        let larger = larger(&code);
        if larger.is_empty() {
            lines.push("Module and script are made small.".into());
        }
        lines.extend(larger);
        print(&lines.join("\n"))
    }
}

/// Refuses drafts that nobody asked for, and editions dated before runs that they publish.
pub(super) fn publishable(loaded: &load::Loaded, drafts: bool) -> Result<(), Failure> {
    let dataset = loaded.results.dataset();
    let mut problems = Vec::new();
    if let Some(index) = dataset
        .editions
        .iter()
        .position(Edition::is_draft)
        .filter(|_| !drafts)
    {
        let problem = Problem::new(
            format!("/editions/{index}/draft"),
            "a draft edition",
            "published editions alone",
        );
        problems.push(problem.hint("--drafts writes a page that says it is a draft"));
    }
    problems.extend(before_their_runs(dataset).into_iter().map(|(index, day)| {
        let date = dataset
            .editions
            .get(index)
            .map_or("", |edition| &edition.date);
        let wanted = format!(
            "a day not before {}, on which runs of this edition were made",
            day.date
        );
        let problem = Problem::new(format!("/editions/{index}/date"), quoted(date), wanted);
        problem.hint("give the edition the day on which it is published")
    }));
    if problems.is_empty() {
        Ok(())
    } else {
        Err(loaded.refused(problems))
    }
}

/// `target/site` where the source is, else `site` in the current folder.
fn default_folder() -> PathBuf {
    if has_source() {
        source().join("target").join("site")
    } else {
        PathBuf::from("site")
    }
}

/// Said where module or script are larger than they could be.
pub(super) fn larger(code: &Code) -> Vec<String> {
    const AND_WHY: &str = "so it is larger than it could be and answers alike";
    let parts = [
        ("The module is not optimised", &code.not_optimised),
        ("The script is not bundled", &code.not_bundled),
    ];
    let told = |(what, why): (&str, &Option<String>)| {
        let why = why.as_ref()?;
        Some(format!("{what}, {AND_WHY}: {why}."))
    };
    parts.into_iter().filter_map(told).collect()
}
