//! Plain sums of one block of rebuilds, which become moments once blocks are folded.

use crate::estimate::Moments;

/// Sums of one block, kept as moments once folded.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Sums {
    n: u64,
    sum: f64,
    squares: f64,
    folded: Moments,
}

impl Sums {
    #[inline]
    pub(crate) fn add(&mut self, figure: f64) {
        self.n += 1;
        self.sum += figure;
        self.squares += figure * figure;
    }

    /// Adds what a later block gathered.
    pub(crate) fn merge(&mut self, later: &Self) {
        self.folded.merge(&later.moments());
    }

    pub(crate) fn moments(&self) -> Moments {
        let mut moments = self.folded;
        moments.merge(&Moments::from_sums(self.n, self.sum, self.squares));
        moments
    }
}
