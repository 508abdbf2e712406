//! The range that holds nearly all of a figure, from counts in fine steps.

use crate::counts::Counts;
use crate::estimate::{Estimate, Moments, quantile_places};
use crate::sums::Sums;

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
    /// A thousandth of a millimetre.
    pub(super) fn half_range(&self) -> Estimate {
        let [low, high] = [TAIL, 1.0 - TAIL].map(|q| self.quantile(q));
        let half = 0.5 * (low.half_width().hypot(high.half_width()));
        let value = 0.5 * (high.value - low.value);
        Estimate {
            value,
            low: value - half,
            high: value + half,
            n: self.counts.total(),
        }
    }

    fn quantile(&self, q: f64) -> Estimate {
        let n = self.counts.total();
        let middle = |place: u64| {
            let mut seen = 0;
            let step = self.counts.iter().find(|(_, count)| {
                seen += count;
                seen >= place
            });
            step.map_or(f64::NAN, |(step, _)| (step as f64 + 0.5) * STEP)
        };
        let place = ((q * n as f64).ceil() as u64).clamp(1, n.max(1));
        let (low, high) = match quantile_places(q, n) {
            Some((low, high)) => (middle(low), middle(high)),
            None => (f64::NEG_INFINITY, f64::INFINITY),
        };
        Estimate {
            value: middle(place),
            low,
            high,
            n,
        }
    }
}
