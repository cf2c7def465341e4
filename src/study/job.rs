//! A study with its job: places, their intervals, and whether the job is within reach.

use super::Study;
use crate::field::intervals::{self, Interval};
use crate::field::uncertainty::{JobUncertainty, Reach};
use crate::field::{Field, Member, pair};
use crate::query::resolved::{Asked, Job, JobOf};
use crate::ranking::order::{Order, order};
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

    /// Whether the job is within reach of the pair at an index.
    pub fn reach(&self, index: usize) -> Option<Reach> {
        let (field, within_s) = (self.field(), self.asked().within_s);
        let of = |(index, member)| {
            let (all, job) = (self.study.uncertainty(), self.uncertainty());
            all.reach(field, index, member, self.job, within_s, job)
        };
        let all = || field.members.iter().enumerate().map(of).collect();
        let all: &Vec<_> = self.of_job.reaches.get_or_init(all);
        all.get(index).copied().flatten()
    }
}
