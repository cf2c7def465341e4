//! How much specimens, pack specimens and days differ: by restricted likelihood from the means of
//! cells, held by what is assumed beforehand.
//!
//! The mean of a cell is that of its pair, plus effects of its tool specimen, pack specimen and day,
//! plus the error of its runs, known but for the scatter of runs. Pairs are taken away first
//! (absorbed); with M what cells say of the effects then, r their right side, s² the variance of an
//! effect's kind, C = (M + diag 1/s²)⁻¹ and g = C r (Henderson 1975, "Best linear unbiased estimation
//! and prediction under a selection model", Biometrics 31, 423–447), each round sets
//!
//! s² ← (Σ g² + ν₀ a²) ÷ (tr(I − C/s²) + ν₀)
//!
//! over the effects of a kind: the form of Schall (1991, "Estimation in generalized linear models with
//! random effects", Biometrika 78, 719–727) of restricted likelihood (Patterson and Thompson 1971,
//! "Recovery of inter-block information when block sizes are unequal", Biometrika 58, 545–554), held
//! by ν₀ degrees of freedom of a standard deviation a. The degrees of freedom are ν₀ + ‖I − C/s²‖², the
//! squares of all entries added up: 2 s⁴ over the variance that the likelihood's information gives, as
//! long as no kind is mistaken for another.

use super::Scatter;
use super::cells::CellMean;
use super::effects::{Assumed, Effect, Effects};
use crate::leaps::{self, Bounds};
use crate::sort;
use crate::symmetric::Factor;

/// An effect whose contrast is less than this of its weight says nothing: one specimen of a tool, one
/// unit of a pack, a day nobody else was run on.
const LEAST_CONTRAST: f64 = 1e-9;

/// Variances are sought from a millionth of a standard deviation up; the assumptions keep them within.
const BOUNDS: Bounds = Bounds {
    least: 1e-12,
    most: 1.0,
};

/// What kinds of effects there are: of specimens, pack specimens and days.
const KINDS: usize = 3;

/// An effect: its kind and its number.
type Name = (usize, usize);

/// The cells of one pair.
struct Pair {
    /// Weight of all of them.
    weight: f64,
    /// Weighted mean.
    mean: f64,
    /// Weight with each effect, sorted by effect.
    of_effects: Vec<(Name, f64)>,
}

/// The equations of the effects that have a contrast, pairs absorbed.
#[derive(Debug)]
struct Equations {
    /// Kind of each effect.
    kinds: Vec<usize>,
    /// M by rows, lower triangle.
    matrix: Vec<Vec<f64>>,
    /// r.
    right: Vec<f64>,
}

impl Effects {
    /// From the means of cells, of all runs that count and of all check runs, and what is assumed of
    /// specimens, pack specimens and days. `None` where a mean is no number, or runs or a variance are not
    /// above 0.
    ///
    /// Memory grows with the square of the effects that have a contrast.
    pub fn of(cells: &[CellMean], assumed: [Assumed; KINDS]) -> Option<Self> {
        let sound = |cell: &CellMean| weight(cell) > 0.0 && (weight(cell) + cell.mean).is_finite();
        if !cells.iter().all(sound) {
            return None;
        }
        let equations = Equations::of(cells);
        let from = assumed.map(|known| known.sd * known.sd);
        let settled = leaps::settle(from, BOUNDS, |variances| {
            equations.round(variances, &assumed)
        })?;
        let own = equations.degrees_of_freedom(settled)?;
        let mut kinds = settled.into_iter().zip(own).zip(assumed);
        let mut effect = || {
            let ((variance, own), assumed) = kinds.next()?;
            let nu = assumed.nu + own;
            Some(Effect {
                scatter: Scatter { variance, nu },
                assumed,
            })
        };
        Some(Self {
            specimen: effect()?,
            pack: effect()?,
            day: effect()?,
        })
    }
}

/// The effects of a cell.
fn effects(cell: &CellMean) -> impl Iterator<Item = Name> {
    let day = cell.day.map(|day| (2, day));
    [(0, cell.specimen), (1, cell.pack)].into_iter().chain(day)
}

/// Weight of a cell: one over the variance of its mean.
fn weight(cell: &CellMean) -> f64 {
    cell.runs / cell.run_variance
}

impl Pair {
    fn of(cells: &[&CellMean]) -> Self {
        let weight_of = |cell: &&CellMean| weight(cell);
        let total: f64 = cells.iter().map(weight_of).sum();
        // Taken from one of them, so that leading digits they all share cost nothing.
        let origin = cells.first().map_or(0.0, |cell| cell.mean);
        let away = |cell: &&CellMean| weight(cell) * (cell.mean - origin);
        let mut of_effects = Vec::new();
        for cell in cells {
            for name in effects(cell) {
                sort::change(&mut of_effects, name, |sum| *sum += weight(cell));
            }
        }
        Self {
            weight: total,
            mean: origin + cells.iter().map(away).sum::<f64>() / total,
            of_effects,
        }
    }
}

