//! Checks on real fasteners that bear on an answer.

use super::data::NearCheck;
use crate::dataset::types::{Direction, FieldCheck};
use crate::query::resolved::Job;
use crate::results::Results;
use crate::tie::reaches;
use crate::{sort, text};

/// What came loose counts from this part below the required torque up, what held from this part above
/// it down. Our choice, no source.
const NEAR: f64 = 0.15;

/// The checks of a pair that bear on a job, or if it has none those of its tool; with the pack left
/// open, those of the tool. Failures first, then the nearest in torque, then the newest.
pub(crate) fn near(
    results: &Results,
    tool: usize,
    pack: Option<usize>,
    job: &Job,
) -> Vec<NearCheck> {
    let dataset = &results.dataset;
    let Some(tool) = dataset.tools.get(tool) else {
        return Vec::new();
    };
    // A check says whether a fastener came loose, so it says nothing of tightening.
    if job.direction != Direction::Loosen {
        return Vec::new();
    }
    let pack = pack.and_then(|pack| dataset.packs.get(pack));
    let near = |check: &FieldCheck| {
        let (installed_nm, came_loose) = (check.installed_nm?, check.came_loose?);
        let its_pack = dataset
            .packs
            .iter()
            .find(|pack| check.pack.as_ref() == Some(&pack.id));
        let bears = bears_on(installed_nm, came_loose, job.required_nm);
        (bears && check.tool.as_ref() == Some(&tool.id)).then(|| NearCheck {
            tool: tool.id.clone(),
            pack: check.pack.clone(),
            of_pair: pack.is_some_and(|pack| check.pack.as_ref() == Some(&pack.id)),
            label: text::pair(
                &results.catalogue,
                Some(&tool.name),
                its_pack.map(|pack| pack.name.as_str()),
            ),
            date: check.date.clone(),
            fastener: check.fastener.clone(),
            state: check.state.clone(),
            installed_nm,
            came_loose,
            tried_s: check.tried_s,
        })
    };
    let mut checks: Vec<NearCheck> = dataset.field_checks.iter().filter_map(near).collect();
    if checks.iter().any(|check| check.of_pair) {
        checks.retain(|check| check.of_pair);
    }
    let far = |check: &NearCheck| (check.installed_nm - job.required_nm).abs();
    sort::sort(&mut checks, |a, b| {
        let failures = a.came_loose.cmp(&b.came_loose);
        failures
            .then(far(a).total_cmp(&far(b)))
            .then(b.date.cmp(&a.date))
    });
    checks
}

/// Whether a check on a fastener tightened to `installed_nm` says something of `needed_nm`: one that
/// came loose of what is no harder, one that did not of what is no easier, both with a margin.
fn bears_on(installed_nm: f64, came_loose: bool, needed_nm: f64) -> bool {
    if came_loose {
        reaches(installed_nm, needed_nm * (1.0 - NEAR))
    } else {
        reaches(needed_nm * (1.0 + NEAR), installed_nm)
    }
}

#[cfg(test)]
mod tests {
    use super::bears_on;

    #[test]
    fn a_success_speaks_for_less_and_a_failure_against_more() {
        for (installed_nm, came_loose, bears) in [
            (850.0, true, true),
            (849.9, true, false),
            (3000.0, true, true),
            (1150.0, false, true),
            (1150.1, false, false),
            (10.0, false, true),
        ] {
            let found = bears_on(installed_nm, came_loose, 1000.0);
            assert_eq!(found, bears, "{installed_nm} {came_loose}");
        }
    }
}
