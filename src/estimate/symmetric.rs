//! Symmetric positive definite matrices: Cholesky's factor, and what it solves.

/// A lower triangle L with L L′ the matrix (Cholesky; Golub and Van Loan, "Matrix Computations",
/// 4.2).
///
/// # Guarantees
///
/// Row i has i + 1 entries, the last above 0.
#[derive(Clone, Debug)]
pub(super) struct Factor(Vec<Vec<f64>>);

impl Factor {
    /// The factor of a matrix given by rows, of which the lower triangle is read; `None` if it is not
    /// positive definite.
    pub fn of(matrix: &[Vec<f64>]) -> Option<Self> {
        let mut factor = Self(Vec::with_capacity(matrix.len()));
        for row in matrix {
            let mut own: Vec<f64> = Vec::with_capacity(factor.0.len() + 1);
            for (above, entry) in factor.0.iter().zip(row) {
                let known = dot(&own, above);
                own.push((entry - known) / diagonal(above));
            }
            let rest = row.get(own.len())? - dot(&own, &own);
            if !(rest > 0.0 && rest.is_finite()) {
                return None;
            }
            own.push(rest.sqrt());
            factor.0.push(own);
        }
        Some(factor)
    }

    /// The x with L L′ x = `right`.
    pub fn solve(&self, right: &[f64]) -> Vec<f64> {
        let mut half: Vec<f64> = Vec::with_capacity(right.len());
        for (row, entry) in self.0.iter().zip(right) {
            half.push((entry - dot(&half, row)) / diagonal(row));
        }
        let mut last_first = Vec::with_capacity(half.len());
        for row in self.0.iter().rev() {
            let x = half.pop().unwrap_or_default() / diagonal(row);
            for (rest, entry) in half.iter_mut().zip(row) {
                *rest -= entry * x;
            }
            last_first.push(x);
        }
        last_first.reverse();
        last_first
    }

    /// The inverse, by rows.
    pub fn inverse(&self) -> Vec<Vec<f64>> {
        let size = self.0.len();
        let unit = |one| (0..size).map(move |place| f64::from(u8::from(place == one)));
        (0..size)
            .map(|one| self.solve(&unit(one).collect::<Vec<_>>()))
            .collect()
    }
}

fn diagonal(row: &[f64]) -> f64 {
    row.last().copied().unwrap_or(1.0)
}

/// Sum of products, over the shorter of the two.
pub(super) fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// A matrix times a vector.
pub(super) fn times(matrix: &[Vec<f64>], vector: &[f64]) -> Vec<f64> {
    matrix.iter().map(|row| dot(row, vector)).collect()
}

/// v′ A v.
pub(super) fn quadratic(matrix: &[Vec<f64>], vector: &[f64]) -> f64 {
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
    fn what_is_not_positive_definite_has_no_factor() {
        assert!(Factor::of(&[vec![1.0, 2.0], vec![2.0, 1.0]]).is_none());
        assert!(Factor::of(&[vec![f64::NAN]]).is_none());
        assert!(Factor::of(&[vec![1.0, 0.0], vec![0.0]]).is_none());
    }
}
