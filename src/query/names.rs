//! Resolves typed text to a tool, pack or job by identifier, name, alias or words of the name.

use crate::dataset::types::{Dataset, Direction, Job};
use crate::escape::echoed;
use crate::problem::{Problem, quoted};
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

/// The thing that a text means by its name, its words, or words that mean the same in the language.
pub(crate) fn meant<'a>(asked: &str, things: &[Names<'a>], catalogue: &Catalogue) -> Called<'a> {
    let called = called(asked, things);
    if called != Called::Nothing || asked.trim().is_empty() {
        return called;
    }
    let asked = folded(asked);
    let words = Words::of(&asked, catalogue);
    let mut most_own = 0;
    let mut found: Vec<(usize, &str)> = Vec::new();
    for (index, names) in things.iter().enumerate() {
        let Some(&name) = names.get(1) else { continue };
        let (held, own) = words.held_by(name, 1);
        if held < words.count() || own < most_own {
            continue;
        }
        // A name with the very words goes before one with words that mean the same.
        if own > most_own {
            most_own = own;
            found.clear();
        }
        if found.iter().all(|(_, other)| *other != name) {
            found.push((index, name));
        }
    }
    match found.as_slice() {
        [] => Called::Nothing,
        &[(index, _)] => Called::One(index),
        _ => Called::Several(found.iter().map(|(_, name)| *name).collect()),
    }
}

/// The words of a text, each with the one that means the same in names.
pub(crate) struct Words<'a>(Vec<[&'a str; 2]>);

impl<'a> Words<'a> {
    /// The words of a folded text. A last s is not looked at. A word that means nothing in a name is left
    /// out.
    pub fn of(text: &'a str, catalogue: &'a Catalogue) -> Self {
        let same = catalogue.texts.get("typed.same").map_or("", String::as_str);
        let same = |word: &str| {
            let mut pairs = same
                .split_whitespace()
                .filter_map(|pair| pair.split_once('='));
            pairs
                .find(|(written, _)| *written == word)
                .map(|(_, same)| same)
        };
        let words = text.split(|c: char| c.is_whitespace() || matches!(c, '-' | ',' | '.'));
        let words = words.filter(|word| !word.is_empty()).filter_map(|word| {
            let one = word.strip_suffix('s').unwrap_or(word);
            let same = same(word).or_else(|| same(one)).unwrap_or(one);
            (!same.is_empty()).then_some([one, same])
        });
        Self(words.collect())
    }

    /// How many there are.
    pub fn count(&self) -> usize {
        self.0.len()
    }

    /// How many of them, of at least so many letters, stand in a name, themselves or by what means the same;
    /// and how many themselves.
    pub fn held_by(&self, name: &str, least: usize) -> (usize, usize) {
        let name = folded(name);
        let holds = |word: &str| word.len() >= least && name.contains(word);
        let mut counts = (0, 0);
        for [own, same] in &self.0 {
            let is_own = holds(own);
            counts.0 += usize::from(is_own || holds(same));
            counts.1 += usize::from(is_own);
        }
        counts
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
