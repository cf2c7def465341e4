//! An answer in one line, and the question that it answers in another: for where the answer itself, or
//! the sentence that was filled in, cannot be seen.

use super::Wording;
use crate::answer::data::AnswerFigures;
use crate::bolt::System;
use crate::dataset::types::Direction;
use crate::query::bolt::BoltFigures;
use crate::query::verdict::{Basis, Verdict};
use crate::text::{given_percent, time, whole_torque};

impl Wording<'_> {
    /// The answer in short: that the data are made up, if they are; the verdict; the place, if it has one.
    pub(crate) fn brief(&self, answer: &AnswerFigures) -> Vec<String> {
        let invented = answer.invented.then(|| self.fill("brief.notice", &[]));
        let place = match (answer.rank, answer.rank_of) {
            (Some(place), Some(of)) if of > 1 => {
                let (place, of) = (self.count(place), self.count(of));
                Some(self.fill("brief.place", &[("place", &place), ("of", &of)]))
            }
            _ => None,
        };
        let verdict = match answer.of {
            Some(of) => self.brief_of_list(answer, of),
            None => self.brief_of_pair(answer),
        };
        invented.into_iter().chain([verdict]).chain(place).collect()
    }

    fn brief_of_list(&self, answer: &AnswerFigures, of: u32) -> String {
        let reach = answer.reach_count.unwrap_or_default();
        let values = [
            ("torque", self.headline_torque(answer)),
            ("reach", self.count(reach)),
        ];
        let values = values.each_ref().map(|(name, text)| (*name, text.as_str()));
        let key = match (self.checked.is_some(), reach > 0) {
            _ if of == 0 => return self.fill("brief.no_runs", &values),
            (false, true) => "brief.list",
            (false, false) => "brief.list_none",
            (true, true) => "brief.list.nuts",
            (true, false) => "brief.list_none.nuts",
        };
        self.catalogue.fill_plural(key, of.into(), &values)
    }

    fn brief_of_pair(&self, answer: &AnswerFigures) -> String {
        let estimated = answer.basis == Basis::Estimate;
        let [key, nuts] = match (answer.verdict, answer.time_to_job_s) {
            (Some(Verdict::WithinReach), _) if estimated => [
                "brief.estimate.within_reach",
                "brief.estimate.within_reach.nuts",
            ],
            (Some(Verdict::Borderline), _) if estimated => [
                "brief.estimate.borderline",
                "brief.estimate.borderline.nuts",
            ],
            (Some(Verdict::OutOfReach), _) if estimated => [
                "brief.estimate.out_of_reach",
                "brief.estimate.out_of_reach.nuts",
            ],
            (Some(Verdict::WithinReach), Some(_)) => {
                ["brief.within_reach", "brief.within_reach.nuts"]
            }
            (Some(Verdict::WithinReach), None) => {
                ["brief.within_reach_untimed", "brief.within_reach.nuts"]
            }
            (Some(Verdict::Borderline), _) => ["brief.borderline", "brief.borderline.nuts"],
            (Some(Verdict::OutOfReach), _) => ["brief.out_of_reach", "brief.out_of_reach.nuts"],
            (Some(Verdict::TooFewRuns), _) => ["brief.too_few_runs"; 2],
            (None, _) if answer.basis != Basis::None => ["brief.too_few_runs"; 2],
            (None, _) if answer.fits == Some(false) => ["brief.does_not_fit"; 2],
            (None, _) => ["brief.not_measured"; 2],
        };
        let torque = self.headline_torque(answer);
        let time = answer
            .time_to_job_s
            .map(|time_s| time(self.catalogue, time_s));
        let values = [
            ("torque", torque.as_str()),
            ("time", time.as_deref().unwrap_or_default()),
        ];
        self.fill(self.checked.map_or(key, |_| nuts), &values)
    }

    /// What was asked for: the job as it goes by, what it is multiplied with, the needed torque, and what
    /// is to be done.
    pub(crate) fn asked(&self, answer: &AnswerFigures) -> String {
        let own = answer.condition_factor != 1.0;
        let lost = answer.loss_percent != 0.0;
        let name = match answer.bolt.as_ref() {
            Some(bolt) => Some(self.bolt_name(bolt)),
            None => self.listed.map(|job| job.label.clone()),
        };
        let loosen = answer.direction == Direction::Loosen;
        // Only what is loosened has a factor.
        let key = match (own, lost, loosen) {
            (true, true, _) => "asked.factor_and_loss.loosen",
            (true, false, _) => "asked.factor.loosen",
            (false, true, true) => "asked.loss.loosen",
            (false, true, false) => "asked.loss.tighten",
            (false, false, true) if name.is_none() => "asked.loosen",
            (false, false, false) if name.is_none() => "asked.tighten",
            (false, false, true) => "asked.job.loosen",
            (false, false, false) => "asked.job.tighten",
        };
        let job_torque = || whole_torque(self.catalogue, answer.job_torque_nm, self.needed.unit);
        let values = [
            ("job", name.unwrap_or_else(job_torque)),
            ("factor", self.factor(answer.condition_factor)),
            ("loss", given_percent(self.catalogue, answer.loss_percent)),
            ("torque", self.needed_words()),
        ];
        let values = values.each_ref().map(|(name, text)| (*name, text.as_str()));
        self.fill(key, &values)
    }

    /// Thread of the file's job, and where its torque comes from.
    pub(crate) fn sure_of_job(&self) -> Vec<String> {
        let Some(job) = self.listed else {
            return Vec::new();
        };
        let thread = job.fastener.as_ref();
        let source = job.source.as_ref();
        let thread = thread.map(|thread| self.fill("sure.job_thread", &[("thread", thread)]));
        let source = source.map(|source| self.fill("sure.job_source", &[("source", source)]));
        thread.into_iter().chain(source).collect()
    }

    /// Thread and strength of a bolt, as they are written on drawings.
    fn bolt_name(&self, bolt: &BoltFigures) -> String {
        let key = match bolt.system {
            System::Metric => "asked.bolt.metric",
            System::Inch => "asked.bolt.inch",
        };
        let values = [("thread", bolt.thread.as_str()), ("class", bolt.class)];
        self.fill(key, &values)
    }
}
