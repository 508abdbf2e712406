//! Small square matrices.

/// A square matrix, row by row.
#[derive(Debug, Clone)]
pub(crate) struct Matrix {
    pub(crate) size: usize,
    pub(crate) cells: Vec<f64>,
}

impl Matrix {
    pub(crate) fn zero(size: usize) -> Self {
        Self {
            size,
            cells: vec![0.0; size * size],
        }
    }

    pub(crate) fn at(&self, row: usize, column: usize) -> f64 {
        self.cells[row * self.size + column]
    }

    pub(crate) fn row(&self, row: usize) -> &[f64] {
        &self.cells[row * self.size..(row + 1) * self.size]
    }

    pub(crate) fn add(&mut self, row: usize, column: usize, more: f64) {
        self.cells[row * self.size + column] += more;
    }

    /// Adds factor·a·aᵀ.
    pub(crate) fn add_square(&mut self, terms: &[(usize, f64)], factor: f64) {
        for (row, a) in terms {
            for (column, b) in terms {
                self.add(*row, *column, factor * a * b);
            }
        }
    }

    pub(crate) fn add_all(&mut self, other: &Self) {
        for (cell, more) in self.cells.iter_mut().zip(&other.cells) {
            *cell += more;
        }
    }

    /// Adds factor·a·bᵀ.
    pub(crate) fn add_product(&mut self, a: &[f64], b: &[f64], factor: f64) {
        for (row, x) in self.cells.chunks_mut(self.size.max(1)).zip(a) {
            let by = factor * x;
            if by != 0.0 {
                row.iter_mut().zip(b).for_each(|(cell, y)| *cell += by * y);
            }
        }
    }

    /// The sum of the products of cells at the same place.
    pub(crate) fn product(&self, other: &Self) -> f64 {
        dot(&self.cells, &other.cells)
    }

    pub(crate) fn times(&self, a: &[f64]) -> Vec<f64> {
        (0..self.size).map(|i| dot(self.row(i), a)).collect()
    }

    /// The upper half from the lower one.
    pub(crate) fn mirror(&mut self) {
        for i in 0..self.size {
            for j in 0..i {
                self.cells[j * self.size + i] = self.at(i, j);
            }
        }
    }

    /// Its inverse; `None` where it is not positive definite.
    pub(crate) fn inverse(self) -> Option<Self> {
        let n = self.size;
        let factor = self.factor()?;
        let mut inverse = Self::zero(n);
        for column in 0..n {
            let mut unit = vec![0.0; n];
            unit[column] = 1.0;
            factor.divide(&mut unit);
            factor.divide_above(&mut unit);
            for (row, value) in unit.into_iter().enumerate() {
                inverse.add(row, column, value);
            }
        }
        Some(inverse)
    }

    /// Solves L·x = a, in place, where this is the factor L.
    pub(crate) fn divide(&self, a: &mut [f64]) {
        for i in 0..self.size {
            let (before, own) = a.split_at_mut(i);
            let row = self.row(i);
            own[0] = (own[0] - dot(&row[..i], before)) / row[i];
        }
    }

    /// Solves Lᵀ·x = a, in place, where this is the factor L.
    fn divide_above(&self, a: &mut [f64]) {
        for i in (0..self.size).rev() {
            let row = self.row(i);
            let own = a[i] / row[i];
            a[i] = own;
            for (x, cell) in a[..i].iter_mut().zip(row) {
                *x -= cell * own;
            }
        }
    }

    /// Its factor L with L·Lᵀ the matrix; `None` where it is not positive definite.
    pub(crate) fn factor(mut self) -> Option<Self> {
        let n = self.size;
        for i in 0..n {
            for j in 0..=i {
                let (before, own) = self.cells.split_at(i * n);
                let other = if j == i {
                    &own[..n]
                } else {
                    &before[j * n..][..n]
                };
                let sum: f64 = (0..j).map(|k| own[k] * other[k]).sum();
                let left = own[j] - sum;
                let pivot = if j == i { 1.0 } else { other[j] };
                if j == i {
                    if left <= 0.0 || !left.is_finite() {
                        return None;
                    }
                    self.cells[i * n + i] = left.sqrt();
                } else {
                    self.cells[i * n + j] = left / pivot;
                }
            }
            for j in i + 1..n {
                self.cells[i * n + j] = 0.0;
            }
        }
        Some(self)
    }
}

