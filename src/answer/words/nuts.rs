//! What the chance is of, and what real nuts that were tried say, in sentences.

use super::Wording;
use crate::answer::data::AnswerFigures;
use crate::dataset::types::Direction;
use crate::nuts::data::NutsTried;
use crate::query::condition::Checked;
use crate::text::catalogue::Sentence;
use crate::text::{given_time, number, whole_torque};

impl Wording<'_> {
    /// The nuts that were tried, where the job is about such.
    pub(crate) fn checked_nuts(&self) -> Option<&NutsTried> {
        self.of_state(self.checked?)
    }

    fn of_state(&self, checked: Checked) -> Option<&NutsTried> {
        self.nuts.iter().find(|nuts| nuts.condition == checked)
    }

    /// The torque that a headline is about: the needed one, or that to which nuts like those tried were
    /// tightened.
    pub(crate) fn headline_torque(&self, answer: &AnswerFigures) -> String {
        match self.checked {
            Some(_) => whole_torque(self.catalogue, answer.job_torque_nm, self.needed.unit),
            None => self.needed_words(),
        }
    }

    /// A headline by the key of that about a torque or, second, of that about nuts like those tried.
    pub(crate) fn headline_of(&self, answer: &AnswerFigures, [key, nuts]: [&str; 2]) -> String {
        let key = self.checked.map_or(key, |_| nuts);
        let torque = self.headline_torque(answer);
        self.headline(answer, key, &[("torque", &torque)])
    }

    /// How likely a further try does the job, and what that is of.
    pub(crate) fn chance_line(&self, answer: &AnswerFigures, chance: &str) -> Sentence {
        let key = match (self.checked, answer.direction) {
            (Some(_), _) => "answer.chance.nuts",
            (None, Direction::Loosen) => "answer.chance.bench",
            (None, Direction::Tighten) => "answer.chance",
        };
        let limit = given_time(self.catalogue, answer.within_s);
        let torque = self.needed_words();
        let values = [("chance", chance), ("limit", &limit), ("torque", &torque)];
        self.say(key, &values)
    }

    /// What the chance allows for.
    pub(crate) fn allows_for(&self) -> String {
        let key = match self.checked {
            Some(_) => "answer.allows_for.nuts",
            None => "answer.allows_for",
        };
        self.fill(key, &[])
    }

    /// A factor: the visitor's as it is given, that of nuts to three figures.
    pub(crate) fn factor(&self, factor: f64) -> String {
        let style = &self.catalogue.number;
        match self.checked {
            Some(_) => number::three_figures(factor, style),
            None => number::given(factor, style),
        }
    }

    /// What nuts in the state asked for did that somebody tried.
    pub(crate) fn nuts_sure(&self, answer: &AnswerFigures) -> Vec<String> {
        let state = match answer.condition_factor {
            1.0 => Checked::Fresh,
            _ => Checked::Aged,
        };
        let Some(nuts) = self.of_state(self.checked.unwrap_or(state)) else {
            return Vec::new();
        };
        let most = nuts.factor_19_of_20.filter(|_| self.checked.is_some());
        // That somebody chose them is a caution where they were asked for.
        let further = match most {
            Some(most) => {
                let factor = number::three_figures(most, &self.catalogue.number);
                self.fill("nuts.nineteen", &[("factor", &factor)])
            }
            None => self.fill("nuts.chosen", &[]),
        };
        vec![nuts.words.clone(), further]
    }
}
