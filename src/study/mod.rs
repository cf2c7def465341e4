//! One question, opened once: what was asked, the field that answers it, and what follows from both,
//! each worked out when it is first needed.

use crate::field::estimated::Estimated;
use crate::field::estimates::Estimates;
use crate::field::uncertainty::Uncertainty;
use crate::field::{Field, FieldOf, Member};
use crate::nuts::Nuts;
use crate::nuts::figures::Here as NutsHere;
use crate::problem::Problem;
use crate::query::question::{PairIds, Question, Score};
use crate::query::resolved::{self, Asked, Job};
use crate::results::Results;
use crate::results::prices::Prices;
use crate::scatter::run::RunScatter;
use crate::setups;
use crate::setups::data::SetupCost;
use crate::setups::figures::{Here, run_in_standard};
use crate::text::RequiredTorque;
use by_torque::ByTorque;
use job::{JobStudy, OfJob};
use std::cell::OnceCell;
use std::rc::Rc;

mod among;
mod band;
pub(crate) mod by_torque;
pub(crate) mod job;

/// The band of a curve is told at this many steps of the window.
const BAND_STEPS: u32 = 50;

/// A question about a dataset, checked, with what its answers have in common.
#[derive(Debug)]
pub struct Study<'r> {
    pub(crate) results: &'r Results,
    kept: Kept,
}

/// A study apart from its dataset, to be kept until the next question.
#[derive(Clone, Debug)]
pub struct Kept {
    question: Rc<Question>,
    asked: Rc<Asked>,
    of_field: Rc<OfField>,
    estimates: Rc<OfPatience>,
    /// `None` without a job.
    of_job: Option<Rc<OfJob>>,
}

/// What depends on the field alone.
#[derive(Debug)]
struct OfField {
    key: FieldOf,
    field: Field,
    uncertainty: Uncertainty,
    mean: OnceCell<RunScatter>,
    peak: OnceCell<RunScatter>,
    band: OnceCell<Vec<(f64, RunScatter)>>,
    nineteen_of_twenty_nm: OnceCell<Vec<Option<f64>>>,
    setup_costs: OnceCell<Vec<SetupCost>>,
    run_in_standard: OnceCell<Vec<(usize, usize)>>,
    nuts: OnceCell<Nuts>,
    by_torque: OnceCell<ByTorque>,
}

/// What depends on the field and on the time that the visitor gives.
#[derive(Debug)]
struct OfPatience {
    within_s: f64,
    estimates: OnceCell<Option<Estimates>>,
}

impl Kept {
    /// Checks a question. What the last one has worked out and this one has in common with it is
    /// taken over.
    fn open(results: &Results, question: &Question, last: Option<&Self>) -> Result<Self, Problem> {
        if let Some(last) = last.filter(|last| *last.question == *question) {
            return Ok(last.clone());
        }
        let mut asked = Asked::of(results, question)?;
        let key = FieldOf::of(&asked);
        let last = last.filter(|last| last.of_field.key == key);
        let of_field = last.map_or_else(
            || Rc::new(OfField::new(results, &asked, key)),
            |last| last.of_field.clone(),
        );
        if results.is_in_short() && !is_answered_in_short(results, &asked, &of_field.field) {
            return Err(needs_runs());
        }
        let tried = |checked| of_field.nuts(results, &asked).factor(results, checked);
        asked.job = Job::of(results, question, tried)?;
        let estimates = last
            .map(|last| &last.estimates)
            .filter(|last| last.within_s == asked.within_s);
        let estimates = estimates.cloned().unwrap_or_else(|| {
            Rc::new(OfPatience {
                within_s: asked.within_s,
                estimates: OnceCell::new(),
            })
        });
        let of_job = asked.job_key().map(|key| {
            let last = last.and_then(|last| last.of_job.as_ref());
            let last = last.filter(|last| last.key == key);
            last.cloned().unwrap_or_else(|| Rc::new(OfJob::new(key)))
        });
        Ok(Self {
            question: Rc::new(question.clone()),
            asked: Rc::new(asked),
            of_field,
            estimates,
            of_job,
        })
    }
}

/// Whether a question can be answered without the runs' curves: by typical curves, and in the edition whose
/// results these are.
fn is_answered_in_short(results: &Results, asked: &Asked, field: &Field) -> bool {
    let by_typical = asked.score == Score::Typical && field.has_typical;
    by_typical && results.edition_in_short() == Some(asked.edition)
}

