//! How sure an answer is, in sentences.

use super::Wording;
use crate::answer::data::AnswerFigures;
use crate::answer::figures::Source;
use crate::dataset::types::Direction;
use crate::text::{percent, time};

impl Wording<'_> {
    /// How sure the answer of a measured pair is; its rig may read wrong by `rig_percent`, if that is known.
    pub(crate) fn sure_of_pair(
        &self,
        answer: &AnswerFigures,
        rig_percent: Option<f64>,
    ) -> Vec<String> {
        let mut sure = self.tested(answer);
        sure.extend(self.scatters(answer, rig_percent));
        sure
    }

    /// What makes a further try differ, and what was not measured.
    pub(crate) fn scatters(&self, answer: &AnswerFigures, rig_percent: Option<f64>) -> Vec<String> {
        let mut sure = Vec::new();
        match answer.run_scatter_percent {
            Some(scatter) => {
                sure.push(self.fill("sure.runs", &[("percent", &self.percent(scatter))]));
                sure.push(self.tools());
            }
            None => sure.push(self.fill("sure.too_few", &[])),
        }
        sure.push(match rig_percent {
            Some(rig) => self.fill("sure.rig", &[("percent", &self.percent(rig))]),
            None => self.fill("sure.rig_unknown", &[]),
        });
        if answer.reach_probability.is_some() {
            sure.push(self.fill("sure.any_tool", &[]));
        }
        if let Some(time_s) = answer.time_nine_in_ten_s {
            let time = time(self.catalogue, time_s);
            sure.push(self.fill("sure.nine_in_ten", &[("time", &time)]));
        }
        sure.extend(self.limits(answer));
        sure
    }

    /// How sure a list of pairs is; `judged` says whether all have a verdict.
    pub(crate) fn sure_of_list(&self, answer: &AnswerFigures, judged: bool) -> Vec<String> {
        let mut sure = vec![if judged {
            self.tools()
        } else {
            self.fill("sure.too_few", &[])
        }];
        sure.extend(self.limits(answer));
        sure
    }

    /// The runs and tools behind a pair, and the runs set aside.
    fn tested(&self, answer: &AnswerFigures) -> Vec<String> {
        let count = |key, number: Option<u32>| {
            let number = number.unwrap_or_default().into();
            self.catalogue.fill_plural(key, number, &[])
        };
        let runs = count("count.runs", answer.runs_used);
        let tools = count("count.tools", answer.specimens);
        let mut tested = vec![self.fill("sure.rests", &[("runs", &runs), ("tools", &tools)])];
        if answer.runs_excluded.is_some_and(|runs| runs > 0) {
            tested.push(count("sure.set_aside", answer.runs_excluded));
        }
        tested
    }

    fn tools(&self) -> String {
        let percent = self.percent(self.others.percent);
        let values = [("percent", percent.as_str())];
        match self.others.source {
            Source::Specimens(number) => {
                self.catalogue
                    .fill_plural("sure.tools", number.into(), &values)
            }
            Source::Beforehand => self.fill("sure.tools_beforehand", &values),
            Source::Runs => self.fill("sure.tools_assumed", &values),
        }
    }

    /// What was not measured, and what nobody knows.
    fn limits(&self, answer: &AnswerFigures) -> Vec<String> {
        let loosening = answer.direction == Direction::Loosen;
        let mut limits = Vec::new();
        if loosening {
            limits.push(self.fill("sure.loosening", &[]));
        }
        limits.push(self.fill("sure.unknown", &[]));
        limits
    }

    fn percent(&self, value: f64) -> String {
        percent(self.catalogue, value)
    }
}
