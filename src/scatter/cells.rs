//! Runs sorted into cells: those of one pair, tool specimen, pack specimen and day.
//!
//! Runs of one cell differ by nothing but the run itself, so their differences show the scatter of
//! runs, and the means of cells show that of specimens, packs and days.

use super::LEAST_NU;
use super::run::RunScatter;
use crate::sort;

/// Where a run belongs, each thing by a number of its own.
///
/// Where a file names no specimen of a tool or a pack, all its runs are of one and the same. A
/// specimen's number belongs to one tool alone, a pack specimen's to one pack. Sums over effects are
/// quickest where the specimens of one tool have neighbouring numbers.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Run {
    /// Tool, whose run scatter is the run's.
    pub tool: usize,
    /// Pair of tool and pack; the check runs of a pair are of one pair more.
    pub pair: usize,
    /// Specimen of the tool.
    pub specimen: usize,
    /// Specimen of the pack.
    pub pack: usize,
    /// Day.
    pub day: usize,
}

/// The mean of a cell's runs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CellMean {
    /// Pair.
    pub pair: usize,
    /// Specimen of the tool.
    pub specimen: usize,
    /// Specimen of the pack.
    pub pack: usize,
    /// Day; `None` where cells are taken without their day.
    pub day: Option<usize>,
    /// Runs, at least 1.
    pub runs: f64,
    /// Mean of a logarithm over the runs.
    pub mean: f64,
    /// Variance of the runs about it, above 0.
    pub run_variance: f64,
}

/// The sums that the scatter of a group follows from. Values are first taken from the group's first, so that
/// leading digits they all share cost nothing; what is left of the sum about the mean is corrected for.
#[derive(Clone, Copy, Debug, Default)]
struct Sums {
    first: f64,
    count: f64,
    /// Of the values, from the first.
    sum: f64,
    /// Of the values from their mean.
    rest: f64,
    /// Of the squares of the same.
    squares: f64,
}

impl Sums {
    /// Takes in a value.
    fn count(&mut self, value: f64) {
        if self.count == 0.0 {
            self.first = value;
        }
        self.count += 1.0;
        self.sum += value - self.first;
    }

    /// Takes in how far a value is from the mean, once all are counted.
    fn differ(&mut self, value: f64) {
        let difference = value - self.first - self.sum / self.count;
        self.rest += difference;
        self.squares += difference * difference;
    }

    /// The sum of squares about the mean and its degrees of freedom.
    fn within(&self) -> (f64, f64) {
        let squares = self.squares - self.rest * self.rest / self.count;
        (squares, self.count - 1.0)
    }
}

/// The cells of a field.
#[derive(Clone, Debug, PartialEq)]
pub struct Cells {
    /// A run of each, its day 0 where cells are taken without their day; sorted.
    cells: Vec<Run>,
    /// The cell of each run: of those that count, then of the check runs.
    of_runs: Vec<usize>,
    /// How many runs count.
    counted: usize,
    by_day: bool,
}

impl Cells {
    /// The cells of the runs that count and of the check runs.
    ///
    /// Where the runs that count leave fewer than 3 degrees of freedom within cells, each of them
    /// on a day of its own, cells are taken without their day: what days differ by is then part of
    /// the scatter of runs, and the scatter of days is assumed.
    pub fn of(counted: &[Run], checks: &[Run]) -> Self {
        let mut cells = counted.to_vec();
        sort::distinct(&mut cells);
        let by_day = counted.len() as f64 - cells.len() as f64 >= LEAST_NU;
        let key = |run: &Run| Run {
            day: if by_day { run.day } else { 0 },
            ..*run
        };
        let runs: Vec<Run> = counted.iter().chain(checks).map(key).collect();
        let mut cells = runs.clone();
        sort::distinct(&mut cells);
        let of_runs = runs
            .iter()
            .filter_map(|run| cells.binary_search(run).ok())
            .collect();
        Self {
            cells,
            of_runs,
            counted: counted.len(),
            by_day,
        }
    }

    /// Whether the runs of one cell are those of one day.
    pub fn by_day(&self) -> bool {
        self.by_day
    }

    /// The scatter of runs about the mean of their cell. `values` are logarithms, one for each run
    /// that counts, in the order of [`Cells::of`]; further ones are passed over.
    pub fn run_scatter(&self, values: &[f64]) -> RunScatter {
        let cells = self.squares(values).into_iter();
        RunScatter::of_sums(cells.map(|(cell, sums)| (cell.tool, sums)))
    }

