//! An answer's figures to its sentences.

use super::catalogue::Catalogue;
use super::{Needed, given_time, number, time, torque, whole_torque};
use crate::ask::answer::{Answer, Basis};
use crate::ask::question::Score;
use crate::dataset::types::{Caution, Direction};
use crate::units::{Power, RiseRate, Torque};

/// What the words of an answer need beside its figures.
#[derive(Clone, Copy, Debug)]
pub struct Wording<'a> {
    /// The language.
    pub catalogue: &'a Catalogue,
    /// The needed torque as shown.
    pub needed: Needed,
    /// The two figures of a job with a range, in N·m.
    pub range_nm: Option<(f64, f64)>,
    /// Whether the setup has an extension or adapters.
    pub extended: bool,
}

/// Whether the typical run reaches the job within the visitor's patience.
pub fn reaches(answer: &Answer) -> bool {
    answer
        .time_to_job_s
        .is_some_and(|time_s| time_s <= answer.within_s)
}

impl Wording<'_> {
    fn fill(&self, key: &str, values: &[(&str, &str)]) -> String {
        self.catalogue.fill(key, values)
    }

    /// A sentence that has a variant for invented data.
    fn headline(&self, answer: &Answer, key: &str, values: &[(&str, &str)]) -> String {
        let key = if answer.invented {
            format!("{key}.invented")
        } else {
            key.to_owned()
        };
        self.fill(&key, values)
    }

    fn torque(&self, torque_nm: f64) -> String {
        torque(self.catalogue, torque_nm, self.needed.unit)
    }

    fn needed_words(&self) -> String {
        self.needed.words(self.catalogue)
    }

    /// Writes the words of a measured pair.
    pub fn measured(&self, answer: &mut Answer) {
        let needed = self.needed_words();
        let mut lines = self.needed_lines(answer);
        answer.headline = match answer.time_to_job_s {
            Some(time_s) if time_s <= answer.within_s => {
                let values = [
                    ("torque", needed.as_str()),
                    ("time", &time(self.catalogue, time_s)),
                ];
                self.headline(answer, "answer.reaches", &values)
            }
            Some(time_s) => {
                lines.push(self.fill(
                    "answer.takes_in_the_end",
                    &[("time", &time(self.catalogue, time_s))],
                ));
                let limit = given_time(self.catalogue, answer.within_s);
                self.headline(
                    answer,
                    "answer.too_slow",
                    &[("torque", &needed), ("limit", &limit)],
                )
            }
            None => self.falls_short(answer, &mut lines),
        };
        lines.extend(self.power_lines(answer));
        lines.extend(self.place_line(answer));
        if answer.direction == Direction::Tighten {
            let end = self.torque(answer.typical_end_nm.unwrap_or_default());
            lines.push(self.fill("tighten.goes_on", &[("end", &end)]));
            lines.push(self.fill("tighten.stop_short", &[]));
        }
        if let Some(jobs) = answer.jobs_per_charge {
            let rounded = number::jobs_per_charge(f64::from(jobs), &self.catalogue.number);
            lines.push(self.catalogue.fill_plural(
                "warning.jobs_per_charge",
                jobs.into(),
                &[("jobs", &rounded)],
            ));
        }
        answer.lines = lines;
        self.finish(answer);
    }

    /// The headline of a typical run that ends below the needed torque; what is missing goes to `lines`.
    fn falls_short(&self, answer: &Answer, lines: &mut Vec<String>) -> String {
        let end = Torque::from_newton_metres(answer.typical_end_nm.unwrap_or_default());
        let words = number::falls_short(
            end,
            &self.needed.figure,
            self.needed.unit,
            &self.catalogue.number,
        );
        let unit = |number: &str| super::with_unit(self.catalogue, number, self.needed.unit);
        lines.push(self.fill("answer.short_by", &[("shortfall", &unit(&words.shortfall))]));
        if answer.still_rising == Some(true) {
            let window = given_time(self.catalogue, answer.window_s);
            lines.push(self.fill("answer.still_rising", &[("time", &window)]));
        }
        let values = [
            ("torque", unit(&words.needed)),
            ("end", unit(&words.reached)),
        ];
        self.headline(
            answer,
            "answer.falls_short",
            &values.each_ref().map(|(name, text)| (*name, text.as_str())),
        )
    }

    /// How the needed torque came about, where it is not the job's own single figure.
    fn needed_lines(&self, answer: &Answer) -> Vec<String> {
        let mut lines = Vec::new();
        if let Some((low, high)) = self.range_nm {
            let number = |torque_nm| {
                let torque = Torque::from_newton_metres(torque_nm);
                number::needed_torque(torque, self.needed.unit, &self.catalogue.number)
            };
            let high = super::with_unit(self.catalogue, &number(high), self.needed.unit);
            lines.push(self.fill("needed.range", &[("low", &number(low)), ("high", &high)]));
        }
        let key = match (answer.condition_factor != 1.0, answer.loss_percent != 0.0) {
            (false, false) => return lines,
            (true, false) => "needed.factor",
            (false, true) => "needed.loss",
            (true, true) => "needed.factor_and_loss",
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
            ("factor", number::given(answer.condition_factor, style)),
            ("loss", loss),
        ];
        lines.push(self.fill(
            key,
            &values.each_ref().map(|(name, text)| (*name, text.as_str())),
        ));
        lines
    }

    /// Power, or the rise rate where there is no work to speak of; of the best of three where that is asked for.
    fn power_lines(&self, answer: &Answer) -> Vec<String> {
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

    fn best_of_three_line(&self, answer: &Answer) -> String {
        match (
            answer.best_of_three_power_w,
            answer.best_of_three_rise_rate_nm_per_s,
        ) {
            (_, None) => {
                let runs = answer.runs_used.unwrap_or_default().to_string();
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
        super::with_unit(self.catalogue, &number, self.needed.unit)
    }

    fn place_line(&self, answer: &Answer) -> Option<String> {
        let (place, of) = (answer.rank?, answer.rank_of?);
        if of == 1 {
            return Some(self.fill("answer.only_pair", &[]));
        }
        Some(self.fill(
            "answer.place",
            &[("place", &place.to_string()), ("of", &of.to_string())],
        ))
    }

    /// Writes the words of a pair that was not measured.
    pub fn not_measured(&self, answer: &mut Answer) {
        let key = if answer.fits == Some(false) {
            "answer.does_not_fit"
        } else {
            "answer.not_measured"
        };
        answer.headline = self.fill(key, &[]);
        self.finish(answer);
    }

    /// Writes the words of a list: how many reach, and the lightest of them (its name and mass in
    /// kg) or the one that comes closest.
    pub fn list(&self, answer: &mut Answer, list: &[Answer], lightest: Option<(String, f64)>) {
        let mut lines = self.needed_lines(answer);
        let (of, reach) = (
            answer.of.unwrap_or_default(),
            answer.reach_count.unwrap_or_default(),
        );
        let invented = if answer.invented { ".invented" } else { "" };
        let key = if reach > 0 {
            format!("list.reaches{invented}")
        } else {
            format!("list.none{invented}")
        };
        let values = [
            ("torque", self.needed_words()),
            ("reach", reach.to_string()),
        ];
        let values = values.each_ref().map(|(name, text)| (*name, text.as_str()));
        answer.headline = match of {
            0 => self.fill("answer.no_runs", &[]),
            _ => self.catalogue.fill_plural(&key, of.into(), &values),
        };
        if let Some((pair, mass_kg)) = lightest {
            let mass = number::mass(mass_kg, &self.catalogue.number);
            let mass = self
                .catalogue
                .quantity(&mass, &self.catalogue.units.kilogram);
            lines.push(self.fill("list.lightest", &[("pair", &pair), ("mass", &mass)]));
        }
        if reach == 0 {
            lines.extend(
                list.iter()
                    .filter_map(|answer| Some((answer, answer.typical_end_nm?)))
                    .filter_map(|(answer, end_nm)| {
                        answer.time_to_job_s.is_none().then_some((answer, end_nm))
                    })
                    .max_by(|a, b| a.1.total_cmp(&b.1))
                    .map(|(closest, end_nm)| {
                        let end = Torque::from_newton_metres(end_nm);
                        let words = number::falls_short(
                            end,
                            &self.needed.figure,
                            self.needed.unit,
                            &self.catalogue.number,
                        );
                        let shortfall =
                            super::with_unit(self.catalogue, &words.shortfall, self.needed.unit);
                        self.fill(
                            "list.closest",
                            &[("pair", &closest.label), ("shortfall", &shortfall)],
                        )
                    }),
            );
        }
        if answer.direction == Direction::Tighten && of > 0 {
            lines.push(self.fill("tighten.stop_short", &[]));
        }
        answer.lines = lines;
        self.finish(answer);
    }

    /// Cautions and reminders, and the whole sentence.
    fn finish(&self, answer: &mut Answer) {
        let has_torque = answer.basis != Basis::None || answer.of.is_some_and(|of| of > 0);
        if has_torque {
            self.cautions(answer);
        }
        let notice = answer.notice.iter().map(String::as_str);
        let sentences: Vec<&str> = notice
            .chain(std::iter::once(answer.headline.as_str()))
            .collect();
        answer.sentence = sentences.join(" ");
    }

    fn cautions(&self, answer: &mut Answer) {
        let (wheel, tighten) = (
            answer.caution == Some(Caution::Wheel),
            answer.direction == Direction::Tighten,
        );
        let texts = |keys: &[(bool, &str)]| {
            keys.iter()
                .filter(|(shown, _)| *shown)
                .map(|(_, key)| self.fill(key, &[]))
                .collect()
        };
        answer.before = texts(&[
            (wheel && tighten, "caution.wheel_finish"),
            (wheel && tighten, "caution.wheel_manual"),
        ]);
        answer.cautions = texts(&[
            (!tighten, "caution.loosening"),
            (answer.condition_factor != 1.0, "caution.factor"),
            (answer.loss_percent != 0.0, "caution.loss"),
            (self.extended, "caution.extension"),
            (true, "caution.your_bolt"),
        ]);
        answer.reminders = texts(&[
            (wheel, "caution.wheel_check"),
            (wheel, "caution.wheel_stands"),
            (true, "caution.drive"),
            (true, "caution.protection"),
            (true, "caution.packs"),
            (true, "caution.hands"),
        ]);
    }
}
