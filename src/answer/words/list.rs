//! The sentences of several pairs.

use super::super::data::{Answer, AnswerFigures};
use super::super::figures::Listed;
use super::Wording;
use super::whole::Own;
use crate::text::catalogue::Sentence;
use crate::text::chance_words;
use crate::text::number;

impl Wording<'_> {
    /// The words of a list: how many reach, and the lightest of them (its name and mass in kg) or the
    /// one that comes closest.
    pub fn list(
        &self,
        figures: AnswerFigures,
        list: &[Listed],
        lightest: Option<(String, f64)>,
    ) -> Answer {
        let answer = &figures;
        let mut lines = self.setup_lines(answer);
        let (of, reach) = (
            answer.of.unwrap_or_default(),
            answer.reach_count.unwrap_or_default(),
        );
        let invented = if answer.invented { ".invented" } else { "" };
        let judged = list.iter().all(|one| one.judged);
        let nuts = self.checked.is_some();
        let state = match (judged, reach > 0) {
            (true, true) if nuts => "list.within_reach.nuts",
            (true, true) => "list.within_reach",
            (true, false) if nuts => "list.none_within_reach.nuts",
            (true, false) => "list.none_within_reach",
            (false, true) => "list.reaches",
            (false, false) => "list.none",
        };
        let key = format!("{state}{invented}");
        let values = [
            ("torque", self.headline_torque(answer)),
            ("reach", self.count(reach)),
        ];
        let values = values.each_ref().map(|(name, text)| (*name, text.as_str()));
        let headline = match of {
            0 => self.fill("answer.no_runs", &[]),
            _ => self.catalogue.fill_plural(&key, of.into(), &values),
        };
        if let Some((pair, mass_kg)) = lightest {
            let mass = number::mass(mass_kg, &self.catalogue.number);
            let mass = self
                .catalogue
                .quantity(&mass, &self.catalogue.units.kilogram);
            lines.push(self.say("list.lightest", &[("pair", &pair), ("mass", &mass)]));
        }
        if reach == 0 {
            lines.extend(self.closest_line(list));
        }
        let sure = (of > 0).then(|| self.sure_of_list(answer, judged));
        let own = Own {
            headline,
            lines,
            rests_on: sure.unwrap_or_default(),
            ..Own::default()
        };
        self.whole(figures, own)
    }

    /// The pair of a list that comes closest, by its chance.
    fn closest_line(&self, list: &[Listed]) -> Option<Sentence> {
        let judged = list.iter().filter_map(|one| Some((one, one.probability?)));
        let (closest, probability) = judged.max_by(|a, b| a.1.total_cmp(&b.1))?;
        let chance = chance_words(self.catalogue, number::chance(probability)?);
        let key = match self.checked {
            Some(_) => "list.closest.nuts",
            None => "list.closest",
        };
        Some(self.say(key, &[("pair", &closest.label), ("chance", &chance)]))
    }
}
