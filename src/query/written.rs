//! What someone wrote for a job, read.

use super::bolt;
use super::names::{Called, exactly, in_direction, meant, names_of_jobs, several};
use super::question::Question;
use crate::IS_WHOLE;
use crate::bolt::Bolt;
use crate::dataset::limits::JOB_TORQUE_NM;
use crate::dataset::types;
use crate::escape::echoed;
use crate::problem::{Problem, quoted};
use crate::results::Results;
use crate::text::catalogue::Catalogue;
use crate::text::fold::{folded, is_letter};
use crate::text::number::Figure;
use crate::units::{EntryUnit, ParseTorqueError, Torque, TorqueUnit, WrittenTorque, torque_range};

/// Torques that are taken, as job torque and as required torque, in N·m.
pub(super) const TORQUES_NM: std::ops::RangeInclusive<f64> = JOB_TORQUE_NM.0..=JOB_TORQUE_NM.1;

/// What a job may be written as.
const WANTED_JOB: &str =
    "a torque such as 650 N·m, a bolt such as M20 10.9, or the id or name of a job";

/// What someone wrote for a job.
pub(super) enum Written<'a> {
    /// A job of the file.
    Listed(&'a types::Job),
    /// A torque, or a range of two.
    Torque(Typed),
    /// A bolt, whose torque is worked out.
    Bolt(Bolt),
}

/// A torque that someone wrote.
pub(super) struct Typed {
    /// The torque, the larger one of a range.
    pub torque: WrittenTorque,
    /// The smaller one of a range.
    pub low: Option<WrittenTorque>,
    /// Whether no unit was written, so that the question's was taken.
    pub is_bare: bool,
}

impl Typed {
    /// A torque or a range; a number without a unit only where `unit` is given.
    fn read(
        catalogue: &Catalogue,
        text: &str,
        unit: Option<EntryUnit>,
    ) -> Result<Self, ParseTorqueError> {
        let is_bare = unit.is_some();
        WrittenTorque::parse_in(text, unit)
            .map(|torque| Self {
                torque,
                low: None,
                is_bare,
            })
            .or_else(|error| {
                let joint = catalogue.fill("range", &[("low", ""), ("high", "")]);
                let range = torque_range(&folded(text), folded(&joint).trim(), unit);
                let [low, torque] = range.ok_or(error)?;
                Ok(Self {
                    torque,
                    low: Some(low),
                    is_bare,
                })
            })
    }

    /// The torque where no unit was written. A range says its unit in its own sentence.
    pub fn read_as(&self) -> Option<Figure> {
        (self.is_bare && self.low.is_none()).then(|| Figure::written(&self.torque))
    }
}

impl<'a> Written<'a> {
    /// A job of the file by its identifier or its name, else a torque, a bolt, a number in the unit of the
    /// question, or a job by words of its name or words that mean the same.
    ///
    /// # Errors
    ///
    /// Says what cannot be read, without what may be meant in its place.
    pub fn read(results: &'a Results, question: &Question, text: &str) -> Result<Self, Problem> {
        let (catalogue, jobs) = (&results.catalogue, &results.dataset.jobs);
        let names = names_of_jobs(jobs);
        let listed = |index: usize| {
            let job = jobs.get(index)?;
            Some(Self::Listed(in_direction(jobs, job, question.direction)))
        };
        if let Some(listed) = exactly(text, &names).and_then(listed) {
            return Ok(listed);
        }
        let error = match Typed::read(catalogue, text, None) {
            Ok(typed) => return Ok(Self::Torque(typed)),
            Err(error) => error,
        };
        if !IS_WHOLE {
            // Bolts and words are for the whole.
            return Self::bare(catalogue, question, text)
                .ok_or_else(|| unreadable(text, error, catalogue));
        }
        if let Some(bolt) = bolt::read(text, catalogue) {
            return Ok(Self::Bolt(bolt?));
        }
        if let Some(torque) = Self::bare(catalogue, question, text) {
            return Ok(torque);
        }
        // What does not begin with a letter was meant as a torque.
        if !text.trim_start().starts_with(is_letter) {
            return Err(unreadable(text, error, catalogue));
        }
        match meant(text, &names, catalogue) {
            Called::Several(names) => Err(several(text, &names, "/job", catalogue)),
            Called::One(index) => listed(index).ok_or_else(|| unreadable(text, error, catalogue)),
            Called::Nothing => {
                let problem = Problem::new("/job", quoted(text), WANTED_JOB);
                let values = [("id", &*echoed(text))];
                Err(problem.message(catalogue.fill("error.unknown_job", &values)))
            }
        }
    }

