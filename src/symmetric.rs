//! Symmetric positive definite matrices: Cholesky's factor, what it solves, and its inverse.
//!
//! What stands before the first entry of a row that is not 0 stays 0 in the factor (the envelope:
//! George and Liu, "Computer Solution of Large Sparse Positive Definite Systems", chapter 4) and takes
//! no time, so a matrix with many small blocks before a few full rows costs little.

/// A lower triangle L with L L′ the matrix (Cholesky; Golub and Van Loan, "Matrix Computations",
/// 4.2).
///
/// # Guarantees
///
/// The last entry of each row is on the diagonal and above 0.
#[derive(Clone, Debug)]
pub struct Factor(Vec<Row>);

/// The inverse of a factor, a lower triangle X: X′X is the inverse of the matrix.
#[derive(Clone, Debug)]
pub struct InverseFactor(Vec<Row>);

/// A row of a lower triangle, from its first entry that is not 0 to the diagonal.
#[derive(Clone, Debug)]
struct Row {
    first: usize,
    entries: Vec<f64>,
}

impl Row {
    /// The entries from a column on.
    fn from(&self, column: usize) -> &[f64] {
        let before = column.saturating_sub(self.first);
        self.entries.get(before..).unwrap_or_default()
    }

    fn diagonal(&self) -> f64 {
        self.entries.last().copied().unwrap_or(1.0)
    }
}

impl Factor {
    /// The factor of a matrix given by rows, of which the lower triangle is read; `None` if it is not
    /// positive definite.
    pub fn of(matrix: &[Vec<f64>]) -> Option<Self> {
        let mut factor = Self(Vec::with_capacity(matrix.len()));
        for (index, row) in matrix.iter().enumerate() {
            let first = row.iter().take(index).position(|entry| *entry != 0.0);
            let first = first.unwrap_or(index);
            let mut own = Row {
                first,
                entries: Vec::with_capacity(index + 1 - first),
            };
            for (above, entry) in factor.0.iter().zip(row).skip(first) {
                let known = dot(own.from(above.first), above.from(first));
                own.entries.push((entry - known) / above.diagonal());
            }
            let rest = row.get(index)? - dot(&own.entries, &own.entries);
            if !(rest > 0.0 && rest.is_finite()) {
                return None;
            }
            own.entries.push(rest.sqrt());
            factor.0.push(own);
        }
        Some(factor)
    }

    /// The x with L L′ x = `right`.
    pub fn solve(&self, right: &[f64]) -> Vec<f64> {
        let mut half: Vec<f64> = Vec::with_capacity(right.len());
        for (row, entry) in self.0.iter().zip(right) {
            let known = dot(half.get(row.first..).unwrap_or_default(), &row.entries);
            half.push((entry - known) / row.diagonal());
        }
        let mut last_first = Vec::with_capacity(half.len());
        for row in self.0.iter().rev() {
            let x = half.pop().unwrap_or_default() / row.diagonal();
            for (rest, entry) in half.iter_mut().skip(row.first).zip(&row.entries) {
                *rest -= entry * x;
            }
            last_first.push(x);
        }
        last_first.reverse();
        last_first
    }

    /// The inverse of the matrix, by rows.
    pub fn inverse(&self) -> Vec<Vec<f64>> {
        let size = self.0.len();
        let unit = |one| (0..size).map(move |index| f64::from(u8::from(index == one)));
        (0..size)
            .map(|one| self.solve(&unit(one).collect::<Vec<_>>()))
            .collect()
    }

    /// The inverse of the factor: a third of the work of the inverse of the matrix, less where rows
    /// are short.
    pub fn inverse_factor(&self) -> InverseFactor {
        let mut inverse: Vec<Row> = Vec::with_capacity(self.0.len());
        for (index, row) in self.0.iter().enumerate() {
            let known = || inverse.iter().skip(row.first).zip(&row.entries);
            let first = known()
                .map(|(above, _)| above.first)
                .fold(index, usize::min);
            let mut entries = vec![0.0; index - first];
            for (above, factor) in known() {
                let own = entries.iter_mut().skip(above.first - first);
                for (entry, other) in own.zip(&above.entries) {
                    *entry -= factor * other;
                }
            }
            entries.push(1.0);
            for entry in &mut entries {
                *entry /= row.diagonal();
            }
            inverse.push(Row { first, entries });
        }
        InverseFactor(inverse)
    }
}

