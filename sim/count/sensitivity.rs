//! Estimators of how much of an outcome's variance an input accounts for.
//!
//! Two questions, two figures. The first-order index: what share of the variance would go, on
//! average, if this input alone were known. The total index: what share would remain, on average,
//! if everything else were known. It is at least the first; the difference is interaction.
//!
//! # Source
//! Sobol', "Sensitivity estimates for nonlinear mathematical models", Mathematical Modelling and
//! Computational Experiments 1 (1993) 407–414; Homma and Saltelli, Reliability Engineering and
//! System Safety 52 (1996) 1–17.

use crate::count::estimate::Estimate;
use crate::count::rare;
use crate::count::student::t95;

/// The edges of the bins of an input with one or two coordinates.
#[derive(Debug, Clone, PartialEq)]
pub struct Edges {
    inner: Vec<Vec<f64>>,
    centres: Vec<f64>,
}

/// Bins of an input with one coordinate.
const BINS_OF_ONE: usize = 32;
/// Bins along either coordinate of an input with two.
const BINS_OF_TWO: usize = 8;

impl Edges {
    /// Bins that are about equally likely, by a sample of each coordinate. An edge is the first of the
    /// sample in the bin above it: no quantile.
    ///
    /// # Panics
    /// If there are not one or two coordinates, or one without a sample.
    pub fn of(samples: &[Vec<f64>]) -> Self {
        assert!(matches!(samples.len(), 1 | 2));
        let bins = if samples.len() == 1 {
            BINS_OF_ONE
        } else {
            BINS_OF_TWO
        };
        let sorted: Vec<Vec<f64>> = samples
            .iter()
            .map(|sample| {
                let mut sorted = sample.clone();
                sorted.sort_by(f64::total_cmp);
                sorted
            })
            .collect();
        Self {
            inner: sorted
                .iter()
                .map(|sorted| (1..bins).map(|k| sorted[k * sorted.len() / bins]).collect())
                .collect(),
            centres: sorted.iter().map(|s| s[s.len() / 2]).collect(),
        }
    }

    fn bins(&self) -> usize {
        self.inner.iter().map(|edges| edges.len() + 1).product()
    }

    fn across(&self) -> usize {
        self.inner.last().map_or(0, Vec::len) + 1
    }

    fn cell(&self, at: &[f64]) -> usize {
        self.inner.iter().zip(at).fold(0, |cell, (edges, x)| {
            cell * (edges.len() + 1) + edges.partition_point(|edge| edge <= x)
        })
    }
}

/// Sums of outcomes, bin by bin of one input: all that the first-order index needs.
#[derive(Debug, Clone, PartialEq)]
pub struct OutcomeBins<const OUTCOMES: usize> {
    bins: Vec<Bin<OUTCOMES>>,
    /// Bins along the last coordinate.
    across: usize,
}

#[derive(Debug, Clone, Copy, PartialEq)]
struct Bin<const OUTCOMES: usize> {
    n: f64,
    x: [f64; 2],
    /// x₁², x₁x₂, x₂².
    xx: [f64; 3],
    outcomes: [OutcomeSums; OUTCOMES],
}

#[derive(Debug, Clone, Copy, PartialEq, Default)]
struct OutcomeSums {
    /// y, y², y³, y⁴.
    powers: [f64; 4],
    xy: [f64; 2],
}

impl<const OUTCOMES: usize> Bin<OUTCOMES> {
    const EMPTY: Self = Self {
        n: 0.0,
        x: [0.0; 2],
        xx: [0.0; 3],
        outcomes: [OutcomeSums {
            powers: [0.0; 4],
            xy: [0.0; 2],
        }; OUTCOMES],
    };
}

impl<const OUTCOMES: usize> OutcomeBins<OUTCOMES> {
    /// Nothing observed yet.
    pub fn new(edges: &Edges) -> Self {
        Self {
            bins: vec![Bin::EMPTY; edges.bins()],
            across: edges.across(),
        }
    }

    /// Adds the outcomes of a rebuild with the input at these coordinates.
    pub fn add(&mut self, edges: &Edges, at: &[f64], outcomes: &[f64; OUTCOMES]) {
        let cell = &mut self.bins[edges.cell(at)];
        let mut x = [0.0; 2];
        for (x, (at, centre)) in x.iter_mut().zip(at.iter().zip(&edges.centres)) {
            *x = at - centre;
        }
        cell.n += 1.0;
        cell.x[0] += x[0];
        cell.x[1] += x[1];
        cell.xx[0] += x[0] * x[0];
        cell.xx[1] += x[0] * x[1];
        cell.xx[2] += x[1] * x[1];
        for (sums, y) in cell.outcomes.iter_mut().zip(outcomes) {
            let y2 = y * y;
            sums.powers[0] += y;
            sums.powers[1] += y2;
            sums.powers[2] += y2 * y;
            sums.powers[3] += y2 * y2;
            sums.xy[0] += x[0] * y;
            sums.xy[1] += x[1] * y;
        }
    }

