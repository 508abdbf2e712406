//! Mean, spread and shape of figures, and the intervals of mean and spread.

use crate::count::estimate::{Estimate, Z95};
use crate::count::rare;
use crate::count::student::t95;

/// Count, mean and the central moments of figures up to the fourth, mergeable.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Moments {
    n: u64,
    mean: f64,
    /// Sums of the second, third and fourth powers of deviations from the mean.
    squares: f64,
    cubes: f64,
    fourths: f64,
}

/// Sums of figures, and of powers of their deviations from an origin near them.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct PowerSums {
    pub(crate) n: u64,
    /// Of figures.
    pub(crate) sum: f64,
    /// Of their squares.
    pub(crate) squares: f64,
    /// Subtracted before the higher powers are taken.
    pub(crate) origin: f64,
    /// Of third powers of figure − origin.
    pub(crate) cubes: f64,
    /// Of fourth powers of figure − origin.
    pub(crate) fourths: f64,
}

impl Moments {
    /// From a sum and a sum of squares, as a block gathers them; third and fourth moments are taken
    /// as those of a normal distribution.
    pub fn from_sums(n: u64, sum: f64, sum_of_squares: f64) -> Self {
        if n == 0 {
            return Self::default();
        }
        let mean = sum / n as f64;
        let squares = (sum_of_squares - mean * sum).max(0.0);
        Self {
            n,
            mean,
            squares,
            cubes: 0.0,
            fourths: 3.0 * squares * squares / n as f64,
        }
    }

    /// Of figures one by one; third and fourth moments as [`Moments::from_sums`] takes them.
    pub fn of(figures: impl Iterator<Item = f64>) -> Self {
        let none = (0, 0.0, 0.0);
        let (n, sum, squares) = figures.fold(none, |(n, s, q), x| (n + 1, s + x, q + x * x));
        Self::from_sums(n, sum, squares)
    }

    /// From sums of powers.
    ///
    /// # Accuracy
    /// The origin must lie within a few hundred standard deviations of the mean, or the higher
    /// moments lose precision.
    pub(crate) fn from_powers(sums: &PowerSums) -> Self {
        let plain = Self::from_sums(sums.n, sums.sum, sums.squares);
        if sums.n == 0 {
            return plain;
        }
        let n = sums.n as f64;
        // mean deviation from the origin, and the sum of squares about it
        let off = plain.mean - sums.origin;
        let squares = plain.squares + n * off * off;
        let cubes = sums.cubes - 3.0 * off * squares + 2.0 * n * off * off * off;
        let fourths = sums.fourths - 4.0 * off * sums.cubes + 6.0 * off * off * squares
            - 3.0 * n * off * off * off * off;
        Self {
            cubes,
            fourths: fourths.max(plain.squares * plain.squares / n),
            ..plain
        }
    }

    /// Adds what a later block gathered.
    ///
    /// # Source
    /// Chan, Golub and LeVeque, "Algorithms for computing the sample variance", 1983; third and
    /// fourth powers by Pébay, "Formulas for robust, one-pass parallel computation of covariances
    /// and arbitrary-order statistical moments", Sandia report SAND2008-6212, 2008.
    pub fn merge(&mut self, later: &Self) {
        if later.n == 0 {
            return;
        }
        let (own, more) = (self.n as f64, later.n as f64);
        let all = own + more;
        let apart = later.mean - self.mean;
        let (own_share, more_share) = (own / all, more / all);
        let squared = apart * apart;
        self.fourths += later.fourths
            + squared
                * squared
                * own
                * more_share
                * (own_share * own_share - own_share * more_share + more_share * more_share)
            + 6.0
                * squared
                * (own_share * own_share * later.squares + more_share * more_share * self.squares)
            + 4.0 * apart * (own_share * later.cubes - more_share * self.cubes);
        self.cubes += later.cubes
            + squared * apart * own * more_share * (own_share - more_share)
            + 3.0 * apart * (own_share * later.squares - more_share * self.squares);
        self.mean += apart * more / all;
        self.squares += later.squares + squared * own * more / all;
        self.n += later.n;
    }

    /// Moments of `constant` − figure.
    pub(crate) fn taken_from(&self, constant: f64) -> Self {
        Self {
            mean: constant - self.mean,
            cubes: -self.cubes,
            ..*self
        }
    }

    /// Sums of the second to fourth powers of what figures are off their mean.
    #[cfg(test)]
    pub(crate) fn powers(&self) -> [f64; 3] {
        [self.squares, self.cubes, self.fourths]
    }

    /// Observations.
    pub fn n(&self) -> u64 {
        self.n
    }

    /// Mean; not a number where nothing was observed.
    pub fn mean(&self) -> f64 {
        if self.n == 0 { f64::NAN } else { self.mean }
    }

    /// Standard deviation of one observation; zero for fewer than two.
    pub fn deviation(&self) -> f64 {
        if self.n < 2 {
            0.0
        } else {
            self.variance().sqrt()
        }
    }

    fn variance(&self) -> f64 {
        self.squares / (self.n - 1) as f64
    }

