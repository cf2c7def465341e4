//! A study with its job: places, their intervals, and whether the job is within reach.

use super::Study;
use crate::field::estimated::Estimated;
use crate::field::intervals::{self, Interval};
use crate::field::uncertainty::{JobUncertainty, Reach, verdict};
use crate::field::{Field, Member, pair};
use crate::query::resolved::{Asked, Job, JobOf};
use crate::ranking::order::{Order, order};
use crate::reach::{Prediction, required_torque_nm};
use crate::scatter::run::RunScatter;
use std::cell::OnceCell;

/// A study with its job.
#[derive(Clone, Copy)]
pub(crate) struct JobStudy<'s> {
    pub study: &'s Study<'s>,
    pub job: &'s Job,
    pub(crate) of_job: &'s OfJob,
}

/// What depends on the field and on the job.
#[derive(Debug)]
pub(crate) struct OfJob {
    pub key: JobOf,
    places: OnceCell<Order>,
    uncertainty: OnceCell<JobUncertainty>,
    intervals: OnceCell<Vec<Interval>>,
    reaches: OnceCell<Vec<Option<Reach>>>,
}

impl OfJob {
    pub fn new(key: JobOf) -> Self {
        Self {
            key,
            places: OnceCell::new(),
            uncertainty: OnceCell::new(),
            intervals: OnceCell::new(),
            reaches: OnceCell::new(),
        }
    }
}

impl<'s> JobStudy<'s> {
    pub fn asked(&self) -> &'s Asked {
        self.study.asked()
    }

    pub fn field(&self) -> &'s Field {
        self.study.field()
    }

    /// The members asked for, in rank order, each with its index in the field.
    pub fn matching(&self) -> impl Iterator<Item = (usize, &'s Member)> {
        let (asked, field) = (self.asked(), self.field());
        let ranked = self.places().best_first.iter();
        ranked
            .filter_map(|&index| Some((index, field.members.get(index)?)))
            .filter(|(_, member)| asked.matches(member.tool, member.pack))
    }

    /// Everyone's place in the field.
    pub fn places(&self) -> &'s Order {
        self.of_job.places.get_or_init(|| self.order(self.field()))
    }

    /// The places of a field, of this or of some of its pairs.
    pub(crate) fn order(&self, field: &Field) -> Order {
        let score = self.asked().score;
        let standing = |member| pair::standing(field, member, self.job, score);
        order(&field.members.iter().map(standing).collect::<Vec<_>>())
    }

    /// What the job adds to the scatter of the field.
    pub fn uncertainty(&self) -> &'s JobUncertainty {
        let of = || JobUncertainty::of(self.field(), self.job, self.asked().within_s);
        self.of_job.uncertainty.get_or_init(of)
    }

    /// Scatter of runs at each pair's typical time to the job, or the window's end.
    pub fn scatter_at_job(&self) -> &'s RunScatter {
        &self.uncertainty().at_job
    }

    /// How far every place may be off.
    pub fn intervals(&self) -> &'s [Interval] {
        let of = || self.intervals_of(self.field(), self.places());
        self.of_job.intervals.get_or_init(of)
    }

    /// The intervals of a field, of this or of some of its pairs. Scatter is that of the whole field.
    pub(crate) fn intervals_of(&self, field: &Field, places: &Order) -> Vec<Interval> {
        intervals::for_job(
            field,
            self.job,
            self.asked().score,
            places,
            self.study.uncertainty(),
            self.uncertainty(),
        )
    }

    /// Whether the job is within reach of the pair at an index: of nuts like those tried, where it is
    /// asked for such.
    pub fn reach(&self, index: usize) -> Option<Reach> {
        let (field, within_s) = (self.field(), self.asked().within_s);
        let of = |(index, member)| {
            let (all, job) = (self.study.uncertainty(), self.uncertainty());
            let reach = all.reach(field, index, member, self.job, within_s, job)?;
            let level = member.combination.log_torque_at(within_s);
            let further = || all.further(reach.run, member, 0.0);
            Some(self.of_nuts(reach, level, further))
        };
        let all = || field.members.iter().enumerate().map(of).collect();
        let all: &Vec<_> = self.of_job.reaches.get_or_init(all);
        all.get(index).copied().flatten()
    }

    /// As [`JobStudy::reach`], of a pair nobody ran.
    pub fn reach_of_estimate(&self, estimated: &Estimated) -> Reach {
        let (all, within) = (self.study.uncertainty(), estimated.within);
        let reach = all.reach_of_estimate(estimated, self.job.required_nm, self.uncertainty());
        let further = || all.further_estimated(reach.run, estimated, within.scatter, 0.0);
        self.of_nuts(reach, within.level, further)
    }

    /// How likely a further try of a pair, whose typical torque has this logarithm when the visitor's
    /// patience ends, loosens a nut like those tried, where it is asked for such. When nine in ten are
    /// there is not known of nuts.
    fn of_nuts(&self, reach: Reach, level: f64, further: impl FnOnce() -> Prediction) -> Reach {
        let checked = self.job.checked;
        let Some(factors) = checked.and_then(|checked| self.study.nuts().factors(checked)) else {
            return reach;
        };
        let installed_nm = required_torque_nm(self.job.torque_nm, 1.0, self.job.loss_percent);
        let probability = factors.chance(level - libm::log(installed_nm), &further());
        Reach {
            probability,
            verdict: verdict(probability),
            time_nine_in_ten_s: None,
            ..reach
        }
    }
}
