//! An answer's figures to its sentences.

mod bolt;
mod checks;
mod estimate;
mod list;
mod nuts;
mod setups;
mod uncertainty;
mod whole;

use super::data::{Answer, AnswerFigures};
use super::figures::{OtherSetup, Others};
use crate::nuts::data::NutsTried;
use crate::query::condition::Checked;
use crate::query::question::Score;
use crate::query::verdict::{Basis, Verdict};
use crate::setups::data::SetupCost;
use crate::text::catalogue::{Catalogue, Sentence};
use crate::text::number::Figure;
use crate::text::{RequiredTorque, chance_words, given_time, number, time, torque, whole_torque};
use crate::units::{Power, RiseRate, Torque};
use whole::Own;

/// What the words of an answer need beside its figures.
#[derive(Clone, Copy, Debug)]
pub struct Wording<'a> {
    /// The language.
    pub catalogue: &'a Catalogue,
    /// The needed torque as shown.
    pub needed: RequiredTorque,
    /// The two figures of a job with a range, as shown.
    pub range: Option<[Figure; 2]>,
    /// What a number without a unit was read as.
    pub read_as: Option<Figure>,
    /// Whether the file states how long each job counts at least at the trigger.
    pub trigger_stated: bool,
    /// How much tools, packs and days are taken to differ.
    pub others: Others,
    /// Whether the setup has an extension or adapters.
    pub extended: bool,
    /// Whether no pair at all was run in a setup with an extension or adapters.
    pub loss_unknown: bool,
    /// The setup, if it is not the file's first.
    pub other_setup: Option<OtherSetup<'a>>,
    /// What other setups cost in torque.
    pub setup_costs: &'a [SetupCost],
    /// What real nuts say that were tried, where one is to be loosened.
    pub nuts: &'a [NutsTried],
    /// Which of them the job is about.
    pub checked: Option<Checked>,
    /// Lowest and highest air temperature of the runs in °C, in the standard setup if it has full packs.
    pub full_packs_c: Option<(f64, f64)>,
}

