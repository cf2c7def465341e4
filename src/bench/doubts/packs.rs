//! Doubts about packs: resistance and open-circuit voltage of a run against its siblings, the runs
//! with the same pack.

use super::doubt::{Doubt, Subject};
use super::evidence::{Evidence, Reduced, RunEvidence, about};
use super::statistics::{factor, limit, robust_sigma};
use crate::dataset::types::Pack;
use crate::logs::notes::figure;
use crate::pack::{is_not_full, per_cell, usual_open_v};
use crate::run::running_median::median;
use std::collections::BTreeMap;

/// A resistance closer to its siblings' than this, as a logarithm, is no matter of doubt: it changes
/// by as much with temperature.
const LEAST_DEVIATION: f64 = 0.25;

/// Runs of a pack without which nothing is usual. Of two that differ the higher is told: what goes
/// wrong with a contact adds resistance.
const LEAST_RUNS: usize = 2;

/// Nominal voltages of lithium cells in V: from 3.2 (iron phosphate) to 4.2 (where the voltage of a
/// full cell is stated), a little on either side.
const CELL_V: std::ops::RangeInclusive<f64> = 3.0..=4.3;

/// A run with what was found of its pack.
type Logged<'a> = (usize, &'a RunEvidence<'a>, f64);

/// Every such doubt.
pub fn doubts(evidence: &Evidence) -> Vec<Doubt> {
    let mut doubts = not_full(evidence);
    doubts.extend(resistance(evidence));
    doubts.extend(nominal_voltage(evidence));
    doubts
}

/// Packs whose nominal voltage is not that of their cells in series.
fn nominal_voltage(evidence: &Evidence) -> Vec<Doubt> {
    let packs = evidence.dataset.packs.iter().enumerate();
    let doubt = |(at, pack): (usize, &Pack)| {
        let series = pack.cells.as_ref()?.series?;
        let nominal_v = pack.nominal_v?;
        let cell_v = per_cell(nominal_v, series)?;
        let bytes = format!("{} {nominal_v} {series}", pack.id);
        (!CELL_V.contains(&cell_v)).then(|| {
            Doubt::new("nominal-voltage", Subject::File, &pack.id)
                .at(format!("/packs/{at}/nominal_v"))
                .says(
                    format!(
                        "nominal_v of the pack {} is {nominal_v} V, {} V for each of {series} cells in series",
                        pack.id,
                        figure(cell_v)
                    ),
                    "3 to 4.3 V a cell of lithium",
                    "a decimal mark was lost, or the number of cells in series is wrong",
                )
                .of_bytes(evidence.fingerprint([], &[&bytes]))
        })
    };
    packs.filter_map(doubt).collect()
}

/// Values of runs, those of one pack in one setup together: a setup may ask for cold packs, which
/// have another voltage and resistance.
fn by_pack<'a>(
    evidence: &'a Evidence<'a>,
    value: impl Fn(&Reduced) -> Option<f64>,
) -> Vec<Vec<Logged<'a>>> {
    let mut packs: BTreeMap<(&str, &str), Vec<Logged>> = BTreeMap::new();
    for (at, run, reduced) in evidence.counted() {
        if let Some(value) = value(reduced) {
            let pack = (run.run.pack.as_str(), run.setup);
            packs.entry(pack).or_default().push((at, run, value));
        }
    }
    packs.into_values().collect()
}

fn not_full(evidence: &Evidence) -> Vec<Doubt> {
    let packs = by_pack(evidence, |reduced| reduced.open_v);
    let mut doubts = Vec::new();
    for runs in &packs {
        let all = runs.iter().map(|(_, _, open_v)| *open_v).collect();
        let Some(usual_v) = usual_open_v(all) else {
            continue;
        };
        let low = runs
            .iter()
            .filter(|(_, _, open_v)| is_not_full(*open_v, usual_v));
        doubts.extend(low.map(|(at, run, open_v)| {
            about("pack-not-full", run)
                .says(
                    format!(
                        "The open-circuit voltage of the pack {} was {} V",
                        run.run.pack,
                        figure(*open_v)
                    ),
                    format!("{} V in its other runs in this setup", figure(usual_v)),
                    "the pack was not full, or another pack was on the tool",
                )
                .of_bytes(evidence.fingerprint([*at], &[]))
        }));
    }
    doubts
}