impl Equations {
    fn of(cells: &[CellMean]) -> Self {
        let mut sorted: Vec<&CellMean> = cells.iter().collect();
        sort::sort(&mut sorted, |a, b| a.pair.cmp(&b.pair));
        let pairs: Vec<(&[&CellMean], Pair)> = sorted
            .chunk_by(|a, b| a.pair == b.pair)
            .map(|own| (own, Pair::of(own)))
            .collect();
        let names = with_contrast(&pairs);
        let mut equations = Self {
            kinds: names.iter().map(|(kind, _)| *kind).collect(),
            matrix: (0..names.len()).map(|row| vec![0.0; row + 1]).collect(),
            right: vec![0.0; names.len()],
        };
        let index = |name: &Name| names.binary_search(name).ok();
        for (own, pair) in &pairs {
            for cell in *own {
                let places: Vec<usize> = effects(cell).filter_map(|name| index(&name)).collect();
                let weight = weight(cell);
                for &i in &places {
                    equations.add_right(i, weight * (cell.mean - pair.mean));
                    for &j in &places {
                        equations.add(i, j, weight);
                    }
                }
            }
            let known = pair.of_effects.iter();
            let known: Vec<(usize, f64)> = known
                .filter_map(|(name, weight)| Some((index(name)?, *weight)))
                .collect();
            for &(i, of_i) in &known {
                for &(j, of_j) in &known {
                    equations.add(i, j, -of_i * of_j / pair.weight);
                }
            }
        }
        equations
    }

    /// Adds to an entry of the lower triangle; nothing above it.
    fn add(&mut self, row: usize, column: usize, value: f64) {
        let entry = self.matrix.get_mut(row).and_then(|row| row.get_mut(column));
        if let Some(entry) = entry {
            *entry += value;
        }
    }

    fn add_right(&mut self, row: usize, value: f64) {
        if let Some(entry) = self.right.get_mut(row) {
            *entry += value;
        }
    }

    /// The factor of M + diag 1/s².
    fn factor(&self, variances: [f64; KINDS]) -> Option<Factor> {
        let mut left = self.matrix.clone();
        for (row, kind) in left.iter_mut().zip(&self.kinds) {
            *row.last_mut()? += 1.0 / variances.get(*kind)?;
        }
        Factor::of(&left)
    }

    /// One round.
    fn round(&self, variances: [f64; KINDS], assumed: &[Assumed; KINDS]) -> Option<[f64; KINDS]> {
        let inverse = self.factor(variances)?.inverse_factor();
        let (doubts, effects) = (inverse.diagonal(), inverse.times(&self.right));
        let mut sums = assumed.map(|known| (known.nu * known.sd * known.sd, known.nu));
        for ((&kind, doubt), effect) in self.kinds.iter().zip(doubts).zip(effects) {
            let (squares, trace) = sums.get_mut(kind)?;
            *squares += effect * effect;
            *trace += 1.0 - doubt / variances.get(kind)?;
        }
        Some(sums.map(|(squares, trace)| squares / trace))
    }

    /// ‖I − C/s²‖² of each kind.
    fn degrees_of_freedom(&self, variances: [f64; KINDS]) -> Option<[f64; KINDS]> {
        let inverse = self.factor(variances)?.inverse_factor().lower_triangle();
        let mut sums = [0.0; KINDS];
        for (index, (row, &kind)) in inverse.iter().zip(&self.kinds).enumerate() {
            let (sum, variance) = (sums.get_mut(kind)?, variances.get(kind)?);
            for (column, (entry, other)) in row.iter().zip(&self.kinds).enumerate() {
                if column == index {
                    *sum += (1.0 - entry / variance) * (1.0 - entry / variance);
                } else if *other == kind {
                    // Once below the diagonal and once above it.
                    *sum += 2.0 * (entry / variance) * (entry / variance);
                }
            }
        }
        Some(sums)
    }
}

