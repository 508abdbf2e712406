//! What is believed of a figure after jobs were seen: the file's figure, worth so many jobs, and the jobs.

use std::ops::RangeInclusive;

use crate::count::estimate::{Estimate, Z95};
use crate::count::matrix::dot;

/// A figure of a file with what jobs say of it.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Posterior {
    /// The figure, with the interval in which it lies with a probability of 95 %.
    pub learned: Estimate,
    /// As many jobs as these, had it been measured itself in each, say as much of it as these do.
    pub worth: f64,
    /// What the jobs alone say; `None` where they say too little.
    pub alone: Option<f64>,
}

/// Jobs that are worth less than so many do not speak for themselves.
const LEAST_WORTH: f64 = 1.0;
/// What jobs are worth at the least where they are counted as measurements.
const LEAST_COUNTED: f64 = 1e-9;
/// Ends of a two-sided 95 % interval.
const ENDS: [f64; 2] = [0.025, 0.975];

impl Posterior {
    /// Of a mean with a normal posterior: what it was before, what it is now and with what precision, and
    /// what the file's figure and the jobs are worth.
    ///
    /// # Definition
    /// Where file and jobs are farther apart than both are uncertain, that adds to the spread of what both
    /// were taken from, as it does where that spread is unknown.
    ///
    /// # Source
    /// Gelman et al., "Bayesian Data Analysis" (3rd edition), section 3.3.
    pub(super) fn of_mean(before: f64, now: f64, precision: f64, [trust, worth]: [f64; 2]) -> Self {
        let worth = worth.max(0.0);
        let both = trust + worth;
        let alone = before + (now - before) * both / worth;
        // in deviations of what one job says
        let apart = (alone - before).powi(2) * precision / both;
        let wider = match worth > 0.0 {
            true => 1.0 + apart * trust * worth / (both * both),
            false => 1.0,
        };
        let half = Z95 * (wider / precision).sqrt();
        Self::new([now, now - half, now + half], worth, alone)
    }

    /// Of a deviation, as a multiple of the file's.
    pub(super) fn of_deviation(of: &Deviation) -> Self {
        let [low, high] = of.ends();
        let [now, low, high] = [of.log_variance, low, high].map(|log| libm::exp(0.5 * log));
        let alone = (of.seen() - of.other()).max(0.0).sqrt();
        Self::new([now, low, high], of.worth, alone)
    }

    /// Of a share, from the logarithm of its density along the logarithm of its odds; that is given the share
    /// and what is left to one.
    pub(super) fn of_share(log_density: impl Fn(f64, f64) -> f64, worth: f64, alone: f64) -> Self {
        /// Logarithms of odds to either side: past them a share is nothing, or all, even to a prior of a
        /// hundredth of a trial.
        const FAR: f64 = 700.0;
        /// Logarithm of a density that counts for nothing beside the highest.
        const NOTHING: f64 = -40.0;
        const COARSE: usize = 2_800;
        const FINE: usize = 30_000;
        let share = |odds: f64| 1.0 / (1.0 + libm::exp(-odds));
        let log_density = |odds: f64| log_density(share(odds), share(-odds));
        let coarse = steps(-FAR, FAR, COARSE);
        let logs: Vec<f64> = coarse.iter().map(|odds| log_density(*odds)).collect();
        let least = highest(&logs) + NOTHING;
        let counts = |log: &f64| *log > least;
        let first = logs.iter().position(counts).unwrap_or(0);
        let last = logs.iter().rposition(counts).unwrap_or(COARSE);
        let fine = steps(
            coarse[first.saturating_sub(1)],
            coarse[(last + 1).min(COARSE)],
            FINE,
        );
        let logs: Vec<f64> = fine.iter().map(|odds| log_density(*odds)).collect();
        let top = highest(&logs);
        let density: Vec<f64> = logs.iter().map(|log| libm::exp(log - top)).collect();
        let shares: Vec<f64> = fine.iter().map(|odds| share(*odds)).collect();
        let mean = dot(&shares, &density) / density.iter().sum::<f64>();
        let [low, high] = ENDS.map(|end| share(at_share(&fine, &density, end)));
        Self::new([mean, low, high], worth, alone)
    }

    /// Of one over the figure, which the jobs alone have at a reciprocal of this.
    pub(super) fn one_over(&self, alone: f64) -> Self {
        let of = &self.learned;
        let ends = [of.value, of.high, of.low].map(|x| 1.0 / x.max(f64::MIN_POSITIVE));
        Self::new(ends, self.worth, 1.0 / alone)
    }

    /// The same in a unit of which the file's figure has so many.
    pub fn times(&self, before: f64) -> Self {
        Self {
            learned: self.learned.times(before),
            worth: self.worth,
            alone: self.alone.map(|alone| alone * before),
        }
    }

    fn new([value, low, high]: [f64; 3], worth: f64, alone: f64) -> Self {
        Self {
            learned: Estimate {
                value,
                low,
                high,
                n: worth.round() as u64,
            },
            worth,
            alone: (worth >= LEAST_WORTH && alone.is_finite()).then_some(alone),
        }
    }
}

