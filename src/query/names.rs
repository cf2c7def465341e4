//! Resolves typed text to a tool, pack or job by identifier, name, alias or words of the name.

use super::question::Question;
use crate::contents::data::{Found, JobChoice};
use crate::contents::figures::{job_choice, tool_choice};
use crate::dataset::types::{Dataset, Direction, Job, Tool};
use crate::escape::echoed;
use crate::problem::{Problem, quoted};
use crate::results::Results;
use crate::results::offered::tools;
use crate::text::catalogue::Catalogue;
use crate::text::fold::{folded, holds_words};

/// What a thing goes by: its identifier first, then its name, then its other names.
pub(crate) type Names<'a> = Vec<&'a str>;

/// What a text means among things that have names.
#[derive(Debug, PartialEq)]
pub(crate) enum Called<'a> {
    /// Nothing there.
    Nothing,
    /// The thing at this index.
    One(usize),
    /// Things of several names; these are the names.
    Several(Vec<&'a str>),
}

/// The index of what has exactly this identifier or, case and accents aside, this name.
pub(crate) fn exactly(asked: &str, things: &[Names]) -> Option<usize> {
    let by_id = |names: &Names| names.first() == Some(&asked);
    let index = things.iter().position(by_id);
    index.or_else(|| {
        let wanted = folded(asked.trim());
        let by_name = |names: &Names| names.iter().any(|name| folded(name) == wanted);
        things.iter().position(by_name)
    })
}

/// What a text means: exactly, else by words of its names; things of one name count as one. An
/// identifier counts whole only, so that a link to what is gone does not lead to its neighbour.
pub(crate) fn called<'a>(asked: &str, things: &[Names<'a>]) -> Called<'a> {
    if let Some(index) = exactly(asked, things) {
        return Called::One(index);
    }
    if asked.trim().is_empty() {
        return Called::Nothing;
    }
    let mut first = None;
    let mut several: Vec<&str> = Vec::new();
    for (index, names) in things.iter().enumerate() {
        if let Some(&name) = names.get(1)
            && holds_words(asked, names.get(1..).unwrap_or_default())
            && !several.contains(&name)
        {
            first = first.or(Some(index));
            several.push(name);
        }
    }
    match (first, several.len()) {
        (Some(index), 1) => Called::One(index),
        (Some(_), _) => Called::Several(several),
        (None, _) => Called::Nothing,
    }
}

/// The names of the jobs.
pub(crate) fn names_of_jobs(jobs: &[Job]) -> Vec<Names<'_>> {
    jobs.iter()
        .map(|job| vec![job.id.as_str(), job.label.as_str()])
        .collect()
}

/// The names of the tools.
pub(crate) fn names_of_tools(dataset: &Dataset) -> impl Iterator<Item = Names<'_>> {
    dataset.tools.iter().map(|tool| {
        let mut names = vec![tool.id.as_str(), tool.name.as_str()];
        names.extend(tool.aka.iter().map(String::as_str));
        names
    })
}

/// The names of the packs.
pub(crate) fn names_of_packs(dataset: &Dataset) -> impl Iterator<Item = Names<'_>> {
    let packs = dataset.packs.iter();
    packs.map(|pack| vec![pack.id.as_str(), pack.name.as_str()])
}

/// The same job in the direction asked for, where the file has it.
pub(crate) fn in_direction<'a>(
    jobs: &'a [Job],
    job: &'a Job,
    direction: Option<Direction>,
) -> &'a Job {
    let twin = |other: &&Job| Some(other.direction) == direction && other.label == job.label;
    if direction.is_none_or(|direction| direction == job.direction) {
        job
    } else {
        jobs.iter().find(twin).unwrap_or(job)
    }
}

