//! The range that holds nearly all of a figure, from counts in fine steps.

use crate::count::counts::Counts;
use crate::count::estimate::{Estimate, Moments, quantile_places};
use crate::count::sums::Sums;

/// Step in which figures are counted, mm.
const STEP: f64 = 0.000_5;
/// Figures are held within this of zero, mm.
const FARTHEST: f64 = 20.0;
/// Share of a normal figure that lies more than three sigmas off to one side.
const TAIL: f64 = 0.001_349_898;

/// Figures of either sign.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Range {
    counts: Counts,
    sums: Sums,
}

impl Range {
    pub(super) fn add(&mut self, figure: f64) {
        let held = figure.clamp(-FARTHEST, FARTHEST);
        self.counts.add((held / STEP).floor() as i64);
        self.sums.add(figure);
    }

    pub(super) fn merge(&mut self, later: &Self) {
        self.counts.merge(&later.counts);
        self.sums.merge(&later.sums);
    }

    pub(super) fn moments(&self) -> Moments {
        self.sums.moments()
    }

    /// Half of the range that leaves out as much on either side as three sigmas of a normal figure
    /// do. Its interval is made of those of both ends, as if they were independent, which they
    /// nearly are; endless where there are too few to say.
    ///
    /// # Accuracy
    /// Half a thousandth of a millimetre; the interval reaches to the edges of the steps that its
    /// ends lie in.
    ///
    /// # Source
    /// Zou and Donner, "Construction of confidence limits about effect measures: a general
    /// approach", Statistics in Medicine 27 (2008) 1693–1702, equation 5.
    pub(super) fn half_range(&self) -> Estimate {
        let [low, high] = [TAIL, 1.0 - TAIL].map(|q| self.quantile(q));
        let value = 0.5 * (high.value - low.value);
        Estimate {
            value,
            low: value - 0.5 * libm::hypot(high.value - high.low, low.high - low.value),
            high: value + 0.5 * libm::hypot(high.high - high.value, low.value - low.low),
            n: self.counts.total(),
        }
    }

    fn quantile(&self, q: f64) -> Estimate {
        let n = self.counts.total();
        // so far into the step that a place lies in
        let at = |place: u64, part: f64| {
            let mut seen = 0;
            let step = self.counts.iter().find(|(_, count)| {
                seen += count;
                seen >= place
            });
            step.map_or(f64::NAN, |(step, _)| (step as f64 + part) * STEP)
        };
        let place = ((q * n as f64).ceil() as u64).clamp(1, n.max(1));
        let (low, high) = match quantile_places(q, n) {
            Some((low, high)) => (at(low, 0.0), at(high, 1.0)),
            None => (f64::NEG_INFINITY, f64::INFINITY),
        };
        Estimate {
            value: at(place, 0.5),
            low,
            high,
            n,
        }
    }
}
