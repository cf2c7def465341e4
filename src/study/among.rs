//! Where a pair stands, in the whole field or among some of its pairs.

use super::job::JobStudy;
use crate::field::Field;
use crate::field::intervals::Interval;
use crate::ranking::order::Order;

impl JobStudy<'_> {
    /// Where a pair stands, and the interval of that; `None` where it has no place.
    pub fn place_of(&self, pair: (usize, usize)) -> (Option<u32>, Interval) {
        let Some((index, _)) = self.study.member(pair) else {
            return (None, None);
        };
        let rank = self.places().ranks.get(index).copied().flatten();
        (rank, self.intervals().get(index).copied().flatten())
    }

    /// Where a pair stands among those for which `counts` holds, and the interval of that. Scatter is
    /// that of the whole field.
    pub fn place_among(
        &self,
        pair: (usize, usize),
        counts: &dyn Fn((usize, usize)) -> bool,
    ) -> (Option<u32>, Interval) {
        let mut members = self.field().members.iter();
        if members.all(|member| counts((member.tool, member.pack))) {
            return self.place_of(pair);
        }
        let (field, order, intervals) = self.among(counts);
        let mut members = field.members.iter();
        let index = members.position(|member| (member.tool, member.pack) == pair);
        let rank = index.and_then(|index| order.ranks.get(index).copied().flatten());
        let interval = index.and_then(|index| intervals.get(index).copied().flatten());
        (rank, interval)
    }

    /// Where each pair for which `counts` holds stands among them, and the interval of that. Scatter
    /// is that of the whole field.
    #[cfg(not(target_arch = "wasm32"))]
    pub fn places_among(
        &self,
        counts: &dyn Fn((usize, usize)) -> bool,
    ) -> Vec<((usize, usize), Option<u32>, Interval)> {
        let (field, order, intervals) = self.among(counts);
        let members = field.members.iter().zip(&order.ranks);
        members
            .zip(intervals)
            .map(|((member, rank), interval)| ((member.tool, member.pack), *rank, interval))
            .collect()
    }

    /// The pairs of the field for which `counts` holds, with their indices.
    fn among(&self, counts: &dyn Fn((usize, usize)) -> bool) -> (Field, Order, Vec<Interval>) {
        let mut field = self.field().clone();
        field
            .members
            .retain(|member| counts((member.tool, member.pack)));
        let order = self.order(&field);
        let intervals = self.intervals_of(&field, &order);
        (field, order, intervals)
    }

    /// The pairs that have a place.
    pub fn placed(&self) -> Vec<(usize, usize)> {
        let ranks = self.places().ranks.iter();
        let members = self.field().members.iter().zip(ranks);
        let placed = members.filter(|(_, rank)| rank.is_some());
        placed
            .map(|(member, _)| (member.tool, member.pack))
            .collect()
    }
}
