//! Estimates: a simulated number never goes without its interval.

use statrs::distribution::{Beta, ContinuousCDF};

/// Two-sided 95 % quantile of the standard normal distribution.
pub const Z95: f64 = 1.959_963_984_540_054;

/// A simulated number with its two-sided 95 % interval.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Estimate {
    /// The number itself; not a number where nothing was observed.
    pub value: f64,
    /// Lower end of the interval.
    pub low: f64,
    /// Upper end of the interval.
    pub high: f64,
    /// Observations behind it.
    pub n: u64,
}

impl Estimate {
    /// A share, with Wilson's interval.
    ///
    /// # Definition
    /// Of `n` observations, `hits` were so. Nothing observed: no value, 0 … 1.
    ///
    /// # Source
    /// Wilson, "Probable inference", JASA 22 (1927) 209–212.
    pub fn share(hits: u64, n: u64) -> Self {
        if n == 0 {
            return Self {
                value: f64::NAN,
                low: 0.0,
                high: 1.0,
                n,
            };
        }
        let (count, z2) = (n as f64, Z95 * Z95);
        let value = hits as f64 / count;
        let centre = (value + z2 / (2.0 * count)) / (1.0 + z2 / count);
        let half = Z95 / (1.0 + z2 / count)
            * (value * (1.0 - value) / count + z2 / (4.0 * count * count)).sqrt();
        Self {
            value,
            low: if hits == 0 { 0.0 } else { centre - half },
            high: if hits == n { 1.0 } else { centre + half },
            n,
        }
    }

    /// A share for "at least" and "at most" claims, with Clopper and Pearson's interval, which
    /// never covers less than it says.
    ///
    /// # Source
    /// Clopper and Pearson, Biometrika 26 (1934) 404–413, by quantiles of the beta distribution.
    pub fn share_at_least(hits: u64, n: u64) -> Self {
        if n == 0 {
            return Self::share(hits, n);
        }
        let quantile = |a: u64, b: u64, p: f64| {
            Beta::new(a as f64, b as f64)
                .expect("both counts are above zero")
                .inverse_cdf(p)
        };
        Self {
            value: hits as f64 / n as f64,
            low: if hits == 0 {
                0.0
            } else {
                quantile(hits, n - hits + 1, 0.025)
            },
            high: if hits == n {
                1.0
            } else {
                quantile(hits + 1, n - hits, 0.975)
            },
            n,
        }
    }

    /// Half the width of the interval.
    pub fn half_width(&self) -> f64 {
        0.5 * (self.high - self.low)
    }

    /// The same of a figure that can't lie below `least`.
    pub fn not_below(self, least: f64) -> Self {
        Self {
            low: self.low.max(least),
            ..self
        }
    }

    /// The other way round: what a loss of so much is as a gain.
    pub fn negated(self) -> Self {
        Self {
            value: -self.value,
            low: -self.high,
            high: -self.low,
            n: self.n,
        }
    }

    /// The same in another unit.
    pub fn times(self, factor: f64) -> Self {
        Self {
            value: self.value * factor,
            low: self.low * factor,
            high: self.high * factor,
            n: self.n,
        }
    }
}

/// What is below with 95 % confidence when none of `n` observations was so.
///
/// # Source
/// Rule of three: −ln 0.05 / n, rounded up.
pub fn at_most_when_none(n: u64) -> f64 {
    (3.0 / n as f64).min(1.0)
}

/// Count, mean and spread of figures, mergeable.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Moments {
    n: u64,
    mean: f64,
    squares: f64,
}

impl Moments {
    /// From a plain sum and sum of squares, as a block gathers them.
    pub fn from_sums(n: u64, sum: f64, sum_of_squares: f64) -> Self {
        if n == 0 {
            return Self::default();
        }
        let mean = sum / n as f64;
        Self {
            n,
            mean,
            squares: (sum_of_squares - mean * sum).max(0.0),
        }
    }

    /// Adds what a later block gathered.
    ///
    /// # Source
    /// Chan, Golub and LeVeque, "Algorithms for computing the sample variance", 1983.
    pub fn merge(&mut self, later: &Self) {
        if later.n == 0 {
            return;
        }
        let (own, more) = (self.n as f64, later.n as f64);
        let apart = later.mean - self.mean;
        self.mean += apart * more / (own + more);
        self.squares += later.squares + apart * apart * own * more / (own + more);
        self.n += later.n;
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
            (self.squares / (self.n - 1) as f64).sqrt()
        }
    }

    /// The standard deviation with its interval; fewer than two observations have none, so it is
    /// endless.
    ///
    /// # Accuracy
    /// As of a normal figure: its standard error is sigma/√(2n).
    pub fn deviation_estimate(&self) -> Estimate {
        let half = if self.n < 2 {
            f64::INFINITY
        } else {
            Z95 * self.deviation() / (2.0 * self.n as f64).sqrt()
        };
        Estimate {
            value: self.deviation(),
            low: self.deviation() - half,
            high: self.deviation() + half,
            n: self.n,
        }
    }

    /// The mean with its interval; fewer than two observations have none, so it is endless.
    ///
    /// # Accuracy
    /// By the normal distribution, which holds from some dozens of observations on.
    pub fn estimate(&self) -> Estimate {
        let half = if self.n < 2 {
            f64::INFINITY
        } else {
            Z95 * self.deviation() / (self.n as f64).sqrt()
        };
        Estimate {
            value: self.mean(),
            low: self.mean() - half,
            high: self.mean() + half,
            n: self.n,
        }
    }
}

/// The places, from 1, of the ordered observations between which the `q` quantile of `n` lies with
/// at least 95 % confidence, as near as the normal approximation of the binomial distribution
/// knows; `None` where `n` is too small to say.
///
/// # Source
/// David and Nagaraja, "Order Statistics", 3rd edition, section 7.1.
pub fn quantile_places(q: f64, n: u64) -> Option<(u64, u64)> {
    let count = n as f64;
    let half = Z95 * (count * q * (1.0 - q)).sqrt();
    let low = (count * q - half).floor();
    let high = (count * q + half).ceil() + 1.0;
    (low >= 1.0 && high <= count).then_some((low as u64, high as u64))
}
