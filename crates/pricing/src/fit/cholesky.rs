//! A symmetric matrix as the product of a triangle with its mirror image: for a handful of unknowns.

/// Lower triangle `L` with `L * L^T = matrix`, row by row.
pub(crate) struct Cholesky {
    rows: Vec<Vec<f64>>,
}

impl Cholesky {
    /// Takes a symmetric matrix apart; none unless it is positive definite, each pivot being more than `least`
    /// times its diagonal element.
    pub(crate) fn of(matrix: &[Vec<f64>], least: f64) -> Option<Self> {
        let mut rows: Vec<Vec<f64>> = Vec::with_capacity(matrix.len());
        for (i, source) in matrix.iter().enumerate() {
            let mut row: Vec<f64> = Vec::with_capacity(i + 1);
            for (above, &element) in rows.iter().zip(source) {
                let rest = element - dot(above, &row);
                row.push(rest / above.last()?);
            }
            let diagonal = *source.get(i)?;
            let pivot = diagonal - dot(&row, &row);
            // Written so that a pivot that is not a number is refused too.
            if !(pivot > least * diagonal && pivot > 0.0 && pivot.is_finite()) {
                return None;
            }
            row.push(pivot.sqrt());
            rows.push(row);
        }
        Some(Self { rows })
    }

    /// The `x` with `matrix * x = right`.
    pub(crate) fn solve(&self, right: &[f64]) -> Vec<f64> {
        let mut x: Vec<f64> = Vec::with_capacity(right.len());
        for (row, value) in self.rows.iter().zip(right) {
            let rest = value - dot(row, &x);
            x.push(rest / row.last().copied().unwrap_or(f64::NAN));
        }
        for i in (0..x.len()).rev() {
            let Some((last, before)) = self.rows[i].split_last() else { continue };
            x[i] /= last;
            let known = x[i];
            for (value, factor) in x.iter_mut().zip(before) {
                *value -= factor * known;
            }
        }
        x
    }

    /// The inverse of the matrix.
    pub(crate) fn inverse(&self) -> Vec<Vec<f64>> {
        let n = self.rows.len();
        (0..n).map(|k| self.solve(&(0..n).map(|i| f64::from(u8::from(i == k))).collect::<Vec<_>>())).collect()
    }
}

/// Sum of products over the shorter of the two.
pub(crate) fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_solution_of_a_small_system_solves_it() {
        let matrix = vec![vec![4.0, 2.0, 0.6], vec![2.0, 5.0, 1.0], vec![0.6, 1.0, 3.0]];
        let right = [1.0, -2.0, 0.5];
        let x = Cholesky::of(&matrix, 0.0).expect("positive definite").solve(&right);
        for (row, value) in matrix.iter().zip(right) {
            assert!((dot(row, &x) - value).abs() < 1e-14);
        }
    }

    #[test]
    fn a_matrix_times_its_inverse_is_the_identity() {
        let matrix = vec![vec![4.0, 2.0], vec![2.0, 5.0]];
        let inverse = Cholesky::of(&matrix, 0.0).expect("positive definite").inverse();
        assert!((dot(&matrix[0], &inverse[0]) - 1.0).abs() < 1e-14);
        assert!(dot(&matrix[0], &inverse[1]).abs() < 1e-14);
    }

    #[test]
    fn a_singular_matrix_is_refused() {
        assert!(Cholesky::of(&[vec![1.0, 2.0], vec![2.0, 4.0]], 1e-12).is_none());
        assert!(Cholesky::of(&[vec![f64::NAN]], 0.0).is_none());
    }
}
