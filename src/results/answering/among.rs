//! Where a pair stands, in the whole field or among some of its pairs.

use super::Answering;
use crate::results::intervals::Interval;

impl Answering<'_, '_> {
    /// Where a pair stands, and the interval of that; `None` where it has no place.
    pub fn place_of(&self, tool: usize, pack: usize) -> (Option<u32>, Interval) {
        let mut members = self.field.members.iter();
        let Some(place) = members.position(|member| (member.tool, member.pack) == (tool, pack))
        else {
            return (None, None);
        };
        let rank = self.places().ranks.get(place).copied().flatten();
        (rank, self.intervals().get(place).copied().flatten())
    }

    /// Where a pair stands among those for which `counts` holds, and the interval of that. Scatter is
    /// that of the whole field.
    pub fn place_among(
        mut self,
        (tool, pack): (usize, usize),
        counts: &dyn Fn((usize, usize)) -> bool,
    ) -> (Option<u32>, Interval) {
        if self
            .field
            .members
            .iter()
            .all(|member| counts((member.tool, member.pack)))
        {
            return self.place_of(tool, pack);
        }
        // What depends on the whole field is worked out before the others are left out.
        self.at();
        self.field
            .members
            .retain(|member| counts((member.tool, member.pack)));
        let order = self.order();
        let mut members = self.field.members.iter();
        let place = members.position(|member| (member.tool, member.pack) == (tool, pack));
        let intervals = self.intervals_of(&order);
        let rank = place.and_then(|place| order.ranks.get(place).copied().flatten());
        let interval = place.and_then(|place| intervals.get(place).copied().flatten());
        (rank, interval)
    }

    /// Where each pair for which `counts` holds stands among them, and the interval of that. Scatter
    /// is that of the whole field.
    #[cfg(not(target_arch = "wasm32"))]
    pub fn places_among(
        mut self,
        counts: &dyn Fn((usize, usize)) -> bool,
    ) -> Vec<((usize, usize), Option<u32>, Interval)> {
        // What depends on the whole field is worked out before the others are left out.
        self.at();
        self.field
            .members
            .retain(|member| counts((member.tool, member.pack)));
        let order = self.order();
        let intervals = self.intervals_of(&order);
        let members = self.field.members.iter().zip(&order.ranks);
        members
            .zip(intervals)
            .map(|((member, rank), interval)| ((member.tool, member.pack), *rank, interval))
            .collect()
    }

    /// The pairs that have a place.
    pub fn placed(&self) -> Vec<(usize, usize)> {
        let ranks = self.places().ranks.iter();
        let members = self.field.members.iter().zip(ranks);
        let placed = members.filter(|(_, rank)| rank.is_some());
        placed
            .map(|(member, _)| (member.tool, member.pack))
            .collect()
    }
}