    /// Adds what a later block gathered.
    pub fn merge(&mut self, later: &Self) {
        for (own, more) in self.bins.iter_mut().zip(&later.bins) {
            own.merge(more);
        }
    }

    /// The same in bins twice as wide along each coordinate.
    fn coarser(&self) -> Vec<Bin<OUTCOMES>> {
        let across = self.across.div_ceil(2);
        let down = (self.bins.len() / self.across).div_ceil(2);
        let mut bins = vec![Bin::EMPTY; across * down];
        for (k, cell) in self.bins.iter().enumerate() {
            let (row, column) = (k / self.across, k % self.across);
            bins[row / 2 * across + column / 2].merge(cell);
        }
        bins
    }

    /// The first-order index of the input for one of the outcomes; no value where the outcome never
    /// varied.
    ///
    /// # Definition
    /// 1 − (residual mean square about a straight line, or plane, in each bin) / (variance).
    /// Dividing by the degrees of freedom removes the bias of the fit; it may come out slightly
    /// below zero.
    ///
    /// # Accuracy
    /// The interval is by linearisation, plus the sampling spread at an index of zero, that of a
    /// beta distribution as for a regression without effect. Curvature and jumps inside a bin are
    /// not explained, so the index is biased low: for a smooth outcome by less than a hundredth of
    /// itself. Bins twice as wide miss twice as much of a jump and more of a curve; the difference
    /// to them is added to the upper end.
    ///
    /// # Source
    /// The bias correction is that of Kelley's epsilon squared, Proceedings of the National Academy
    /// of Sciences 21 (1935) 554–559, with lines in the place of means.
    pub fn first_order(&self, outcome: usize) -> Estimate {
        let fit = Fit::of(&self.bins, outcome);
        let Some(value) = fit.explained() else {
            return Estimate::unknown(fit.n as u64);
        };
        let (n, mean) = (fit.n, fit.mean());
        // the influence of one observation: (1 − S)(y − mean)² − (y − mean of its bin)²
        let (mut influences, mut influences_squared) = (0.0, 0.0);
        for cell in self.bins.iter().filter(|cell| cell.n > 0.0) {
            let [y, y2, y3, y4] = cell.outcomes[outcome].powers;
            let own = y / cell.n;
            let a = -value;
            let b = 2.0 * (own - (1.0 - value) * mean);
            let c = (1.0 - value) * mean * mean - own * own;
            influences += a * y2 + b * y + c * cell.n;
            influences_squared += a * a * y4
                + 2.0 * a * b * y3
                + (b * b + 2.0 * a * c) * y2
                + 2.0 * b * c * y
                + c * c * cell.n;
        }
        let spread = (influences_squared / n - (influences / n) * (influences / n)).max(0.0);
        let variance = fit.about_mean() / n;
        let free = n - fit.fitted;
        let of_chance = 2.0 * (fit.fitted - 1.0) / (free * (n + 1.0));
        let half = t95(free) * (spread / (variance * variance) / n + of_chance).sqrt();
        let coarser = Fit::of(&self.coarser(), outcome).explained();
        let missed = coarser.map_or(0.0, |coarser| (value - coarser).max(0.0));
        Estimate {
            value,
            low: value - half,
            high: value + half + missed,
            n: n as u64,
        }
    }
}

/// Residuals of an outcome about a line, or plane, in each bin.
struct Fit {
    n: f64,
    sum: f64,
    squares: f64,
    /// Sum of squares about the lines.
    left: f64,
    /// Coefficients of the lines.
    fitted: f64,
}

impl Fit {
    fn of<const OUTCOMES: usize>(bins: &[Bin<OUTCOMES>], outcome: usize) -> Self {
        let mut fit = Self {
            n: 0.0,
            sum: 0.0,
            squares: 0.0,
            left: 0.0,
            fitted: 0.0,
        };
        for cell in bins.iter().filter(|cell| cell.n > 0.0) {
            let [y, y2, ..] = cell.outcomes[outcome].powers;
            fit.n += cell.n;
            fit.sum += y;
            fit.squares += y2;
            let (explained, slopes) = cell.explained(outcome);
            fit.left += (y2 - y * y / cell.n - explained).max(0.0);
            fit.fitted += 1.0 + slopes;
        }
        fit
    }

