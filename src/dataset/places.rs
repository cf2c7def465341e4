//! Where the things of a dataset stand that others name by their identifiers.

use super::types::Dataset;
use std::collections::BTreeMap;

/// Places in lists by identifiers.
pub type ById<'a> = BTreeMap<&'a str, usize>;

/// The places of the first element of each identifier.
#[derive(Debug)]
pub struct Places<'a> {
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

impl<'a> Places<'a> {
    /// The places in `dataset`.
    pub fn of(dataset: &'a Dataset) -> Self {
        Self {
            rigs: by_id(&dataset.rigs, |rig| &rig.id),
            setups: by_id(&dataset.setups, |setup| &setup.id),
            tools: by_id(&dataset.tools, |tool| &tool.id),
            packs: by_id(&dataset.packs, |pack| &pack.id),
            days: by_id(&dataset.days, |day| &day.id),
        }
    }
}

fn by_id<T>(list: &[T], id: impl Fn(&T) -> &str) -> ById<'_> {
    let mut places = BTreeMap::new();
    for (place, element) in list.iter().enumerate().rev() {
        places.insert(id(element), place);
    }
    places
}
