//! The sentences of a pair nobody ran.

use super::answer::{Wording, set};
use super::percent;
use crate::ask::answer::{Answer, Verdict};

impl Wording<'_> {
    /// Writes the words of an estimated pair: such estimates were off by `off_by_percent` where they
    /// could be tried, and the field's rig may read wrong by `rig_percent`, if that is known.
    pub fn estimated(&self, answer: &mut Answer, off_by_percent: f64, rig_percent: Option<f64>) {
        let key = match answer.verdict {
            Some(Verdict::WithinReach) => "answer.estimate.within_reach",
            Some(Verdict::Borderline) => "answer.estimate.borderline",
            _ => "answer.estimate.out_of_reach",
        };
        answer.headline = self.headline(answer, key, &[("torque", &self.needed_words())]);
        let mut lines = self.opening(answer);
        lines.extend(self.chance_lines(answer));
        lines.push(self.say("answer.estimate.worked_out", &[]));
        let off_by = percent(self.catalogue, off_by_percent);
        lines.push(self.say("answer.estimate.off_by", &[("percent", &off_by)]));
        if self.others.are_known() {
            answer.asides.push(self.fill("answer.allows_for", &[]));
        } else {
            lines.push(self.say("answer.one_tool_unknown", &[]));
        }
        set(answer, lines);
        answer.sure = self.scatters(answer, rig_percent);
        self.finish(answer);
    }
}
