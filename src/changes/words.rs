//! What an edition changes against an earlier one, in words.

use super::data::{ChangedPair, Changes, Figure, Moved, NewPair, Places, SetAsideSince};
use crate::contents;
use crate::dataset::types::{Dataset, Direction as Turn, Edition};
use crate::text::catalogue::Catalogue;
use crate::text::number::{self, RoundingDirection};
use crate::text::passage::Passage;
use crate::text::{edition_named, job_torque, pair, percent, torque};
use crate::units::{Torque, TorqueUnit};
use serde::Serialize;

/// Torques of a change log are in this unit.
const UNIT: TorqueUnit = TorqueUnit::NewtonMetre;

/// A change log.
#[derive(Clone, Debug, Serialize)]
pub struct ChangesTold {
    /// Which editions it is of.
    pub title: String,
    /// What changed, one passage for each kind of change.
    pub passages: Vec<Passage>,
    /// The corrections, which the page tells of each edition in any case.
    pub corrections: Option<Passage>,
}

/// What the words need.
struct Wording<'a> {
    catalogue: &'a Catalogue,
    dataset: &'a Dataset,
}

/// Puts the changes of `edition` against `since` into words.
pub fn told(
    catalogue: &Catalogue,
    dataset: &Dataset,
    [since, edition]: [&Edition; 2],
    changes: &Changes,
) -> ChangesTold {
    let wording = Wording { catalogue, dataset };
    let (now, before) = (
        edition_named(catalogue, edition),
        edition_named(catalogue, since),
    );
    let values = [("edition", now.as_str()), ("since", before.as_str())];
    ChangesTold {
        title: catalogue.fill("changes.title", &values),
        passages: wording.passages(changes),
        corrections: wording.passage("changes.section.corrections", wording.corrections(changes)),
    }
}

