//! The typical curves that belong to an answer, for drawing.

use crate::field::estimated::Estimated;
use crate::problem::Problem;
use crate::query::question::{MOST_BESIDE, PairIds, Question};
use crate::reach::job_torque_nm;
use crate::results::{Results, products};
use crate::study::Study;
use crate::study::job::JobStudy;
use crate::text::RequiredTorque;
use crate::typical::Combination;

/// The typical curve of a combination, for drawing.
#[derive(Debug)]
pub struct NamedCurve {
    /// Identifiers of tool and pack.
    pub pair: PairIds,
    /// Name of tool and pack.
    pub label: String,
    /// Whether the question lays it over the answer's own.
    pub beside: bool,
    /// The runs behind the curve.
    pub combination: Combination,
    /// Typical time to the job in s.
    pub time_to_job_s: Option<f64>,
    /// The band that 90 of 100 tries stay in: time in s, lower and upper torque in N·m. Only for a
    /// single pair asked for, and only where there are enough runs to say.
    pub band: Vec<(f64, f64, f64)>,
    /// Whether nobody ran the pair, and the curve is an estimate.
    pub estimate: bool,
}

/// What a curve is of.
enum Drawn {
    /// An index in the field.
    Member(usize),
    Estimate(Estimated),
}

impl Drawn {
    fn is_member(&self, index: usize) -> bool {
        matches!(self, Self::Member(own) if *own == index)
    }
}

impl NamedCurve {
    /// Its torque at the window's end, in N·m.
    pub fn end_nm(&self, curves: &Curves) -> f64 {
        self.combination.torque_at(curves.window_s)
    }
}

/// The curves that belong to an answer.
#[derive(Debug)]
pub struct Curves {
    /// The pair asked for, or the first of the list of those that reach the job; then those laid over it, in their order; then
    /// the others if they are few. At most [`MOST_CURVES`], each pair once.
    pub curves: Vec<NamedCurve>,
    /// Pairs to be laid over it that have no runs here, with their names.
    pub without_runs: Vec<(PairIds, String)>,
    /// Required torque in N·m.
    pub required_torque_nm: f64,
    /// The same as sentences show it.
    pub needed: RequiredTorque,
    /// The job that asks for it.
    pub job: JobTorque,
    /// Length of a run that counts, in s.
    pub window_s: f64,
}

/// The torque of a job beside the one it needs.
#[derive(Clone, Copy, Debug)]
pub struct JobTorque {
    /// As sentences show it.
    pub shown: RequiredTorque,
    /// Job torque in N·m.
    pub torque_nm: f64,
    /// Job torque over required torque: below 1 for an aged fastener and for a loss on the way.
    pub of_required: f64,
}

/// How many curves there are at most.
pub const MOST_CURVES: usize = MOST_BESIDE + 1;

/// How many curves of a list are drawn, if there is room for them.
const CURVES_OF_A_LIST: usize = 3;

/// The curves that belong to the answer to a question.
pub(crate) fn curves(study: &Study) -> Result<Curves, Problem> {
    let answering = study.answering()?;
    let (results, job) = (study.results, answering.job);
    let (field, window_s) = (study.field(), study.asked().window_s);
    let own = study.asked().tool.zip(study.asked().pack);
    let estimated = own.and_then(|pair| study.estimate(pair));
    let mut band = match &estimated {
        Some(estimated) => answering.band_of_estimate(estimated),
        None => answering.band(),
    };
    let mut drawn = match own {
        Some(_) => asked_for(&answering, estimated),
        None => of_list(study)?,
    };
    let without_runs = lay_over(study, &mut drawn);
    if !drawn.is_empty() && field.members.len() <= MOST_CURVES {
        add_all(&answering, &mut drawn);
    }
    let curve = |(drawn, beside): (Drawn, bool)| {
        let estimate = matches!(drawn, Drawn::Estimate(_));
        let (pair, combination) = match drawn {
            Drawn::Member(index) => {
                let member = field.members.get(index)?;
                ((member.tool, member.pack), member.combination.clone())
            }
            Drawn::Estimate(one) => ((one.tool, one.pack), one.combination),
        };
        let name = products::label(results, pair.0, pair.1);
        let label = match estimate {
            true => results.catalogue.fill("chart.estimate", &[("pair", &name)]),
            false => name,
        };
        Some(NamedCurve {
            pair: ids(results, pair),
            label,
            beside,
            time_to_job_s: combination.time_to(job.required_nm, window_s),
            band: std::mem::take(&mut band),
            combination,
            estimate,
        })
    };
    Ok(Curves {
        curves: drawn.into_iter().filter_map(curve).collect(),
        without_runs,
        required_torque_nm: job.required_nm,
        needed: job.needed,
        job: JobTorque {
            shown: job.own,
            torque_nm: job.torque_nm,
            of_required: job_torque_nm(1.0, job.condition, job.loss_percent),
        },
        window_s,
    })
}

