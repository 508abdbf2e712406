//! The density of a tolerance: how likely a part of a size is, inspection included.

use std::f64::consts::{FRAC_1_SQRT_2, PI};

use crate::axle::tolerance::{Law, Tolerance};

/// Sigmas beyond which a law is taken to end.
const FAR: f64 = 8.0;
/// Limits of an inspection farther out than this many sigmas are met by all parts.
const NEVER_MET: f64 = 5.0;
/// Steps of the sums that give mean and deviation.
const STEPS: u32 = 400;

/// The distribution that a tolerance is drawn from.
#[derive(Debug, Clone)]
pub(crate) struct Density {
    law: Law,
    low: f64,
    high: f64,
    /// Share that passes the inspection.
    passing: f64,
    /// Logarithm of the density at its peak.
    log_scale: f64,
    /// Mean and standard deviation.
    pub(crate) mean: f64,
    pub(crate) deviation: f64,
}

/// How a tolerance is to be drawn.
#[derive(Debug, Clone)]
pub(crate) enum Varies {
    /// It does not.
    Never(f64),
    /// As a normal figure: mean and sigma.
    Normal(f64, f64),
    /// Between listed values, each with its probability.
    Listed(Vec<[f64; 2]>),
    /// With another density.
    Otherwise(Density),
}

impl Tolerance {
    /// How it varies.
    pub(crate) fn varies(&self) -> Varies {
        let (low, high) = self.keep.unwrap_or((f64::NEG_INFINITY, f64::INFINITY));
        match &self.law {
            Law::Normal { mean, sigma } if *sigma == 0.0 => Varies::Never(*mean),
            Law::HalfNormal { nominal, sigma } if *sigma == 0.0 => Varies::Never(*nominal),
            Law::Lognormal { mean, sigma, .. } if *sigma == 0.0 => Varies::Never(*mean),
            Law::Uniform { low, high } | Law::Triangular { low, high } if low == high => {
                Varies::Never(*low)
            }
            Law::Normal { mean, sigma }
                if low < mean - NEVER_MET * sigma && high > mean + NEVER_MET * sigma =>
            {
                Varies::Normal(*mean, *sigma)
            }
            Law::Listed { values, cumulative } => listed(values, cumulative, low, high),
            _ => Varies::Otherwise(Density::new(&self.law, low, high)),
        }
    }

    /// Share of one lot in the variance of a part, and the sigmas of half the sum and half the
    /// difference of two of a lot.
    pub(crate) fn lot(&self) -> (f64, [f64; 2]) {
        (self.lot_share, self.together)
    }
}

fn listed(values: &[f64], cumulative: &[f64], low: f64, high: f64) -> Varies {
    let mut before = 0.0;
    let mut kept: Vec<[f64; 2]> = Vec::new();
    for (value, upto) in values.iter().zip(cumulative) {
        let chance = upto - std::mem::replace(&mut before, *upto);
        if low <= *value && *value <= high && chance > 0.0 {
            match kept.iter_mut().find(|[have, _]| have == value) {
                Some([_, sum]) => *sum += chance,
                None => kept.push([*value, chance]),
            }
        }
    }
    let total: f64 = kept.iter().map(|[_, chance]| chance).sum();
    kept.iter_mut().for_each(|[_, chance]| *chance /= total);
    match kept[..] {
        [[value, _]] => Varies::Never(value),
        _ => Varies::Listed(kept),
    }
}

impl Density {
    fn new(law: &Law, low: f64, high: f64) -> Self {
        let ends = match law {
            Law::Normal { mean, sigma } => (mean - FAR * sigma, mean + FAR * sigma),
            Law::Uniform { low, high } | Law::Triangular { low, high } => (*low, *high),
            Law::HalfNormal { nominal, sigma } => (*nominal, nominal + FAR * sigma),
            Law::Lognormal { mu, sigma, .. } => {
                (libm::exp(mu - FAR * sigma), libm::exp(mu + FAR * sigma))
            }
            Law::Listed { .. } => unreachable!("listed values have no density"),
        };
        let mut density = Self {
            law: law.clone(),
            low: ends.0.max(low),
            high: ends.1.min(high),
            passing: 1.0,
            log_scale: 0.0,
            mean: 0.0,
            deviation: 0.0,
        };
        density.passing = density.law_below(density.high) - density.law_below(density.low);
        let step = (density.high - density.low) / f64::from(STEPS);
        let places = || (0..STEPS).map(|i| density.low + (f64::from(i) + 0.5) * step);
        let whole: f64 = places().map(|x| density.at(x)).sum();
        let mean = places().map(|x| x * density.at(x)).sum::<f64>() / whole;
        let squares: f64 = places()
            .map(|x| (x - mean) * (x - mean) * density.at(x))
            .sum();
        let peak = match law {
            Law::Normal { sigma, .. } => bell(0.0) / sigma,
            Law::HalfNormal { sigma, .. } => 2.0 * bell(0.0) / sigma,
            Law::Uniform { low, high } => 1.0 / (high - low),
            _ => 1.0,
        };
        density.log_scale = libm::log(peak / density.passing);
        density.mean = mean;
        density.deviation = (squares / whole).sqrt();
        density
    }

    /// The mean of a function of a part.
    pub(crate) fn mean_of(&self, of: impl Fn(f64) -> f64) -> f64 {
        let step = (self.high - self.low) / f64::from(STEPS);
        let places = (0..STEPS).map(|i| self.low + (f64::from(i) + 0.5) * step);
        let [sum, whole] = places.fold([0.0, 0.0], |[sum, whole], x| {
            let density = self.at(x);
            [sum + density * of(x), whole + density]
        });
        sum / whole
    }

