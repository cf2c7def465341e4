//! Real fasteners that bear on an answer, in words.

use super::Wording;
use crate::answer::data::{AnswerFigures, NearCheck};
use crate::text::{given_time, number, whole_torque};

/// So many checks are told; the rest are counted.
const MOST_TOLD: usize = 3;

impl Wording<'_> {
    /// What real fasteners say for and against the answer, in the order of its checks.
    pub(crate) fn check_lines(&self, answer: &AnswerFigures) -> Vec<String> {
        let told = answer.field_checks.iter().take(MOST_TOLD);
        let mut lines: Vec<String> = told.map(|check| self.near_check(answer, check)).collect();
        let rest = answer.field_checks.len().saturating_sub(MOST_TOLD) as u64;
        if rest > 0 {
            let values = [("n", &*number::count(rest, &self.catalogue.number))];
            lines.push(self.catalogue.fill_plural("checks.more", rest, &values));
        }
        lines
    }

    fn near_check(&self, answer: &AnswerFigures, check: &NearCheck) -> String {
        let time = check
            .tried_s
            .map(|tried_s| given_time(self.catalogue, tried_s));
        let is_of_this_pair = answer.pack.is_some() && check.of_pair;
        let key = match (is_of_this_pair, check.came_loose, &time) {
            (true, true, Some(_)) => "checks.own.loose_in",
            (true, true, None) => "checks.own.loose",
            (true, false, _) => "checks.own.fast",
            (false, true, Some(_)) => "checks.other.loose_in",
            (false, true, None) => "checks.other.loose",
            (false, false, Some(_)) => "checks.other.fast_in",
            (false, false, None) => "checks.other.fast",
        };
        let mut torque = whole_torque(self.catalogue, check.installed_nm, self.needed.unit);
        if let Some(state) = &check.state {
            let values = [("torque", torque.as_str()), ("state", state)];
            torque = self.fill("checks.torque", &values);
        }
        let values = [
            ("pair", check.label.as_str()),
            ("torque", &torque),
            ("time", &time.unwrap_or_default()),
        ];
        let mut said = self.fill(key, &values);
        if answer.pack.is_some() && check.pack.is_none() {
            said.push(' ');
            said.push_str(&self.fill("checks.no_pack", &[]));
        }
        said
    }
}
