//! An answer with all its words: its own, and those that its job and its bolt bring along.

use super::Wording;
use crate::answer::data::{Answer, AnswerFigures, AnswerWords};
use crate::dataset::types::{Caution, Direction};
use crate::query::verdict::Basis;
use crate::text::catalogue::Sentence;

/// What one kind of answer says that others do not.
#[derive(Default)]
pub(crate) struct Own {
    pub headline: String,
    pub lines: Vec<Sentence>,
    pub further: Vec<String>,
    /// What it rests on.
    pub rests_on: Vec<String>,
}

impl Wording<'_> {
    /// An answer with all its words: its own, and those that its job and its bolt bring along.
    pub(crate) fn whole(&self, figures: AnswerFigures, own: Own) -> Answer {
        let answer = &figures;
        let has_torque = answer.basis != Basis::None || answer.of.is_some_and(|of| of > 0);
        let before = self.before(answer, has_torque);
        let mut cautions = self.cautions(answer, has_torque);
        // A nut that this pair did not loosen is a stronger caution than any of ours.
        let checked = answer.field_checks.first();
        let held = checked.is_some_and(|check| check.of_pair && !check.came_loose);
        let stands_before = !before.is_empty() && answer.bolt.is_none();
        let told = stands_before || held && answer.pack.is_some();
        let shown = usize::from(!told);
        let others = cautions.split_off(shown.min(cautions.len()));

        let bolt = answer.bolt.as_ref();
        let mut checks = self.check_lines(answer);
        let further_checks = checks.split_off(checks.len().min(1));
        let mut rests_on = self.needed_lines(answer);
        rests_on.extend(further_checks);
        rests_on.extend(others);
        rests_on.extend(self.texts(&[(has_torque, "caution.your_bolt")]));
        rests_on.extend(own.rests_on);
        rests_on.extend(answer.remarks.iter().cloned());
        rests_on.extend(self.nuts_sure(answer).into_iter().filter(|_| has_torque));
        rests_on.extend(self.loosening_line(answer));
        rests_on.extend(bolt.into_iter().flat_map(|bolt| self.sure_of_bolt(bolt)));
        rests_on.extend(self.sure_of_job().into_iter().filter(|_| has_torque));

        let mut lines: Vec<Sentence> = self.read_as_line().into_iter().collect();
        lines.extend(own.lines);
        let notice = answer.notice.iter().map(String::as_str);
        let sentences: Vec<&str> = notice.chain([own.headline.as_str()]).collect();
        let wheel = answer.caution == Some(Caution::Wheel);
        let words = AnswerWords {
            sentence: sentences.join(" "),
            brief: self.brief(answer),
            asked: self.asked(answer),
            before,
            headline: own.headline,
            checks,
            stressed: stressed(&lines),
            lines: lines.into_iter().map(|line| line.text).collect(),
            further: own.further,
            cautions,
            rests_on,
            reminders: self.reminders(has_torque, wheel),
        };
        Answer::new(figures, words)
    }

    /// The texts that are shown.
    fn texts(&self, keys: &[(bool, &str)]) -> Vec<String> {
        let shown = keys.iter().filter(|(shown, _)| *shown);
        shown.map(|(_, key)| self.fill(key, &[])).collect()
    }

    /// What can go wrong in tightening, which must be read before the answer: where a tool left running
    /// goes on to, for a single pair; that it must not be; and who says how tight.
    fn before(&self, answer: &AnswerFigures, has_torque: bool) -> Vec<String> {
        if !has_torque || answer.direction != Direction::Tighten {
            return Vec::new();
        }
        let end_nm = answer.typical_end_nm.unwrap_or_default();
        let goes_on = match answer.basis {
            // Where it ends below, the lines say so.
            Basis::Measured | Basis::Estimate if end_nm <= answer.required_torque_nm => None,
            Basis::Measured => Some("tighten.goes_on"),
            Basis::Estimate => Some("tighten.estimate_goes_on"),
            Basis::None => Some("tighten.stop_short"),
        };
        let wheel = answer.caution == Some(Caution::Wheel);
        let end = self.torque(end_nm);
        let goes_on = goes_on.map(|key| self.fill(key, &[("end", &end)]));
        let mut before: Vec<String> = goes_on.into_iter().collect();
        before.extend(self.texts(&[
            (!wheel, "caution.finish"),
            (wheel, "caution.wheel_finish"),
            (wheel, "caution.wheel_manual"),
        ]));
        before
    }

    /// Cautions beside the answer, the one that matters most first.
    fn cautions(&self, answer: &AnswerFigures, has_torque: bool) -> Vec<String> {
        let mut cautions = Vec::new();
        let loosen = answer.direction == Direction::Loosen;
        let own_factor = answer.condition_factor != 1.0 && self.checked.is_none();
        cautions.extend(self.texts(&[
            (self.loss_unknown, "caution.extension"),
            (has_torque && self.checked.is_some(), "caution.nuts"),
            (has_torque && own_factor, "caution.factor"),
        ]));
        let bolt = answer.bolt.as_ref();
        cautions.extend(bolt.into_iter().flat_map(|bolt| self.bolt_cautions(bolt)));
        if has_torque {
            cautions.extend(self.loss_cautions(answer));
            cautions.extend(self.texts(&[(loosen, "caution.loosening")]));
        }
        cautions
    }

    fn reminders(&self, has_torque: bool, wheel: bool) -> Vec<String> {
        let mut reminders = self.texts(&[
            (has_torque && wheel, "caution.wheel_check"),
            (has_torque && wheel, "caution.wheel_stands"),
            (has_torque, "caution.drive"),
            (has_torque, "caution.protection"),
            (has_torque, "caution.hands"),
        ]);
        reminders.extend(has_torque.then(|| self.packs_caution()));
        reminders
    }
}

/// Where the figures of lines stand: which line, and from where to where in it.
fn stressed(lines: &[Sentence]) -> Vec<[u32; 3]> {
    let mut all = Vec::new();
    for (line, sentence) in (0..).zip(lines) {
        let places = sentence.stressed.iter();
        all.extend(places.map(|&[begin, end]| [line, begin, end]));
    }
    all
}