impl InverseFactor {
    /// The diagonal of the inverse of the matrix.
    pub fn diagonal(&self) -> Vec<f64> {
        let mut diagonal = vec![0.0; self.0.len()];
        for row in &self.0 {
            for (sum, entry) in diagonal.iter_mut().skip(row.first).zip(&row.entries) {
                *sum += entry * entry;
            }
        }
        diagonal
    }

    /// The inverse of the matrix times a vector.
    pub fn times(&self, vector: &[f64]) -> Vec<f64> {
        let mut product = vec![0.0; self.0.len()];
        for row in &self.0 {
            let half = dot(vector.get(row.first..).unwrap_or_default(), &row.entries);
            for (sum, entry) in product.iter_mut().skip(row.first).zip(&row.entries) {
                *sum += half * entry;
            }
        }
        product
    }

    /// The lower triangle of the inverse of the matrix, by rows.
    pub fn lower_triangle(&self) -> Vec<Vec<f64>> {
        let size = self.0.len();
        let mut inverse: Vec<Vec<f64>> = (0..size).map(|row| vec![0.0; row + 1]).collect();
        for row in &self.0 {
            let rows = inverse.iter_mut().skip(row.first).zip(&row.entries);
            for (sums, one) in rows {
                for (sum, other) in sums.iter_mut().skip(row.first).zip(&row.entries) {
                    *sum += one * other;
                }
            }
        }
        inverse
    }
}

/// Sum of products, over the shorter of the two.
pub fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// A matrix times a vector.
pub fn times(matrix: &[Vec<f64>], vector: &[f64]) -> Vec<f64> {
    matrix.iter().map(|row| dot(row, vector)).collect()
}

/// v′ A v.
pub fn quadratic(matrix: &[Vec<f64>], vector: &[f64]) -> f64 {
    dot(vector, &times(matrix, vector))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_matrix_times_its_inverse_is_one() {
        let matrix = [
            vec![4.0, 1.0, 0.5],
            vec![1.0, 3.0, -0.2],
            vec![0.5, -0.2, 2.0],
        ];
        let inverse = Factor::of(&matrix).unwrap().inverse();
        for (i, row) in matrix.iter().enumerate() {
            let product = times(&inverse, row);
            for (j, entry) in product.iter().enumerate() {
                assert!((entry - f64::from(u8::from(i == j))).abs() < 1e-14);
            }
        }
    }

    #[test]
    fn rows_that_begin_with_zeros_are_solved_and_turned_round_as_full_ones() {
        // Blocks of two and one, then two full rows, then a row alone.
        let matrix = [
            vec![4.0, 1.0, 0.0, 0.5, 0.2, 0.0],
            vec![1.0, 3.0, 0.0, 0.0, -0.3, 0.0],
            vec![0.0, 0.0, 2.0, 0.7, 0.1, 0.0],
            vec![0.5, 0.0, 0.7, 5.0, 0.4, 0.0],
            vec![0.2, -0.3, 0.1, 0.4, 6.0, 0.0],
            vec![0.0, 0.0, 0.0, 0.0, 0.0, 1.5],
        ];
        let factor = Factor::of(&matrix).unwrap();
        let (full, turned) = (factor.inverse(), factor.inverse_factor());
        let (diagonal, lower) = (turned.diagonal(), turned.lower_triangle());
        for (i, row) in matrix.iter().enumerate() {
            assert!((diagonal[i] - full[i][i]).abs() < 1e-15);
            for (j, entry) in lower[i].iter().enumerate() {
                assert!((entry - full[i][j]).abs() < 1e-15, "{i} {j}");
            }
            for (j, entry) in times(&full, row).iter().enumerate() {
                assert!((entry - f64::from(u8::from(i == j))).abs() < 1e-14);
            }
        }
        let right = [1.0, -2.0, 3.0, 0.5, 0.0, 6.0];
        for (a, b) in factor.solve(&right).iter().zip(turned.times(&right)) {
            assert!((a - b).abs() < 1e-14);
        }
    }

    #[test]
    fn what_is_not_positive_definite_has_no_factor() {
        assert!(Factor::of(&[vec![1.0, 2.0], vec![2.0, 1.0]]).is_none());
        assert!(Factor::of(&[vec![f64::NAN]]).is_none());
        assert!(Factor::of(&[vec![1.0, 0.0], vec![0.0]]).is_none());
    }
}
