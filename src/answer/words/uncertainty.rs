//! How sure an answer is, in sentences.

use super::Wording;
use crate::answer::data::AnswerFigures;
use crate::answer::figures::Differ;
use crate::dataset::types::Direction;
use crate::scatter::effects::Basis;
use crate::text::{given_percent, percent, time};

/// The texts that say how far things of one kind differ, by what that rests on.
struct Keys {
    measured: &'static str,
    held: &'static str,
    /// The rig's file states it.
    stated: &'static str,
    /// There were second ones, but too few.
    too_few: &'static str,
    assumed: &'static str,
}

const TOOLS: Keys = Keys {
    measured: "sure.tools_measured",
    held: "sure.tools_held",
    stated: "sure.tools_stated",
    too_few: "sure.tools_too_few",
    assumed: "sure.tools_assumed",
};

const PACKS: Keys = Keys {
    measured: "sure.packs_measured",
    held: "sure.packs_held",
    stated: "sure.packs_stated",
    too_few: "sure.packs_too_few",
    assumed: "sure.packs_assumed",
};

const DAYS: Keys = Keys {
    measured: "sure.days_measured",
    held: "sure.days_held",
    stated: "sure.days_stated",
    too_few: "sure.days_assumed",
    assumed: "sure.days_assumed",
};

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
                sure.extend(self.differ());
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
        let mut sure = if judged {
            self.differ()
        } else {
            vec![self.fill("sure.too_few", &[])]
        };
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

    /// How far tools, packs and days differ: what was measured, and what is assumed.
    fn differ(&self) -> Vec<String> {
        let others = &self.others;
        vec![
            self.differ_by(&TOOLS, &others.tools),
            self.differ_by(&PACKS, &others.packs),
            self.differ_by(&DAYS, &others.days),
        ]
    }

    fn differ_by(&self, keys: &Keys, differ: &Differ) -> String {
        let (percent, assumed) = (
            self.percent(differ.percent),
            given_percent(self.catalogue, differ.assumed_percent),
        );
        let values = [("percent", percent.as_str()), ("assumed", &assumed)];
        let plural = |key| match differ.further {
            0 => self.fill(key, &values),
            further => self.catalogue.fill_plural(key, further.into(), &values),
        };
        match differ.basis {
            Basis::Measured => plural(keys.measured),
            Basis::Held => plural(keys.held),
            Basis::Assumed if differ.stated => self.fill(keys.stated, &values),
            Basis::Assumed if differ.further > 0 => self.fill(keys.too_few, &values),
            Basis::Assumed => self.fill(keys.assumed, &values),
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