    fn mean(&self) -> f64 {
        self.sum / self.n
    }

    /// Sum of squares about the mean.
    fn about_mean(&self) -> f64 {
        self.squares - self.mean() * self.sum
    }

    /// Share of the variance that the lines explain; none where nothing varied, or where there are
    /// no more outcomes than coefficients.
    fn explained(&self) -> Option<f64> {
        let all = self.about_mean();
        let free = self.n - self.fitted;
        (all > 1e-12 * self.squares && free > 1.0)
            .then(|| 1.0 - (self.left / free) / (all / (self.n - 1.0)))
    }
}

impl<const OUTCOMES: usize> Bin<OUTCOMES> {
    fn merge(&mut self, more: &Self) {
        self.n += more.n;
        for (own, more) in self.x.iter_mut().zip(more.x) {
            *own += more;
        }
        for (own, more) in self.xx.iter_mut().zip(more.xx) {
            *own += more;
        }
        for (own, more) in self.outcomes.iter_mut().zip(&more.outcomes) {
            for (own, more) in own.powers.iter_mut().zip(more.powers) {
                *own += more;
            }
            for (own, more) in own.xy.iter_mut().zip(more.xy) {
                *own += more;
            }
        }
    }

    /// The sum of squares that a line or plane in this bin explains, and its slopes.
    fn explained(&self, outcome: usize) -> (f64, f64) {
        let y = &self.outcomes[outcome];
        let n = self.n;
        let about = |i: usize, j: usize, sum: f64| sum - self.x[i] * self.x[j] / n;
        let (a, b, d) = (
            about(0, 0, self.xx[0]),
            about(0, 1, self.xx[1]),
            about(1, 1, self.xx[2]),
        );
        let p = y.xy[0] - self.x[0] * y.powers[0] / n;
        let q = y.xy[1] - self.x[1] * y.powers[0] / n;
        // a coordinate that does not vary inside the bin explains nothing there
        let varies = |about_mean: f64, squares: f64| about_mean > 1e-9 * squares && n > 3.0;
        match (varies(a, self.xx[0]), varies(d, self.xx[2])) {
            (false, false) => (0.0, 0.0),
            (true, false) => (p * p / a, 1.0),
            (false, true) => (q * q / d, 1.0),
            (true, true) => {
                let determinant = a * d - b * b;
                if determinant > 1e-9 * a * d && n > 4.0 {
                    let explained = (d * p * p - 2.0 * b * p * q + a * q * q) / determinant;
                    (explained, 2.0)
                } else {
                    (p * p / a, 1.0)
                }
            }
        }
    }
}

/// Sums over pairs of outcomes that share some inputs and not the others.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct OutcomePairs {
    n: f64,
    /// y, y², y³, y⁴ of the first of each pair.
    powers: [f64; 4],
    /// d², d⁴, d²y, d²y² with d the difference.
    apart: [f64; 4],
}

impl OutcomePairs {
    /// Adds a pair.
    #[inline]
    pub fn add(&mut self, y: f64, other: f64) {
        let y2 = y * y;
        self.n += 1.0;
        self.powers[0] += y;
        self.powers[1] += y2;
        self.powers[2] += y2 * y;
        self.powers[3] += y2 * y2;
        let d = y - other;
        let d2 = d * d;
        self.apart[0] += d2;
        self.apart[1] += d2 * d2;
        self.apart[2] += d2 * y;
        self.apart[3] += d2 * y2;
    }

    /// Adds what a later block gathered.
    pub fn merge(&mut self, later: &Self) {
        self.n += later.n;
        for (own, more) in self.powers.iter_mut().zip(later.powers) {
            *own += more;
        }
        for (own, more) in self.apart.iter_mut().zip(later.apart) {
            *own += more;
        }
    }

