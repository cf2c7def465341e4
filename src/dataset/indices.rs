//! Where the things of a dataset stand that others name by their identifiers.

use super::types::Dataset;
use crate::sort;

/// The index of the first element of each identifier of a list.
#[derive(Debug)]
pub struct ById<'a>(Vec<(&'a str, usize)>);

impl<'a> ById<'a> {
    /// Of the elements of a list by their identifiers.
    pub fn of<T>(list: &'a [T], id: fn(&T) -> &str) -> Self {
        Self::of_ids(list.iter().map(id).collect())
    }

    fn of_ids(ids: Vec<&'a str>) -> Self {
        let order = sort::order(ids.len(), &|i, j| ids.get(i).cmp(&ids.get(j)));
        let indices = order.into_iter();
        let indices = indices.filter_map(|index| Some((*ids.get(index)?, index)));
        let mut indices: Vec<(&str, usize)> = indices.collect();
        // Equal ones stand in their order: the first is kept.
        indices.dedup_by_key(|(id, _)| *id);
        Self(indices)
    }

    /// The index of the first element with an identifier.
    pub fn get(&self, id: &str) -> Option<usize> {
        sort::find(&self.0, &id)
    }

    /// The identifiers in alphabetical order.
    pub fn ids(&self) -> impl Iterator<Item = &'a str> {
        self.0.iter().map(|(id, _)| *id)
    }
}

/// The indices of the first element of each identifier.
#[derive(Debug)]
pub struct Indices<'a> {
    /// Rigs.
    pub rigs: ById<'a>,
    /// Setups.
    pub setups: ById<'a>,
    /// Tools.
    pub tools: ById<'a>,
    /// Packs.
    pub packs: ById<'a>,
    /// Days.
    pub days: ById<'a>,
}

impl<'a> Indices<'a> {
    /// The indices in `dataset`.
    pub fn of(dataset: &'a Dataset) -> Self {
        Self {
            rigs: ById::of(&dataset.rigs, |rig| &rig.id),
            setups: ById::of(&dataset.setups, |setup| &setup.id),
            tools: ById::of(&dataset.tools, |tool| &tool.id),
            packs: ById::of(&dataset.packs, |pack| &pack.id),
            days: ById::of(&dataset.days, |day| &day.id),
        }
    }
}