/// The effects with a contrast, sorted by kind and number.
fn with_contrast(pairs: &[(&[&CellMean], Pair)]) -> Vec<Name> {
    let mut sums: Vec<(Name, (f64, f64))> = Vec::new();
    for (_, pair) in pairs {
        for &(name, weight) in &pair.of_effects {
            sort::change(&mut sums, name, |(contrast, sum)| {
                *contrast += weight * (1.0 - weight / pair.weight);
                *sum += weight;
            });
        }
    }
    let has = |(_, (contrast, weight)): &(Name, (f64, f64))| *contrast > LEAST_CONTRAST * weight;
    sums.iter()
        .filter(|one| has(one))
        .map(|(name, _)| *name)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn assumed() -> [Assumed; KINDS] {
        [
            Assumed::specimens(None),
            Assumed::packs(None, false),
            Assumed::days(None),
        ]
    }

    fn cell(pair: usize, specimen: usize, pack: usize, day: usize, mean: f64) -> CellMean {
        CellMean {
            pair,
            specimen,
            pack,
            day: Some(day),
            runs: 3.0,
            mean,
            run_variance: 4e-4,
        }
    }

    #[test]
    fn without_a_contrast_nothing_is_measured() {
        let cells = [cell(0, 0, 0, 1, 6.0), cell(1, 1, 1, 2, 5.9)];
        let equations = Equations::of(&cells);
        assert!(equations.kinds.is_empty() && equations.right.is_empty());
        let effects = Effects::of(&cells, assumed()).unwrap();
        for (effect, assumed) in [effects.specimen, effects.pack, effects.day]
            .into_iter()
            .zip(assumed())
        {
            assert!((effect.scatter.variance / (assumed.sd * assumed.sd) - 1.0).abs() < 1e-12);
            assert_eq!(effect.scatter.nu, assumed.nu);
        }
        assert!(Effects::of(&[], assumed()).is_some());
    }

    #[test]
    fn a_second_specimen_alone_has_a_contrast() {
        let cells = [cell(0, 0, 0, 1, 6.0), cell(0, 1, 0, 1, 6.1)];
        assert_eq!(Equations::of(&cells).kinds, [0, 0]);
        // Cells without their day say nothing of days.
        let days = [cell(0, 0, 0, 1, 6.0), cell(0, 0, 0, 2, 6.1)];
        assert_eq!(Equations::of(&days).kinds, [2, 2]);
        let without = days.map(|cell| CellMean { day: None, ..cell });
        assert!(Equations::of(&without).kinds.is_empty());
    }

    #[test]
    fn what_is_no_number_has_no_scatter() {
        let with = |mean, run_variance| {
            let second = CellMean {
                run_variance,
                ..cell(0, 1, 0, 1, mean)
            };
            Effects::of(&[cell(0, 0, 0, 1, 6.0), second], assumed())
        };
        assert!(with(6.1, 4e-4).is_some());
        assert_eq!(with(f64::NAN, 4e-4), None);
        assert_eq!(with(6.1, f64::NAN), None);
        assert_eq!(with(6.1, 0.0), None);
        assert_eq!(with(6.1, -4e-4), None);
    }

    /// Prints how long the largest field takes: not a check, a measurement.
    #[test]
    #[ignore = "a measurement, by `cargo test --release -- --ignored --nocapture a_large_field`"]
    fn a_large_field_of_five_thousand_runs() {
        for (tools, packs, specimens, units) in [(250, 4, 2, 2), (100, 10, 3, 2), (10, 100, 5, 2)] {
            let mut drawn = rand_pcg::Pcg32::new(7, 1);
            let mut normal = || {
                use rand_pcg::rand_core::Rng;
                let uniform = (f64::from(drawn.next_u32()) + 0.5) / 4_294_967_296.0;
                crate::special::normal::quantile(uniform)
            };
            let mut scattered =
                |count: usize, sd: f64| -> Vec<f64> { (0..count).map(|_| sd * normal()).collect() };
            let of_specimens = scattered(tools * specimens, 0.035);
            let of_units = scattered(packs * units, 0.02);
            let (of_days, of_runs) = (scattered(100, 0.01), scattered(5000, 0.025));
            // Five runs of each pair, spread over specimens, units and days.
            let runs = (0..5000).map(|run| {
                let (pair, turn) = (run / 5, run % 5);
                let specimen = pair / packs * specimens + turn % specimens;
                let unit = pair % packs * units + (turn + pair) % units;
                let day = (pair * 7 + turn * 13) % 100;
                let level = of_specimens[specimen] + of_units[unit] + of_days[day];
                CellMean {
                    runs: 1.0,
                    run_variance: 0.000625,
                    ..cell(pair, specimen, unit, day, 6.0 + level + of_runs[run])
                }
            });
            let cells: Vec<CellMean> = runs.collect();
            let start = std::time::Instant::now();
            let found = Effects::of(&cells, assumed()).unwrap();
            let took = start.elapsed();
            let sd = |effect: Effect| (effect.scatter.variance.sqrt(), effect.scatter.nu);
            println!(
                "{took:?}: {} effects, {:?} {:?} {:?}",
                Equations::of(&cells).kinds.len(),
                sd(found.specimen),
                sd(found.pack),
                sd(found.day)
            );
        }
    }
}