impl Wording<'_> {
    pub(crate) fn fill(&self, key: &str, values: &[(&str, &str)]) -> String {
        self.catalogue.fill(key, values)
    }

    pub(crate) fn say(&self, key: &str, values: &[(&str, &str)]) -> Sentence {
        self.catalogue.sentence(key, values)
    }

    /// A sentence that has a variant for invented data.
    pub(crate) fn headline(
        &self,
        answer: &AnswerFigures,
        key: &str,
        values: &[(&str, &str)],
    ) -> String {
        let key = if answer.invented {
            format!("{key}.invented")
        } else {
            key.to_owned()
        };
        self.fill(&key, values)
    }

    fn count(&self, count: u32) -> String {
        number::count(count.into(), &self.catalogue.number)
    }

    pub(crate) fn torque(&self, torque_nm: f64) -> String {
        torque(self.catalogue, torque_nm, self.needed.unit)
    }

    pub(crate) fn needed_words(&self) -> String {
        self.needed.words(self.catalogue)
    }

    /// The words of a measured pair, whose rig may read wrong by `rig_percent`, if that is known.
    pub fn measured(&self, figures: AnswerFigures, rig_percent: Option<f64>) -> Answer {
        let answer = &figures;
        let one_tool = answer.specimens == Some(1) && !self.others.are_known();
        let one_tool = one_tool && answer.verdict == Some(Verdict::WithinReach);
        let keys = match answer.verdict {
            Some(Verdict::WithinReach) if one_tool => Some([
                "answer.within_reach_one_tool",
                "answer.within_reach_one_tool.nuts",
            ]),
            Some(Verdict::WithinReach) => Some(["answer.within_reach", "answer.within_reach.nuts"]),
            Some(Verdict::Borderline) => Some(["answer.borderline", "answer.borderline.nuts"]),
            Some(Verdict::OutOfReach) => Some(["answer.out_of_reach", "answer.out_of_reach.nuts"]),
            Some(Verdict::TooFewRuns) | None => None,
        };
        let headline = match keys {
            Some(keys) => self.headline_of(answer, keys),
            None => self.fill("answer.too_few_runs", &[]),
        };
        let mut lines = self.setup_lines(answer);
        lines.extend(one_tool.then(|| self.say("answer.one_tool_unknown", &[])));
        lines.extend(self.chance_lines(answer));
        let (jobs, counted) = self.jobs_lines(answer);
        let further = [
            self.place_lines(answer),
            self.power_lines(answer),
            jobs.into_iter().collect(),
        ];
        let judged = answer.reach_probability.is_some() && self.others.are_known();
        let mut rests_on: Vec<String> = judged.then(|| self.allows_for()).into_iter().collect();
        rests_on.extend(self.sure_of_pair(answer, rig_percent));
        rests_on.extend(counted);
        let own = Own {
            headline,
            lines,
            further: further.concat(),
            rests_on,
        };
        self.whole(figures, own)
    }

    /// How many such jobs one charge lasts for, and how short ones are counted.
    fn jobs_lines(&self, answer: &AnswerFigures) -> (Option<String>, Option<String>) {
        let Some(jobs) = answer.jobs_per_charge else {
            return (None, None);
        };
        let count = match number::jobs_per_charge(jobs, &self.catalogue.number) {
            number::Jobs::About(rounded) => {
                let values = [("jobs", rounded.as_str())];
                self.catalogue
                    .fill_plural("warning.jobs_per_charge", jobs.into(), &values)
            }
            number::Jobs::MoreThan(most) => {
                self.fill("warning.jobs_per_charge_more", &[("jobs", &most)])
            }
        };
        let time_s = answer.least_trigger_s;
        let is_short = answer.time_to_job_s.is_some_and(|job_s| job_s < time_s);
        let key = if self.trigger_stated {
            "warning.jobs_trigger_stated"
        } else {
            "warning.jobs_trigger"
        };
        let time = given_time(self.catalogue, time_s);
        let counted = is_short.then(|| self.fill(key, &[("time", &time)]));
        (Some(count), counted)
    }

    /// The chance, the typical run, and what 19 of 20 tries reach; or that there are too few runs.
    pub(crate) fn chance_lines(&self, answer: &AnswerFigures) -> Vec<Sentence> {
        let typical = self.typical_lines(answer);
        let Some(chance) = answer.reach_probability.and_then(number::chance) else {
            let runs = answer.runs_used.unwrap_or_default();
            let mut lines = vec![
                self.catalogue
                    .fill_plural("answer.too_few_runs_have", runs.into(), &[])
                    .into(),
            ];
            lines.extend(typical);
            return lines;
        };
        let chance = chance_words(self.catalogue, chance);
        let mut lines = vec![self.chance_line(answer, &chance)];
        lines.extend(typical);
        if answer.verdict != Some(Verdict::OutOfReach)
            && let Some(torque_nm) = answer.torque_19_of_20_nm
        {
            lines.push(self.say(
                "answer.nineteen_of_twenty",
                &[("torque", &self.beside_needed(torque_nm))],
            ));
        }
        lines
    }

    /// A torque, rounded down, on the same side of the needed one as it is unrounded.
    fn beside_needed(&self, torque_nm: f64) -> String {
        let torque = Torque::from_newton_metres(torque_nm);
        let figure =
            number::Figure::torque(torque, self.needed.unit, number::RoundingDirection::Down);
        let (printed, _) = number::told_apart(&figure, &self.needed.figure, &self.catalogue.number);
        crate::text::with_unit(self.catalogue, &printed, self.needed.unit)
    }

    /// What a typical run does: how long it takes, or where it ends and what is missing.
    fn typical_lines(&self, answer: &AnswerFigures) -> Vec<Sentence> {
        if let Some(time_s) = answer.time_to_job_s {
            let time = time(self.catalogue, time_s);
            return vec![self.say("answer.typical_takes", &[("time", &time)])];
        }
        let ends = match answer.basis {
            Basis::Estimate => "answer.estimate.ends",
            _ => "answer.typical_ends",
        };
        let end = Torque::from_newton_metres(answer.typical_end_nm.unwrap_or_default());
        let words = number::falls_short(
            end,
            &self.needed.figure,
            self.needed.unit,
            &self.catalogue.number,
        );
        let unit = |number: &str| crate::text::with_unit(self.catalogue, number, self.needed.unit);
        let values = [
            ("end", unit(&words.reached)),
            ("shortfall", unit(&words.shortfall)),
        ];
        let values = values.each_ref().map(|(name, text)| (*name, text.as_str()));
        let mut lines = vec![self.say(ends, &values)];
        if answer.still_rising == Some(true) {
            let window = given_time(self.catalogue, answer.window_s);
            lines.push(self.say("answer.still_rising", &[("time", &window)]));
        }
        lines
    }

    /// Which unit a number without one was read in.
    pub(crate) fn read_as_line(&self) -> Option<Sentence> {
        let number = self.read_as?.print(&self.catalogue.number);
        let torque = crate::text::with_unit(self.catalogue, &number, self.needed.unit);
        Some(self.say("needed.read_as", &[("torque", &torque)]))
    }

    /// How the needed torque came about, where it is not the job's own single figure.
    pub(crate) fn needed_lines(&self, answer: &AnswerFigures) -> Vec<String> {
        let mut lines: Vec<String> = self.bolt_line(answer).into_iter().collect();
        let print = |figure: Figure| figure.print(&self.catalogue.number);
        if let Some([low, high]) = self.range {
            let high = crate::text::with_unit(self.catalogue, &print(high), self.needed.unit);
            let values = [("low", &*print(low)), ("high", &high)];
            lines.push(self.fill("needed.range", &values));
        }
        let own = answer.condition_factor != 1.0;
        let nuts = self.checked_nuts();
        let key = match (nuts, own, answer.loss_percent != 0.0) {
            (Some(_), _, false) => "needed.nuts",
            (Some(_), _, true) => "needed.nuts_and_loss",
            (None, false, false) => return lines,
            (None, true, false) => "needed.factor",
            (None, false, true) => "needed.loss",
            (None, true, true) => "needed.factor_and_loss",
        };
        let style = &self.catalogue.number;
        let loss = self.catalogue.quantity(
            &number::given(answer.loss_percent, style),
            &self.catalogue.units.percent,
        );
        let values = [
            ("needed", self.needed_words()),
            (
                "torque",
                whole_torque(self.catalogue, answer.job_torque_nm, self.needed.unit),
            ),
            ("factor", self.factor(answer.condition_factor)),
            ("loss", loss),
            ("n", self.count(nuts.map_or(0, |nuts| nuts.checks))),
        ];
        lines.push(self.fill(
            key,
            &values.each_ref().map(|(name, text)| (*name, text.as_str())),
        ));
        lines
    }

    /// Power, or the rise rate where there is no work to speak of; of the best of three where that is asked for.
    fn power_lines(&self, answer: &AnswerFigures) -> Vec<String> {
        if answer.score == Score::BestOfThree {
            return vec![self.best_of_three_line(answer)];
        }
        match (answer.time_to_job_s, answer.average_power_w) {
            (None, _) => Vec::new(),
            (Some(_), Some(power_w)) => {
                vec![self.fill("answer.average_power", &[("power", &self.power(power_w))])]
            }
            (Some(_), None) => {
                let rate = self.rise_rate(answer.rise_rate_nm_per_s.unwrap_or_default());
                vec![
                    self.fill("answer.no_watts", &[]),
                    self.fill("answer.rise_rate", &[("torque", &rate)]),
                ]
            }
        }
    }

    fn best_of_three_line(&self, answer: &AnswerFigures) -> String {
        match (
            answer.best_of_three_power_w,
            answer.best_of_three_rise_rate_nm_per_s,
        ) {
            (_, None) => {
                let runs = self.count(answer.runs_used.unwrap_or_default());
                self.fill("answer.best_of_three_needs_runs", &[("n", &runs)])
            }
            (_, Some(0.0)) => self.fill(
                "answer.best_of_three_short",
                &[("torque", &self.needed_words())],
            ),
            (Some(power_w), _) => self.fill(
                "answer.best_of_three_power",
                &[("power", &self.power(power_w))],
            ),
            (None, Some(rate)) => self.fill(
                "answer.best_of_three_rise_rate",
                &[("torque", &self.rise_rate(rate))],
            ),
        }
    }

    fn power(&self, power_w: f64) -> String {
        let number = number::power_sentence(Power::from_watts(power_w), &self.catalogue.number);
        self.catalogue.quantity(&number, &self.catalogue.units.watt)
    }

    fn rise_rate(&self, rise_rate_nm_per_s: f64) -> String {
        let rate = RiseRate::from_newton_metres_per_second(rise_rate_nm_per_s);
        let number = number::rise_rate_sentence(rate, self.needed.unit, &self.catalogue.number);
        crate::text::with_unit(self.catalogue, &number, self.needed.unit)
    }

    fn place_lines(&self, answer: &AnswerFigures) -> Vec<String> {
        let (Some(place), Some(of)) = (answer.rank, answer.rank_of) else {
            return Vec::new();
        };
        if of == 1 {
            return vec![self.fill("answer.only_pair", &[])];
        }
        let values = [("place", self.count(place)), ("of", self.count(of))];
        let values = values.each_ref().map(|(name, text)| (*name, text.as_str()));
        let key = match answer.score {
            Score::Typical => "answer.place",
            Score::BestOfThree => "answer.place_best_of_three",
        };
        let mut lines = vec![self.fill(key, &values)];
        if let (Some(low), Some(high)) = (answer.rank_low, answer.rank_high)
            && low < high
        {
            let values = [("low", self.count(low)), ("high", self.count(high))];
            let values = values.each_ref().map(|(name, text)| (*name, text.as_str()));
            lines.push(self.fill("answer.place_could_be", &values));
        }
        lines
    }

    /// The words of a pair that was not measured.
    pub fn not_measured(&self, figures: AnswerFigures) -> Answer {
        let answer = &figures;
        let key = match (answer.fits, self.other_setup) {
            (Some(false), _) => "answer.does_not_fit",
            (_, Some(_)) => "answer.not_measured_so",
            (_, None) => "answer.not_measured",
        };
        let mut lines = Vec::new();
        if answer.fits == Some(true) {
            lines.extend(self.setup_lines(answer));
        }
        let own = Own {
            headline: self.fill(key, &[]),
            lines,
            ..Own::default()
        };
        self.whole(figures, own)
    }
}