    /// The total index of an input, from pairs that share everything but it.
    ///
    /// # Definition
    /// Mean of d²/2 over the variance of y. The interval is by linearisation of that ratio, with
    /// the skewness of the mean of d², to which few pairs may contribute: that of a Poisson count
    /// of events of size (mean of d⁴) / (mean of d²). One pair of independent outcomes is added as
    /// a pseudo-observation, so that the interval has a width even where no pair differed.
    ///
    /// # Source
    /// Jansen, "Analysis of variance designs for model output", Computer Physics Communications 117
    /// (1999) 35–43; the interval as of rare events, Dobson, Kuulasmaa, Eberle and Scherer,
    /// Statistics in Medicine 10 (1991) 457–462.
    pub fn total(&self) -> Estimate {
        let n = self.n;
        let [y, y2, y3, y4] = self.powers;
        let mean = y / n;
        let variance = y2 / n - mean * mean;
        let count = n as u64;
        if !(variance > 1e-12 * y2 / n && n > 1.0) {
            return Estimate::unknown(count);
        }
        let [d2, d4, d2y, d2y2] = self.apart;
        let value = d2 / (2.0 * n) / variance;
        let (m2, m3) = (mean * mean, mean * mean * mean);
        let fourth = y4 - 4.0 * mean * y3 + 6.0 * m2 * y2 - 4.0 * m3 * y + n * m2 * m2;
        let together = d2y2 - 2.0 * mean * d2y + m2 * d2;
        let influences = 0.25 * d4 - value * together + value * value * fourth;
        // means of d² and d⁴ for independent outcomes
        let unrelated = [2.0 * variance, 2.0 * fourth / n + 6.0 * variance * variance];
        let spread =
            (influences.max(0.0) + 0.25 * unrelated[1]) / (n - 1.0) / (variance * variance);
        let step = 0.5 * (d4 + unrelated[1]) / (d2 + unrelated[0]) / variance;
        let [below, above] = rare::distances(n, spread, step, t95(n - 1.0));
        Estimate {
            value,
            low: (value - below).max(0.0),
            high: (value + above).min(value.max(1.0)),
            n: count,
        }
    }
}

/// Sums over triples of outcomes: one, another independent of it, and the second with one input
/// taken from the first.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct OutcomeTriples {
    n: f64,
    /// y, y², y³, y⁴ of the first of each triple.
    powers: [f64; 4],
    /// d, dy, dy², dy³ with d the change when the input is taken from the first.
    change: [f64; 4],
    /// d², d²y, d²y².
    squared: [f64; 3],
}

impl OutcomeTriples {
    /// Adds a triple: `y`, an outcome independent of it, and the latter with the input taken from
    /// the first.
    #[inline]
    pub fn add(&mut self, y: f64, elsewhere: f64, put_in: f64) {
        let y2 = y * y;
        let d = put_in - elsewhere;
        self.n += 1.0;
        self.powers[0] += y;
        self.powers[1] += y2;
        self.powers[2] += y2 * y;
        self.powers[3] += y2 * y2;
        self.change[0] += d;
        self.change[1] += d * y;
        self.change[2] += d * y2;
        self.change[3] += d * y2 * y;
        self.squared[0] += d * d;
        self.squared[1] += d * d * y;
        self.squared[2] += d * d * y2;
    }

    /// Adds what a later block gathered.
    pub fn merge(&mut self, later: &Self) {
        self.n += later.n;
        let own = self.powers.iter_mut().chain(&mut self.change);
        let more = later.powers.iter().chain(&later.change);
        for (own, more) in own.zip(more) {
            *own += more;
        }
        for (own, more) in self.squared.iter_mut().zip(later.squared) {
            *own += more;
        }
    }

    /// The first-order index of the input.
    ///
    /// # Definition
    /// Covariance of y with the change that its input makes in the independent outcome, over the
    /// variance of y. It may come out slightly below zero. The interval is by linearisation, with
    /// one triple of independent outcomes as a pseudo-observation, so that it has a width even
    /// where the input never made a difference.
    ///
    /// # Source
    /// Saltelli et al., "Variance based sensitivity analysis of model output", Computer Physics
    /// Communications 181 (2010) 259–270, table 2, estimator (b).
    pub fn first_order(&self) -> Estimate {
        let n = self.n;
        let [y, y2, y3, y4] = self.powers;
        let mean = y / n;
        let variance = y2 / n - mean * mean;
        if !(variance > 1e-12 * y2 / n && n > 1.0) {
            return Estimate::unknown(n as u64);
        }
        let [d, dy, dy2, dy3] = self.change;
        let [dd, ddy, ddy2] = self.squared;
        let value = (dy - mean * d) / n / variance;
        let (m2, m3) = (mean * mean, mean * mean * mean);
        let fourth = y4 - 4.0 * mean * y3 + 6.0 * m2 * y2 - 4.0 * m3 * y + n * m2 * m2;
        let third = dy3 - 3.0 * mean * dy2 + 3.0 * m2 * dy - m3 * d;
        let second = ddy2 - 2.0 * mean * ddy + m2 * dd;
        let influences = second - 2.0 * value * third + value * value * fourth;
        // mean of d²(y − mean)² for independent outcomes
        let unrelated = 2.0 * variance * variance;
        let half = t95(n - 1.0) * (influences.max(0.0) + unrelated).sqrt() / n / variance;
        Estimate {
            value,
            low: value - half,
            high: value + half,
            n: n as u64,
        }
    }
}

#[cfg(test)]
#[path = "../tests/sensitivity.rs"]
mod tests;
