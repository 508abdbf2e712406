//! Linear forms of standardised variables.

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