/// The jobs and tools that hold every word of a text, as suggestions to someone who is typing: jobs
/// in the question's direction where there are two of one name, torques in its unit.
pub(crate) fn found(results: &Results, text: &str, question: &Question) -> Found {
    let all = &results.dataset.jobs;
    let mut jobs: Vec<JobChoice> = Vec::new();
    for job in all {
        let job = in_direction(all, job, question.direction);
        if jobs.iter().all(|other| other.name != job.label) && holds_words(text, &[&job.label]) {
            jobs.push(job_choice(
                &results.catalogue,
                job,
                question.units.unwrap_or_default(),
            ));
        }
    }
    let suits = |tool: &&Tool| {
        let mut names: Names = vec![&tool.name, tool.maker.as_deref().unwrap_or_default()];
        names.extend(tool.aka.iter().map(String::as_str));
        holds_words(text, &names)
    };
    let tools = tools(results).filter(suits).map(tool_choice).collect();
    Found { jobs, tools }
}

/// How many identifiers a problem names.
const NAMED: usize = 40;

/// The index of what people call by this text; `None` if nothing is asked for.
pub(crate) fn named<'a>(
    asked: Option<&str>,
    things: impl Iterator<Item = Names<'a>>,
    part: &str,
    catalogue: &Catalogue,
    message: &str,
) -> Result<Option<usize>, Problem> {
    let Some(asked) = asked else {
        return Ok(None);
    };
    let things: Vec<Names> = things.collect();
    match called(asked, &things) {
        Called::One(index) => Ok(Some(index)),
        Called::Several(names) => Err(several(asked, &names, part, catalogue)),
        Called::Nothing => {
            let ids = things.iter().filter_map(|names| names.first());
            let known = ids.take(NAMED).copied().collect::<Vec<_>>().join(", ");
            let more = if things.len() > NAMED { ", …" } else { "" };
            let problem = Problem::new(part, quoted(asked), format!("one of {known}{more}"));
            Err(problem.message(catalogue.fill(message, &[("id", &echoed(asked))])))
        }
    }
}

/// How many names a question back gives to choose from.
const OFFERED: usize = 3;

/// The problem of a text that may mean several things.
pub(crate) fn several(asked: &str, names: &[&str], part: &str, catalogue: &Catalogue) -> Problem {
    let offered = names.iter().take(OFFERED).map(|name| quoted(name));
    let mut offered = offered.collect::<Vec<_>>().join(", ");
    if names.len() > OFFERED {
        offered.push_str(", …");
    }
    let message = catalogue.fill("error.which_one", &[("names", &offered)]);
    Problem::new(part, quoted(asked), format!("one of {offered}")).message(message)
}

impl Results {
    /// What someone who is typing a job or a tool may mean: what holds every word of `text`.
    pub fn found(&self, text: &str, question: &Question) -> Found {
        found(self, text, question)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_means_what_has_its_words() {
        let things = vec![
            vec!["heavy", "Heavy-truck wheel nut, hub-piloted"],
            vec!["heavy-tighten", "Heavy-truck wheel nut, hub-piloted"],
            vec!["medium", "Medium-truck wheel nut", "Rad, groß"],
            vec!["drain", "Ölablassschraube"],
            vec!["nut", "Wheel nut"],
        ];
        for (asked, meant) in [
            ("medium", Called::One(2)),
            ("MEDIUM-truck wheel NUT", Called::One(2)),
            (" heavy-truck wheel nut, hub-piloted ", Called::One(0)),
            ("hub", Called::One(0)),
            ("heavy-t", Called::One(0)),
            ("heavy-ti", Called::Nothing),
            ("wheel nut", Called::One(4)),
            ("rad gros", Called::One(2)),
            ("olablass", Called::One(3)),
            ("heavy-tighten", Called::One(1)),
            (
                "truck wheel",
                Called::Several(vec![
                    "Heavy-truck wheel nut, hub-piloted",
                    "Medium-truck wheel nut",
                ]),
            ),
            ("tractor", Called::Nothing),
            ("", Called::Nothing),
            ("  ", Called::Nothing),
        ] {
            assert_eq!(called(asked, &things), meant, "{asked}");
        }
        assert_eq!(exactly("hub", &things), None);
    }
}
