//! The range that holds nearly all of a figure, from counts in fine steps.

use crate::count::estimate::{Estimate, Moments};
use crate::count::histogram::Histogram;
use crate::count::sums::Sums;

/// Step in which figures are counted, mm.
const STEP: f64 = 0.000_5;
/// Share of a normal figure that lies more than three sigmas off to one side.
const TAIL: f64 = 0.001_349_898;

/// Figures of either sign, mm.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Range {
    histogram: Histogram,
    sums: Sums,
}

impl Default for Range {
    fn default() -> Self {
        Self {
            histogram: Histogram::new(STEP),
            sums: Sums::default(),
        }
    }
}

impl Range {
    pub(super) fn add(&mut self, figure: f64) {
        self.histogram.add(figure);
        self.sums.add(figure);
    }

    pub(super) fn merge(&mut self, later: &Self) {
        self.histogram.merge(&later.histogram);
        self.sums.merge(&later.sums);
    }

    pub(super) fn moments(&self) -> Moments {
        self.sums.moments()
    }

    /// Half of the range that leaves out as much on either side as three sigmas of a normal figure
    /// do. Its interval is made of those of both ends, taken as independent, which they nearly are;
    /// infinite where there are too few observations.
    ///
    /// # Accuracy
    /// Half a thousandth of a millimetre; the interval extends to the edges of the steps that hold
    /// its ends.
    ///
    /// # Source
    /// Zou and Donner, "Construction of confidence limits about effect measures: a general
    /// approach", Statistics in Medicine 27 (2008) 1693–1702, equation 5.
    pub(super) fn half_range(&self) -> Estimate {
        let [low, high] = [TAIL, 1.0 - TAIL].map(|q| self.histogram.quantile(q));
        let value = 0.5 * (high.value - low.value);
        Estimate {
            value,
            low: value - 0.5 * libm::hypot(high.value - high.low, low.high - low.value),
            high: value + 0.5 * libm::hypot(high.high - high.value, low.value - low.low),
            n: self.histogram.total(),
        }
    }
}
