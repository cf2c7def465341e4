//! What another setup costs in torque.

pub mod data;
pub(crate) mod figures;
mod words;

use crate::query::resolved::Asked;
use crate::results::Results;
use data::SetupCost;
use figures::Here;

/// What each setup costs that differs from the one asked for in one thing that may cost torque, with
/// its words.
pub(crate) fn costs(results: &Results, asked: &Asked, here: Here) -> Vec<SetupCost> {
    let mut costs = figures::costs(results, asked, here);
    for cost in &mut costs {
        let mut setups = results.dataset.setups.iter();
        let setup = setups.find(|setup| setup.id == cost.setup);
        let name = setup.map_or("", |setup| &setup.name);
        words::cost(&results.catalogue, cost, name);
    }
    costs
}
