//! The quantile of a sample, and the order statistics between which that of the population lies:
//! the one definition that every count of figures uses.

use crate::count::counts::Counts;
use crate::count::estimate::{Estimate, Z95};

/// The place, from 1, of the `q` quantile among `n` ordered observations.
///
/// # Definition
/// ⌈q·n⌉, within 1 … n: the first observation at or below which the share `q` of them lies.
///
/// # Source
/// Hyndman and Fan, "Sample quantiles in statistical packages", The American Statistician 50 (1996)
/// 361–365, definition 1.
pub(crate) fn place(q: f64, n: u64) -> u64 {
    ((q * n as f64).ceil() as u64).clamp(1, n.max(1))
}

/// The places, from 1, of the ordered observations between which the `q` quantile of the population
/// lies with at least 95 % confidence, by the normal approximation of the binomial distribution;
/// `None` where `n` observations are too few for an interval.
///
/// # Source
/// David and Nagaraja, "Order Statistics", 3rd edition, section 7.1.
pub(crate) fn interval_places(q: f64, n: u64) -> Option<(u64, u64)> {
    let count = n as f64;
    let half = Z95 * (count * q * (1.0 - q)).sqrt();
    let low = (count * q - half).floor();
    let high = (count * q + half).ceil() + 1.0;
    (low >= 1.0 && high <= count).then_some((low as u64, high as u64))
}

impl Counts {
    /// The `q` quantile of figures that were counted in steps, with its interval; no value where
    /// nothing was counted.
    ///
    /// `edge` is where a step begins and `middle` its middle. No figure is below `least`, which is
    /// the lower end where the observations are too few for an interval.
    ///
    /// # Accuracy
    /// The middle of the step; the interval extends to the outer edges of the steps that hold its
    /// ends.
    pub(crate) fn quantile(
        &self,
        q: f64,
        least: f64,
        edge: impl Fn(i64) -> f64,
        middle: impl Fn(i64) -> f64,
    ) -> Estimate {
        let n = self.total();
        let (low, high) = match interval_places(q, n) {
            Some((low, high)) => (
                self.at(low).map_or(f64::NAN, &edge),
                self.at(high).map_or(f64::NAN, |step| edge(step + 1)),
            ),
            None => (least, f64::INFINITY),
        };
        Estimate {
            value: self.at(place(q, n)).map_or(f64::NAN, middle),
            low,
            high,
            n,
        }
    }
}