fn ids(results: &Results, (tool, pack): (usize, usize)) -> PairIds {
    let (tool, pack) = products::ids(results, tool, pack);
    PairIds { tool, pack }
}

/// The curve of the pair asked for, with whether it is laid over: its estimate, if nobody ran it.
fn asked_for(answering: &JobStudy, estimated: Option<Estimated>) -> Vec<(Drawn, bool)> {
    let estimated = estimated.map(|estimated| (Drawn::Estimate(estimated), false));
    let matching = answering.matching().take(1);
    let matching = matching.map(|(index, _)| (Drawn::Member(index), false));
    estimated.into_iter().chain(matching).collect()
}

/// The curves of the first pairs of the list beside the chart, in its order.
fn of_list(study: &Study) -> Result<Vec<(Drawn, bool)>, Problem> {
    let beside = study.asked().beside.len();
    let room = CURVES_OF_A_LIST.min(MOST_CURVES.saturating_sub(beside));
    let first = study.first_alternatives(room)?.into_iter();
    Ok(first.map(|index| (Drawn::Member(index), false)).collect())
}

/// Adds the pairs to be laid over; gives those that have no runs here, with their names.
fn lay_over(study: &Study, drawn: &mut Vec<(Drawn, bool)>) -> Vec<(PairIds, String)> {
    let (results, asked) = (study.results, study.asked());
    let own = asked.tool.zip(asked.pack);
    let mut without_runs = Vec::new();
    for &pair in &asked.beside {
        if let Some((index, _)) = study.member(pair) {
            if !drawn.iter().any(|(other, _)| other.is_member(index)) {
                drawn.push((Drawn::Member(index), true));
            }
        } else if own == Some(pair) && !drawn.is_empty() {
            // Its estimate is drawn.
        } else if let Some(estimated) = study.estimate(pair) {
            drawn.push((Drawn::Estimate(estimated), true));
        } else {
            let name = products::label(results, pair.0, pair.1);
            without_runs.push((ids(results, pair), name));
        }
    }
    without_runs
}

/// Adds all pairs of a field of few.
fn add_all(answering: &JobStudy, drawn: &mut Vec<(Drawn, bool)>) {
    for &index in &answering.places().best_first {
        if drawn.len() < MOST_CURVES && !drawn.iter().any(|(other, _)| other.is_member(index)) {
            drawn.push((Drawn::Member(index), false));
        }
    }
    // Where they are all drawn, one that is taken off would be drawn all the same.
    let members = drawn
        .iter_mut()
        .filter(|(one, _)| matches!(one, Drawn::Member(_)));
    let members: Vec<&mut bool> = members.map(|(_, beside)| beside).collect();
    if members.len() == answering.field().members.len() {
        members.into_iter().for_each(|beside| *beside = false);
    }
}

impl Results {
    /// As [`Study::chart`], of a question.
    ///
    /// # Errors
    ///
    /// As [`Study::chart`].
    pub fn curves(&self, question: &Question) -> Result<Curves, Problem> {
        self.study(question)?.chart()
    }
}

impl Study<'_> {
    /// The typical curves that belong to the answer: that of the pair asked for, or of the first of
    /// the list, and of the pairs laid over it.
    ///
    /// # Errors
    ///
    /// Without a job.
    pub fn chart(&self) -> Result<Curves, Problem> {
        curves(self)
    }
}

#[cfg(all(test, not(target_arch = "wasm32")))]
mod tests;