    /// The sum of squares of the same about the means of their cells and its degrees of freedom, of each
    /// of `pairs` pairs by its number.
    pub fn squares_of_pairs(&self, pairs: usize, values: &[f64]) -> Vec<(f64, f64)> {
        let mut sums = vec![(0.0, 0.0); pairs];
        for (cell, own) in self.squares(values) {
            if let Some((squares, nu)) = sums.get_mut(cell.pair) {
                *squares += own.0;
                *nu += own.1;
            }
        }
        sums
    }

    /// The sum of squares of the values of each cell that has some, and its degrees of freedom: as
    /// [`Components`](super::components::Components) has those of one group.
    fn squares(&self, values: &[f64]) -> Vec<(&Run, (f64, f64))> {
        let counted = || self.of_runs.iter().zip(values).take(self.counted);
        let mut sums = vec![Sums::default(); self.cells.len()];
        for (&cell, &value) in counted() {
            if let Some(sums) = sums.get_mut(cell) {
                sums.count(value);
            }
        }
        for (&cell, &value) in counted() {
            if let Some(sums) = sums.get_mut(cell) {
                sums.differ(value);
            }
        }
        let mut cells = Vec::with_capacity(self.cells.len());
        for (cell, sums) in self.cells.iter().zip(sums) {
            if sums.count > 0.0 {
                cells.push((cell, sums.within()));
            }
        }
        cells
    }

    /// The mean of each cell. `values` are logarithms, one for each run that counts, then one for each
    /// check run; `run_variance` is the variance of runs like this one, above 0.
    pub fn means(&self, values: &[f64], run_variance: impl Fn(&Run) -> f64) -> Vec<CellMean> {
        let mut sums = vec![(0.0, 0.0); self.cells.len()];
        for (&cell, value) in self.of_runs.iter().zip(values) {
            if let Some((count, sum)) = sums.get_mut(cell) {
                *count += 1.0;
                *sum += value;
            }
        }
        let cells = self.cells.iter().zip(sums);
        cells
            .filter(|(_, (count, _))| *count > 0.0)
            .map(|(cell, (count, sum))| CellMean {
                pair: cell.pair,
                specimen: cell.specimen,
                pack: cell.pack,
                day: self.by_day.then_some(cell.day),
                runs: count,
                mean: sum / count,
                run_variance: run_variance(cell),
            })
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn run(pair: usize, specimen: usize, day: usize) -> Run {
        Run {
            tool: specimen / 10,
            pair,
            specimen,
            pack: pair,
            day,
        }
    }

    #[test]
    fn runs_of_one_cell_show_their_scatter_and_the_cell_its_mean() {
        // Two days of one specimen, the second a step higher: the step is not scatter of runs.
        let counted = [1, 1, 1, 2, 2, 2].map(|day| run(0, 0, day));
        let cells = Cells::of(&counted, &[run(1, 0, 1)]);
        assert!(cells.by_day());
        let values = [0.00, 0.02, 0.04, 1.00, 1.02, 1.04, 7.0];
        let scatter = cells.run_scatter(&values).pooled;
        assert!((scatter.variance - 0.0004).abs() < 1e-15, "{scatter:?}");
        assert_eq!(scatter.nu, 4.0);
        let means = cells.means(&values, |run| 0.1 + run.pair as f64);
        let told: Vec<_> = means
            .iter()
            .map(|one| (one.pair, one.day, one.runs))
            .collect();
        assert_eq!(
            told,
            [(0, Some(1), 3.0), (0, Some(2), 3.0), (1, Some(1), 1.0)]
        );
        assert!((means[1].mean - 1.02).abs() < 1e-15);
        assert_eq!((means[2].mean, means[2].run_variance), (7.0, 1.1));
    }

    #[test]
    fn runs_each_on_a_day_of_their_own_are_taken_without_their_day() {
        let counted = [1, 2, 3, 4].map(|day| run(0, 0, day));
        let cells = Cells::of(&counted, &[run(1, 0, 1), run(1, 0, 2)]);
        assert!(!cells.by_day());
        let values = [0.00, 0.02, 0.00, 0.02, 3.0, 5.0];
        let scatter = cells.run_scatter(&values).pooled;
        assert!((scatter.variance - 0.0004 / 3.0).abs() < 1e-15);
        assert_eq!(scatter.nu, 3.0);
        let means = cells.means(&values, |_| 1e-4);
        assert!(means.iter().all(|one| one.day.is_none()));
        assert_eq!((means.len(), means[1].mean), (2, 4.0));
    }

    #[test]
    fn check_runs_on_one_day_do_not_make_up_for_runs_that_count_on_days_of_their_own() {
        let counted = [1, 2, 3, 3, 3].map(|day| run(0, 0, day));
        assert!(!Cells::of(&counted, &[run(1, 0, 1); 9]).by_day());
    }
}