fn resistance(evidence: &Evidence) -> Vec<Doubt> {
    let packs = by_pack(evidence, |reduced| {
        let resistance = reduced.resistance_ohm?;
        (resistance > 0.0).then(|| libm::log(resistance))
    });
    let judged: Vec<(&Vec<Logged>, f64)> = packs
        .iter()
        .filter(|runs| runs.len() >= LEAST_RUNS)
        .map(|runs| {
            let logs = runs.iter().map(|(.., log)| *log);
            let usual = match runs.len() {
                LEAST_RUNS => logs.fold(f64::INFINITY, f64::min),
                _ => median(logs.collect()),
            };
            (runs, usual)
        })
        .collect();
    let residuals = judged
        .iter()
        .flat_map(|(runs, middle)| runs.iter().map(move |(.., log)| log - middle));
    let count = residuals.clone().count();
    let limit = (limit(count, count as f64 / 3.0) * robust_sigma(residuals)).max(LEAST_DEVIATION);
    let mut doubts = Vec::new();
    for (runs, middle) in judged {
        let far = runs.iter().filter(|(.., log)| (log - middle).abs() > limit);
        doubts.extend(far.map(|(at, run, log)| {
            about("pack-resistance", run)
                .says(
                    format!(
                        "The resistance of the pack {} was {} mΩ, {} times its usual",
                        run.run.pack,
                        figure(1e3 * libm::exp(*log)),
                        factor(log - middle)
                    ),
                    format!("{} mΩ in its other runs in this setup", figure(1e3 * libm::exp(middle))),
                    "a contact was dirty or loose, the pack was cold or another one, or volts and amperes are in another unit",
                )
                .of_bytes(evidence.fingerprint([*at], &[]))
        }));
    }
    doubts
}

#[cfg(test)]
mod tests {
    use super::super::tests::Case;

    /// A case whose runs log volts and amperes; the pack of run 4 has other figures.
    fn electrical(open_v: f64, resistance_ohm: f64) -> Vec<&'static str> {
        let mut case = Case::default();
        for at in 0..case.runs.len() {
            let own = at == 4;
            let wobble = 1.0 + 0.02 * ((at * 7 % 5) as f64 - 2.0) / 2.0;
            let (open_v, resistance) = if own {
                (open_v, resistance_ohm)
            } else {
                (20.5, 0.03 * wobble)
            };
            let count = case.run(at).len();
            let current = |i: usize| 80_000 * i as i32 / count as i32;
            let voltage =
                |i: usize| (1e3 * open_v - resistance * f64::from(current(i))).round() as i32;
            case.runs[at].current_ma = Some((0..count).map(current).collect());
            case.runs[at].voltage_mv = Some((0..count).map(voltage).collect());
        }
        case.names()
    }

    #[test]
    fn a_nominal_voltage_that_cells_cannot_have_is_told() {
        let nominal = |nominal_v: f64| {
            let mut case = Case::default();
            case.packs[0].nominal_v = Some(nominal_v);
            case.packs[0].cells = Some(crate::dataset::types::Cells {
                series: Some(5),
                ..Default::default()
            });
            case.names()
        };
        assert_eq!(nominal(18.0), [""; 0]);
        assert_eq!(nominal(20.0), [""; 0]);
        assert_eq!(nominal(180.0), ["nominal-voltage"]);
    }

    #[test]
    fn a_pack_unlike_its_siblings_is_told() {
        assert_eq!(electrical(20.5, 0.03), [""; 0]);
        assert_eq!(electrical(20.4, 0.034), [""; 0]);
        assert_eq!(electrical(18.6, 0.03), ["pack-not-full"]);
        assert_eq!(electrical(20.5, 0.066), ["pack-resistance"]);
    }
}