impl Wording<'_> {
    fn fill(&self, key: &str, values: &[(&str, &str)]) -> String {
        self.catalogue.fill(key, values)
    }

    /// Lines under a heading; `None` without lines.
    fn passage(&self, heading: &str, lines: Vec<String>) -> Option<Passage> {
        (!lines.is_empty()).then(|| Passage {
            heading: self.fill(heading, &[]),
            lines,
        })
    }

    fn passages(&self, changes: &Changes) -> Vec<Passage> {
        let (again, otherwise): (Vec<&ChangedPair>, Vec<&ChangedPair>) = changes
            .changed
            .iter()
            .partition(|changed| changed.runs_added > 0);
        let new = changes.new_pairs.iter().map(|new| self.new_pair(new));
        let gone = changes.gone.iter().map(|gone| self.gone(gone));
        let aside = changes.set_aside.iter().map(|aside| self.set_aside(aside));
        let places = changes.places.iter().map(|places| self.places(places));
        let sections = [
            ("changes.section.new", new.collect()),
            (
                "changes.section.again",
                again.into_iter().map(|pair| self.again(pair)).collect(),
            ),
            (
                "changes.section.otherwise",
                otherwise
                    .into_iter()
                    .map(|pair| self.otherwise(pair))
                    .collect(),
            ),
            ("changes.section.gone", gone.collect()),
            ("changes.section.set_aside", aside.collect()),
            ("changes.section.places", places.collect()),
        ];
        sections
            .into_iter()
            .filter_map(|(heading, lines)| self.passage(heading, lines))
            .collect()
    }

    /// The corrections of the editions after `since`.
    fn corrections(&self, changes: &Changes) -> Vec<String> {
        let between = |edition: &&Edition| {
            changes.since < edition.edition && edition.edition <= changes.edition
        };
        let editions = self.dataset.editions.iter().filter(between);
        editions
            .flat_map(|edition| &edition.corrections)
            .map(|correction| contents::words::correction(self.catalogue, self.dataset, correction))
            .collect()
    }

    fn new_pair(&self, new: &NewPair) -> String {
        let values = [
            ("pair", self.named(new)),
            ("now", self.torque(&new.figure)),
            ("runs", self.runs(new.figure.runs)),
        ];
        self.fill("changes.new", &texts(&values))
    }

    fn gone(&self, gone: &NewPair) -> String {
        let values = [
            ("pair", self.named(gone)),
            ("now", self.torque(&gone.figure)),
        ];
        self.fill("changes.gone", &texts(&values))
    }

    /// A pair with its figure and that of the earlier edition.
    fn pair(&self, changed: &ChangedPair) -> String {
        let values = [
            ("pair", self.named(&changed.now)),
            ("now", self.torque(&changed.now.figure)),
            ("before", self.torque(&changed.before)),
        ];
        self.fill("changes.pair", &texts(&values))
    }

    fn runs_set_aside(&self, changed: &ChangedPair) -> Option<String> {
        let runs = self.runs(changed.runs_removed);
        (changed.runs_removed > 0).then(|| self.fill("changes.fewer", &[("runs", &runs)]))
    }

    fn again(&self, changed: &ChangedPair) -> String {
        let runs = self.runs(changed.runs_added);
        let mut said = vec![
            self.pair(changed),
            self.fill("changes.more", &[("runs", &runs)]),
        ];
        said.extend(self.runs_set_aside(changed));
        said.push(match (changed.beyond_scatter, &changed.added_over_before) {
            (_, None) => self.fill("changes.replaced", &[]),
            (None, Some(_)) => self.fill("changes.unsure", &[]),
            (Some(beyond), Some(ratio)) => {
                let key = match (beyond, ratio.ratio < 1.0) {
                    (true, false) => "changes.higher.beyond",
                    (true, true) => "changes.lower.beyond",
                    (false, false) => "changes.higher.within",
                    (false, true) => "changes.lower.within",
                };
                let difference = percent(self.catalogue, 100.0 * (ratio.ratio - 1.0).abs());
                self.fill(key, &[("percent", &difference)])
            }
        });
        said.join(" ")
    }

    fn otherwise(&self, changed: &ChangedPair) -> String {
        let why = self.runs_set_aside(changed);
        let why = why.unwrap_or_else(|| self.fill("changes.corrected", &[]));
        format!("{} {why}", self.pair(changed))
    }

    fn set_aside(&self, aside: &SetAsideSince) -> String {
        let key = if aside.counted_before {
            "changes.aside"
        } else {
            "changes.aside.unpublished"
        };
        let day = self.dataset.days.iter().find(|day| day.id == aside.day);
        let date = day.map(|day| self.catalogue.date(&day.date));
        let values = [
            ("n", aside.run.to_string()),
            ("pair", self.pair_of(&aside.tool, &aside.pack)),
            ("date", date.unwrap_or_else(|| aside.day.clone())),
            ("reason", aside.reason.trim_end_matches('.').to_owned()),
        ];
        self.fill(key, &texts(&values))
    }

    /// How many pairs moved at a job, and which of them beyond doubt, or else the one that moved
    /// farthest.
    fn places(&self, places: &Places) -> String {
        let pairs = u64::try_from(places.of).unwrap_or(u64::MAX);
        let pairs = self.catalogue.fill_plural("count.pairs", pairs, &[]);
        let values = [
            ("job", self.job(places)),
            ("n", places.moved.len().to_string()),
            ("pairs", pairs),
        ];
        let farthest = places
            .moved
            .iter()
            .max_by_key(|moved| moved.rank.abs_diff(moved.rank_before));
        let Some(farthest) = farthest else {
            return self.fill("changes.places.none", &texts(&values));
        };
        let sure = places
            .moved
            .iter()
            .filter(|moved| moved.beyond_doubt == Some(true));
        let sure: Vec<String> = sure.map(|moved| self.moved(moved)).collect();
        let (key, moves) = if sure.is_empty() {
            ("changes.places.farthest", self.moved(farthest))
        } else {
            ("changes.places.sure", sure.join(", "))
        };
        format!(
            "{} {}",
            self.fill("changes.places", &texts(&values)),
            self.fill(key, &[("text", &moves)])
        )
    }

    fn moved(&self, moved: &Moved) -> String {
        let values = [
            ("pair", moved.label.clone()),
            ("from", moved.rank_before.to_string()),
            ("to", moved.rank.to_string()),
        ];
        self.fill("changes.moved", &texts(&values))
    }

    /// A job with its direction, its required torque, and its rig and setup where they are not the
    /// first.
    fn job(&self, places: &Places) -> String {
        let job = self.dataset.jobs.iter().find(|job| job.id == places.job);
        let direction = match job.map(|job| job.direction) {
            Some(Turn::Tighten) => "changes.direction.tighten",
            _ => "changes.direction.loosen",
        };
        let torque = job_torque(self.catalogue, &[places.required_torque_nm], UNIT);
        let values = [
            ("job", job.map_or(places.job.as_str(), |job| &job.label)),
            ("direction", &self.fill(direction, &[])),
            ("torque", &torque),
        ];
        self.beside(
            self.fill("changes.job", &values),
            &places.rig,
            &places.setup,
        )
    }

    fn named(&self, pair: &NewPair) -> String {
        self.beside(pair.label.clone(), &pair.rig, &pair.setup)
    }

    /// A name with rig and setup, where they are not the first of the dataset.
    fn beside(&self, name: String, rig: &str, setup: &str) -> String {
        let mut named = name;
        let rigs = &self.dataset.rigs;
        let other = rigs.iter().skip(1).find(|other| other.id == rig);
        if let Some(other) = other {
            let rig = other.name.as_deref().unwrap_or(&other.id);
            named = self.fill("changes.beside", &[("name", &named), ("what", rig)]);
        }
        let setups = &self.dataset.setups;
        let other = setups.iter().skip(1).find(|other| other.id == setup);
        if let Some(other) = other {
            named = self.fill("changes.beside", &[("name", &named), ("what", &other.name)]);
        }
        named
    }

    fn pair_of(&self, tool: &str, pack: &str) -> String {
        let tool = self.dataset.tools.iter().find(|known| known.id == tool);
        let pack = self.dataset.packs.iter().find(|known| known.id == pack);
        pair(
            self.catalogue,
            tool.map(|tool| tool.name.as_str()),
            pack.map(|pack| pack.name.as_str()),
        )
    }

    /// A mean torque with its 90 % interval, whose ends are rounded outwards.
    fn torque(&self, figure: &Figure) -> String {
        let mean = torque(self.catalogue, figure.mean_torque_nm, UNIT);
        let Some((low, high)) = figure.low_nm.zip(figure.high_nm) else {
            return mean;
        };
        let end = |end: f64, outward| {
            number::torque(
                Torque::from_newton_metres(end),
                UNIT,
                outward,
                &self.catalogue.number,
            )
        };
        let (low, high) = (
            end(low, RoundingDirection::Down),
            end(high, RoundingDirection::Up),
        );
        let values = [("torque", mean.as_str()), ("low", &low), ("high", &high)];
        self.fill("changes.interval", &values)
    }

    fn runs(&self, count: usize) -> String {
        let count = u64::try_from(count).unwrap_or(u64::MAX);
        self.catalogue.fill_plural("count.runs", count, &[])
    }
}

/// Values as templates take them.
fn texts<'a>(values: &'a [(&'a str, String)]) -> Vec<(&'a str, &'a str)> {
    values
        .iter()
        .map(|(name, value)| (*name, value.as_str()))
        .collect()
}
