//! Linear forms of standardised variables, and the factor of a matrix.

/// A figure that is a constant and a sum of variables, each times a factor.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Form {
    pub(super) constant: f64,
    /// Variable and factor, in order of the variables.
    pub(super) terms: Vec<(usize, f64)>,
}

impl Form {
    pub(super) fn of(constant: f64) -> Self {
        Self {
            constant,
            terms: Vec::new(),
        }
    }

    /// A variable with this mean and deviation.
    pub(super) fn variable(place: usize, mean: f64, deviation: f64) -> Self {
        Self {
            constant: mean,
            terms: vec![(place, deviation)],
        }
    }

    /// This and another one times a factor.
    pub(super) fn and(mut self, other: &Self, factor: f64) -> Self {
        self.constant += factor * other.constant;
        for (place, coefficient) in &other.terms {
            let more = factor * coefficient;
            match self.terms.binary_search_by_key(place, |(have, _)| *have) {
                Ok(at) => self.terms[at].1 += more,
                Err(at) => self.terms.insert(at, (*place, more)),
            }
        }
        self
    }

    pub(super) fn plus(self, other: &Self) -> Self {
        self.and(other, 1.0)
    }

    pub(super) fn less(self, other: &Self) -> Self {
        self.and(other, -1.0)
    }

    pub(super) fn times(&self, factor: f64) -> Self {
        Self::of(0.0).and(self, factor)
    }

    /// Its value with these variables.
    #[inline]
    pub(super) fn at(&self, variables: &[f64]) -> f64 {
        let mut sum = self.constant;
        for (place, factor) in &self.terms {
            sum += factor * variables[*place];
        }
        sum
    }

    /// Its deviation where every variable is standard normal.
    pub(super) fn deviation(&self) -> f64 {
        let squares: f64 = self.terms.iter().map(|(_, factor)| factor * factor).sum();
        squares.sqrt()
    }
}

/// A square matrix, row by row.
#[derive(Debug, Clone)]
pub(super) struct Matrix {
    pub(super) size: usize,
    pub(super) cells: Vec<f64>,
}

impl Matrix {
    pub(super) fn zero(size: usize) -> Self {
        Self {
            size,
            cells: vec![0.0; size * size],
        }
    }

    pub(super) fn row(&self, row: usize) -> &[f64] {
        &self.cells[row * self.size..(row + 1) * self.size]
    }

    pub(super) fn add(&mut self, row: usize, column: usize, more: f64) {
        self.cells[row * self.size + column] += more;
    }

    /// Adds factor·a·aᵀ.
    pub(super) fn add_square(&mut self, terms: &[(usize, f64)], factor: f64) {
        for (row, a) in terms {
            for (column, b) in terms {
                self.add(*row, *column, factor * a * b);
            }
        }
    }

    /// Its factor L with L·Lᵀ the matrix; `None` where it is not positive definite.
    pub(super) fn factor(mut self) -> Option<Self> {
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