    /// Fourth central moment over the square of the second, corrected for few observations; 3 for
    /// a normal figure.
    ///
    /// # Source
    /// Joanes and Gill, "Comparing measures of sample skewness and kurtosis", The Statistician 47
    /// (1998) 183–189, G₂.
    fn kurtosis(&self) -> f64 {
        let n = self.n as f64;
        let plain = n * self.fourths / (self.squares * self.squares);
        let excess = (n - 1.0) / ((n - 2.0) * (n - 3.0)) * ((n + 1.0) * (plain - 3.0) + 6.0);
        plain.max(excess + 3.0)
    }

    /// The standard deviation with its interval; infinite for fewer than four observations.
    ///
    /// # Definition
    /// √c·s·exp(±½·z·c·√((kurtosis − (n − 3)/n)/(n − 1))) with c = n/(n − z): from the sample's
    /// fourth moment, on a logarithmic scale.
    ///
    /// # Accuracy
    /// An event too rare to show up in the run may contribute much of the spread; then the fourth
    /// moment misses it too and the interval is too narrow.
    ///
    /// # Source
    /// Bonett, "Approximate confidence interval for standard deviation of nonnormal distributions",
    /// Computational Statistics & Data Analysis 50 (2006) 775–782, with the kurtosis about the mean
    /// and corrected as above instead of about a trimmed mean, which would need all figures in
    /// memory.
    pub fn deviation_estimate(&self) -> Estimate {
        let deviation = self.deviation();
        let ends = |low: f64, high: f64| Estimate {
            value: deviation,
            low,
            high,
            n: self.n,
        };
        if self.n < 4 {
            return ends(0.0, f64::INFINITY);
        }
        if self.squares == 0.0 {
            return ends(0.0, 0.0);
        }
        let n = self.n as f64;
        let few = n / (n - Z95);
        let error = few * ((self.kurtosis() - (n - 3.0) / n) / (n - 1.0)).sqrt();
        let factor = libm::exp(0.5 * Z95 * error);
        let middle = few.sqrt() * deviation;
        ends(middle / factor, middle * factor)
    }

    /// The mean of a figure to which every observation contributes, with its interval; infinite for
    /// fewer than two observations.
    ///
    /// # Accuracy
    /// By Student's distribution, for figures of any shape from some dozens of observations on.
    ///
    /// # Example
    /// 1, 2, 3, 4 and 5: s = √2.5, and Student's quantile of 4 degrees of freedom is 2.776.
    /// ```
    /// use shimcast_sim::count::estimate::Moments;
    ///
    /// let mean = Moments::from_sums(5, 15.0, 55.0).estimate();
    /// assert_eq!(mean.value, 3.0);
    /// assert!((mean.half_width() - 2.776 * (2.5_f64 / 5.0).sqrt()).abs() < 1e-3);
    /// ```
    pub fn estimate(&self) -> Estimate {
        self.within(self.half_widths())
    }

    fn half_widths(&self) -> [f64; 2] {
        if self.n < 2 {
            return [f64::INFINITY; 2];
        }
        let n = self.n as f64;
        [t95(n - 1.0) * self.deviation() / n.sqrt(); 2]
    }

    /// The mean of a figure that is zero in most observations, such as a count of rare events, with
    /// its interval; infinite for fewer than two observations.
    ///
    /// # Definition
    /// The interval of a Poisson count of events with the variance and skewness of the mean. Where
    /// nothing varied, one event of size `unit`, up or down, is taken as possible.
    ///
    /// # Source
    /// Dobson, Kuulasmaa, Eberle and Scherer, Statistics in Medicine 10 (1991) 457–462, with
    /// Student's quantile in the place of the normal one.
    pub fn estimate_of_events(&self, unit: f64) -> Estimate {
        if self.n < 2 {
            return self.estimate();
        }
        let n = self.n as f64;
        let t = t95(n - 1.0);
        if self.squares > 0.0 {
            let step = self.cubes / self.squares;
            self.within(rare::distances(n, self.variance(), step, t))
        } else {
            let [_, unseen] = rare::distances(n, 0.0, unit, t);
            self.within([unseen; 2])
        }
    }

    /// The mean of differences, of which all but `differ` are exactly zero, with its interval;
    /// infinite for fewer than two.
    ///
    /// # Definition
    /// z² ≈ 4 pseudo-observations are added, half of them positive, half negative, with the mean
    /// square of the differing pairs and one of size `unit`.
    ///
    /// # Source
    /// Agresti and Coull, "Approximate is better than 'exact' for interval estimation of binomial
    /// proportions", The American Statistician 52 (1998) 119–126, and for pairs Bonett and Price,
    /// Journal of Educational and Behavioral Statistics 37 (2012) 479–488, carried over from binary
    /// outcomes to differences of any size. The centre is not moved.
    pub(crate) fn estimate_of_differences(&self, differ: u64, unit: f64) -> Estimate {
        if self.n < 2 {
            return self.estimate();
        }
        let (n, pseudo) = (self.n as f64, Z95 * Z95);
        let one = (self.squares + unit * unit) / (differ + 1) as f64;
        let variance = (self.squares + pseudo * one) / (n + pseudo);
        self.within([t95(n - 1.0) * (variance / n).sqrt(); 2])
    }

    fn within(&self, [below, above]: [f64; 2]) -> Estimate {
        Estimate {
            value: self.mean(),
            low: self.mean() - below,
            high: self.mean() + above,
            n: self.n,
        }
    }
}
