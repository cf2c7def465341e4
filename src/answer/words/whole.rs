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
    pub asides: Vec<String>,
    pub sure: Vec<String>,
}

impl Wording<'_> {
    /// An answer with all its words: its own, and those that its job and its bolt bring along.
    pub(crate) fn whole(&self, figures: AnswerFigures, own: Own) -> Answer {
        let answer = &figures;
        let has_torque = answer.basis != Basis::None || answer.of.is_some_and(|of| of > 0);
        let wheel = answer.caution == Some(Caution::Wheel);
        let tighten = answer.direction == Direction::Tighten;
        let before = self.texts(&[
            (has_torque && wheel && tighten, "caution.wheel_finish"),
            (has_torque && wheel && tighten, "caution.wheel_manual"),
        ]);
        let cautions = self.cautions(answer, has_torque);
        let mut asides = own.asides;
        asides.extend(self.texts(&[(has_torque, "caution.your_bolt")]));
        let kept = cautions.iter().chain(asides.last());
        let kept = kept.take(usize::from(before.is_empty())).cloned().collect();
        let bolt = answer.bolt.as_ref();
        let mut sure = own.sure;
        sure.extend(self.nuts_sure(answer).into_iter().filter(|_| has_torque));
        sure.extend(bolt.into_iter().flat_map(|bolt| self.sure_of_bolt(bolt)));
        let mut further = own.further;
        further.extend(self.loosening_line(answer));
        let notice = answer.notice.iter().map(String::as_str);
        let sentences: Vec<&str> = notice.chain([own.headline.as_str()]).collect();
        let words = AnswerWords {
            sentence: sentences.join(" "),
            before,
            headline: own.headline,
            checks: self.check_lines(answer),
            stressed: stressed(&own.lines),
            lines: own.lines.into_iter().map(|line| line.text).collect(),
            further,
            cautions,
            kept,
            asides,
            sure,
            reminders: self.reminders(has_torque, wheel),
        };
        Answer::new(figures, words)
    }

    /// The texts that are shown.
    fn texts(&self, keys: &[(bool, &str)]) -> Vec<String> {
        let shown = keys.iter().filter(|(shown, _)| *shown);
        shown.map(|(_, key)| self.fill(key, &[])).collect()
    }

    /// Where a tool left running goes on to, for a single pair, and that it must not be: one caution.
    fn tightening(&self, answer: &AnswerFigures) -> String {
        let goes_on = match answer.basis {
            Basis::Measured => Some("tighten.goes_on"),
            Basis::Estimate => Some("answer.estimate.goes_on"),
            Basis::None => None,
        };
        let end = self.torque(answer.typical_end_nm.unwrap_or_default());
        let goes_on = goes_on.map(|key| self.fill(key, &[("end", &end)]));
        let stop = self.fill("tighten.stop_short", &[]);
        goes_on
            .into_iter()
            .chain([stop])
            .collect::<Vec<_>>()
            .join(" ")
    }

    fn cautions(&self, answer: &AnswerFigures, has_torque: bool) -> Vec<String> {
        let mut cautions = Vec::new();
        if has_torque {
            let tighten = answer.direction == Direction::Tighten;
            let own_factor = answer.condition_factor != 1.0 && self.checked.is_none();
            cautions.extend(tighten.then(|| self.tightening(answer)));
            cautions.extend(self.texts(&[
                (!tighten, "caution.loosening"),
                (own_factor, "caution.factor"),
                (self.checked.is_some(), "caution.nuts"),
            ]));
            cautions.extend(self.loss_cautions(answer));
        }
        cautions.extend(self.texts(&[(self.loss_unknown, "caution.extension")]));
        let bolt = answer.bolt.as_ref();
        cautions.extend(bolt.into_iter().flat_map(|bolt| self.bolt_cautions(bolt)));
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
