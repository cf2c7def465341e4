//! Jobs that may be meant by what someone wrote: each can be written in its place and has a torque.
//!
//! One list serves whoever is typing and whoever wrote what cannot be read. Everything on it was read
//! again as it is offered, so that it can be answered.

use super::names::{Names, Words, in_direction};
use super::question::Question;
use super::written::{TORQUES_NM, Typed, Written};
use crate::bolt::{Bolt, Flats, ParseBoltError, Size, System};
use crate::contents::FIRST_FACTOR;
use crate::contents::data::Found;
use crate::contents::figures::tool_choice;
use crate::dataset::types::{Direction, Job, Tool};
use crate::escape::echoed;
use crate::problem::{Offer, Problem};
use crate::results::Results;
use crate::results::offered::tools;
use crate::sort;
use crate::text::fold::{folded, holds_words, is_letter};
use crate::text::{RequiredTorque, job_torque, number, whole_torque, with_unit};
use crate::units::{ParseTorqueError, WrittenTorque, torques_near};

/// The most that a problem offers.
const MOST_OFFERED: usize = 8;

/// The classes and grades that are usual: of metric bolts, then of inch bolts.
const USUAL_CLASSES: [&str; 6] = ["8.8", "10.9", "12.9", "grade 2", "grade 5", "grade 8"];

/// The least letters of a word by which alone a job is near.
const LEAST_LETTERS: usize = 3;

/// A problem with a job, with what may be meant in its place and, where that is plainer, a question which.
pub(super) fn beside(
    problem: Problem,
    results: &Results,
    question: &Question,
    text: &str,
) -> Problem {
    if text.trim().is_empty() {
        return problem;
    }
    let mut offers = Offers::of(results, question, text);
    offers.found.truncate(MOST_OFFERED);
    let problem = match offers.message {
        Some(message) if !offers.found.is_empty() => problem.message(message),
        _ => problem,
    };
    problem.offers(offers.found)
}

impl Results {
    /// What someone who is typing a job or a tool may mean: jobs and tools with every word of `text`, and
    /// jobs that may be written in its place.
    pub fn found(&self, text: &str, question: &Question) -> Found {
        let suits = |tool: &&Tool| {
            let mut names: Names = vec![&tool.name, tool.maker.as_deref().unwrap_or_default()];
            names.extend(tool.aka.iter().map(String::as_str));
            holds_words(text, &names)
        };
        Found {
            jobs: Offers::of(self, question, text).found,
            tools: tools(self).filter(suits).map(tool_choice).collect(),
        }
    }
}

/// What may be meant.
struct Offers<'a> {
    results: &'a Results,
    question: &'a Question,
    /// Whether it is said that the joint is no longer fresh.
    is_aged: bool,
    found: Vec<Offer>,
    /// Which of them is meant, as a question.
    message: Option<String>,
}

impl<'a> Offers<'a> {
    fn of(results: &'a Results, question: &'a Question, text: &str) -> Self {
        let aged = results.catalogue.texts.get("typed.aged");
        let is_aged = |word: &&str| {
            let word = folded(word.trim_matches(','));
            aged.is_some_and(|aged| aged.split_whitespace().any(|known| known == word))
        };
        let all = text.split_whitespace();
        let fresh: Vec<&str> = all.clone().filter(|word| !is_aged(word)).collect();
        let mut offers = Self {
            results,
            question,
            is_aged: fresh.len() < all.count(),
            found: Vec::new(),
            message: None,
        };
        offers.read(&fresh.join(" "));
        if offers.found.iter().any(|offer| offer.condition.is_some()) {
            let factor = number::given(FIRST_FACTOR, &results.catalogue.number);
            let message = results.catalogue.fill("offer.aged", &[("factor", &factor)]);
            offers.message = Some(message);
        }
        offers
    }

    /// Everything that may be meant by a text, best first.
    fn read(&mut self, text: &str) {
        if self.is_aged && !text.is_empty() {
            self.add(text);
        }
        let is_thread = self.add_grouped(text) || self.add_socket(text) || self.add_bolt(text);
        let begins = text.starts_with(is_letter);
        if !is_thread && !begins {
            self.add_torques(text);
        }
        self.add_jobs(text);
        if self.found.is_empty() && begins && !is_thread {
            let number = text.find(|c: char| c.is_ascii_digit());
            self.add_torques(number.and_then(|at| text.get(at..)).unwrap_or_default());
        }
    }

    /// A job as it would be written, if it can be answered.
    fn add(&mut self, job: &str) {
        let (results, question) = (self.results, self.question);
        let Ok(written) = Written::read(results, question, job) else {
            return;
        };
        let catalogue = &results.catalogue;
        let unit = question.units.or(written.unit()).unwrap_or_default();
        let torque_nm = written.torque_nm();
        let own = match &written {
            Written::Listed(job) => return self.add_listed(job),
            Written::Torque(typed) => Some(&typed.torque),
            Written::Bolt(_) => None,
        };
        let torque = match written.range(unit) {
            Some(range) => {
                let [low, high] = range.map(|figure| figure.print(&catalogue.number));
                let range = catalogue.fill("range", &[("low", &low), ("high", &high)]);
                with_unit(catalogue, &range, unit)
            }
            None if own.is_some() => RequiredTorque::new(torque_nm, unit, own).words(catalogue),
            None => whole_torque(catalogue, torque_nm, unit),
        };
        self.push(job.into(), job.into(), torque, torque_nm, None);
    }

