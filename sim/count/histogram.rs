//! Figures counted in equal steps, from which any coarser histogram follows.

use crate::count::counts::Counts;
use crate::count::estimate::Estimate;
use crate::count::quantile;
use crate::units::SLACK;

/// Outliers are clamped to these steps, so memory stays bounded.
const MOST_STEPS: i64 = 50_000;

/// Figures counted in steps of equal width.
#[derive(Debug, Clone, PartialEq)]
pub struct Histogram {
    step: f64,
    counts: Counts,
}

/// A histogram in chosen bins.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Bins {
    /// Figures below the first bin.
    pub below: u64,
    /// Figures in each bin.
    pub counts: Vec<u64>,
    /// Figures beyond the last bin.
    pub above: u64,
}

impl Histogram {
    /// Nothing counted yet, in steps of this width.
    ///
    /// # Panics
    /// If the width is not above zero.
    pub fn new(step: f64) -> Self {
        assert!(step > 0.0);
        Self {
            step,
            counts: Counts::default(),
        }
    }

    /// Counts one more figure; one on the edge between two steps belongs to the upper one.
    pub fn add(&mut self, figure: f64) {
        // the cast saturates for infinite figures
        let number = ((figure / self.step) + SLACK).floor() as i64;
        self.counts.add(number.clamp(-MOST_STEPS, MOST_STEPS));
    }

    /// Adds what a later block counted.
    pub fn merge(&mut self, later: &Self) {
        self.counts.merge(&later.counts);
    }

    /// Figures counted.
    pub fn total(&self) -> u64 {
        self.counts.total()
    }

    /// Width of a step.
    pub fn step(&self) -> f64 {
        self.step
    }

    /// The `q` quantile with its interval; no value where nothing was counted.
    ///
    /// # Accuracy
    /// Half a step; the interval extends to the outer edges of the steps that hold its ends.
    pub fn quantile(&self, q: f64) -> Estimate {
        let (edge, middle) = (|step| self.edge(step), |step| self.middle(step));
        self.counts.quantile(q, f64::NEG_INFINITY, edge, middle)
    }

    /// The lower edge of the step that holds the `q` quantile, `None` where nothing was counted:
    /// no estimate, but where bins or an axis may begin so that they start where a step does.
    pub fn edge_below(&self, q: f64) -> Option<f64> {
        let place = quantile::place(q, self.total());
        self.counts.at(place).map(|step| self.edge(step))
    }

    /// The figures in `number` bins of equal width from `start` on. Bins should start and end where
    /// steps do.
    pub fn bins(&self, start: f64, width: f64, number: usize) -> Bins {
        let mut bins = Bins {
            below: 0,
            counts: vec![0; number],
            above: 0,
        };
        for (middle, count) in self.middles() {
            let place = ((middle - start) / width).floor();
            if place < 0.0 {
                bins.below += count;
            } else {
                match bins.counts.get_mut(place as usize) {
                    Some(bin) => *bin += count,
                    None => bins.above += count,
                }
            }
        }
        bins
    }

    fn middles(&self) -> impl Iterator<Item = (f64, u64)> + '_ {
        self.counts
            .iter()
            .map(|(step, count)| (self.middle(step), count))
    }

    /// Where a step begins.
    fn edge(&self, step: i64) -> f64 {
        step as f64 * self.step
    }

    fn middle(&self, step: i64) -> f64 {
        (step as f64 + 0.5) * self.step
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn counted(step: f64, figures: &[f64]) -> Histogram {
        let mut histogram = Histogram::new(step);
        for figure in figures {
            histogram.add(*figure);
        }
        histogram
    }

    #[test]
    fn every_figure_is_in_one_bin() {
        // edges that binary fractions do not represent exactly
        let histogram = counted(0.001, &[0.13, 0.1349, 0.135, 0.2, 0.07, -0.4, 9.0]);
        let bins = histogram.bins(0.13, 0.005, 14);
        assert_eq!((bins.below, bins.above), (2, 2));
        assert_eq!(bins.counts[0], 2);
        assert_eq!(bins.counts[1], 1);
        assert_eq!(bins.counts.iter().sum::<u64>(), 3);
        assert_eq!(histogram.total(), 7);
    }

    #[test]
    fn blocks_add_up() {
        let (all, later) = ([0.1, 0.4, -0.2, 0.1], [0.7, 0.1]);
        let mut folded = counted(0.01, &all);
        folded.merge(&counted(0.01, &later));
        assert_eq!(folded, counted(0.01, &[0.1, 0.4, -0.2, 0.1, 0.7, 0.1]));
    }

    #[test]
    fn quantiles_and_outliers() {
        let histogram = counted(0.5, &[1.0, 2.0, 3.0, 4.0]);
        assert_eq!(histogram.edge_below(0.5), Some(2.0));
        assert_eq!(histogram.edge_below(1.0), Some(4.0));
        assert_eq!(histogram.quantile(0.5).value, 2.25);
        // four observations are too few for an interval
        assert_eq!(histogram.quantile(0.5).low, f64::NEG_INFINITY);
        let empty = Histogram::new(1.0);
        assert_eq!(empty.edge_below(0.5), None);
        assert!(empty.quantile(0.5).value.is_nan());
        let wild = counted(0.001, &[f64::INFINITY, f64::NEG_INFINITY, f64::NAN, 1e300]);
        assert_eq!(wild.total(), 4);
    }
}
