//! The pairs laid over a chart beside the one asked for, checked and looked up.

use super::names::{named, names_of_packs, names_of_tools};
use super::question::{MOST_BESIDE, PairIds};
use crate::problem::{Problem, quoted};
use crate::results::{Results, products};

/// Which part of a question these pairs are.
const PART: &str = "/beside";

/// The indices of the tools and packs; a problem if there are too many of them, one is not there,
/// does not fit, or stands there twice.
pub(crate) fn pairs(results: &Results, asked: &[PairIds]) -> Result<Vec<(usize, usize)>, Problem> {
    let (dataset, catalogue) = (&results.dataset, &results.catalogue);
    if asked.len() > MOST_BESIDE {
        let problem = Problem::new(PART, asked.len().to_string(), "at most four pairs");
        return Err(problem.message(catalogue.fill("error.beside_many", &[])));
    }
    let unknown = || Problem::new(PART, "a pair that is not there", "one of this file");
    let mut pairs = Vec::with_capacity(asked.len());
    for PairIds { tool, pack } in asked {
        let (tools, packs) = (names_of_tools(dataset), names_of_packs(dataset));
        let tool_place = named(Some(tool), tools, PART, catalogue, "error.unknown_tool")?;
        let pack_place = named(Some(pack), packs, PART, catalogue, "error.unknown_pack")?;
        let pair = tool_place.zip(pack_place).ok_or_else(unknown)?;
        let tool_mount = dataset.tools.get(pair.0).map(|tool| &tool.pack_mount);
        let pack_mount = dataset.packs.get(pair.1).map(|pack| &pack.pack_mount);
        let (wanted, message) = if tool_mount != pack_mount {
            ("a pack that fits its tool", "error.beside_fit")
        } else if pairs.contains(&pair) {
            ("each pair once", "error.beside_twice")
        } else {
            pairs.push(pair);
            continue;
        };
        let label = products::label(results, pair.0, pair.1);
        let problem = Problem::new(PART, quoted(&label), wanted);
        return Err(problem.message(catalogue.fill(message, &[("pair", &label)])));
    }
    Ok(pairs)
}