/// Σ aᵢ·bᵢ, four sums at a time.
#[inline]
pub(crate) fn dot(a: &[f64], b: &[f64]) -> f64 {
    let (four, more) = a.as_chunks::<4>();
    let (others, rest) = b.as_chunks::<4>();
    let mut sums = [0.0; 4];
    for (x, y) in four.iter().zip(others) {
        for i in 0..4 {
            sums[i] += x[i] * y[i];
        }
    }
    let more: f64 = more.iter().zip(rest).map(|(x, y)| x * y).sum();
    (sums[0] + sums[1]) + (sums[2] + sums[3]) + more
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Sums of four at a time, with whatever is left of them, are those of one at a time.
    #[test]
    fn a_product_of_vectors_leaves_none_out() {
        for size in 0_u32..11 {
            let a: Vec<f64> = (0..size).map(|i| f64::from(i + 1)).collect();
            let b: Vec<f64> = (0..size).map(|i| f64::from(3 * i) - 7.0).collect();
            let plain: f64 = (0..a.len()).map(|i| a[i] * b[i]).sum();
            assert_eq!(dot(&a, &b), plain, "{size}");
        }
    }

    #[test]
    fn products_are_added_where_they_belong() {
        let mut sum = Matrix::zero(3);
        let (a, b) = ([1.0, 0.0, -2.0], [3.0, 5.0, 7.0]);
        sum.add_product(&a, &b, 2.0);
        assert_eq!(
            sum.cells,
            [6.0, 10.0, 14.0, 0.0, 0.0, 0.0, -12.0, -20.0, -28.0]
        );
        assert_eq!(
            sum.product(&sum),
            sum.cells.iter().map(|x| x * x).sum::<f64>()
        );
        assert_eq!(sum.times(&[1.0, 1.0, 1.0]), [30.0, 0.0, -60.0]);
        let twice = sum.clone();
        sum.add_all(&twice);
        assert_eq!(sum.row(2), [-24.0, -40.0, -56.0]);
        sum.mirror();
        assert_eq!(
            [sum.at(0, 1), sum.at(0, 2), sum.at(1, 2)],
            [0.0, -24.0, -40.0]
        );
        // of no size at all
        Matrix::zero(0).add_product(&[], &[], 1.0);
    }

    /// The inverse of Hilbert's matrix of four rows is of whole numbers.
    #[test]
    fn an_inverse_is_as_it_is_known() {
        let mut hilbert = Matrix::zero(4);
        for i in 0..4 {
            for j in 0..4 {
                hilbert.add(i, j, 1.0 / (i + j + 1) as f64);
            }
        }
        let inverse = hilbert.inverse().unwrap();
        let known = [
            [16.0, -120.0, 240.0, -140.0],
            [-120.0, 1_200.0, -2_700.0, 1_680.0],
            [240.0, -2_700.0, 6_480.0, -4_200.0],
            [-140.0, 1_680.0, -4_200.0, 2_800.0],
        ];
        for (i, row) in known.iter().enumerate() {
            for (j, cell) in row.iter().enumerate() {
                assert!(
                    (inverse.at(i, j) - cell).abs() < 1e-8,
                    "{i} {j}: {}",
                    inverse.at(i, j)
                );
            }
        }
    }

    #[test]
    fn an_inverse_times_its_matrix_is_one() {
        let mut matrix = Matrix::zero(3);
        for (a, factor) in [
            ([1.0, 2.0, -1.0], 1.0),
            ([0.0, 1.0, 0.5], 2.0),
            ([0.3, 0.0, 1.0], 3.0),
        ] {
            matrix.add_product(&a, &a, factor);
        }
        let inverse = matrix.clone().inverse().unwrap();
        for i in 0..3 {
            let mut unit = [0.0; 3];
            unit[i] = 1.0;
            let back = matrix.times(&inverse.times(&unit));
            for (j, x) in back.iter().enumerate() {
                let one = if i == j { 1.0 } else { 0.0 };
                assert!((x - one).abs() < 1e-12, "{i} {j}: {x}");
            }
        }
        let mut flat = Matrix::zero(2);
        flat.add_product(&[1.0, 1.0], &[1.0, 1.0], 1.0);
        assert!(flat.inverse().is_none());
    }
}