/// What is known of a variance against the file's.
///
/// # Definition
/// As if it had been seen in so many measurements, each with another error whose variance is r times the
/// file's: these have the mean square s² and are worth, at the likeliest variance, what the jobs are worth.
/// Without the other error this is the inverse χ² distribution.
#[derive(Debug, Clone, Copy)]
pub(super) struct Deviation {
    /// The logarithm of the likeliest variance.
    pub(super) log_variance: f64,
    /// What the file's figure is worth: measurements of the variance itself.
    pub(super) trust: f64,
    /// What the jobs are worth at the likeliest variance.
    pub(super) worth: f64,
    /// Measurements in which it is met.
    pub(super) met: f64,
}

impl Deviation {
    fn met(&self) -> f64 {
        self.met.max(self.worth)
    }

    /// The variance of the other error.
    fn other(&self) -> f64 {
        libm::exp(self.log_variance) * ((self.met() / self.worth).sqrt() - 1.0)
    }

    /// The mean square that makes the variance the likeliest.
    fn seen(&self) -> f64 {
        let variance = libm::exp(self.log_variance);
        let both = variance + self.other();
        let pull = self.trust / self.met() * (1.0 / variance - 1.0);
        both * (1.0 - pull * both / variance)
    }

    /// The logarithm of the density of the variance's logarithm.
    fn log_density(&self, log_variance: f64) -> f64 {
        let variance = libm::exp(log_variance);
        let both = variance + self.other();
        let prior = log_variance + 1.0 / variance;
        let jobs = libm::log(both) + self.seen().max(0.0) / both;
        -0.5 * (self.trust * prior + self.met() * jobs)
    }

    /// Ends of the interval, as logarithms of the variance.
    ///
    /// # Definition
    /// Where the jobs tell next to nothing and are far off all the same, no such measurements make this variance
    /// the likeliest: then what file and jobs are worth together counts as measurements of the variance itself.
    fn ends(&self) -> [f64; 2] {
        let of = self.log_variance;
        let worth = self.worth.max(LEAST_COUNTED);
        let [low, high] = Self { worth, ..*self }.ends_around();
        if low < of && of < high {
            return [low, high];
        }
        let itself = Self {
            log_variance: 0.0,
            trust: self.trust + worth,
            worth: LEAST_COUNTED,
            met: LEAST_COUNTED,
        };
        itself.ends_around().map(|end| of + end)
    }

    /// The same from the density around the likeliest variance, as far as it falls: beyond, a far larger one would
    /// explain measurements that tell next to nothing as well.
    fn ends_around(&self) -> [f64; 2] {
        /// Deviations of a normal density to either side, and steps in between.
        const FAR: f64 = 9.0;
        const STEPS: usize = 2_000;
        let far = FAR * (2.0 / (self.trust + self.worth)).sqrt();
        let steps = steps(self.log_variance - far, self.log_variance + far, STEPS);
        let logs: Vec<f64> = steps.iter().map(|at| self.log_density(*at)).collect();
        let hill = hill(&logs, STEPS / 2);
        let top = self.log_density(self.log_variance);
        let density: Vec<f64> = (logs[hill.clone()].iter())
            .map(|log| libm::exp(log - top))
            .collect();
        ENDS.map(|share| at_share(&steps[hill.clone()], &density, share))
    }
}

/// Even steps from one figure to another.
fn steps(from: f64, to: f64, count: usize) -> Vec<f64> {
    let step = (to - from) / count as f64;
    (0..=count).map(|i| from + i as f64 * step).collect()
}

/// The stretch around a place in which figures fall to either side of the top next to it.
fn hill(figures: &[f64], at: usize) -> RangeInclusive<usize> {
    let last = figures.len() - 1;
    let falls = |from: usize, to: usize| figures[to] <= figures[from];
    let mut top = at;
    while top < last && !falls(top, top + 1) {
        top += 1;
    }
    while top > 0 && !falls(top, top - 1) {
        top -= 1;
    }
    let (mut low, mut high) = (top, top);
    while low > 0 && falls(low, low - 1) {
        low -= 1;
    }
    while high < last && falls(high, high + 1) {
        high += 1;
    }
    low..=high
}

fn highest(figures: &[f64]) -> f64 {
    figures.iter().copied().fold(f64::NEG_INFINITY, f64::max)
}

/// Where so much of a density on even steps lies below.
pub(super) fn at_share(steps: &[f64], density: &[f64], share: f64) -> f64 {
    let wanted = share * density.iter().sum::<f64>();
    let step = steps[1] - steps[0];
    let mut sum = 0.0;
    for (at, more) in steps.iter().zip(density) {
        if sum + more >= wanted {
            return at + step * ((wanted - sum) / more - 0.5);
        }
        sum += more;
    }
    steps[steps.len() - 1]
}