#[cold]
fn needs_runs() -> Problem {
    Problem::new("", "results in short", "those with all runs")
}

impl OfField {
    fn new(results: &Results, asked: &Asked, key: FieldOf) -> Self {
        let field = Field::of(results, asked);
        Self {
            key,
            uncertainty: Uncertainty::of(results, &field, asked),
            field,
            mean: OnceCell::new(),
            peak: OnceCell::new(),
            band: OnceCell::new(),
            nineteen_of_twenty_nm: OnceCell::new(),
            setup_costs: OnceCell::new(),
            run_in_standard: OnceCell::new(),
            nuts: OnceCell::new(),
            by_torque: OnceCell::new(),
        }
    }

    /// Times of the window in s, each with the scatter of runs there.
    fn band(&self) -> &[(f64, RunScatter)] {
        let window_s = self.field.window_s;
        let at = |step: u32| {
            let time_s = window_s * f64::from(step) / f64::from(BAND_STEPS);
            (time_s, self.field.scatter_at(&mut |_| time_s))
        };
        self.band.get_or_init(|| (0..=BAND_STEPS).map(at).collect())
    }

    fn by_torque(&self) -> &ByTorque {
        self.by_torque.get_or_init(|| ByTorque::of(&self.field))
    }

    /// What real nuts say that were tried with pairs of the field.
    fn nuts(&self, results: &Results, asked: &Asked) -> &Nuts {
        let of = || {
            if results.dataset.field_checks.is_empty() {
                return Nuts::default();
            }
            let here = NutsHere {
                field: &self.field,
                uncertainty: &self.uncertainty,
                scatters: self.band(),
            };
            Nuts::of(results, asked, here)
        };
        self.nuts.get_or_init(of)
    }
}

impl<'r> Study<'r> {
    /// Opens a question; `last` is what was kept of the study before it, of the same dataset.
    pub(crate) fn open(
        results: &'r Results,
        question: &Question,
        last: Option<&Kept>,
    ) -> Result<Self, Problem> {
        let kept = Kept::open(results, question, last)?;
        Ok(Self { results, kept })
    }

    /// What to keep for the next question.
    pub fn kept(&self) -> Kept {
        self.kept.clone()
    }

