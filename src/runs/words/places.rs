//! The place of a pair in every edition, in words.

use super::RunsWording;
use crate::runs::data::{PlaceInEdition, RunsBehind};
use crate::text::catalogue::Catalogue;
use crate::text::{edition_named, number};

impl RunsWording<'_> {
    /// The place in every edition, where there are several.
    pub(super) fn places(&self, behind: &RunsBehind) -> Vec<String> {
        if behind.places.len() < 2 {
            return Vec::new();
        }
        let shown = behind
            .places
            .iter()
            .find(|place| place.edition == behind.edition);
        let shown = shown.and_then(|place| place.rank);
        let line = |place| self.place(place, shown);
        behind.places.iter().map(line).collect()
    }

    fn place(&self, place: &PlaceInEdition, shown: Option<u32>) -> String {
        let edition = self.edition(place.edition);
        let edition = edition.map_or_else(String::new, |edition| {
            edition_named(self.catalogue, edition)
        });
        let text = |number: Option<u32>| text(self.catalogue, number.unwrap_or_default());
        let values = [
            ("edition", edition),
            ("place", text(place.rank)),
            ("of", text(place.rank_of)),
            ("low", text(place.rank_low)),
            ("high", text(place.rank_high)),
        ];
        let values = values.each_ref().map(|(name, text)| (*name, text.as_str()));
        let key = match (place.rank, place.rank_low) {
            (None, _) => "runs.place_none",
            (Some(_), None) => "runs.place",
            (Some(_), Some(_)) if place.rank_low == place.rank_high => "runs.place",
            (Some(_), Some(_)) => "runs.place_range",
        };
        let mut said = vec![self.fill(key, &values)];
        said.extend(self.change(place, shown));
        said.join(" ")
    }

    /// Whether the place changed since, among the pairs that both editions hold; nothing where it is the
    /// same in every way.
    fn change(&self, place: &PlaceInEdition, shown: Option<u32>) -> Option<String> {
        let both = place.among_both?;
        let key = match (place.changed?, both.rank == both.rank_shown) {
            (true, _) => "runs.changed",
            (false, false) => "runs.unchanged",
            (false, true) if place.rank != shown => "runs.same",
            (false, true) => return None,
        };
        let values = [
            ("of", text(self.catalogue, both.of)),
            ("place", text(self.catalogue, both.rank)),
            ("now", text(self.catalogue, both.rank_shown)),
        ];
        let values = values.each_ref().map(|(name, text)| (*name, text.as_str()));
        Some(self.fill(key, &values))
    }
}

fn text(catalogue: &Catalogue, count: u32) -> String {
    number::count(count.into(), &catalogue.number)
}