    /// A number without a unit, or two, in the unit of the question.
    fn bare(catalogue: &Catalogue, question: &Question, text: &str) -> Option<Self> {
        let usual = question.units.unwrap_or_default().into();
        let typed = Typed::read(catalogue, text, Some(usual)).ok()?;
        Some(Self::Torque(typed))
    }

    /// The torque that it is judged by, in N·m: the larger figure of a range, the tightening torque of a
    /// bolt.
    pub fn torque_nm(&self) -> f64 {
        match self {
            Self::Listed(job) => {
                let figures = job.torque_nm.figures().iter().copied();
                figures.fold(0.0, f64::max)
            }
            Self::Torque(typed) => typed.torque.torque().newton_metres(),
            Self::Bolt(bolt) => bolt.tightening_torque_nm(),
        }
    }

    /// The unit that goes with what was written; `None` for a job of the file.
    pub fn unit(&self) -> Option<TorqueUnit> {
        match self {
            Self::Listed(_) => None,
            Self::Torque(typed) => Some(typed.torque.unit().shown_as()),
            Self::Bolt(bolt) => Some(bolt.thread.size().system.torque_unit()),
        }
    }

    /// The two figures of a range, in N·m.
    pub fn range_nm(&self) -> Option<(f64, f64)> {
        match self {
            Self::Listed(job) => match *job.torque_nm.figures() {
                [low, high] => Some((low, high)),
                _ => None,
            },
            Self::Torque(typed) => {
                let low = typed.low.as_ref()?;
                Some((low.torque().newton_metres(), self.torque_nm()))
            }
            Self::Bolt(_) => None,
        }
    }

    /// The two figures of a range as sentences show them in `unit`: as they were written, if that is the
    /// unit, else rounded up.
    pub fn range(&self, unit: TorqueUnit) -> Option<[Figure; 2]> {
        if let Self::Torque(typed) = self
            && let Some(low) = &typed.low
            && low.unit() == unit.into()
        {
            return Some([low, &typed.torque].map(Figure::written));
        }
        let (low_nm, high_nm) = self.range_nm()?;
        let figure = |nm| Figure::needed_torque(Torque::from_newton_metres(nm), unit);
        Some([low_nm, high_nm].map(figure))
    }
}

fn unreadable(text: &str, error: ParseTorqueError, catalogue: &Catalogue) -> Problem {
    let message = match error {
        ParseTorqueError::Empty => catalogue.fill("error.no_torque", &[]),
        ParseTorqueError::TooLong => catalogue.fill("error.too_long", &[]),
        ParseTorqueError::NotANumber => catalogue.fill("error.not_a_number", &[]),
        ParseTorqueError::Ambiguous { whole, decimal } => catalogue.fill(
            "error.ambiguous_number",
            &[("whole", &whole), ("decimal", &decimal)],
        ),
        ParseTorqueError::IsEnergy => catalogue.fill("error.energy", &[]),
        ParseTorqueError::NoUnit | ParseTorqueError::UnknownUnit(_) => {
            catalogue.fill("error.unknown_unit", &[])
        }
    };
    Problem::new("/job", quoted(text), WANTED_JOB).message(message)
}
