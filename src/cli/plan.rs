//! `plan`: what to run next.

use super::text::{rows_aligned, wrapped};
use super::{Failure, load, print, print_json};
use crate::plan::need::Reason;
use crate::plan::{FieldId, Plan, PlannedRun, plan};
use crate::results::Results;
use crate::text;
use clap::Args;
use std::path::PathBuf;

#[derive(Debug, Args)]
pub(super) struct PlanOf {
    /// Dataset or bench folder [default: the invented demo]
    file: Option<PathBuf>,
    /// How many runs to plan, check runs not counted, from 1 to 1000
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=1000))]
    runs: u16,
    /// Id of the rig [default: the first]
    #[arg(long, value_name = "ID")]
    rig: Option<String>,
    /// Id of the setup [default: the first]
    #[arg(long, value_name = "ID")]
    setup: Option<String>,
    /// Seed of the order: the same seed gives the same order
    #[arg(long, value_name = "S", default_value_t = 1)]
    seed: u64,
    /// Count runs that belong to no edition yet, as a draft after the newest
    #[arg(long)]
    drafts: bool,
    /// Print the plan as JSON
    #[arg(long)]
    json: bool,
}

impl PlanOf {
    pub fn run(&self) -> Result<(), Failure> {
        let loaded = load::dataset(self.file.as_deref(), "en", self.drafts)?;
        let results = &loaded.results;
        let newest = results.dataset().editions.last();
        let newest = newest.map_or(0, |edition| edition.edition);
        let dataset = results.dataset();
        let rigs: Vec<&str> = dataset.rigs.iter().map(|rig| rig.id.as_str()).collect();
        let setups: Vec<&str> = dataset
            .setups
            .iter()
            .map(|setup| setup.id.as_str())
            .collect();
        let field = FieldId {
            rig: chosen("rig", self.rig.as_deref(), &rigs)?,
            setup: chosen("setup", self.setup.as_deref(), &setups)?,
        };
        let plan = plan(results, newest, field, usize::from(self.runs), self.seed);
        if self.json {
            return print_json(&plan);
        }
        let notice = text::notice(results.catalogue(), results.dataset());
        let mut parts: Vec<String> = notice.iter().map(|notice| wrapped(notice)).collect();
        parts.extend(told(results, &plan));
        print(&parts.join("\n\n"))
    }
}

/// The identifier that was asked for, or the first of those there are.
fn chosen<'a>(what: &str, asked: Option<&str>, known: &[&'a str]) -> Result<&'a str, Failure> {
    let found = match asked {
        None => known.first(),
        Some(asked) => known.iter().find(|known| **known == asked),
    };
    found.copied().ok_or_else(|| {
        let asked = asked.map_or_else(String::new, |asked| format!(" \"{asked}\""));
        Failure::Misuse(format!(
            "--{what}: there is no {what}{asked}, only {}",
            known.join(", ")
        ))
    })
}

fn told(results: &Results, plan: &Plan) -> Vec<String> {
    if plan.runs.is_empty() {
        return vec!["There is no pack that fits a tool, so there is nothing to run.".into()];
    }
    let head = ["", "tool", "pack", "why"].map(String::from).to_vec();
    let rows = plan.runs.iter().enumerate().map(|(index, run)| {
        let why = match run.check {
            true => "check run".into(),
            false => why(run),
        };
        vec![
            (index + 1).to_string(),
            run.tool.clone(),
            run.pack.clone(),
            why,
        ]
    });
    let rows: Vec<Vec<String>> = [head].into_iter().chain(rows).collect();
    let tools = results.dataset().tools.iter();
    let references = tools.filter(|tool| tool.reference == Some(true));
    let references: Vec<&str> = references.map(|tool| tool.id.as_str()).collect();
    let is_scattered = |run: &PlannedRun| run.check && !references.contains(&run.tool.as_str());
    let checks = plan.runs.iter().any(is_scattered).then(|| {
        wrapped(
            "Two check runs show little of what days differ by. Make a third, or read a hand-turned \
             calibrated wrench once (a tool with reference = yes, its run a check run).",
        )
    });
    let mut told = vec![
        wrapped(&format!(
            "Plan for rig {}, setup {}, seed {}. Fill or exchange packs so that each starts as the \
             setup says; a pack rests for two runs where that can be had.",
            plan.rig, plan.setup, plan.seed
        )),
        rows_aligned(&rows),
    ];
    told.extend(checks);
    told
}

fn why(run: &PlannedRun) -> String {
    let words = run.reasons.iter().map(|reason| match reason {
        Reason::SuspectDay => "run on a suspect day",
        Reason::NoRun => "no run yet",
        Reason::FewRuns => "fewer than three runs",
        Reason::OneDay => "one day only",
        Reason::OneSpecimen => "one specimen",
        Reason::OnePack => "one pack unit",
        Reason::FewestRuns => "fewest runs",
    });
    let words: Vec<&str> = words.collect();
    match words.is_empty() {
        true => "fewest runs then".into(),
        false => words.join(", "),
    }
}
