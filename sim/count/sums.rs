//! Sums of one block of rebuilds, which become moments once blocks are merged.

use crate::count::estimate::Moments;
use crate::count::moments::PowerSums;

/// Sums of one block, kept as moments once merged: for the mean of a figure to which every rebuild
/// contributes.
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

/// The same with third and fourth powers: for a spread, or the mean of a figure to which few
/// rebuilds contribute.
///
/// Powers are of deviations from the first figure of the block, so that figures far from zero keep
/// their precision.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Powers {
    own: PowerSums,
    folded: Moments,
}

impl Powers {
    #[inline]
    pub(crate) fn add(&mut self, figure: f64) {
        let own = &mut self.own;
        if own.n == 0 {
            own.origin = figure;
        }
        let off = figure - own.origin;
        let squared = off * off;
        own.n += 1;
        own.sum += figure;
        own.squares += figure * figure;
        own.cubes += squared * off;
        own.fourths += squared * squared;
    }

    /// Adds what a later block gathered.
    pub(crate) fn merge(&mut self, later: &Self) {
        self.folded.merge(&later.moments());
    }

    pub(crate) fn moments(&self) -> Moments {
        let mut moments = self.folded;
        moments.merge(&Moments::from_powers(&self.own));
        moments
    }
}