    /// A job of the file.
    fn add_listed(&mut self, job: &Job) {
        let unit = self.question.units.unwrap_or_default();
        let figures = job.torque_nm.figures();
        let torque = job_torque(&self.results.catalogue, figures, unit);
        let largest_nm = figures.iter().copied().fold(0.0, f64::max);
        let (id, name) = (job.id.clone(), job.label.clone());
        self.push(id, name, torque, largest_nm, Some(job.direction));
    }

    fn push(
        &mut self,
        job: String,
        name: String,
        torque: String,
        torque_nm: f64,
        direction: Option<Direction>,
    ) {
        let catalogue = &self.results.catalogue;
        // A factor is for loosening alone.
        if self.is_aged
            && self.question.direction.is_none()
            && direction == Some(Direction::Tighten)
        {
            return;
        }
        let is_aged = self.is_aged && self.question.direction != Some(Direction::Tighten);
        let condition = is_aged.then_some(FIRST_FACTOR);
        let needed_nm = torque_nm * condition.unwrap_or(1.0);
        let fits = TORQUES_NM.contains(&torque_nm) && TORQUES_NM.contains(&needed_nm);
        if !fits || self.found.iter().any(|other| other.name == name) {
            return;
        }
        let torque = match condition {
            Some(factor) => {
                let factor = number::given(factor, &catalogue.number);
                let values = [("torque", &*torque), ("factor", &factor)];
                catalogue.fill("offer.times", &values)
            }
            None if torque == name => String::new(),
            None => torque,
        };
        self.found.push(Offer {
            job,
            condition,
            name,
            torque,
        });
    }

    /// A thread, as it would be written, with each usual class that it has.
    fn add_classes(&mut self, thread: &str) {
        for class in USUAL_CLASSES {
            self.add(&format!("{thread} {class}"));
        }
    }

    /// A size with each usual class.
    fn add_size(&mut self, size: &Size) {
        match size.system {
            System::Metric => self.add_classes(size.name),
            System::Inch => self.add_classes(&format!("{} in", size.name)),
        }
    }

    /// The threads that a socket fits; whether the text is one.
    fn add_socket(&mut self, text: &str) -> bool {
        let catalogue = &self.results.catalogue;
        let names = catalogue.texts.get("typed.flats");
        let Some(flats) = names.and_then(|names| Flats::parse(text, names)) else {
            return false;
        };
        let (sizes, is_older) = flats.sizes();
        let threads: Vec<&str> = sizes.iter().map(|size| size.name).collect();
        let values = [("threads", &*threads.join(", "))];
        self.message = Some(match (flats.diameter(), is_older) {
            (Some(_), _) => catalogue.fill("offer.width_or_thread", &[]),
            (None, true) => catalogue.fill("offer.flats_older", &values),
            (None, false) => catalogue.fill("offer.flats", &values),
        });
        for size in sizes.into_iter().chain(flats.diameter()) {
            self.add_size(size);
        }
        !self.found.is_empty()
    }

    /// A bolt of which something is missing or is not known; whether the text begins like one.
    fn add_bolt(&mut self, text: &str) -> bool {
        match Bolt::parse(text) {
            Err(ParseBoltError::NotAThread) => return false,
            Ok(_) => {}
            Err(ParseBoltError::UnknownPitch(size) | ParseBoltError::UnknownClass(size)) => {
                self.add_size(size);
            }
            Err(ParseBoltError::NotUnderstood(piece)) => {
                let rest = text.replacen(&*piece, "", 1);
                self.add(&rest);
                self.add_classes(rest.trim_end());
            }
            Err(_) => self.add_classes(text),
        }
        true
    }

    /// A range whose numbers are grouped, each of which alone may be a thousandth; whether the text is one.
    fn add_grouped(&mut self, text: &str) -> bool {
        let plain = text.replace([',', '.'], "");
        let read = |text: &str| Written::read(self.results, self.question, text);
        let is_range = matches!(
            read(&plain),
            Ok(Written::Torque(Typed { low: Some(_), .. }))
        );
        let is_grouped = is_range && read(text).is_err();
        if is_grouped {
            self.add(&plain);
        }
        is_grouped
    }

    /// The torques that a number may be, in the units that may be meant.
    fn add_torques(&mut self, text: &str) {
        for torque in torques_near(text) {
            self.add(&torque);
        }
        if !self.found.is_empty()
            && matches!(
                WrittenTorque::parse(text),
                Err(ParseTorqueError::UnknownUnit(_))
            )
        {
            let values = [("text", &*echoed(text))];
            self.message = Some(self.results.catalogue.fill("offer.unit", &values));
        }
    }

    /// The jobs of the file with every word of a text; if there is nothing else, those with most of them.
    fn add_jobs(&mut self, text: &str) {
        let (results, question) = (self.results, self.question);
        let jobs = &results.dataset.jobs;
        let folded = folded(text);
        let words = Words::of(&folded, &results.catalogue);
        let loosen = self.is_aged.then_some(Direction::Loosen);
        let direction = question.direction.or(loosen);
        let mut near: Vec<(usize, &Job)> = Vec::new();
        for job in jobs {
            let job = in_direction(jobs, job, direction);
            let (held, _) = words.held_by(&job.label, 1);
            let is_held = held == words.count();
            if holds_words(text, &[&job.label]) || is_held {
                self.add_listed(job);
            }
            let (held, _) = words.held_by(&job.label, LEAST_LETTERS);
            if held > 0 {
                near.push((held, job));
            }
        }
        if self.found.is_empty() {
            sort::sort(&mut near, |a, b| b.0.cmp(&a.0));
            near.into_iter().for_each(|(_, job)| self.add_listed(job));
        }
    }
}
