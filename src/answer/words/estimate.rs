//! The sentences of a pair nobody ran.

use super::Wording;
use super::whole::Own;
use crate::answer::data::{Answer, AnswerFigures};
use crate::query::verdict::Verdict;
use crate::text::percent;

impl Wording<'_> {
    /// The words of an estimated pair: such estimates were off by `off_by_percent` where they could be
    /// tried, and the field's rig may read wrong by `rig_percent`, if that is known.
    pub fn estimated(
        &self,
        figures: AnswerFigures,
        off_by_percent: f64,
        rig_percent: Option<f64>,
    ) -> Answer {
        let answer = &figures;
        let keys = match answer.verdict {
            Some(Verdict::WithinReach) => [
                "answer.estimate.within_reach",
                "answer.estimate.within_reach.nuts",
            ],
            Some(Verdict::Borderline) => [
                "answer.estimate.borderline",
                "answer.estimate.borderline.nuts",
            ],
            Some(Verdict::OutOfReach) => [
                "answer.estimate.out_of_reach",
                "answer.estimate.out_of_reach.nuts",
            ],
            Some(Verdict::TooFewRuns) | None => ["answer.too_few_runs"; 2],
        };
        let known = self.others.are_known();
        let mut lines = self.setup_lines(answer);
        lines.extend(self.chance_lines(answer));
        lines.extend((!known).then(|| self.say("answer.one_tool_unknown", &[])));
        let off_by = percent(self.catalogue, off_by_percent);
        let mut rests_on = vec![
            self.fill("answer.estimate.worked_out", &[]),
            self.fill("answer.estimate.off_by", &[("percent", &off_by)]),
        ];
        rests_on.extend(known.then(|| self.allows_for()));
        rests_on.extend(self.scatters(answer, rig_percent));
        let own = Own {
            headline: self.headline_of(answer, keys),
            lines,
            further: Vec::new(),
            rests_on,
        };
        self.whole(figures, own)
    }
}
