//! Names, masses and prices of pairs.

use super::Results;
use crate::text;

/// Name of a pair for people.
pub(crate) fn label(results: &Results, tool: usize, pack: usize) -> String {
    let tool = results
        .dataset
        .tools
        .get(tool)
        .map(|tool| tool.name.as_str());
    let pack = results
        .dataset
        .packs
        .get(pack)
        .map(|pack| pack.name.as_str());
    text::pair(&results.catalogue, tool, pack)
}

/// Name of a pair for people, by its identifiers.
pub(crate) fn label_by_ids(results: &Results, tool: &str, pack: &str) -> String {
    let tool = results
        .dataset
        .tools
        .iter()
        .find(|other| other.id == tool)
        .map(|tool| tool.name.as_str());
    let pack = results
        .dataset
        .packs
        .iter()
        .find(|other| other.id == pack)
        .map(|pack| pack.name.as_str());
    text::pair(&results.catalogue, tool, pack)
}

/// Identifiers of a pair.
pub(crate) fn ids(results: &Results, tool: usize, pack: usize) -> (String, String) {
    let tool = results.dataset.tools.get(tool).map(|tool| tool.id.clone());
    let pack = results.dataset.packs.get(pack).map(|pack| pack.id.clone());
    (tool.unwrap_or_default(), pack.unwrap_or_default())
}

/// Mass of tool and pack in kg, where both were weighed.
pub(crate) fn mass_kg(results: &Results, tool: usize, pack: usize) -> Option<f64> {
    let dataset = &results.dataset;
    Some(sum(
        dataset.tools.get(tool)?.mass_kg?,
        dataset.packs.get(pack)?.mass_kg?,
    ))
}

/// The sum of two figures of a file, to a millionth: they are decimals, and 2.36 and 2.5 are 4.86.
pub(crate) fn sum(a: f64, b: f64) -> f64 {
    let millionths = ((a + b) * 1e6).round();
    if millionths.is_finite() {
        millionths / 1e6
    } else {
        a + b
    }
}

#[cfg(test)]
mod tests {
    use super::sum;

    #[test]
    fn decimals_add_up_to_decimals_and_nothing_overflows() {
        for (a, b, of_both) in [
            (2.36, 2.5, 4.86),
            (0.99, 0.4, 1.39),
            (189.95, 79.9, 269.85),
            (1e305, 1.0, 1e305),
        ] {
            assert!(sum(a, b) == of_both, "{a} + {b} is {}", sum(a, b));
        }
    }
}