    /// Between which values parts lie.
    pub(crate) fn range(&self) -> (f64, f64) {
        (self.low, self.high)
    }

    /// The density at a value.
    pub(crate) fn at(&self, x: f64) -> f64 {
        if x < self.low || x > self.high {
            return 0.0;
        }
        let plain = match &self.law {
            Law::Normal { mean, sigma } => bell((x - mean) / sigma) / sigma,
            Law::Uniform { low, high } => 1.0 / (high - low),
            Law::Triangular { low, high } => {
                let half = 0.5 * (high - low);
                (half - (x - 0.5 * (low + high)).abs()).max(0.0) / (half * half)
            }
            Law::HalfNormal { nominal, sigma } => 2.0 * bell((x - nominal) / sigma) / sigma,
            Law::Lognormal { mu, sigma, .. } => bell((libm::log(x) - mu) / sigma) / (sigma * x),
            Law::Listed { .. } => 0.0,
        };
        plain / self.passing
    }

    /// Logarithm of the density at a value.
    pub(crate) fn log_at(&self, x: f64) -> f64 {
        if x < self.low || x > self.high {
            return f64::NEG_INFINITY;
        }
        match &self.law {
            Law::Normal { mean, sigma } => self.log_scale - 0.5 * ((x - mean) / sigma).powi(2),
            Law::HalfNormal { nominal, sigma } => {
                self.log_scale - 0.5 * ((x - nominal) / sigma).powi(2)
            }
            Law::Uniform { .. } => self.log_scale,
            _ => libm::log(self.at(x)),
        }
    }

    fn law_below(&self, x: f64) -> f64 {
        let normal = |z: f64| 0.5 * libm::erfc(-z * FRAC_1_SQRT_2);
        match &self.law {
            Law::Normal { mean, sigma } => normal((x - mean) / sigma),
            Law::Uniform { low, high } => ((x - low) / (high - low)).clamp(0.0, 1.0),
            Law::Triangular { low, high } => {
                let half = 0.5 * (high - low);
                let from_end = |part: f64| 0.5 * part * part / (half * half);
                if x < low + half {
                    from_end((x - low).max(0.0))
                } else {
                    1.0 - from_end((high - x).max(0.0))
                }
            }
            Law::HalfNormal { nominal, sigma } => {
                libm::erf(((x - nominal) / sigma).max(0.0) * FRAC_1_SQRT_2)
            }
            Law::Lognormal { mu, sigma, .. } => normal((libm::log(x) - mu) / sigma),
            Law::Listed { .. } => 0.0,
        }
    }
}

/// The density of the standard normal distribution.
fn bell(z: f64) -> f64 {
    libm::exp(-0.5 * z * z) / (2.0 * PI).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chance::dice::{Address, Purpose};

    impl Density {
        /// Share of parts below a value.
        fn below(&self, x: f64) -> f64 {
            let x = x.clamp(self.low, self.high);
            (self.law_below(x) - self.law_below(self.low)) / self.passing
        }
    }

    /// Densities against what is drawn: mean, deviation and quartiles of 40,000 draws. Each figure is
    /// off by more than five standard errors once in two million times.
    #[test]
    fn densities_are_those_that_parts_are_drawn_from() {
        let laws = [
            Tolerance::normal(1.0, 0.2).unwrap().inspected(0.9, 1.6),
            Tolerance::uniform(0.5, 0.9),
            Tolerance::triangular(0.5, 0.9),
            Tolerance::half_normal(0.1, 0.3),
            Tolerance::lognormal(2.0, 0.3),
            Tolerance::uniform(0.5, 0.9).unwrap().inspected(0.6, 2.0),
        ];
        for (number, law) in laws.into_iter().enumerate() {
            let law = law.unwrap();
            let Varies::Otherwise(density) = law.varies() else {
                panic!("{law:?} has a density");
            };
            let mut dice = Address::new(7, number as u64).stream(Purpose::Parts);
            let drawn: Vec<f64> = (0..40_000).map(|_| law.draw(&mut dice)).collect();
            let mean = drawn.iter().sum::<f64>() / 4e4;
            assert!((mean - density.mean).abs() < 5.0 * density.deviation / 200.0);
            for share in [0.1, 0.25, 0.5, 0.75, 0.9] {
                let (low, high) = density.range();
                let at = low + share * (high - low);
                let seen = drawn.iter().filter(|x| **x < at).count() as f64 / 4e4;
                let expected = density.below(at);
                let error = (expected * (1.0 - expected) / 4e4).sqrt();
                assert!(
                    (seen - expected).abs() <= 5.0 * error + 1e-9,
                    "{law:?}: {seen}"
                );
                let log = density.log_at(at);
                assert!((libm::exp(log) / density.at(at) - 1.0).abs() < 1e-9);
                let step = 1e-5 * (high - low);
                if seen == 0.0 || seen == 1.0 {
                    continue;
                }
                let slope = (density.below(at + step) - density.below(at - step)) / (2.0 * step);
                assert!(
                    (slope / density.at(at) - 1.0).abs() < 1e-3,
                    "{law:?} at {at}"
                );
            }
        }
    }

    #[test]
    fn what_does_not_vary_and_what_is_listed_is_told_apart() {
        assert!(matches!(Tolerance::exact(3.0).varies(), Varies::Never(x) if x == 3.0));
        let listed = Tolerance::measured(vec![1.0, 2.0, 2.0, 9.0]).unwrap();
        let Varies::Listed(kept) = listed.inspected(0.0, 5.0).unwrap().varies() else {
            panic!("listed");
        };
        assert_eq!(kept.len(), 2);
        assert!((kept[1][1] - 2.0 / 3.0).abs() < 1e-12);
    }
}