    /// The dataset that answers.
    pub fn results(&self) -> &'r Results {
        self.results
    }

    /// The question.
    pub fn question(&self) -> &Question {
        &self.kept.question
    }

    /// The same job in the same field, asked for another or for any tool and pack, and with other
    /// parts that concern its tables alone.
    pub(crate) fn of_pairs(
        &self,
        (tool, pack): (Option<usize>, Option<usize>),
        question: Question,
    ) -> Self {
        let asked = Asked {
            tool,
            pack,
            ..Asked::clone(&self.kept.asked)
        };
        Self {
            results: self.results,
            kept: Kept {
                question: Rc::new(question),
                asked: Rc::new(asked),
                ..self.kept.clone()
            },
        }
    }

    /// The same job for every pair of the field, the pair asked for marked.
    pub fn whole_field(&self) -> Self {
        let question = self.question();
        let own = question.tool.clone().zip(question.pack.clone());
        let all = Question {
            tool: None,
            pack: None,
            beside: Vec::new(),
            chosen: own.map(|(tool, pack)| PairIds { tool, pack }),
            ..question.clone()
        };
        self.of_pairs((None, None), all)
    }

    /// The same job for every pair of the field, unsorted, whatever is narrowed on the screen.
    pub fn unfiltered(&self) -> Self {
        let all = Question {
            tool: None,
            pack: None,
            narrow: None,
            sort: None,
            ..self.question().clone()
        };
        self.of_pairs((None, None), all)
    }

    /// The torque that the job needs, as sentences show it; `None` without a job.
    pub fn needed(&self) -> Option<RequiredTorque> {
        Some(self.asked().job.as_ref()?.needed)
    }

    pub(crate) fn asked(&self) -> &Asked {
        &self.kept.asked
    }

    pub(crate) fn field(&self) -> &Field {
        &self.kept.of_field.field
    }

    pub(crate) fn uncertainty(&self) -> &Uncertainty {
        &self.kept.of_field.uncertainty
    }

    /// The index of a pair in the field, and the pair.
    pub(crate) fn member(&self, (tool, pack): (usize, usize)) -> Option<(usize, &Member)> {
        let mut members = self.field().members.iter().enumerate();
        members.find(|(_, member)| (member.tool, member.pack) == (tool, pack))
    }

    /// The question with its job.
    pub(crate) fn answering(&self) -> Result<JobStudy<'_>, Problem> {
        let no_job = || resolved::no_job(&self.results.catalogue);
        let job = self.asked().job.as_ref().zip(self.kept.of_job.as_deref());
        let (job, of_job) = job.ok_or_else(no_job)?;
        Ok(JobStudy {
            study: self,
            job,
            of_job,
        })
    }

    /// Prices on the date of the edition, in the currency asked for.
    pub(crate) fn prices(&self) -> Prices<'r> {
        let currency = self.question().currency.as_deref();
        let pairs: Vec<_> = self.field().members.iter().map(Member::pair).collect();
        Prices::of(self.results, &pairs, self.asked().edition, currency)
    }

    /// Scatter of runs in ln mean torque.
    pub(crate) fn mean_scatter(&self) -> &RunScatter {
        let of = || self.field().scatter_of(&|run| run.measures.mean_nm);
        self.kept.of_field.mean.get_or_init(of)
    }

    /// Scatter of runs in ln peak torque.
    pub(crate) fn peak_scatter(&self) -> &RunScatter {
        let of = || self.field().scatter_of(&|run| run.measures.peak_nm);
        self.kept.of_field.peak.get_or_init(of)
    }

    /// Times of the window in s, each with the scatter of runs there.
    pub(crate) fn band_scatter(&self) -> &[(f64, RunScatter)] {
        self.kept.of_field.band()
    }

    /// What real nuts say that were tried with pairs of the field.
    pub(crate) fn nuts(&self) -> &Nuts {
        self.kept.of_field.nuts(self.results, self.asked())
    }

    /// The torque that 19 of 20 tries reach by the window's end, of the pair at an index, in N·m.
    pub(crate) fn nineteen_of_twenty_nm(&self, index: usize) -> Option<f64> {
        let of = |(index, member)| {
            self.uncertainty()
                .torque_19_of_20_nm(self.field(), index, member)
        };
        let all = || self.field().members.iter().enumerate().map(of).collect();
        let all: &Vec<_> = self.kept.of_field.nineteen_of_twenty_nm.get_or_init(all);
        all.get(index).copied().flatten()
    }

    /// What other setups cost.
    pub(crate) fn setup_costs(&self) -> &[SetupCost] {
        let costs = || {
            let here = Here {
                field: self.field(),
                mean: self.mean_scatter(),
                scatters: &self.uncertainty().scatters,
            };
            setups::costs(self.results, self.asked(), here)
        };
        self.kept.of_field.setup_costs.get_or_init(costs)
    }

    /// The pairs that were run in the file's first setup.
    pub(crate) fn run_in_standard(&self) -> &[(usize, usize)] {
        let run = || run_in_standard(self.results, self.asked());
        self.kept.of_field.run_in_standard.get_or_init(run)
    }

    /// What the field says of pairs nobody ran; `None` where it has too few runs or pairs to say.
    pub(crate) fn estimates(&self) -> Option<&Estimates> {
        let within_s = self.kept.estimates.within_s;
        let estimates = || Estimates::of(self.field(), self.uncertainty(), within_s);
        let estimates = self.kept.estimates.estimates.get_or_init(estimates);
        estimates.as_ref()
    }

    /// The estimate of a pair, if nobody ran it.
    pub(crate) fn estimate(&self, pair: (usize, usize)) -> Option<Estimated> {
        if self.member(pair).is_some() {
            return None;
        }
        self.estimates()?.pair(self.field(), pair.0, pair.1)
    }
}

impl Results {
    /// Opens a question.
    ///
    /// # Errors
    ///
    /// A problem that names the faulty part of the question, with a message for visitors.
    pub fn study(&self, question: &Question) -> Result<Study<'_>, Problem> {
        Study::open(self, question, None)
    }

    /// Opens a question after another one to the same dataset; what both have in common is not worked
    /// out again.
    ///
    /// # Errors
    ///
    /// As [`Results::study`].
    pub fn study_after(&self, question: &Question, last: &Kept) -> Result<Study<'_>, Problem> {
        Study::open(self, question, Some(last))
    }
}
