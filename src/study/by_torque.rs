//! The places of pairs for jobs of every torque, by their typical curves.

use super::Study;
use crate::field::intervals::Interval;
use crate::field::told_curves::ToldCurves;
use crate::field::{Field, Member};
use crate::query::question::Score;
use crate::tie::reaches;
use std::cell::OnceCell;

/// Fewer pairs than this make no field to have a place in.
const LEAST_PAIRS: usize = 3;

/// How many torques places are told at, in a field of up to this many pairs, and in a larger one.
const TORQUES: u32 = 64;
const MANY_PAIRS: usize = 200;
const TORQUES_OF_MANY: u32 = 32;

/// At every so many of them, and at the last, intervals are told too.
const INTERVAL_AT_EVERY: usize = 2;

/// A place at a torque.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlaceAt {
    /// Required torque in N·m.
    pub required_nm: f64,
    /// The place for a job that needs it: that of the answer.
    pub rank: u32,
    /// Its 90 % interval. At some of the torques, where there are enough runs to say. It is worked out as
    /// for the answer, but by the plain sum over all pairs and with curves told at fixed times: an end may
    /// be off by one place.
    pub interval: Interval,
}

/// What a field's places by torque rest on, and those of each pair as they were asked for.
#[derive(Debug)]
pub(super) struct ByTorque {
    /// The largest torque that a typical curve reaches, in N·m.
    top_nm: f64,
    told: OnceCell<ToldCurves>,
    /// Of each pair.
    places: Vec<OnceCell<Vec<PlaceAt>>>,
    /// The same with intervals.
    with_intervals: Vec<OnceCell<Vec<PlaceAt>>>,
}

impl ByTorque {
    pub fn of(field: &Field) -> Self {
        let end = |member: &Member| member.combination.torque_at(field.window_s);
        let none = || field.members.iter().map(|_| OnceCell::new()).collect();
        Self {
            top_nm: field.members.iter().map(end).fold(0.0, f64::max),
            told: OnceCell::new(),
            places: none(),
            with_intervals: none(),
        }
    }
}

impl Study<'_> {
    /// The largest torque that a typical curve of the field reaches, in N·m; `None` where places by
    /// torque are not told: in a field of fewer than three pairs, and by another score than the typical
    /// run's.
    pub(crate) fn top_of_places_nm(&self) -> Option<f64> {
        let told =
            self.field().members.len() >= LEAST_PAIRS && self.asked().score == Score::Typical;
        told.then(|| self.kept.of_field.by_torque().top_nm)
    }

    /// The places of the pair at `index` from low torques up; the last at the torque that its typical
    /// curve just reaches. With `intervals`, how sure some of them are.
    pub(crate) fn places_by_torque(&self, index: usize, intervals: bool) -> &[PlaceAt] {
        let by_torque = self.kept.of_field.by_torque();
        let kept = match intervals {
            true => by_torque.with_intervals.get(index),
            false => by_torque.places.get(index),
        };
        let work_out = || {
            let mut places = places(self.field(), by_torque.top_nm, index);
            if intervals && !self.uncertainty().too_few() {
                self.add_intervals(&mut places, index, by_torque);
            }
            places
        };
        kept.map_or(&[], |kept| kept.get_or_init(work_out))
    }

    fn add_intervals(&self, places: &mut [PlaceAt], index: usize, by_torque: &ByTorque) {
        let (field, uncertainty) = (self.field(), self.uncertainty());
        let told = by_torque.told.get_or_init(|| ToldCurves::of(field));
        let of = u32::try_from(field.members.len()).unwrap_or(u32::MAX);
        let last = places.len().saturating_sub(1);
        for (at, place) in places.iter_mut().enumerate() {
            if at % INTERVAL_AT_EVERY == 0 || at == last {
                let spread = told.spread(field, uncertainty, index, place.required_nm);
                place.interval = spread.map(|spread| spread.interval(place.rank, of));
            }
        }
    }
}

fn places(field: &Field, top_nm: f64, index: usize) -> Vec<PlaceAt> {
    let Some(member) = field.members.get(index) else {
        return Vec::new();
    };
    let torques = match field.members.len() > MANY_PAIRS {
        true => TORQUES_OF_MANY,
        false => TORQUES,
    };
    let end_nm = member.combination.torque_at(field.window_s);
    let grid = (1..=torques).map(|step| top_nm * f64::from(step) / f64::from(torques));
    let grid = grid.filter(|torque_nm| *torque_nm < end_nm);
    let place = |required_nm| {
        Some(PlaceAt {
            required_nm,
            rank: rank(field, member, required_nm)?,
            interval: None,
        })
    };
    grid.chain([end_nm]).filter_map(place).collect()
}

/// The place of a member by its typical time to a torque, as [`crate::ranking::order::order`] has it: one
/// more than the number of those that are there a whole microsecond before. `None` where it does not get
/// there.
fn rank(field: &Field, member: &Member, required_nm: f64) -> Option<u32> {
    let time_s = member.combination.time_to(required_nm, field.window_s)?;
    let Some(before) = ((time_s * 1e6).round() as u64).checked_sub(1) else {
        return Some(1);
    };
    let before_s = before as f64 / 1e6;
    let is_before = |other: &&Member| reaches(other.combination.torque_at(before_s), required_nm);
    let ahead = field.members.iter().filter(is_before).count();
    u32::try_from(ahead).ok()?.checked_add(1)
}

#[cfg(all(test, not(target_arch = "wasm32")))]
mod tests;
